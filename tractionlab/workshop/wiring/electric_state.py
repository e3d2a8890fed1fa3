"""The car's wiring in the few states that the bench tests need: solved once for each set of part
values, and kept.
"""

from dataclasses import replace
from functools import lru_cache
from math import radians, sin
from types import MappingProxyType

from tractionlab.textbook.longitudinal import GRAVITY
from tractionlab.workshop.hydraulic_car import VALVES, Electrics, layout_of
from tractionlab.workshop.part_values import part_values, parts
from tractionlab.workshop.wiring.elements import emf_ohm
from tractionlab.workshop.wiring.moment import Moment
from tractionlab.workshop.wiring.netlist import plan
from tractionlab.workshop.wiring.network import Network
from tractionlab.workshop.wiring.nodal import Current
from tractionlab.workshop.wiring.pins import EMPTY, LINES
from tractionlab.workshop.wiring.points import BODY

_CALLS_V = 6.0  # the control unit takes less than half its supply as "closed"
_LOW_BAR, _HIGH_BAR = 100.0, 200.0
LIVE_V = 0.1  #: from here on a lead counts as live
#: What traction control of both driven wheels has switched on at once: share of the full current of
#: each valve.
_IN_CONTROL = {
    "A": {
        "cut_off_valve": 1.0,
        "feed_valve": 1.0,
        "drain_valve": 1.0,
        "wheel_valve_RL": 1.0,
        "wheel_valve_RR": 1.0,
    },
    "B": {part: 1.0 for part in VALVES["B"] if part not in ("outlet_RL", "outlet_RR")},
}
#: A test load of about 5 A of valve current.
LOAD = {
    "A": {"wheel_valve_RL": 1.0},
    "B": {"isolating_valve_1": 1.0, "priming_valve_1": 1.0, "inlet_RR": 1.0},
}


def moments(vehicle, values):
    """Moments by name: at rest, with pedal and button pressed and sensors at their high current,
    under load, valves as in control, pumps running, lamps on, accumulator low and high, network
    talking."""
    key = layout_of(vehicle)
    load = {"return_pump": 1.0, **LOAD[key]}
    pumps = {"return_pump": 1.0, "charge_pump": 1.0} if key == "A" else {"return_pump": 1.0}
    still = {
        "fluid_low": values["reservoir.fill_share"] < EMPTY,
        "signals": MappingProxyType(resting_signals(values)),
    }
    lamps = {f"lamp_{name}": 1.0 for name in ("abs", "tc", "tc_off", "brake")}
    found = {
        "rest": {},
        "pressed": {
            "brake_pedal": True,
            "tc_switch": True,
            "level": (True,) * 4,
            "plates": MappingProxyType({"main": 1.0, "second": 0.0}),
        },
        "shut": {"plates": MappingProxyType({"main": 0.0, "second": 0.0})},
        "wide": {"plates": MappingProxyType({"main": 1.0, "second": 1.0})},
        "worn": {"plates": MappingProxyType({"main": 0.175, "second": 0.175})},
        "load": {"commands": load},
        "control": {"commands": _IN_CONTROL[key]},
        "pump": {"commands": pumps, "brief": True},
        "lamps": {"commands": lamps},
        "low": {"signals": MappingProxyType({"accumulator": _LOW_BAR})},
        "high": {"signals": MappingProxyType({"accumulator": _HIGH_BAR})},
        "dominant": {"bus": "dominant"},
        "lines": {"commands": dict.fromkeys(LINES if key == "A" else (), 1.0)},
        "stepper": {"commands": {"stepper_a": 1.0, "stepper_b": 1.0}},
        "fifty": {"signals": MappingProxyType({"pressure": 50.0})},
    }
    return {
        name: Moment(
            **{
                **still,
                **more,
                "commands": MappingProxyType({"relay_valves": 1.0, **more.get("commands", {})}),
            }
        )
        for name, more in found.items()
    }


def resting_signals(values):
    """Signals of a standing car: a tilted sensor feels a part of its weight."""
    tilt = values.get("yaw_bracket.tilt_deg", 0.0)
    return {"lateral": GRAVITY * sin(radians(tilt))} if tilt else {}


@lru_cache(maxsize=4)
def _running_parts(vehicle):
    """Parts without wires: a change of them leaves the network as it is."""
    wired = (
        {element.part for element in plan(vehicle).elements.values()}
        | set(plan(vehicle).leads)
        | {f"plug_{key}" for key in plan(vehicle).plugs}
    )
    named = {
        "reservoir",
        "yaw_bracket",
        "unit",
        "engine_unit",
        "motor_unit",
        "lamp_abs",
        "rear_plugs",
        "brake_switch",
        "tc_switch",
        "hydraulic_unit",
        "generator",
        "return_pump_body",
        "charge_pump_body",
    }
    return frozenset(
        key
        for key in parts(vehicle)
        if key not in wired | named
        and not key.startswith(("lamp_", "bus_", "stud_", "fuse_", "relay_"))
    )


def is_electric(vehicle, name):
    """Can the network notice a change of the part value of this name?"""
    return name.rpartition(".")[0] not in _running_parts(vehicle)


def _electric(values):
    """The part values with those changes alone that the network can notice."""
    return values.only(lambda name: is_electric(values.vehicle, name))


def solved(vehicle, values, state, key="on", flexed=False, wet=False):
    """Solution of a state of `moments`, with the key at another place, the leads bent or the plugs
    wetted if wanted.
    """
    return _solved(vehicle, _electric(values), state, key, flexed, wet)


@lru_cache(maxsize=2048)
def _solved(vehicle, values, state, key, flexed, wet=False):
    return network(vehicle, values).solve(
        replace(
            moments(vehicle, values)[state],
            key=key,
            flexed=flexed,
            wet=wet,
        )
    )


@lru_cache(maxsize=256)
def network(vehicle, values):
    """Network of a car, kept by its part values."""
    return Network(vehicle, values)


def coast_down(vehicle, values):
    """Voltage [V] that the control unit sees of the return pump just after it was switched off:
    what the turning motor makes by itself.
    """
    return _coast(vehicle, _electric(values))


@lru_cache(maxsize=256)
def _coast(vehicle, values):
    if values["return_pump_body.seized"] >= 0.5:
        return 0.0
    current = _solved(vehicle, values, "pump", "on", False).current("return_pump")
    moment = Moment(
        commands={"relay_valves": 1.0},
        motor_emf={"return_pump": current * values["return_pump.running_ohm"]},
    )
    return network(vehicle, values).solve(moment).voltage("unit.pump_voltage", "body")


def ohms(vehicle, values, pairs, unplugged, flexed=False):
    """Resistance [ohm] between pairs of points, ignition off and `unplugged` pulled; at least 1e9
    where nothing joins them.
    """
    return _ohms(vehicle, _electric(values), tuple(pairs), frozenset(unplugged), flexed)


@lru_cache(maxsize=2048)
def _ohms(vehicle, values, pairs, unplugged, flexed):
    meters = [Current(f"meter_{i}", b, a, 0.0) for i, (a, b) in enumerate(pairs)]
    solution = network(vehicle, values).solve(
        Moment(key="off", unplugged=unplugged, flexed=flexed), more=meters
    )
    gains = solution.circuit.gains([meter.name for meter in meters], pairs)
    return tuple(min(1e9, max(0.0, float(gains[i, i]))) for i in range(len(pairs)))


def live(vehicle, values, points, unplugged):
    """Which of these points have voltage against the body with the ignition off and `unplugged`
    pulled: there an ohmmeter means nothing.
    """
    return _live(vehicle, _electric(values), tuple(points), frozenset(unplugged))


@lru_cache(maxsize=2048)
def _live(vehicle, values, points, unplugged):
    solution = network(vehicle, values).solve(Moment(key="off", unplugged=unplugged))
    return tuple(abs(solution.voltage(point, BODY)) > LIVE_V for point in points)


def electrics_of(vehicle, values):
    """Electrics: what currents reach the valves, and how fast the pumps turn."""
    return _electrics(vehicle, _electric(values))


@lru_cache(maxsize=256)
def _electrics(vehicle, values):
    key = layout_of(vehicle)
    if not values.changes:
        return Electrics()
    healthy = part_values(vehicle)
    solution, sound = (
        _solved(vehicle, values, "control", "on", False),
        _solved(vehicle, healthy, "control", "on", False),
    )
    current = {}
    for part in _IN_CONTROL[key]:
        share = solution.current(part) / sound.current(part)
        if share < 0.97:
            current[part] = max(0.0, share) * sound.current(part)
    pump, sound = (
        _solved(vehicle, values, "pump", "on", False),
        _solved(vehicle, healthy, "pump", "on", False),
    )
    turns = {
        name: round(
            max(
                0.0,
                pump.current(name)
                * emf_ohm(name, values)
                / (sound.current(name) * emf_ohm(name, healthy)),
            ),
            3,
        )
        for name in (("return_pump", "charge_pump") if key == "A" else ("return_pump",))
    }
    return Electrics(
        tuple(current.items()),
        charge_pump=turns.get("charge_pump", 1.0),
        return_pump=turns["return_pump"],
        called=_called(vehicle, values) if key == "A" else "as it should",
    )


def _called(vehicle, values):
    """How the pressure switch calls the charge pump: "as it should", "always" or "never"."""
    calls = {
        state: (
            _solved(vehicle, values, state, "on", False).voltage(
                "unit.pressure_pump", "unit.ground.device"
            )
            < _CALLS_V
        )
        for state in ("low", "high")
    }
    return "always" if calls["high"] else "as it should" if calls["low"] else "never"
