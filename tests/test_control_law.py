"""Control of a car with its hydraulic circuit: what it makes of teeth that come late and of brakes
that answer late.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_scenarios import VEHICLES

from tractionlab import Scenario, simulate
from tractionlab.control import settings as s
from tractionlab.control.brake_action import pressure_step
from tractionlab.control.speeds import MOST_GAIN, SLOWEST, carry_on, share_out_motor_speed
from tractionlab.control.traction import split
from tractionlab.figures.best import fastest_build_up
from tractionlab.run.assembly import settings_of
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.ring import edges_between

BAR = 1e5
CIRCUIT = settings_of(Scenario(vehicle="front_electric"))
SPEEDS = st.floats(0.0, 20.0)


@given(SPEEDS, SPEEDS, st.floats(-8.0, 8.0), st.floats(-2.0, 2.0))
def test_reference_lies_between_the_teeth_and_what_a_car_can_gain_since(
    reading, before, acceleration, level
):
    sensors, memory = np.zeros(s.SENSORS), np.zeros(s.MEMORY)
    sensors[s.SENSE_ACCELERATION], sensors[s.SENSE_PEDAL], memory[s.M_LEVEL] = (
        acceleration,
        1.0,
        level,
    )
    reference = carry_on(reading, before, sensors, memory, CIRCUIT)
    between_teeth = 0.5 * CIRCUIT.tooth_pitch / max(SLOWEST, reading)
    assert reading <= reference <= reading + MOST_GAIN * (between_teeth + CIRCUIT.cycle) + 1e-12


def test_the_slope_under_a_standing_car_counts_as_no_acceleration():
    sensors, memory = np.zeros(s.SENSORS), np.zeros(s.MEMORY)
    sensors[s.SENSE_ACCELERATION] = 9.81 * 0.15
    assert carry_on(0.0, 0.0, sensors, memory, CIRCUIT) == 0.0
    sensors[s.SENSE_PEDAL] = 1.0
    assert carry_on(0.0, 0.0, sensors, memory, CIRCUIT) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_reference_follows_the_car_from_the_first_tooth_on(vehicle):
    trace = simulate(Scenario(vehicle=vehicle, left="packed_snow", duration_s=4.0))
    rolling = trace.speed > 0.5
    assert np.abs(trace.reference_speed - trace.speed)[rolling].max() < 0.1


@given(st.lists(SPEEDS, min_size=4, max_size=4), st.floats(0.0, 600.0), SPEEDS)
def test_the_motor_tells_the_mean_of_the_driven_wheels(wheels, motor, reference):
    sensors, memory, shares = (
        np.zeros(s.SENSORS),
        np.zeros(s.MEMORY),
        np.array([0.5, 0.5, 0.0, 0.0]),
    )
    sensors[s.SENSE_WHEELS : s.SENSE_WHEELS + 4], sensors[s.SENSE_ENGINE_SPEED] = wheels, motor
    memory[s.M_REFERENCE] = reference
    share_out_motor_speed(sensors, memory, shares, CIRCUIT)
    told, rim = memory[s.M_SPEED : s.M_SPEED + 2], motor / CIRCUIT.ratio * CIRCUIT.radius
    assert (told >= 0.0).all() and (
        told.mean() == pytest.approx(rim, abs=1e-9) or told.min() == 0.0
    )
    if abs(wheels[0] - wheels[1]) > 1e-6 and rim >= 0.5 * (wheels[0] + wheels[1]):
        assert (told[0] >= told[1]) == (wheels[0] >= wheels[1]), (
            "the faster wheel stays the faster one"
        )


@pytest.mark.parametrize("vehicle", ["rear_petrol", "front_petrol"])
def test_torque_grows_gently_until_the_driven_wheels_are_seen_to_turn(vehicle):
    scenario = Scenario(vehicle=vehicle, left="dry_asphalt", duration_s=2.0)
    trace = simulate(scenario)
    blind = np.cumsum(trace.circuit.measured[:, trace.driven].sum(axis=1)) == 0.0
    assert (
        blind.sum() > 20
        and np.diff(trace.torque_request[blind]).max()
        <= settings_of(scenario).pull_away * 0.01 + 1e-9
    )
    assert trace.lamp[blind].max() == 0.0
    assert (
        trace.torque_request[-1] > 0.9 * trace.torque_request.max()
        and trace.engine_torque[-1] > 100.0
    ), "then the driver gets his torque"


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_on_even_snow_the_brakes_are_left_alone(vehicle):
    """Torque reduction does it; brakes that answered every difference between two wheels would only
    cost thrust.
    """
    trace = simulate(Scenario(vehicle=vehicle, left="packed_snow", duration_s=6.0))
    assert trace.pressure[250:, trace.driven].mean() < 2 * BAR


@pytest.mark.parametrize("vehicle", VEHICLES)
@pytest.mark.parametrize(
    "left, right",
    [
        ("packed_snow", ""),
        ("ice", ""),
        ("wet_asphalt", ""),
        ("ice", "wet_asphalt"),
        ("packed_snow", "ice"),
    ],
)
def test_brakes_alone_never_hold_the_car(vehicle, left, right):
    """Two brakes that stop both wheels must let go again: with brakes only the car is never slower
    than without control.
    """
    off, brake = (
        simulate(Scenario(vehicle=vehicle, left=left, right=right, control=kind, duration_s=8.0))
        for kind in ("off", "brake")
    )
    assert brake.x[-1] >= 0.98 * off.x[-1]


def test_a_road_counts_as_split_by_speed_or_by_pressure():
    memory = np.zeros(s.MEMORY)
    assert split(0.0, memory, CIRCUIT) == 0.0
    assert split(CIRCUIT.split_from + CIRCUIT.split_over, memory, CIRCUIT) == pytest.approx(1.0)
    memory[s.M_PRESSURE + 1] = 0.5 * CIRCUIT.split_pressure
    assert split(0.0, memory, CIRCUIT) == pytest.approx(0.5)


@given(st.floats(0.01, 5.0), st.floats(0.0, 0.5))
def test_a_brake_answers_a_change_less_the_smaller_the_excess(excess, change):
    def answer(at):
        return (pressure_step(at, at - change, CIRCUIT) - pressure_step(at, at, CIRCUIT)) / BAR

    assert (
        answer(excess + 1.0) >= answer(excess) - 1e-9
        or pressure_step(excess + 1.0, excess + 1.0 - change, CIRCUIT)
        == CIRCUIT.brake_ramp * CIRCUIT.cycle
    )


@given(st.floats(0.5, 50.0), st.floats(-400.0, 400.0))
def test_a_flank_passes_when_an_evenly_accelerated_wheel_is_there(speed, rate):
    """Angle = speed t + rate t^2 / 2, solved for the moment of the one flank within the step; 10 ns
    of arithmetic apart.
    """
    step = 1e-3
    turned = speed * step + 0.5 * rate * step * step
    if turned <= 0.0 or speed + rate * step <= 0.0:
        return
    sensor = wheel_sensor("active", pitch_error=0.0)._replace(tick=0.0)
    pitch = 2.0 * np.pi / sensor.teeth
    share = 0.37
    place = share * min(turned, 0.9 * pitch)
    count, when = edges_between(
        pitch - place, pitch - place + turned, 0.0, step, sensor, speed * step / turned
    )
    assert count >= 1.0
    if count == 1.0:
        assert when == pytest.approx(
            2.0 * place / (speed + np.sqrt(speed * speed + 2.0 * rate * place)), abs=1e-8
        )


@pytest.mark.parametrize(
    "vehicle, seconds_to_40_bar",
    [("rear_petrol", 0.35), ("front_petrol", 0.6), ("front_electric", 0.6)],
)
def test_the_best_launch_is_braked_with_what_its_hydraulics_can_build_up(
    vehicle, seconds_to_40_bar
):
    scenario = Scenario(vehicle=vehicle, left="ice", right="wet_asphalt", duration_s=2.0)
    built = fastest_build_up(scenario).max(axis=1)
    assert (np.diff(built) > -0.5 * BAR).all() and built[19] < 1e-3 * BAR
    assert built[int(100 * (scenario.pedal_from_s + seconds_to_40_bar))] > 40 * BAR
    assert built[22] < BAR, "a clearance must be closed first, and a pump comes up to speed"
