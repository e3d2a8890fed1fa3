"""Tests under voltage: volts at pins, drops under load, pumps under the current clamp."""

from tractionlab.wheels import CALLED, WHEEL_KEYS
from tractionlab.workshop.hydraulic_bay import charging
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.reading import Reading, valve_words
from tractionlab.workshop.wiring.electric_state import coast_down, electrics_of, solved
from tractionlab.workshop.wiring.pins import LINES
from tractionlab.workshop.wiring.points import BATTERY_MINUS, BODY, UNIT_GROUND

_NOT_REACHED = 60.0
_CALLS = {
    "as it should": "starts at 145 bar and stops",
    "always": "never stops",
    "never": "never starts",
}


def t10(vehicle, values, history):
    """Volts at the pins, break-out box, ignition on."""
    key, found = layout_of(vehicle), []
    rest, pressed, lamps = (
        solved(vehicle, values, state) for state in ("rest", "pressed", "lamps")
    )

    def volt(name, words, pin, solution=rest, under=UNIT_GROUND):
        found.append(
            Reading(
                key=name,
                name=words,
                value=solution.voltage(pin, under),
                unit="V",
                place="break-out box" if pin.startswith("unit.") else "at the plug",
            )
        )

    for w in WHEEL_KEYS:
        if key == "A":
            volt(f"bias_{w}", f"Bias of the {CALLED[w]} sensor", f"unit.sensor_{w}.device")
            continue
        volt(f"supply_{w}", f"Supply of the {CALLED[w]} sensor", f"unit.supply_{w}.device")
        volt(
            f"supply_at_sensor_{w}",
            f"Supply behind the plug of the {CALLED[w]} sensor",
            f"sensor_{w}.1.device",
            under=BODY,
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
            1e3
            * rest.voltage(f"unit.sensor_{w}.device", UNIT_GROUND)
            / values["unit.measuring_ohm"]
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
    volt("pump_feed", "Feed of the return pump behind its fuse", "relay_pump.in", under=BODY)
    volt("pump_motor", "Return pump motor at rest", "relay_pump.out", under=BODY)
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
            "charge_feed", "Feed of the charge pump behind its fuse", "relay_charge.in", under=BODY
        )
        volt(
            "pump_contact_low",
            "Pump contact of the pressure switch, accumulator low",
            "unit.pressure_pump.device",
            solved(vehicle, values, "low"),
        )
        for line, words in LINES.items():
            volt(f"{line}_quiet", f"{words}, quiet", f"unit.{line}.device")
            volt(
                f"{line}_pulled",
                f"{words}, pulled to ground by who speaks on it",
                f"unit.{line}.device",
                solved(vehicle, values, "lines"),
            )
        volt("diagnosis", "Diagnosis line, quiet", "diagnosis_socket.line", under=BODY)
    else:
        volt("pressure_supply", "Supply of the pressure sensor", "pressure_sensor.1", under=BODY)
        volt("pressure_signal", "Signal of the pressure sensor, pedal free", "unit.pressure.device")
        volt("yaw_signal", "Signal of the yaw rate sensor", "unit.yaw.device")
        volt("lateral_signal", "Signal of the lateral acceleration sensor", "unit.lateral.device")
        volt(
            "steering_supply",
            "Supply of the steering angle sensor",
            "steering_sensor.supply",
            under=BODY,
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
        ("drop_pump_ground", "Pump motor to battery minus", "pump.2.device", BATTERY_MINUS),
        ("pump_volts", "Over the pump motor", "pump.1.device", "pump.2.device"),
        (
            "drop_unit_ground",
            "Ground of the control unit to battery minus",
            UNIT_GROUND,
            BATTERY_MINUS,
        ),
        (
            "unit_supply_loaded",
            "Supply of the control unit, pump running",
            "unit.supply.device",
            UNIT_GROUND,
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
        drop = solved(vehicle, values, "shut").voltage("splice_sensors.ground", BATTERY_MINUS)
        found.append(
            Reading(
                key="drop_sensor_ground",
                name="Ground of the throttle sensors to battery minus",
                value=drop,
                unit="V",
                place="ignition on, no actuator",
            )
        )
    if "engine_unit.supply_ohm" in values:
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
        time = charging(vehicle, values)["charge"]
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
                    name=f"Current of the {valve_words(valve)}, let out",
                    value=abs(control.current(valve)),
                    unit="A",
                    place="clamp at its lead",
                )
            )
    return found
