"""How the course's cars answer a turn of the wheel, against a linear single-track model solved by
the library control; how they coast, against an integration by scipy.
"""

import control
import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tractionlab.catalogue.entries import shipped
from tractionlab.checks import handling
from tractionlab.physics import tyre
from tractionlab.run.assembly import car_of
from tractionlab.run.scenario import Scenario
from tractionlab.run.surfaces import row_of
from tractionlab.textbook.coasting import coasting_time


def single_track(vehicle, speed):
    """Yaw rate over steering angle at a speed [m/s]: side speed, yaw rate and the side slip of both
    axles, which follows with the tyre's relaxation length.
    """
    car = car_of(Scenario(vehicle=vehicle))
    body, tyres, row = car.body, car.tyres, row_of("dry_asphalt", "winter")
    base, slope = body.to_front + body.to_rear, row[tyre.PEAK] / row[tyre.BREAK_AWAY]
    stiffness = []
    for lever in (body.to_rear, body.to_front):
        load = 0.5 * body.mass * body.gravity * lever / base
        share = tyre.load_factor(load, tyres.sensitivity, tyres.reference_load)
        stiffness.append(2.0 * slope * tyres.side_ratio * load * share)
    front, rear = stiffness
    lag = tyres.relaxation / speed
    a = [
        [0.0, -speed, front / body.mass, rear / body.mass],
        [0.0, 0.0, *np.array([body.to_front * front, -body.to_rear * rear]) / body.yaw_inertia],
        [-1.0 / (speed * lag), -body.to_front / (speed * lag), -1.0 / lag, 0.0],
        [-1.0 / (speed * lag), body.to_rear / (speed * lag), 0.0, -1.0 / lag],
    ]
    return control.ss(a, [[0.0], [0.0], [1.0 / lag], [0.0]], [[0.0, 1.0, 0.0, 0.0]], 0.0)


@pytest.mark.parametrize("vehicle", shipped().vehicles())
def test_a_small_turn_of_the_wheel_against_the_library_control(vehicle):
    run = handling.turned_a_little(vehicle)
    model = single_track(vehicle, handling.STEER_KMH / 3.6)
    fine = np.arange(0.0, run.time[-1], 0.001)  # the steering stands still between two rows
    held = run.steer[np.searchsorted(run.time, fine, side="right") - 1]
    linear = np.interp(run.time, fine, control.forced_response(model, fine, held).outputs)
    late = run.time > 0.15
    assert run.yaw_rate[late] == pytest.approx(linear[late], rel=0.04)
    expected = {
        at: np.degrees(np.interp(at, run.time, linear)) / handling.STEER_DEG for at in (0.3, 1.0)
    }
    table = {
        row.quantity: row.expected
        for row in handling_rows()
        if row.quantity.startswith(f"{vehicle}: yaw")
    }
    for at, value in expected.items():
        assert table[f"{vehicle}: yaw rate after {at:g} s"] == pytest.approx(value, abs=0.005)


def handling_rows():
    from tractionlab.checks.row import Expectations

    computed = dict.fromkeys(Expectations().checks["V20 own cars"]["values"], 0.0)
    return Expectations().compare("V20 own cars", computed)


@pytest.mark.parametrize("constant, square", [(0.0, 0.4), (180.0, 0.0), (180.0, 0.4)])
def test_coasting_against_an_integration(constant, square):
    def slower(time, speed):
        return -(constant + square * speed**2) / 1500.0

    def slow(time, speed):
        return speed[0] - 15.0

    slow.terminal = True
    found = solve_ivp(slower, (0.0, 500.0), [25.0], events=slow, rtol=1e-9, atol=1e-9)
    assert coasting_time(1500.0, constant, square, 25.0, 15.0) == pytest.approx(
        found.t_events[0][0], rel=1e-6
    )
