"""The driver's gears, clutch and feet: what is asked of the car, and what the engine makes of
it.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_scenarios import SURFACES

from tractionlab import Scenario, simulate
from tractionlab.control.settings import SENSE_RATIO
from tractionlab.errors import UserError
from tractionlab.run.assembly import car_of, vehicle_values
from tractionlab.run.driver_assembly import driver_of
from tractionlab.units import BAR, RPM

PETROL = ["rear_petrol", "front_petrol"]
CARS = [*PETROL, "front_electric"]
FEW = settings(max_examples=40, deadline=None)


def top_speed(trace):
    """Most speed of the engine [rad/s]."""
    return vehicle_values(trace.scenario)["top_speed_rpm"] * RPM


@FEW
@given(
    st.sampled_from(CARS),
    st.sampled_from(SURFACES),
    st.floats(10, 140),
    st.floats(10, 150),
    st.sampled_from(["driver", "shut"]),
    st.floats(0, 100),
    st.sampled_from([0.0, 0.5, 1.0]),
)
def test_no_stop_turns_the_engine_faster_than_it_may(
    vehicle, road, speed, bar, clutch, pedal, brake_from
):
    stop = Scenario(
        vehicle=vehicle,
        left=road,
        initial_speed_kmh=speed,
        pedal_percent=pedal,
        pedal_from_s=0.0,
        brake_bar=bar,
        brake_from_s=brake_from,
        brake_until_s=30.0,
        clutch=clutch,
        duration_s=6.0,
    )
    trace = simulate(stop)
    assert trace.engine_speed.max() <= top_speed(trace)
    if clutch == "driver" and vehicle in PETROL:
        late = trace.time > driver_of(stop).brake_from + 2.5
        idle = vehicle_values(stop)["idle_speed_rpm"] * RPM
        shut = trace.clutch[late] > 0.0
        assert not shut.any() and (trace.engine_speed[late] < 2.0 * idle).mean() > 0.5


@FEW
@given(
    st.sampled_from(PETROL),
    st.sampled_from(["dry_asphalt", "wet_asphalt"]),
    st.floats(20, 100),
    st.sampled_from([0.0, 4.0]),
    st.sampled_from(["off", "both"]),
)
def test_no_launch_with_grip_ends_at_the_limiter(vehicle, road, pedal, slope, control):
    """The limiter begins at 97 % of the top speed. With the foot down and no grip it is reached in
    first gear: nobody takes second at walking pace.
    """
    trace = simulate(
        Scenario(
            vehicle=vehicle,
            left=road,
            pedal_percent=pedal,
            slope_percent=slope,
            control=control,
            duration_s=14.0,
        )
    )
    ends = trace.time > 13.0
    gripping = np.abs(trace.slip[ends][:, np.array(trace.driven)]).max() < 0.3
    assert not gripping or trace.engine_speed[ends].max() < 0.97 * top_speed(trace)
    assert np.diff(trace.gear_ratio).max() <= 0.0, "only upwards while the car gets faster"


def test_a_change_of_gear_cuts_the_torque_for_under_a_second_and_the_wheels_hardly_feel_it():
    trace = simulate(Scenario(left="dry_asphalt", duration_s=7.0))
    begins = int(np.flatnonzero(trace.clutch < 1.0)[0])
    ends = begins + int(np.flatnonzero(trace.clutch[begins:] == 1.0)[0])
    engine = trace.engine_speed / RPM
    assert 5400 < engine[begins] < 5700 and engine[begins:].max() < 6300
    assert 0.4 < trace.time[ends] - trace.time[begins] < 1.0
    assert trace.gear_ratio[begins] == 13.32 and trace.gear_ratio[ends] == 7.6
    shaft = trace.gear_ratio * trace.wheel_speed[:, 2:].mean(axis=1)
    assert trace.engine_speed[ends] == pytest.approx(shaft[ends], abs=100 * RPM)
    assert np.abs(trace.slip[begins : ends + 20]).max() < 0.05
    told = trace.circuit.seen[:, SENSE_RATIO]
    assert (told[begins : ends - 1] == 0.0).all() and told[-1] == 7.6 and told[0] == 13.32


@pytest.mark.parametrize("vehicle", CARS)
def test_torque_goes_where_it_came_from(vehicle):
    """Closed clutch: engine torque = what speeds up engine, gearbox and wheels, and what the tyres
    push, times ratio and efficiency; before, during and after a change. Open: none gets through.
    """
    run = Scenario(vehicle=vehicle, left="dry_asphalt", duration_s=8.0, control="off")
    trace, line = simulate(run), car_of(run).driveline
    driven = np.array(trace.driven)
    case = trace.wheel_speed[:, driven].mean(axis=1)
    rate, engine_rate = (np.gradient(x, trace.time) for x in (case, trace.engine_speed))
    values = vehicle_values(run)
    push = trace.drive_force[:, driven].sum(axis=1) * values["tyre_radius_m"]
    rolling = values["rolling_coefficient"] * trace.load[:, driven].sum(axis=1)
    wheels = push + 2.0 * line.wheel_inertia * rate + rolling * values["tyre_radius_m"]
    gearbox = line.gear_inertia * trace.gear_ratio**2 * rate
    engine = values["engine_inertia_kg_m2"] * engine_rate
    through = (trace.engine_torque - engine) * trace.gear_ratio * line.efficiency
    steady = (trace.time > 2.0) & (np.abs(np.gradient(trace.gear_ratio)) == 0.0)
    for state in (trace.clutch == 1.0, trace.clutch == 0.0):
        rows = steady & state
        rows &= np.roll(rows, 1) & np.roll(rows, -1)
        if rows.any():
            gap = np.abs(through - gearbox - wheels)[rows]
            assert np.quantile(gap, 0.9) < 0.02 * np.abs(through).max()


def test_foot_lifts_before_it_brakes_and_the_pressure_is_a_ramp():
    stop = dict(left="dry_asphalt", initial_speed_kmh=50.0, brake_bar=80.0, brake_until_s=9.0)
    stop |= dict(duration_s=3.0, pedal_percent=60.0, pedal_from_s=0.0)
    one = simulate(Scenario(brake_from_s=1.0, **stop))
    assert one.pedal[one.time < 0.99].max() == pytest.approx(0.6)
    assert not ((one.pedal > 0.0) & (one.pedal_pressure > BAR)).any()
    both = simulate(Scenario(brake_from_s=1.0, both_feet=True, **stop))
    assert ((both.pedal > 0.5) & (both.pedal_pressure > 60 * BAR)).any()
    for rise in (0.1, 0.2, 0.4):
        begun = simulate(Scenario(**stop | dict(brake_rise_s=rise, pedal_percent=0.0)))
        full = begun.time[np.flatnonzero(begun.pedal_pressure > 76 * BAR)[0]]
        assert begun.pedal_pressure[0] < BAR and 0.8 * rise < full < rise + 0.15


def test_a_lifted_accelerator_brakes_with_the_engine_in_gear_and_not_with_the_clutch_open():
    lift = dict(left="dry_asphalt", initial_speed_kmh=40.0, pedal_percent=50.0, duration_s=3.0)
    lift |= dict(pedal_from_s=0.0, pedal_until_s=0.5, gear=1)
    ways = {kind: simulate(Scenario(clutch=kind, **lift)) for kind in ("driver", "open")}
    late = ways["driver"].time > 1.5
    assert ways["driver"].drive_force[late][:, 2:].mean() < -300.0
    assert abs(ways["open"].drive_force[late][:, 2:].mean()) < 100.0


def test_a_fixed_gear_stays_in():
    trace = simulate(Scenario(left="dry_asphalt", gear=2, duration_s=5.0))
    assert (trace.gear_ratio == 7.6).all() and trace.speed[-1] > 8.0


def test_a_car_that_turns_round_ends_its_run():
    spin = Scenario(
        left="packed_snow",
        initial_speed_kmh=60.0,
        steer_deg=15.0,
        keep_lane=False,
        control="off",
        antilock=False,
        braked="rear",
        pedal_percent=0.0,
        brake_bar=100.0,
        brake_until_s=20.0,
        duration_s=15.0,
    )
    trace = simulate(spin)
    assert np.abs(trace.yaw[-1]) > np.pi > np.abs(trace.yaw[:-1]).max()
    assert len(trace) == len(trace.circuit.seen) and trace.time[-1] < 15.0
    assert trace.ended == (
        f"After {trace.time[-1]:.1f} s the car has turned by more than half a turn: the run ends"
        " there."
    )
    assert simulate(Scenario(duration_s=1.0)).ended == ""


@pytest.mark.parametrize("vehicle", CARS)
@pytest.mark.parametrize("left, right", [("ice", "dry_asphalt"), ("packed_snow", "dry_asphalt")])
def test_a_stop_on_two_roads_is_steered_as_the_rules_allow(vehicle, left, right):
    """From 50 km/h, foot down hard: at most 120 degrees at the steering wheel in the first 2 s, 240
    in all, steering ratio 16. Source: UN R13-H, Annex 6, from memory.
    """
    trace = simulate(
        Scenario(
            vehicle=vehicle,
            left=left,
            right=right,
            initial_speed_kmh=50.0,
            control="off",
            pedal_percent=0.0,
            brake_bar=120.0,
            brake_until_s=30.0,
            duration_s=8.0,
        )
    )
    turned = 16.0 * np.degrees(np.abs(trace.steer))
    assert 20.0 < turned[trace.time <= 2.0].max() <= 120.0 and turned.max() <= 240.0
    assert trace.speed[-1] < 0.1 and np.degrees(np.abs(trace.yaw)).max() < 15.0


@pytest.mark.parametrize("centre, faster", [("open", True), ("limited", True), ("locked", False)])
def test_centre_coupling_holds_the_axles_together(centre, faster):
    """Front wheels on ice, rear wheels on asphalt: an open centre lets the front axle spin."""
    trace = simulate(
        Scenario(
            vehicle="front_petrol",
            drive="all",
            centre=centre,
            left="dry_asphalt",
            patches=[{"surface": "ice", "x_from": 1.0, "x_to": 100.0}],
            control="off",
            pedal_percent=50.0,
            duration_s=1.5,
        )
    )
    front, rear = trace.wheel_speed[:, :2].mean(axis=1), trace.wheel_speed[:, 2:].mean(axis=1)
    assert (np.abs(front - rear).max() > 1.0) == faster
    if not faster:
        np.testing.assert_allclose(front, rear, atol=1e-6)


def test_the_locking_value_is_what_the_trade_says():
    """One wheel on ice, one on asphalt, torques at the shafts: (high - low) / (high + low) =
    locking value. Source: definition of the trade, from memory.
    """
    trace = simulate(
        Scenario(
            left="ice",
            right="dry_asphalt",
            differential="limited_slip",
            control="off",
            pedal_percent=40.0,
            duration_s=3.0,
            vehicle_values={"limited_slip_preload_Nm": 0, "locking_value": 0.4},
        )
    )
    values = vehicle_values(trace.scenario)
    roll = values["tyre_radius_m"] * values["rolling_coefficient"] * trace.load
    torque = values["tyre_radius_m"] * trace.drive_force + roll
    torque += values["wheel_inertia_kg_m2"] * np.gradient(trace.wheel_speed, trace.time, axis=0)
    low, high = torque[100:-2, 2], torque[100:-2, 3]
    assert np.median((high - low) / (high + low)) == pytest.approx(0.4, abs=0.01)


@pytest.mark.parametrize(
    "fields, words",
    [
        ({"gear": 6}, 'gear must be "auto" or a whole number from 1 to 5, got 6'),
        ({"gear": 1.5}, "gear must be"),
        ({"gear": "D"}, "gear must be"),
        ({"vehicle": "front_electric", "gear": 2}, "from 1 to 1"),
        (
            {"gear": 1, "initial_speed_kmh": 80},
            "in gear 1 the engine reaches its top speed at 5[0-9] km/h",
        ),
        ({"clutch": "slipping"}, "clutch must be one of 'driver', 'shut', 'open'"),
        ({"vehicle": "front_electric", "clutch": "open"}, "an electric car has no clutch"),
        ({"centre": "locked"}, 'set drive = "all"'),
        ({"centre": "soft", "drive": "all"}, "centre must be one of"),
        ({"brake_rise_s": 0.0}, "brake_rise_s must be a number from 0.1 to 10"),
        ({"pedal_until_s": -1}, "pedal_until_s must be a number from 0 to 120"),
        ({"both_feet": 1}, "both_feet must be true or false"),
        ({"vehicle_values": {"gear_ratio_2": 14}}, "must fall from gear to gear"),
        ({"vehicle_values": {"gear_ratio_3": 0}}, "no gear behind a missing one"),
    ],
)
def test_a_mistake_is_answered_with_field_and_range(fields, words):
    with pytest.raises(UserError, match=words):
        Scenario(**fields)
