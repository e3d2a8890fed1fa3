"""Tests with the tester in the bay: live data at rest and with wheels turned, coding and zero
points, sensors exchanged.
"""

import numpy as np

from tractionlab.diagnosis.coded import pressure_bar
from tractionlab.units import IN_KMH
from tractionlab.wheels import CALLED, WHEEL_KEYS
from tractionlab.workshop.drive.bay import at_rest, turned
from tractionlab.workshop.fault_entry import DRIVEN
from tractionlab.workshop.hydraulic_bay import left_after_pedal
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.part_values import changed
from tractionlab.workshop.reading import Reading

_OLD_S = 0.3
_SEAT = ".gap_mm"  # belongs to the wheel carrier, not to the sensor


def t05(vehicle, values, history):
    """Live data at rest, engine running, everything fitted switched on."""
    seen, found = at_rest(vehicle, values), []

    def mean(key, words, name, unit, change=lambda v: v):
        found.append(
            Reading(
                key=key,
                name=words,
                value=float(change(seen.mean[name])),
                unit=unit,
                place="live data",
            )
        )

    for i, wheel in enumerate(WHEEL_KEYS):
        speed = float(IN_KMH * seen.mean["wheel_speed"][i])
        found.append(
            Reading(
                key=f"speed_{wheel}",
                name=f"Wheel speed {CALLED[wheel]}",
                value=speed,
                unit="km/h",
                place="live data",
            )
        )
    mean("supply", "Supply", "supply", "V")
    mean("level_switch", "Fluid level input", "level", "V")
    mean("brake_switch", "Pedal switch input, pedal free", "stop_contact", "V")
    mean("brake_test", "Second pedal contact, pedal free", "test_contact", "V")
    mean("tc_switch", "Traction button input", "button", "V")
    mean("pump_motor", "Return pump at rest", "pump_voltage", "V")
    mean("disc_estimate", "Disc temperature as estimated", "disc", "degC")
    found.append(
        Reading(
            key="switch_point",
            name="Pedal travel at which the switch changes",
            value=values["pedal_bracket.switch_point_mm"],
            unit="mm",
            place="live data, ruler",
        )
    )
    if layout_of(vehicle) == "A":
        found.append(
            Reading(
                key="pump_starts",
                name="Charge pump starts in 50 s",
                value=float(seen.pump_starts),
                unit="times",
                place="listened to",
            )
        )
        heard = seen.mean["engine_speed_heard"] >= 0.5
        found.append(
            Reading(
                key="engine_speed",
                name="Engine speed",
                value="idle speed" if heard else "none",
                place="live data",
            )
        )
        mean("main_throttle", "Main throttle, closed", "main_throttle", "V")
        mean("second_throttle", "Second throttle, at rest", "second_throttle", "V")
    else:
        mean("pressure", "Brake pressure", "pressure", "bar", pressure_bar)
        mean("yaw_signal", "Yaw rate signal", "yaw_rate", "V")
        mean("lateral_signal", "Lateral acceleration signal, level floor", "lateral", "V")
        mean("steering", "Steering angle, wheels straight", "steer", "deg", np.degrees)
        found += _messages(vehicle, seen)
    return found


def _messages(vehicle, seen):
    found = []
    for name, words in (
        ("engine", "Messages of the engine unit"),
        ("motor", "Messages of the drive motor"),
        ("steer", "Messages of the steering angle sensor"),
    ):
        if f"{name}_age" in seen.oldest:
            late, gaps = seen.mean[f"{name}_age"] > _OLD_S, seen.oldest[f"{name}_age"] > _OLD_S
            found.append(
                Reading(
                    key=f"{name}_messages",
                    name=words,
                    value="none" if late else "gaps" if gaps else "every 10 ms",
                )
            )
    if vehicle == "front_petrol":
        able = seen.mean["reduction_available"] >= 0.5
        found.append(
            Reading(
                key="torque_reduction",
                name="Engine unit says of torque reduction",
                value="available" if able else "not available",
            )
        )
    return found


def t06(vehicle, values, history):
    """Each wheel turned by hand at one turn a second."""
    found = []
    for wheel in WHEEL_KEYS:
        seen, name = turned(vehicle, values, wheel), CALLED[wheel]
        found += [
            Reading(
                key=f"channel_{wheel}",
                name=f"Channel that moves with the {name} wheel",
                value=seen.channel,
            ),
            Reading(
                key=f"speed_{wheel}",
                name=f"Speed it shows for {name}",
                value=seen.speed,
                unit="km/h",
                place="live data",
            ),
            Reading(
                key=f"drag_{wheel}",
                name=f"Drag {name}",
                value=values[f"hub_{wheel}.drag_Nm"],
                unit="N m",
                place="by hand, spring scale",
            ),
        ]
    if layout_of(vehicle) == "A":
        hangs = left_after_pedal(vehicle, values) > 8.0
        found.append(
            Reading(
                key="hangs",
                name="Rear wheels 2 s after pressing the pedal once",
                value="held" if hangs else "free",
                place="by hand",
            )
        )
    return found


def t26(vehicle, values, history):
    """Coding and zero points, wheels straight, floor level."""
    found = [
        Reading(
            key="coding",
            name="Control unit",
            value="coded" if values["brake_unit.coded"] >= 0.5 else "not coded",
        )
    ]
    if layout_of(vehicle) == "B":
        seen = at_rest(vehicle, values)
        for key, words, name, unit, change in (
            ("steering_zero", "Steering angle, straight", "steer", "deg", np.degrees),
            (
                "pressure_zero",
                "Pressure, pedal free",
                "pressure",
                "bar",
                pressure_bar,
            ),
            ("lateral_zero", "Lateral acceleration signal, level", "lateral", "V", lambda v: v),
        ):
            found.append(
                Reading(
                    key=key,
                    name=words,
                    value=float(change(seen.mean[name])),
                    unit=unit,
                    place="tester",
                )
            )
    return found


def t27(vehicle, values, history):
    """Sensors of the driven axle exchanged left and right: does the bad reading go with the sensor?
    Ring, seat, plug and leads stay where they are.
    """
    left, right = DRIVEN[vehicle]
    swaps = {}
    for name in values:
        if name.startswith(f"sensor_{left}.") and not name.endswith(_SEAT):
            other = name.replace(f"sensor_{left}.", f"sensor_{right}.")
            swaps[name], swaps[other] = values[other], values[name]
    swapped = changed(values, swaps)
    found = []
    for wheel in (left, right):
        seen = turned(vehicle, swapped, wheel)
        found.append(
            Reading(
                key=f"speed_{wheel}",
                name=f"Speed it shows for {CALLED[wheel]} after the swap",
                value=seen.speed,
                unit="km/h",
                place="live data",
            )
        )
    return found
