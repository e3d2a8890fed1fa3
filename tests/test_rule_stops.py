"""The braking rules' procedures on our own cars: what the stops measure is what the road and the
formulas say.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_scenarios import VEHICLES

from tractionlab.errors import UserError
from tractionlab.figures import rule_stops
from tractionlab.physics.tyre import PEAK
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.run.surfaces import row_of
from tractionlab.textbook import brake_rules as rules
from tractionlab.textbook.longitudinal import LoadedAxles


@pytest.mark.parametrize("vehicle", VEHICLES)
@pytest.mark.parametrize("surface", ["wet_asphalt", "packed_snow"])
def test_one_axle_alone_measures_the_adhesion_of_the_road(vehicle, surface):
    """Within the tenth that load dependence, the steps of the pressure and the mean over the stop
    take.
    """
    found = rule_stops.utilisation(vehicle, surface)
    peak = row_of(surface, Scenario.tyre)[PEAK]
    for adhesion in (found.front, found.rear, found.car):
        assert adhesion == pytest.approx(peak, rel=0.12)
    assert min(found.front, found.rear) <= found.car <= max(found.front, found.rear)


def test_locked_wheels_brake_less_than_anti_lock():
    measured = rule_stops.utilisation("front_petrol", "wet_asphalt")
    stop = Scenario(
        vehicle="front_petrol",
        left="wet_asphalt",
        control="off",
        pedal_percent=0.0,
        initial_speed_kmh=55.0,
        brake_bar=130.0,
        brake_from_s=0.1,
        brake_until_s=60.0,
        duration_s=8.0,
        antilock=False,
    )
    rate = rules.braking_rate(
        45 / 3.6, 15 / 3.6, rule_stops.passing_time(simulate(stop), 45.0, 15.0)
    )
    assert rule_stops.locks(simulate(stop), 20.0)
    assert rate < measured.rate


def test_a_disconnected_axle_does_not_brake():
    stop = Scenario(
        vehicle="rear_petrol",
        left="wet_asphalt",
        control="off",
        pedal_percent=0.0,
        initial_speed_kmh=50.0,
        brake_bar=40.0,
        brake_from_s=0.1,
        brake_until_s=60.0,
        duration_s=2.0,
        antilock=False,
        braked="front",
    )
    force = simulate(stop).drive_force[50:].mean(axis=0)
    assert force[0] < -1000.0 and abs(force[2]) < 300.0


def test_a_wrong_axle_is_named():
    with pytest.raises(
        UserError, match="braked must be one of 'both', 'front', 'rear', got 'left'"
    ):
        Scenario(braked="left")


@given(st.floats(0.05, 1.2), st.floats(0.3, 0.7), st.floats(5e3, 4e4))
def test_an_axle_that_brakes_at_its_limit_gives_back_its_adhesion(adhesion, share, weight):
    """Forward: the braking rate at which the axle's force is adhesion times its load.

    Back: the rule's formula.
    """
    static, height, base = LoadedAxles(share * weight, (1.0 - share) * weight), 0.55, 2.7
    front = (adhesion * static.front + 0.015 * static.rear) / (
        weight - adhesion * weight * height / base
    )
    rear = (adhesion * static.rear + 0.015 * static.front) / (
        weight + adhesion * weight * height / base
    )
    assert rules.axle_adhesion(front, "front", static, height, base, True) == pytest.approx(
        adhesion
    )
    assert rules.axle_adhesion(rear, "rear", static, height, base, True) == pytest.approx(adhesion)


def test_a_car_that_never_gets_slow_enough_has_no_time():
    trace = simulate(Scenario(duration_s=0.5, initial_speed_kmh=50.0, pedal_percent=0.0))
    assert math.isnan(rule_stops.passing_time(trace, 40.0, 20.0))


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_weak_brakes_and_a_failed_booster_are_seen(vehicle):
    """A third of the brake torque, or a booster that does not help: the rule's 70 m of UN R13-H are
    missed, which a share of what the car itself can do would not show.
    """
    weak = {"driven_brake_Nm_per_bar": 8.0, "other_brake_Nm_per_bar": 4.0}
    assert rule_stops.service_stop(vehicle)[0] < 70.0 < rule_stops.service_stop(vehicle, **weak)[0]
    assert rule_stops.service_stop(vehicle, booster=False)[0] > 100.0
