"""A car that pulls away uphill: the hand brake holds it until it pulls, for a second at most."""

import random

import numpy as np
import pytest

from tractionlab import Scenario, simulate
from tractionlab.catalogue import entries as catalogue

VEHICLES = list(catalogue.shipped().vehicles())
LONGEST = catalogue.shipped().driver_settings()["course"]["hold_longest_s"]


def hill(**fixed):
    settings = dict(left="dry_asphalt", slope_percent=12.0, pedal_percent=60.0, duration_s=3.0)
    return simulate(Scenario(**{**settings, **fixed}))


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_a_car_with_grip_does_not_roll_back_before_it_pulls_away(vehicle):
    draw = random.Random(vehicle)
    for _ in range(6):
        slope = draw.uniform(3, 15)
        way = dict(vehicle=vehicle, slope_percent=slope, pedal_percent=draw.uniform(60, 100))
        held, free = hill(**way), hill(**way, hold_on_hill=False)
        assert held.x.min() > -0.005 > free.x.min(), (vehicle, slope)
        assert held.x[-1] > free.x[-1] > 1.0


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_without_the_accelerator_it_stands_as_long_as_a_driver_waits_and_rolls_then(vehicle):
    trace = hill(vehicle=vehicle, pedal_percent=0.0)
    waits = trace.scenario.pedal_from_s + LONGEST
    assert np.all(np.abs(trace.x[trace.time <= waits]) < 0.005)
    assert trace.x[-1] < -0.5
    assert trace.disc_temperature.max() < 20.5, "a brake that stands makes no heat"


def test_on_ice_it_slides_though_its_rear_wheels_stand():
    """Two wheels hold 5 to 6 % of the weight where adhesion is 0.11."""
    trace = hill(left="ice", slope_percent=20.0, pedal_percent=0.0, duration_s=1.0)
    assert trace.x[-1] < -0.2
    assert np.all(np.abs(trace.wheel_speed[:, 2:]) < 0.1)
    assert np.all(trace.wheel_speed[-1, :2] < -1.0), "the front wheels roll"


@pytest.mark.parametrize(
    "other",
    [
        {"hold_on_hill": False},
        {"slope_percent": -12.0},
        {"initial_speed_kmh": 3.0},
        {"brake_bar": 40.0, "brake_until_s": 0.1, "both_feet": True},
    ],
    ids=["asked not to", "downhill", "rolling", "held by foot"],
)
def test_a_driver_who_need_not_pull_it_does_not(other):
    trace = hill(pedal_percent=0.0, duration_s=1.0, **other)
    assert abs(trace.x[-1]) > 0.2
