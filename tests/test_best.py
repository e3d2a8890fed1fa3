"""The best launch and the best stop are bounds: no drawn car, road, throttle or controller gets
past them, and where engine or foot sets the limit they are reached.
"""

import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_scenarios import SURFACES, VEHICLES, random_scenario

from tractionlab import Scenario, simulate
from tractionlab.catalogue import entries as catalogue
from tractionlab.control import settings as s
from tractionlab.figures.best import best_launch
from tractionlab.figures.best_stop import best_stop
from tractionlab.run.assembly import road_of

DRAWN = settings(max_examples=60, deadline=None)
SEEDS = st.integers(0, 10**6)
#: Values of a car that are drawn, as shares of its own.
CAR = {
    "mass_kg": (0.9, 1.25),
    "tyre_radius_m": (0.94, 1.06),
    "gear_ratio": (0.85, 1.15),
    "engine_inertia_kg_m2": (0.5, 1.5),
    "max_torque_Nm": (0.8, 1.3),
    "centre_of_mass_height_m": (0.9, 1.2),
}


def car(draw, vehicle):
    own = catalogue.shipped().vehicles()[vehicle]
    return {key: own[key] * draw.uniform(*shares) for key, shares in CAR.items()}


def constant_slip(draw, scenario):
    """A controller that holds the driven wheels at a drawn slip over the slowest of the others, by
    throttle or motor, or by these and the brakes.
    """
    shares = road_of(scenario)[1]
    driven, free = np.flatnonzero(shares > 0.0), np.flatnonzero(shares == 0.0)
    slip, gain, brakes = draw.uniform(0.02, 0.5), draw.uniform(0.05, 2.0), draw.random() < 0.5

    def unit(time, sensors, outputs):
        rims = sensors[s.SENSE_WHEELS : s.SENSE_WHEELS + 4]
        limit = (rims[free if len(free) else driven].min() + 0.3) / (1.0 - slip)
        excess = rims[driven] - limit
        torque = min(1.0, max(0.02, 0.8 - gain * (excess.min() if brakes else excess.max())))
        outputs[s.ASK_PLATE] = outputs[s.ASK_MOTOR_LIMIT] = torque
        outputs[s.ASK_PUMP] = float(brakes)
        for wheel, over in zip(driven, excess):
            if brakes and over > -1.0:
                outputs[s.ASK_VALVES + wheel] = max(-1.0, min(1.0, 2.0 * over))

    return unit


def left_its_lane(trace):
    """A car that turns meets grip that it has not ahead of it, and may end its run."""
    return np.abs(trace.y).max() > 0.3 or trace.ended != ""


@DRAWN
@given(SEEDS)
def test_no_launch_gets_farther_than_the_best(seed):
    """Control off, on and in parts, held by foot or hand before or rolling back; then held at one
    slip.
    """
    draw = random.Random(seed)
    vehicle = draw.choice(VEHICLES)
    scenario = random_scenario(seed, vehicle=vehicle, vehicle_values=car(draw, vehicle))
    if draw.random() < 0.5:
        free = dict(initial_speed_kmh=0.0, brake_bar=0.0, patches=(), pedal_until_s=100.0)
        hill = dict(slope_percent=draw.uniform(-5.0, 15.0), hold_on_hill=draw.random() < 0.7)
        scenario = replace(scenario, **hill, **free)
    best = best_launch(scenario)
    for trace in (simulate(scenario), simulate(scenario, constant_slip(draw, scenario))):
        assert left_its_lane(trace) or trace.x[-1] - trace.x[0] <= best + 0.01


@DRAWN
@given(SEEDS)
def test_no_stop_is_shorter_than_the_best(seed):
    draw = random.Random(seed)
    vehicle = draw.choice(VEHICLES)
    scenario = Scenario(
        vehicle=vehicle,
        vehicle_values=car(draw, vehicle),
        left=draw.choice(SURFACES),
        right=draw.choice([*SURFACES, ""]),
        initial_speed_kmh=draw.uniform(20.0, 120.0),
        pedal_percent=0.0,
        brake_bar=draw.uniform(5.0, 160.0),
        brake_from_s=draw.choice([0.0, 0.2]),
        brake_until_s=100.0,
        slope_percent=draw.choice([0.0, draw.uniform(-8.0, 8.0)]),
        antilock=draw.random() < 0.7,
        duration_s=8.0,
    )
    trace = simulate(scenario)
    assert left_its_lane(trace) or trace.x.max() >= best_stop(scenario) - 0.01


@pytest.mark.parametrize("vehicle", VEHICLES)
@pytest.mark.parametrize("pedal", [30.0, 60.0, 100.0])
@pytest.mark.parametrize("slope", [0.0, 8.0])
def test_with_grip_in_hand_the_bound_is_reached_at_every_throttle(vehicle, pedal, slope):
    """A bound that is never reached would say nothing. The driver's change of gear and the car that
    stands until the engine pulls are no fault of a controller: the bound has them, too.
    """
    scenario = Scenario(
        vehicle=vehicle,
        left="dry_concrete",
        control="off",
        pedal_percent=pedal,
        slope_percent=slope,
        duration_s=8.0,
    )
    assert simulate(scenario).x[-1] > 0.88 * best_launch(scenario)


def test_with_a_soft_foot_the_best_stop_is_the_stop():
    stop = Scenario(
        vehicle="front_electric",
        left="dry_asphalt",
        initial_speed_kmh=60.0,
        pedal_percent=0.0,
        brake_bar=25.0,
        brake_from_s=0.2,
        brake_until_s=100.0,
        duration_s=8.0,
    )
    assert best_stop(stop) <= simulate(stop).x[-1] < 1.1 * best_stop(stop)


def test_more_throttle_grip_or_brake_never_shortens_the_best_launch():
    split = Scenario(left="ice", right="dry_asphalt", duration_s=4.0)
    for rising in (
        [dict(pedal_percent=pedal) for pedal in (20.0, 40.0, 60.0, 100.0)],
        [dict(left=road, right=road) for road in ("ice", "packed_snow", "wet_asphalt")],
        [dict(pad_friction=(pads,) * 4) for pads in (0.0, 0.5, 1.0)],
    ):
        ways = [best_launch(Scenario(**{**vars(split), **more})) for more in rising]
        assert ways == sorted(ways) and ways[0] < 0.95 * ways[-1]
