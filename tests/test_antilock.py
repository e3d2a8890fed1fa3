"""Anti-lock: how much of the grip a stop uses, that no wheel stays locked, roads that change, and
the parts it shares with traction control.
"""

import dataclasses

import numpy as np
import pytest
from random_scenarios import SURFACES, VEHICLES

from tractionlab import Scenario, simulate, simulate_many
from tractionlab.figures.best_stop import best_deceleration
from tractionlab.run.assembly import vehicle_values

KMH = 3.6
#: What is asked there.
LESS = {"loose_gravel:course": 0.75}
SLIPPERIEST = "ice:burckhardt"


def stop(vehicle, surface, **more):
    slow = surface.startswith("ice")
    seconds = (
        26
        if surface == "ice:burckhardt"
        else 13
        if slow or surface == "packed_snow:burckhardt"
        else 9
        if "snow" in surface
        else 5
    )
    return Scenario(
        **{
            **dict(
                vehicle=vehicle,
                left=surface,
                initial_speed_kmh=40 if slow else 60,
                pedal_percent=0.0,
                brake_bar=130.0,
                brake_from_s=0.2,
                brake_until_s=100.0,
                duration_s=seconds,
            ),
            **more,
        }
    )


def deceleration(trace, fast, slow):
    """Mean deceleration between two speeds [km/h], as the braking rules take it from the times."""
    speed = trace.speed * KMH
    first, last = np.argmax(speed < fast), np.argmax(speed < slow)
    assert last > first > 0, "the car did not slow down in time"
    return (speed[first] - speed[last]) / KMH / (trace.time[last] - trace.time[first])


def longest_lock(trace):
    rim = trace.wheel_speed * vehicle_values(trace.scenario)["tyre_radius_m"]
    locked = (rim < 0.1 * trace.speed[:, None]) & (trace.speed * KMH > 15.0)[:, None]
    longest = run = np.zeros(4)
    for row in locked:
        run = (run + 1) * row
        longest = np.maximum(longest, run)
    return longest.max() * 0.01


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_adhesion_is_used_on_every_surface_and_no_wheel_stays_locked(vehicle):
    """The rule for passenger cars asks for an adhesion utilisation of 0.75 (from memory); the
    course's own bar is 0.85. It cannot be met on gravel, where a locked wheel brakes best. Where
    2 bar lock a wheel, one may stand a moment until the store behind its outlet is empty.

    Between 45 and 15 km/h, on ice between 35 and 15 km/h; against the best deceleration at one
    slip."""
    stops = [stop(vehicle, surface) for surface in SURFACES]
    for scenario, trace in zip(stops, simulate_many(stops)):
        fast = 35.0 if scenario.left.startswith("ice") else 45.0
        best = np.mean(
            [
                best_deceleration(scenario, speed / KMH)
                for speed in (15.0, 0.5 * (15.0 + fast), fast)
            ]
        )
        asked = LESS.get(scenario.left, 0.85)
        assert deceleration(trace, fast, 15.0) >= asked * best, scenario.left
        assert longest_lock(trace) <= (0.5 if scenario.left == SLIPPERIEST else 0.1), scenario.left


def test_without_anti_lock_the_wheels_lock():
    trace = simulate(stop("front_petrol", "wet_asphalt:burckhardt", antilock=False))
    assert longest_lock(trace) > 1.0 and trace.antilock.max() == 0.0


def test_the_rear_axle_is_controlled_by_its_wheel_with_less_grip():
    """Select-low: on split grip both rear wheels get the pressure that the slippery side bears; the
    front wheels go each their own way.
    """
    trace = simulate(stop("front_petrol", "ice", right="dry_asphalt", duration_s=4.0))
    later = (trace.time > 0.8) & (trace.speed * KMH > 15.0)
    pressure = trace.pressure[later].mean(axis=0)
    assert pressure[1] > 3.0 * pressure[0]
    assert abs(pressure[3] - pressure[2]) < 0.2 * pressure[1]


def test_a_gentle_stop_leaves_anti_lock_out():
    gentle = stop("rear_petrol", "dry_asphalt:burckhardt", brake_bar=15.0, duration_s=3.0)
    with_it, without = simulate_many([gentle, dataclasses.replace(gentle, antilock=False)])
    assert with_it.antilock.max() == 0.0
    np.testing.assert_array_equal(with_it.speed, without.speed)


def jump(vehicle, before, after, at):
    """A stop in which all wheels come to another road after so many metres."""
    return stop(
        vehicle,
        before,
        initial_speed_kmh=50.0,
        duration_s=8.0,
        patches=({"surface": after, "x_from": at},),
    )


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_four_wheels_that_lock_on_sudden_ice_do_not_pass_for_a_car_that_stands(vehicle):
    """All lock at once, and stay so until the store behind the outlets has room again. The
    reference speed goes on at what the brakes can do, so that control does not end."""
    trace = simulate(jump(vehicle, "wet_asphalt", SLIPPERIEST, 8.0))
    fast = trace.speed * KMH > 15.0
    assert (trace.reference_speed > 0.75 * trace.speed)[fast].all()
    begin = int(np.argmax(trace.antilock > 0.0))
    assert (trace.antilock[begin:] > 0.0)[fast[begin:]].all()
    assert longest_lock(trace) <= 1.6


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_a_road_that_grips_again_is_braked_on_soon(vehicle):
    """From ice to dry road the braking has to rise within a reasonable time (UN R13-H, from
    memory). Here three quarters of the new grip, over 0.1 s, are to come within 0.5 s."""
    trace = simulate(jump(vehicle, "ice", "dry_asphalt", 14.0))
    used = -trace.drive_force.sum(axis=1) / trace.grip_limit.sum(axis=1)
    begin = int(np.argmax(trace.x > 17.0))
    later = np.convolve(used[begin:], np.ones(10) / 10.0, "valid")
    assert np.argmax(later > 0.75) * 0.01 <= 0.5 and later.max() > 0.75
