"""Parts of car and road one by one: inverses, torque balance, dry friction, loads, heat."""

from math import hypot

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from tractionlab import Scenario
from tractionlab.physics import brake, chassis, driveline, engine, road, tyre
from tractionlab.run.assembly import car_of, road_of

SHARE = st.floats(0.02, 0.98)
PETROL = car_of(Scenario(vehicle="rear_petrol"))
ELECTRIC = car_of(Scenario(vehicle="front_electric"))


@given(SHARE)
def test_plate_opening_is_the_inverse_of_plate_area(share):
    assert engine.plate_area(engine.plate_opening(share)) == pytest.approx(share)


@given(SHARE, st.floats(90, 600))
def test_area_is_the_inverse_of_filling(share, speed):
    area = engine.area_for(share, speed, PETROL.engine)
    assert engine.air_charge(area, speed, PETROL.engine) == pytest.approx(share) or area == 1.0


@given(SHARE, SHARE)
def test_two_plates_let_less_through_than_the_narrower_one(first, second):
    both = engine.two_plates(first, second)
    assert both <= min(first, second) + 1e-12
    assert engine.two_plates(first, 1.0) == pytest.approx(first)
    assert engine.two_plates(first, second) == pytest.approx(engine.two_plates(second, first))
    if both < 0.98 * first:
        assert engine.two_plates(first, engine.second_area_for(both, first)) == pytest.approx(
            both, rel=1e-6
        )


@given(st.floats(0, 700), SHARE, st.floats(0.3, 1), st.sampled_from([0.0, 0.25, 0.5, 0.75, 1.0]))
def test_each_path_only_takes_torque_away(speed, charge, ignition, cut):
    full = engine.combustion_torque(charge, 1.0, 0.0, speed, PETROL.engine)
    assert engine.combustion_torque(charge, ignition, cut, speed, PETROL.engine) <= full + 1e-9


def test_motor_gives_full_torque_up_to_its_power_limit():
    e = ELECTRIC.engine
    assert engine.full_torque(0.0, e) == e.max_torque
    assert engine.full_torque(800.0, e) == pytest.approx(e.max_power / 800.0)
    assert engine.full_torque(e.top_speed, e) == 0.0


@given(st.floats(60, 700), st.floats(0, 700))
def test_clutch_pulls_towards_equal_speed_and_is_open_at_idle(speed, gear):
    torque = engine.clutch_torque(speed, gear, PETROL.engine)
    assert torque * (speed - gear) >= 0.0 and abs(torque) <= PETROL.engine.clutch_capacity
    assert engine.clutch_torque(PETROL.engine.idle_speed, gear, PETROL.engine) == 0.0


def with_gearbox(inertia, ratio, shares, locked=False, centre=False):
    """Compliance of wheels of 1 kg m2 with a gearbox."""
    soft = np.zeros((4, 4))
    free = driveline.compliance(1.0, shares, locked, centre)
    driveline.add_gearbox(free, shares, inertia, ratio, soft)
    return soft


def test_inertia_felt_by_wheels_that_spin_together():
    """Both wheels of an axle together feel one wheel inertia and half the motor's through the
    ratio: 1.0 + 0.5 x 0.15 x 13.32^2 = 14.31.
    """
    shares = driveline.torque_shares("rear")
    soft = with_gearbox(0.15, 13.32, shares)
    both = soft @ np.array([0, 0, 1.0, 1.0])
    assert 1.0 / both[2] == pytest.approx(14.31, abs=0.01) and both[2] == pytest.approx(both[3])


@pytest.mark.parametrize("drive", ["rear", "front", "all"])
@pytest.mark.parametrize("locked", [False, True])
@pytest.mark.parametrize("centre", [False, True])
def test_compliance_is_symmetric_and_positive(drive, locked, centre):
    soft = with_gearbox(0.02, 13.0, driveline.torque_shares(drive), locked, centre)
    np.testing.assert_allclose(soft, soft.T, atol=1e-12)
    assert (np.linalg.eigvalsh(soft) > -1e-12).all()
    if locked and drive != "front":
        np.testing.assert_allclose(soft[2], soft[3])
    if centre:
        np.testing.assert_allclose(soft[0] + soft[1], soft[2] + soft[3])


@given(
    st.lists(st.floats(0, 80), min_size=4, max_size=4),
    st.floats(3, 15),
    st.floats(3, 15),
    st.sampled_from(["rear", "front", "all"]),
    st.booleans(),
)
def test_a_synchroniser_keeps_momentum_and_turns_what_is_left_of_the_energy_into_heat(
    wheels, before, after, drive, locked
):
    """With wheels that turn as the differentials let them; energy of wheels (1 kg m2 each) and of
    the gearbox, J = 0.01 kg m2. Source: plastic impact, any mechanics book.
    """
    shares, wheels = driveline.torque_shares(drive), np.array(wheels)
    if locked:
        wheels = driveline.compliance(1.0, shares, True, False) @ wheels
    soft, old, case = with_gearbox(0.01, after, shares, locked), wheels.copy(), shares @ wheels
    heat = driveline.take_ratio(wheels, before, after, shares, 0.01, soft)
    kick = np.linalg.pinv(driveline.compliance(1.0, shares, locked, False)) @ (wheels - old)
    slowed = 0.01 * (before * case - after * (shares @ wheels))
    np.testing.assert_allclose(kick, after * slowed * shares, atol=1e-9)
    lost = 0.5 * (old @ old - wheels @ wheels)
    lost += 0.5 * 0.01 * ((before * case) ** 2 - (after * (shares @ wheels)) ** 2)
    assert heat == pytest.approx(lost, abs=1e-6) and heat >= -1e-9


@settings(max_examples=200)
@given(
    st.lists(st.floats(-80, 80), min_size=4, max_size=4),
    st.lists(st.floats(0, 2000), min_size=4, max_size=4),
    st.lists(st.sampled_from([0.0, 0.0, 1e-4, 5.0, -3.0, 60.0]), min_size=4, max_size=4),
    st.sampled_from(["rear", "front", "all"]),
)
def test_dry_friction_brakes_fully_or_holds(free, capacity, speed, drive):
    """Complementarity: each wheel either decelerates with its whole capacity, or its friction just
    brings it to rest.
    """
    soft = with_gearbox(0.02, 13.0, driveline.torque_shares(drive))
    acceleration, friction = np.array(free), np.zeros(4)
    driveline.hold_with_friction(acceleration, friction, np.array(capacity), np.array(speed), soft)
    np.testing.assert_allclose(acceleration, np.array(free) - soft @ friction, atol=1e-6)
    wanted = acceleration + driveline.SETTLING * np.array(speed)
    assert (np.abs(friction) <= np.array(capacity) + 1e-9).all()
    for i in range(4):
        held = abs(wanted[i]) < 1e-3
        full = (friction[i] == pytest.approx(capacity[i]) and wanted[i] > -1e-3) or (
            friction[i] == pytest.approx(-capacity[i]) and wanted[i] < 1e-3
        )
        assert held or full


@given(st.floats(-6, 6), st.floats(-6, 6))
def test_loads_sum_to_the_weight_while_all_wheels_are_on_the_ground(forward, sideways):
    loads = np.zeros(4)
    chassis.wheel_loads(forward, sideways, PETROL.body, loads)
    assert loads.sum() == pytest.approx(PETROL.body.mass * PETROL.body.gravity)
    assert (loads[2:].sum() > loads.sum() * 0.48) == (forward > 0) or abs(forward) < 1e-6


def test_wheel_ground_speeds_turn_about_the_centre_of_mass():
    speeds = [chassis.ground_speed(i, 0.0, 0.0, 1.0, PETROL.body) for i in range(4)]
    for i, (x, y) in enumerate(speeds):
        place = chassis.wheel_place(i, PETROL.body)
        assert hypot(x, y) == pytest.approx(hypot(*place)) and x * place[0] + y * place[
            1
        ] == pytest.approx(0.0)


def test_disc_heats_and_cools_as_a_reference_integrator_says():
    """scipy solve_ivp as the outside reference for the closed form."""
    b = PETROL.brakes
    power, speed = 20e3, 8.0
    heat = solve_ivp(
        lambda t, T: power / b.disc_heat - brake.cooling_rate(T[0], speed, b),
        (0, 15),
        [20.0],
        rtol=1e-9,
        atol=1e-9,
    )
    assert brake.temperature_after(20.0, power, 15.0, speed, b) == pytest.approx(
        heat.y[0, -1], rel=1e-6
    )


def test_first_patch_that_holds_the_point_counts():
    rows = road_of(
        Scenario(
            left="ice",
            right="wet_asphalt",
            patches=({"surface": "dry_asphalt", "x_from": 1.0, "x_to": 2.0},),
        )
    )[3]
    assert road.surface_at(1.5, 0.0, 0.0, rows) == 0
    assert road.surface_at(0.5, 0.7, 0.0, rows) == 1 and road.surface_at(0.5, -0.7, 0.0, rows) == 2


def test_a_tyre_rolls_over_an_edge_bit_by_bit():
    rows = road_of(
        Scenario(
            left="ice",
            right="ice",
            patches=({"surface": "dry_asphalt", "x_from": 1.0, "x_to": 9.0},),
        )
    )[3]
    shares = []
    for x in np.linspace(1.0 - 0.059, 1.0 + 0.059, 13):
        ahead, behind, share = road.surfaces_under(x, 2.0, 0.0, rows)
        assert (ahead, behind) == (0, 1)
        shares.append(share)
    assert (
        (np.diff(shares) < 0.0).all()
        and shares[0] > 0.95
        and shares[6] == pytest.approx(0.5, abs=1e-5)
        and shares[-1] < 0.05
    )
    assert (
        road.surfaces_under(0.5, 2.0, 0.0, rows)[2]
        == 0.0
        == road.surfaces_under(5.0, 2.0, 0.0, rows)[2]
    )


@pytest.mark.parametrize(
    "rim, way, slip",
    [(10.0, 10.0, 0.0), (10.0, 0.0, 1.0), (0.0, 10.0, -1.0), (10.0, 9.0, 0.1), (0.0, 0.0, 0.0)],
)
def test_slip_is_referred_to_the_faster_of_rim_and_road(rim, way, slip):
    assert tyre.rest_slip(rim, way) == pytest.approx(slip)


def test_a_rolled_distance_of_one_relaxation_length_brings_63_percent():
    """Definition of the relaxation length, here in the stick range of a run: F / F_steady = 1 -
    exp(-distance / length).
    """
    surface = road_of(Scenario(left="dry_asphalt"))[2][-1]
    assert tyre.relaxation_at(0.0, 0.0, 1.0, 0.15, surface, 0.5) == pytest.approx(0.15)
    sliding = tyre.relaxation_at(0.5, 0.0, 1.0, 0.15, surface, 0.5)
    assert sliding < 0.02
