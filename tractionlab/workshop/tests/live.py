"""Tests with the tester: lamps and button, memories, live data at rest, with wheels turned, on the
road, coding and zero points, swapping, the last drive.
"""

from functools import lru_cache

import numpy as np

from tractionlab.catalogue.entries import shipped_only
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.workshop.drive.bay import at_rest, life, pressed, steady, turned
from tractionlab.workshop.faults import DRIVEN, WHEELS
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.reading import CALLED, Reading
from tractionlab.workshop.wiring.pins import wiring

LAMP_WORDS = {
    "abs": "ABS lamp",
    "tc": "Traction lamp",
    "tc_off": "Traction-off lamp",
    "brake": "Red brake lamp",
}
_HEARD_V = 0.9  # least voltage between the network wires that a tester can read
_CHECK, _AFTER, _PRESSED = 150, 480, 700
_OLD_S = 0.3
_SLIP_SHARE, _SLIP_KMH = 1.05, 3.0  # the control's limit: 1.05 v + 3 km/h
_TOP_KMH = 130.0
_SEAT = ".gap_mm"  # belongs to the wheel carrier, not to the sensor
_CUT_NM = (250.0, 80.0)
_STOP_BAR, _STOP_KMH, _STOP_S = (
    40.0,
    50.0,
    1.5,
)  # as hard as on the rollers (T23); chosen for this course
_ROUGH, _LAUNCH = 2, 3  # numbers of the customer's drives on a rough road and from a slippery start


def t03(vehicle, values, history):
    """Lamp check and button."""
    run, found = pressed(vehicle, values), []
    for lamp, words in LAMP_WORDS.items():
        shown = run.lamps[lamp]
        found.append(
            Reading(
                key=f"{lamp}_lamp_check",
                name=f"{words}, first three seconds",
                value=_lit(shown[_CHECK]),
            )
        )
        if lamp != "tc_off":
            found.append(
                Reading(
                    key=f"{lamp}_lamp_after",
                    name=f"{words} after the check",
                    value=_lit(shown[_AFTER]),
                )
            )
    came = "lights" if values["customer.switched_off"] >= 0.5 else "dark"
    found.append(
        Reading(key="off_lamp_now", name="Traction-off lamp as the car came in", value=came)
    )
    changes = (
        run.lamps["tc_off"][_PRESSED] != run.lamps["tc_off"][_AFTER]
        or values["customer.switched_off"] >= 0.5
    )
    found.append(
        Reading(
            key="off_lamp_press",
            name="Traction-off lamp when the button is pressed",
            value="changes" if changes else "stays",
        )
    )
    return found


def _lit(state):
    return "lights" if state else "dark"


def t04(vehicle, values, history):
    """Memories of all control units."""
    engine = (
        []
        if vehicle != "front_petrol"
        else [
            Reading(key="engine_memory", name="Engine unit", value=_engine_memory(vehicle, values))
        ]
    )
    if layout_of(vehicle) == "B" and wiring(vehicle, values).bus_V < _HEARD_V:
        return [
            Reading(key="memory", name="Brake unit", value="no answer"),
            *(
                [Reading(key="engine_memory", name="Engine unit", value="no answer")]
                if engine
                else []
            ),
        ]
    memory = life(vehicle, values)[-1].memory
    rows = [
        f"{entry.code}-{entry.failure_type} {'present' if entry.present else 'stored'}"
        for entry in memory.stored
    ]
    return [Reading(key="memory", name="Brake unit", value=", ".join(rows) or "empty"), *engine]


def _engine_memory(vehicle, values):
    """What the engine unit has found by itself: silent without supply, and knows its own misfire."""
    partners = wiring(vehicle, values).partners
    if any(
        supply < values["engine_unit.reset_V"]
        for name, (_, supply) in partners.items()
        if name == "engine"
    ):
        return "no answer"
    return "empty" if values["torque_path.reduction_available"] >= 0.5 else "misfire, present"


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

    for i, wheel in enumerate(WHEELS):
        speed = float(3.6 * seen.mean["wheel_speed"][i])
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
        mean("main_throttle", "Main throttle, closed", "main_throttle", "V")
        mean("second_throttle", "Second throttle, at rest", "second_throttle", "V")
    else:
        mean("pressure", "Brake pressure", "pressure", "bar", lambda v: (v - 0.5) / 0.020)
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
    for wheel in WHEELS:
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
        from tractionlab.workshop.tests.hydraulics import left_after_pedal

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


def t07(vehicle, values, history):
    """Live data on the road."""
    speeds, found = steady(vehicle, values), []
    for wheel, speed in zip(WHEELS, speeds):
        found.append(
            Reading(
                key=f"speed_{wheel}",
                name=f"Wheel speed {CALLED[wheel]} at a steady 60 km/h",
                value=speed,
                unit="km/h",
                place="live data",
            )
        )
    driven = [speeds[WHEELS.index(wheel)] for wheel in DRIVEN[vehicle]]
    free = [speed for wheel, speed in zip(WHEELS, speeds) if wheel not in DRIVEN[vehicle]]
    ratio = max(driven) / max(1e-3, sum(free) / 2)
    acts = _SLIP_KMH / (ratio - _SLIP_SHARE) if ratio > _SLIP_SHARE else _TOP_KMH
    found.append(
        Reading(
            key="acts_from",
            name="Control acts without slip from (130: not below that)",
            value=min(acts, _TOP_KMH),
            unit="km/h",
            place="live data",
        )
    )
    found.append(
        Reading(
            key="turns",
            name="Turns to the right in a firm stop, steering held straight",
            value=_turns(vehicle, _brakes(vehicle, values)),
            unit="deg",
            place="dry road, 50 km/h",
        )
    )
    over = life(vehicle, values)[_LAUNCH].torque_left_over
    if over is not None:
        found.append(
            Reading(
                key="torque_left_over",
                name="Torque above the request, median of a slippery launch",
                value=over,
                unit="N m",
                place="live data",
            )
        )
    if "drive_motor.rate_Nm_per_s" in values:
        cut = 1e3 * (_CUT_NM[0] - _CUT_NM[1]) / values["drive_motor.rate_Nm_per_s"]
        found.append(
            Reading(
                key="cut_time",
                name="Torque from 250 to 80 N m in",
                value=cut,
                unit="ms",
                place="logged",
            )
        )
    if layout_of(vehicle) == "B":
        found.append(
            Reading(
                key="steering",
                name="Steering angle, straight on",
                value=float(np.degrees(at_rest(vehicle, values).mean["steer"])),
                unit="deg",
                place="live data",
            )
        )
        rattle = life(vehicle, values)[_ROUGH].yaw_noise
        found.append(
            Reading(
                key="yaw_rattle",
                name="Rattle of the yaw rate on a rough road",
                value=rattle,
                unit="deg",
                place="live data, deg/s",
            )
        )
    return found


def _brakes(vehicle, values):
    """What each wheel's brake holds in that stop, as a share of a sound one: its pads, and the
    pressure that comes to it.
    """
    from tractionlab.workshop.tests.hydraulics import quick_pressure

    sound = part_values(vehicle)
    return tuple(
        round(
            values[f"pads_{wheel}.friction_share"]
            * quick_pressure(vehicle, values, wheel, _STOP_BAR)
            / quick_pressure(vehicle, sound, wheel, _STOP_BAR),
            3,
        )
        for wheel in WHEELS
    )


@lru_cache(maxsize=512)
@shipped_only()
def _turns(vehicle, brakes):
    """How far a car turns to the right [deg] while it brakes with these shares of sound brakes.

    Without the circuit: the shares count it already.
    """
    stop = Scenario(
        vehicle=vehicle,
        circuit=False,
        left="dry_asphalt",
        initial_speed_kmh=_STOP_KMH,
        pedal_percent=0.0,
        brake_bar=_STOP_BAR,
        brake_from_s=0.0,
        brake_until_s=10.0,
        duration_s=_STOP_S,
        keep_lane=False,
        pad_friction=tuple(min(share, 2.0) for share in brakes),
    )
    return float(-np.degrees(simulate(stop).yaw[-1]))


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
                lambda v: (v - 0.5) / 0.020,
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
    swapped = dict(values)
    for name in values:
        if name.startswith(f"sensor_{left}.") and not name.endswith(_SEAT):
            other = name.replace(f"sensor_{left}.", f"sensor_{right}.")
            swapped[name], swapped[other] = values[other], values[name]
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


def t28(vehicle, values, history):
    """The last drive: lamps at its end, memory after it, speeds."""
    speeds = steady(vehicle, values)
    run = life(vehicle, values)[-2]
    found = [
        Reading(
            key="spread",
            name="Largest difference of the four speeds at 60 km/h",
            value=max(speeds) - min(speeds),
            unit="km/h",
            place="live data",
        )
    ]
    for lamp, words in LAMP_WORDS.items():
        found.append(
            Reading(
                key=lamp,
                name=f"{words} at the end",
                value="off" if not run.lamps[lamp][-1] else "on",
            )
        )
    codes = ", ".join(f"{entry.code}-{entry.failure_type}" for entry in run.memory.stored)
    found.append(Reading(key="codes", name="Codes after it", value=codes or "none"))
    return found
