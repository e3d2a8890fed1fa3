"""Tests with multimeter and current clamp: ohms at plugs and parts, volts at pins, drops under
load, pumps, bent leads, the network.
"""

from tractionlab.workshop.faults import WHEELS
from tractionlab.workshop.hydraulic_car import VALVES, layout_of
from tractionlab.workshop.reading import CALLED, Reading
from tractionlab.workshop.tests.hydraulics import charge_time
from tractionlab.workshop.wiring.electric_state import coast_down, electrics_of, ohms, solved
from tractionlab.workshop.wiring.netlist import plan

_BODY, _MINUS, _GROUND = "body", "battery.minus", "unit.ground.device"
_NOT_REACHED = 60.0
_CALLS = {
    "as it should": "starts at 145 bar and stops",
    "always": "never stops",
    "never": "never starts",
}


def t08(vehicle, values, history):
    """Ohms at the control unit's plug, ignition off."""
    key, wanted = layout_of(vehicle), []
    if key == "A":
        wanted += [
            (f"loop_{w}", f"Loop of the {CALLED[w]} sensor", f"unit.sensor_{w}", f"unit.return_{w}")
            for w in WHEELS
        ]
    wanted += [
        (
            f"coil_{valve.lower()}",
            f"Coil of the {_called(valve)} with its leads",
            f"unit.{valve}",
            "unit.valve_supply",
        )
        for valve in VALVES[key]
    ]
    loops = ohms(vehicle, values, [pair[2:] for pair in wanted], {"unit"})
    found = [
        Reading(
            key=name, name=words, value=ohm, unit="ohm", place="control unit plug, into the loom"
        )
        for (name, words, _, _), ohm in zip(wanted, loops)
    ]
    leads = [
        (
            f"insulation_{w}",
            f"Leads of the {CALLED[w]} sensor to body",
            (f"unit.{first}_{w}", f"unit.sensor_{w}"),
        )
        for w in WHEELS
        for first in ("return" if key == "A" else "supply",)
    ]
    leads += [
        (f"insulation_{valve.lower()}", f"Coil of the {_called(valve)} to body", (f"unit.{valve}",))
        for valve in VALVES[key]
    ]
    pairs = [(point, _BODY) for _, _, points in leads for point in points]
    pins = [f"unit.{pin}" for pin in plan(vehicle).plugs["unit"].pins]
    switches = (pins[pins.index("unit.tc_switch")], pins[pins.index("unit.tc_switch") + 1])
    measured = dict(
        zip(pairs, ohms(vehicle, values, pairs, {"unit", *(f"sensor_{w}" for w in WHEELS)}))
    )
    found += [
        Reading(
            key=name,
            name=words,
            value=min(measured[(point, _BODY)] for point in points),
            unit="ohm",
            place="control unit plug, sensors unplugged",
        )
        for name, words, points in leads
    ]
    (between,) = ohms(vehicle, values, [switches], {"unit"})
    found.append(
        Reading(
            key="insulation_plug",
            name="Between two neighbouring pins",
            value=between,
            unit="ohm",
            place="control unit plug",
        )
    )
    return found


def t09(vehicle, values, history):
    """Ohms at the parts, each with its plug pulled."""
    key, found = layout_of(vehicle), []
    place = "at the part, plug pulled"
    for w, ohm in zip(
        WHEELS,
        ohms(
            vehicle,
            values,
            [(f"sensor_{w}.1.device", f"sensor_{w}.2.device") for w in WHEELS],
            {f"sensor_{w}" for w in WHEELS},
        ),
    ):
        words = (
            f"Coil of the {CALLED[w]} sensor"
            if key == "A"
            else f"{CALLED[w].capitalize()} sensor (no valid test of an active one)"
        )
        found.append(Reading(key=f"coil_{w}", name=words, value=ohm, unit="ohm", place=place))
    pairs = [("hydraulic.supply.device", f"hydraulic.{valve}.device") for valve in VALVES[key]]
    for valve, ohm in zip(VALVES[key], ohms(vehicle, values, pairs, {"hydraulic"})):
        found.append(
            Reading(
                key=f"coil_{valve.lower()}",
                name=f"Coil of the {_called(valve)}",
                value=ohm,
                unit="ohm",
                place=place,
            )
        )
    if key == "A":
        names = (
            (
                "pressure_switch",
                "Pump contact of the pressure switch, accumulator full",
                "pressure_switch.pump.device",
                "pressure_switch.ground.device",
            ),
            ("stepper_a", "Stepper motor, coil a", "stepper.feed.device", "stepper.a.device"),
            ("stepper_b", "Stepper motor, coil b", "stepper.feed.device", "stepper.b.device"),
        )
        for (name, words, a, b), ohm in zip(
            names, ohms(vehicle, values, [n[2:] for n in names], {"pressure_switch", "stepper"})
        ):
            found.append(Reading(key=name, name=words, value=ohm, unit="ohm", place=place))
        (ohm,) = ohms(
            vehicle,
            values,
            [("pressure_switch.pump", "unit.pressure_pump")],
            {"pressure_switch", "unit"},
        )
        found.append(
            Reading(
                key="pressure_lead",
                name="Lead from the pressure switch to the control unit",
                value=ohm,
                unit="ohm",
                place="between both plugs, pulled",
            )
        )
    for name, words, a, b in (
        (
            "brake_switch",
            "Stop lamp contact, pedal free",
            "brake_switch.feed.device",
            "brake_switch.lamp.device",
        ),
        ("lamp_tc", "Traction lamp", "lamps.feed.device", "lamps.tc.device"),
    ):
        (ohm,) = ohms(vehicle, values, [(a, b)], {"brake_switch", "lamps"})
        found.append(Reading(key=name, name=words, value=ohm, unit="ohm", place=place))
    return found


def t10(vehicle, values, history):
    """Volts at the pins, break-out box, ignition on."""
    key, found = layout_of(vehicle), []
    rest, pressed, lamps = (
        solved(vehicle, values, state) for state in ("rest", "pressed", "lamps")
    )

    def volt(name, words, pin, solution=rest, under=_GROUND):
        found.append(
            Reading(
                key=name,
                name=words,
                value=solution.voltage(pin, under),
                unit="V",
                place="break-out box" if pin.startswith("unit.") else "at the plug",
            )
        )

    for w in WHEELS:
        if key == "A":
            volt(f"bias_{w}", f"Bias of the {CALLED[w]} sensor", f"unit.sensor_{w}.device")
            continue
        volt(f"supply_{w}", f"Supply of the {CALLED[w]} sensor", f"unit.supply_{w}.device")
        volt(
            f"supply_at_sensor_{w}",
            f"Supply behind the plug of the {CALLED[w]} sensor",
            f"sensor_{w}.1.device",
            under=_BODY,
        )
        volt(
            f"signal_{w}",
            f"Signal of the {CALLED[w]} sensor, pole between",
            f"unit.sensor_{w}.device",
        )
        volt(
            f"signal_high_{w}",
            f"Signal of the {CALLED[w]} sensor, over a pole",
            f"unit.sensor_{w}.device",
            pressed,
        )
        current = (
            1e3 * rest.voltage(f"unit.sensor_{w}.device", _GROUND) / values["unit.measuring_ohm"]
        )
        found.append(
            Reading(
                key=f"current_{w}",
                name=(
                    f"Current of the {CALLED[w]} sensor, from the volts over the measuring resistor"
                ),
                value=current,
                unit="mA",
                place="break-out box",
            )
        )
    volt("unit_supply", "Supply of the control unit", "unit.supply.device")
    volt("level_switch", "Fluid level input", "unit.level.device")
    volt("brake_switch_free", "Pedal switch input, pedal free", "unit.brake.device")
    volt("brake_switch_pressed", "Pedal switch input, pedal pressed", "unit.brake.device", pressed)
    volt("brake_test_free", "Second pedal contact, pedal free", "unit.brake_test.device")
    volt(
        "brake_test_pressed",
        "Second pedal contact, pedal pressed",
        "unit.brake_test.device",
        pressed,
    )
    volt("tc_switch_free", "Traction button input, free", "unit.tc_switch.device")
    volt("tc_switch_pressed", "Traction button input, pressed", "unit.tc_switch.device", pressed)
    volt("pump_feed", "Feed of the return pump behind its fuse", "relay_pump.in", under=_BODY)
    volt("pump_motor", "Return pump motor at rest", "relay_pump.out", under=_BODY)
    volt("tc_lamp", "Traction lamp output while it is switched on", "unit.lamp_tc.device", lamps)
    if key == "A":
        volt(
            "main_throttle",
            "Main throttle sensor, closed",
            "unit.throttle_main.device",
            solved(vehicle, values, "shut"),
        )
        volt("second_throttle", "Second throttle sensor, at rest", "unit.throttle_second.device")
        volt(
            "charge_feed", "Feed of the charge pump behind its fuse", "relay_charge.in", under=_BODY
        )
        volt(
            "pump_contact_low",
            "Pump contact of the pressure switch, accumulator low",
            "unit.pressure_pump.device",
            solved(vehicle, values, "low"),
        )
    else:
        volt("pressure_supply", "Supply of the pressure sensor", "pressure_sensor.1", under=_BODY)
        volt("pressure_signal", "Signal of the pressure sensor, pedal free", "unit.pressure.device")
        volt("yaw_signal", "Signal of the yaw rate sensor", "unit.yaw.device")
        volt("lateral_signal", "Signal of the lateral acceleration sensor", "unit.lateral.device")
        volt(
            "steering_supply",
            "Supply of the steering angle sensor",
            "steering_sensor.supply",
            under=_BODY,
        )
    return found


def t11(vehicle, values, history):
    """Voltage drops while valves and return pump draw current."""
    load, found = solved(vehicle, values, "load"), []
    wanted = [
        (
            "drop_valve_relay",
            "Over the contacts of the valve relay",
            "relay_valves.in",
            "relay_valves.out",
        ),
        ("drop_pump_feed", "Battery plus to pump motor", "battery.plus", "pump.1.device"),
        ("drop_pump_ground", "Pump motor to battery minus", "pump.2.device", _MINUS),
        ("pump_volts", "Over the pump motor", "pump.1.device", "pump.2.device"),
        ("drop_unit_ground", "Ground of the control unit to battery minus", _GROUND, _MINUS),
        (
            "unit_supply_loaded",
            "Supply of the control unit, pump running",
            "unit.supply.device",
            _GROUND,
        ),
    ]
    for name, words, a, b in wanted:
        found.append(
            Reading(
                key=name,
                name=words,
                value=load.voltage(a, b),
                unit="V",
                place="load on by actuator test",
            )
        )
    if layout_of(vehicle) == "A":
        drop = solved(vehicle, values, "shut").voltage("splice_sensors.ground", _MINUS)
        found.append(
            Reading(
                key="drop_sensor_ground",
                name="Ground of the throttle sensors to battery minus",
                value=drop,
                unit="V",
                place="ignition on, no actuator",
            )
        )
    if vehicle == "front_petrol":
        found.append(
            Reading(
                key="engine_supply",
                name="Supply of the engine unit",
                value=load.voltage("engine_unit.supply", "engine_unit.ground"),
                unit="V",
                place="at its plug",
            )
        )
    return found


def t15(vehicle, values, history):
    """Pumps under the current clamp."""
    first, load = solved(vehicle, values, "pump"), solved(vehicle, values, "load")
    found = [
        Reading(
            key="pump_current",
            name="Return pump, after 0.2 s",
            value=abs(first.current("return_pump")),
            unit="A",
            place="clamp at the feed cable",
        ),
        Reading(
            key="pump_current_later",
            name="Return pump, after 5 s",
            value=abs(load.current("return_pump")),
            unit="A",
            place="clamp at the feed cable",
        ),
        Reading(
            key="coast_down",
            name="Motor voltage just after switching off",
            value=coast_down(vehicle, values),
            unit="V",
            place="control unit",
        ),
    ]
    control = solved(vehicle, values, "control")
    if layout_of(vehicle) == "A":
        time = charge_time(vehicle, values)
        found += [
            Reading(
                key="charge_current",
                name="Charge pump",
                value=abs(first.current("charge_pump")),
                unit="A",
                place="clamp at the feed cable",
            ),
            Reading(
                key="charge_time",
                name="Charge pump from 145 to 185 bar (60 s: not reached)",
                value=_NOT_REACHED if time is None else min(time, _NOT_REACHED),
                unit="s",
                place="clock",
            ),
            Reading(
                key="runs_by_itself",
                name="Charge pump by itself",
                value=_CALLS[electrics_of(vehicle, values).called],
                place="listened to",
            ),
        ]
        for valve in ("wheel_valve_RL", "wheel_valve_RR"):
            found.append(
                Reading(
                    key=valve.lower(),
                    name=f"Current of the {_called(valve)}, let out",
                    value=abs(control.current(valve)),
                    unit="A",
                    place="clamp at its lead",
                )
            )
    return found


def t24(vehicle, values, history):
    """Leads bent, plugs wetted."""
    key, found = layout_of(vehicle), []
    first, second = ("sensor", "return") if key == "A" else ("supply", "sensor")
    ends = [
        (f"unit.{pin}_{w}", f"sensor_{w}.{number}")
        for w in WHEELS
        for number, pin in ((1, first), (2, second))
    ]
    unplugged = {"unit", *(f"sensor_{w}" for w in WHEELS)}
    still, bent = (
        ohms(vehicle, values, ends, unplugged),
        ohms(vehicle, values, ends, unplugged, flexed=True),
    )
    change = [abs(b - a) for a, b in zip(still, bent)]
    for w, one, other in zip(WHEELS, change[::2], change[1::2]):
        found.append(
            Reading(
                key=f"flex_{w}",
                name=f"Leads of the {CALLED[w]} sensor, largest change while bent",
                value=max(one, other),
                unit="ohm",
                place="twenty bends",
            )
        )
    rest = solved(vehicle, values, "rest", wet=True)
    for w in WHEELS:
        found.append(
            Reading(
                key=f"wet_{w}",
                name=f"Pin of the {CALLED[w]} sensor, plugs wetted",
                value=rest.voltage(f"unit.sensor_{w}.device", _GROUND),
                unit="V",
                place="break-out box",
            )
        )
    return found


def t25(vehicle, values, history):
    """The two network wires."""
    if layout_of(vehicle) == "A":
        return [Reading(key="none", name="Network of two wires", value="this car has none")]
    (ohm,) = ohms(vehicle, values, [("diagnosis_socket.bus_high", "diagnosis_socket.bus_low")], ())
    idle, talking = solved(vehicle, values, "rest"), solved(vehicle, values, "dominant")
    found = [
        Reading(
            key="network_ohm",
            name="Between the two wires, supply off",
            value=ohm,
            unit="ohm",
            place="diagnosis socket",
        )
    ]
    for name, words, solution in (
        ("idle", "idle", idle),
        ("talking", "while a message is sent", talking),
    ):
        for wire in ("high", "low"):
            found.append(
                Reading(
                    key=f"{wire}_{name}",
                    name=f"{wire.capitalize()} wire, {words}",
                    value=solution.voltage(f"diagnosis_socket.bus_{wire}", _BODY),
                    unit="V",
                    place="diagnosis socket",
                )
            )
    return found


def _called(valve):
    """Words for a valve key such as wheel_valve_RL or isolating_valve_1."""
    name, _, end = valve.rpartition("_")
    if end.lower() in CALLED:
        return f"{name.replace('_', ' ')} {CALLED[end.lower()]}"
    return (
        f"{name.replace('_', ' ')} {end}"
        if end.isdigit()
        else valve.replace("_", " ").replace("cut off", "cut-off")
    )
