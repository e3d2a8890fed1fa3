"""Monitors of circuits that need no driving: wheel sensor circuits, valve coils, switches, sensors
with a voltage, supply, stored data.
"""

import numpy as np

from tractionlab.diagnosis.watch import SENSOR, SUPPLY, alarm, mean_over, often, watch
from tractionlab.wheels import WHEELS

#: Codes of the coils: those of the pressure supply, then those of the wheels (three-position and
#: inlet valves share a code).
SUPPLY_COILS = {
    "feed_valve": "C0001",
    "cut_off_valve": "C0002",
    "drain_valve": "C0003",
    "isolating_valve_1": "C0001",
    "priming_valve_1": "C0002",
    "isolating_valve_2": "C0003",
    "priming_valve_2": "C0004",
}
WHEEL_COILS = {
    f"{kind}_{wheel}": code
    for kind, codes in (
        ("wheel_valve", ("C0010", "C0014", "C0018", "C001C")),
        ("inlet", ("C0010", "C0014", "C0018", "C001C")),
        ("outlet", ("C0011", "C0015", "C0019", "C001D")),
    )
    for wheel, code in zip(WHEELS, codes)
}
_SETTLE = 0.05  # s over which a wheel circuit's voltage or current is averaged
_SLOW = 0.5  # m/s up to which the level of an active sensor at rest can be judged


def watches(inputs, monitors):
    """Watches of the circuits. inputs: see workshop.inputs."""
    found = _passive(inputs, monitors) if not inputs["active"] else _active(inputs, monitors)
    found += _coils(inputs, monitors)
    fed = inputs["fed"]
    found.append(
        watch(
            monitors["valve_supply"],
            "C1F01",
            "16",
            inputs["valve_supply"] < monitors["valve_supply"]["least"],
            fed & inputs["relay_on"],
        )
    )
    weak = monitors["supply_low"]
    found.append(
        watch(
            weak,
            "C1F02",
            "16",
            inputs["supply"] < weak["least"],
            inputs["awake"] & ~inputs["starting"],
            weak["back"],
        )
    )
    rise = -inputs["stop_contact"]
    found.append(
        watch(
            monitors["unit_ground"],
            "C1F03",
            "1B",
            rise > monitors["unit_ground"]["most"],
            fed & inputs["loaded"],
        )
    )
    found.append(watch(monitors["not_coded"], "C1F30", "55", ~inputs["coded"], fed))
    found.append(
        watch(
            monitors["fluid_low"],
            "C0049",
            "7B",
            inputs["level"] < monitors["fluid_low"]["low_below"],
            fed,
        )
    )
    pressed = inputs["button"] < monitors["button_held"]["pressed_below"]
    found.append(watch(monitors["button_held"], "C0089", "23", pressed, fed))
    found.append(
        watch(
            monitors["lamp_open"],
            "C0085",
            "13",
            inputs["lamp_A"] < monitors["lamp_open"]["driven_below"],
            fed & inputs["lamp_check"],
        )
    )
    found += _contacts(inputs, monitors)
    for name, code in (("pressure", "C0044"), ("yaw_rate", "C0063"), ("lateral", "C0061")):
        if name in inputs:
            found += _voltage(
                monitors[{"yaw_rate": "yaw_range"}.get(name, f"{name}_range")],
                code,
                inputs[name],
                fed,
            )
    if "second_throttle" in inputs:
        monitor = monitors["second_throttle_range"]
        odd = (inputs["second_throttle"] < monitor["low"]) | (
            inputs["second_throttle"] > monitor["high"]
        )
        found.append(watch(monitor, "P0222", "00", odd, fed))
    return found


def _passive(inputs, monitors):
    """A coil sensor: a small direct voltage over it tells whether its circuit is whole."""
    found = []
    edge = monitors["wheel_range"]
    for i in range(4):
        bias = inputs["bias"][:, i]
        open_, ground = (
            bias > monitors["wheel_open"]["passive_from"],
            bias < monitors["wheel_to_ground"]["passive_below"],
        )
        battery = bias > monitors["wheel_to_battery"]["passive_from"]
        able = inputs["fed"]
        found += [
            watch(monitors["wheel_open"], SENSOR[i], "13", open_ & ~battery, able),
            watch(monitors["wheel_to_ground"], SENSOR[i], "11", ground, able),
            watch(monitors["wheel_to_battery"], SENSOR[i], "12", battery, able),
            watch(edge, SENSOR[i], "1A", (bias < edge["passive_low"]) & ~ground, able),
            watch(edge, SENSOR[i], "1B", (bias > edge["passive_high"]) & ~open_ & ~battery, able),
        ]
    return found


def _active(inputs, monitors):
    """A sensor with two currents: they tell it all, and the supply has its own voltage."""
    found = []
    edge = monitors["wheel_range"]
    for i in range(4):
        current, supply = inputs["current"][:, i], inputs["sensor_supply"][:, i]
        able = inputs["fed"]
        ground = supply < monitors["wheel_to_ground"]["supply_below"]
        battery = current > monitors["wheel_to_battery"]["active_from"]
        open_ = (current < monitors["wheel_open"]["active_below"]) & ~ground
        level = inputs["at_level"][:, i]
        still = inputs["wheel_speed"].max(axis=1) < _SLOW
        found += [
            watch(monitors["wheel_to_ground"], SUPPLY[i], "11", ground, able),
            watch(monitors["wheel_open"], SENSOR[i], "13", open_, able),
            watch(monitors["wheel_to_battery"], SENSOR[i], "12", battery, able),
            watch(edge, SENSOR[i], "1D", ~level & ~open_ & ~battery & ~ground, able & still),
        ]
    return found


def level_in_order(current, edge):
    """True where a current [mA] of an active sensor is one of its two levels."""
    return (current >= edge["low_least"]) & (current <= edge["low_most"]) | (
        current >= edge["high_least"]
    ) & (current <= edge["high_most"])


def _coils(inputs, monitors):
    """Each coil gets a short pulse at ignition on; later its current is seen whenever it is driven.

    inputs["coils"]: name -> (pin voltage at rest over supply, current over that of a sound coil)
    [-]; inputs["pulsed"]: bool (n,)."""
    found = []
    able = inputs["fed"] & inputs["pulsed"]
    for name, (rest, current) in inputs["coils"].items():
        wheel = name in WHEEL_COILS
        code = (WHEEL_COILS if wheel else SUPPLY_COILS)[name]
        short = monitors["coil_short"]
        ground = short["rest_least"] < rest < short["rest_below"]
        over = current >= short["current_from"] and not ground
        open_ = current < monitors["wheel_coil_open" if wheel else "coil_open"]["current_below"]
        found += [
            watch(
                monitors["wheel_coil_open" if wheel else "coil_open"],
                code,
                "13",
                np.full(len(able), open_),
                able,
            ),
            watch(short, code, "11", np.full(len(able), ground), able),
            watch(short, code, "19", np.full(len(able), over), able),
        ]
    for i, (name, reached) in enumerate(inputs["reduce_share"].items()):
        monitor = monitors["coil_current"]
        supplied = inputs["valve_supply"] >= monitors["valve_supply"]["least"]
        found.append(
            alarm(
                monitor,
                WHEEL_COILS[name],
                "18",
                np.full(len(able), reached < monitor["share"]),
                inputs["fed"] & supplied & inputs["reducing"][:, i],
            )
        )
    return found


def _contacts(inputs, monitors):
    """Both contacts of the pedal switch against each other, and against what the car does."""
    monitor = monitors["pedal_contacts"]
    fed = inputs["fed"]
    stop, free = (
        inputs["stop_contact"] > monitor["pressed_from"],
        inputs["test_contact"] > monitor["pressed_from"],
    )
    flicker = monitors["pedal_flicker"]
    change = np.diff(stop, prepend=stop[:1])
    unrest = often(change, flicker["changes"] + 1.0, flicker["within"])
    return [
        watch(monitor, "C0040", "24", stop & free, fed),
        watch(monitor, "C0040", "23", ~stop & ~free, fed),
        alarm(flicker, "C0040", "78", unrest, fed),
    ]


def _voltage(monitor, code, volts, able):
    """A sensor fed with 5 V: too low is an open or earthed lead, too high is battery or an open
    ground.
    """
    calm = mean_over(volts, _SETTLE)
    return [
        watch(monitor, code, "13", calm < monitor["low"], able),
        watch(monitor, code, "12", calm > monitor["high"], able),
    ]
