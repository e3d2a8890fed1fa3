"""Tests with the car driven: speeds, a firm stop and a rough road; a launch on closed ground."""

from functools import lru_cache

import numpy as np

from tractionlab.catalogue.entries import shipped, shipped_only
from tractionlab.diagnosis.lamps import FLASHING
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.wheels import CALLED, WHEEL_KEYS
from tractionlab.workshop.drive.bay import at_rest, life, steady
from tractionlab.workshop.fault_entry import DRIVEN
from tractionlab.workshop.hydraulic_bay import quick_pressure
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.reading import Reading

_TOP_KMH = 130.0
_CUT_NM = (250.0, 80.0)
_STOP_BAR, _STOP_KMH, _STOP_S = (
    40.0,
    50.0,
    1.5,
)  # as hard as on the rollers (T23); chosen for this course
_ROUGH, _LAUNCH = 2, 3  # numbers of the customer's drives on a rough road and from a slippery start


def t07(vehicle, values, history):
    """Live data on the road."""
    speeds, found = steady(vehicle, values), []
    for wheel, speed in zip(WHEEL_KEYS, speeds):
        found.append(
            Reading(
                key=f"speed_{wheel}",
                name=f"Wheel speed {CALLED[wheel]} at a steady 60 km/h",
                value=speed,
                unit="km/h",
                place="live data",
            )
        )
    driven = [speeds[WHEEL_KEYS.index(wheel)] for wheel in DRIVEN[vehicle]]
    free = [speed for wheel, speed in zip(WHEEL_KEYS, speeds) if wheel not in DRIVEN[vehicle]]
    ratio = max(driven) / max(1e-3, sum(free) / 2)
    unit = shipped().control_values()
    more = ratio - 1.0 - unit["limit_slip"]
    acts = unit["limit_offset_kmh"] / more if more > 0.0 else _TOP_KMH
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


def t29(vehicle, values, history):
    """A launch on closed ground, logged."""
    flashes = bool(np.any(life(vehicle, values)[_LAUNCH].lamps["tc"] == FLASHING))
    found = [
        Reading(
            key="lamp",
            name="Traction lamp while a wheel slips",
            value="flashes" if flashes else "does not flash",
        )
    ]
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
    return found


def _brakes(vehicle, values):
    """What each wheel's brake holds in that stop, as a share of a sound one: its pads, and the
    pressure that comes to it.
    """
    sound = part_values(vehicle)
    return tuple(
        round(
            values[f"pads_{wheel}.friction_share"]
            * quick_pressure(vehicle, values, wheel, _STOP_BAR)
            / quick_pressure(vehicle, sound, wheel, _STOP_BAR),
            3,
        )
        for wheel in WHEEL_KEYS
    )


@lru_cache(maxsize=512)
@shipped_only()
def _turns(vehicle, brakes):
    """How far a car turns to the right [deg] while it brakes with these shares of sound brakes."""
    stop = Scenario(
        vehicle=vehicle,
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
