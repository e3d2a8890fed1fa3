"""The best a car could do with its own engine and brakes: a launch with every driven wheel held at
one slip, without delay or error.
"""

import dataclasses

import numpy as np

from tractionlab.control.settings import ASK_VALVES
from tractionlab.physics.brake import INCREASE
from tractionlab.physics.chassis import wheel_loads
from tractionlab.physics.engine import clutch_torque, full_torque
from tractionlab.physics.tyre import adhesion, load_factor
from tractionlab.run import assembly
from tractionlab.run.driver import pedal_at
from tractionlab.run.simulation import simulate
from tractionlab.textbook.search import crossing

#: Step of the launch [s]: a row of a trace, so that pressures of a run fit.
STEP = 0.01
SLIPS = np.concatenate(
    [np.linspace(0.01, 0.2, 39), np.linspace(0.22, 0.6, 20), np.linspace(0.65, 0.95, 7)]
)
#: A stop may lock its wheels; a launch cannot slip wholly and move.
STOP_SLIPS = np.append(SLIPS, 1.0)


def fastest_build_up(scenario):
    """Pressure [Pa] at a driven wheel in each step of the scenario when its brake is built up from
    the moment the accelerator goes down and nothing else is done. Array."""
    wheel = int(np.argmax(assembly.road_of(scenario)[1]))

    def build_up(time, sensors, outputs):
        if time >= scenario.pedal_from_s:
            outputs[ASK_VALVES + wheel] = INCREASE

    return simulate(dataclasses.replace(scenario, pedal_percent=0.0), controller=build_up).pressure[
        :, wheel
    ]


def constant_slip_distance(scenario, slip, built):
    """Distance a car covers in the scenario's time when each driven wheel stays at `slip` [m].

    A point mass with load transfer: the tyres give what the curve says at this slip, but never more
    than the engine can at its speed, pedal and filling. Where grip differs left and right, the
    worse side is braked with what the hydraulics have built up by then, and the engine must serve
    the better side on both sides. Uniform along the road (no patches). Source: derived.

    `built` : pressure [Pa] the hydraulics can have built up by each step, see `fastest_build_up`.
    """
    car, driver = assembly.car_of(scenario), assembly.driver_of(scenario)
    _, shares, rows, _ = assembly.road_of(scenario)
    body, tyres, line, engine = car.body, car.tyres, car.driveline, car.engine
    ground = (rows[-2], rows[-1], rows[-2], rows[-1])
    hill = body.mass * body.gravity * body.slope_sin
    slowest = _launch_speed(engine)
    loads = np.zeros(4)
    speed, distance, accel, filling = 0.0, 0.0, 0.0, 0.0
    for k in range(int(round(scenario.duration_s / STEP))):
        wheel_loads(accel + body.gravity * body.slope_sin, 0.0, body, loads)
        rim = speed / (1.0 - slip)
        turning = max(line.ratio * rim / tyres.radius, slowest)
        filling += (pedal_at(k * STEP, driver) - filling) * STEP / engine.intake_time
        torque = full_torque(turning, engine) * filling
        grip = [
            adhesion(slip, rim, ground[i])
            * load_factor(loads[i], tyres.sensitivity, tyres.reference_load)
            * loads[i]
            for i in range(4)
        ]
        for left, per_pressure in ((0, car.brakes.front_torque), (2, car.brakes.rear_torque)):
            most = min(grip[left], grip[left + 1]) + per_pressure * built[k] / tyres.radius
            grip[left], grip[left + 1] = min(grip[left], most), min(grip[left + 1], most)
        asked = max(grip[i] / shares[i] for i in range(4) if shares[i] > 0.0)
        possible = torque * line.ratio * line.efficiency / tyres.radius
        limit = min(1.0, possible / asked) * asked
        push = sum(min(grip[i], limit * shares[i]) for i in range(4) if shares[i] > 0.0)
        rolling = tyres.rolling * sum(loads[i] for i in range(4) if shares[i] == 0.0)
        drag = body.drag * speed * speed + (
            rolling if speed > 0.0 else min(rolling, max(0.0, push - hill))
        )
        accel = (push - drag - hill) / body.mass
        if speed <= 0.0 and accel < 0.0:
            accel = 0.0
        distance += speed * STEP + 0.5 * accel * STEP * STEP
        speed += accel * STEP
    return distance


def _launch_speed(engine):
    """Engine speed at which the slipping launch clutch carries the full torque [rad/s]; 0 without a
    clutch.
    """
    if engine.electric == 1.0:
        return 0.0
    return crossing(
        lambda speed: clutch_torque(speed, -1e6, engine) - full_torque(speed, engine),
        0.0,
        engine.idle_speed,
        engine.bite_speed,
    )


def best_launch(scenario, slips=SLIPS):
    """(slip, distance [m]) of the constant-slip launch that gets farthest in the scenario's time,
    found by trying all `slips`.
    """
    built = fastest_build_up(scenario)
    distances = [constant_slip_distance(scenario, float(slip), built) for slip in slips]
    best = int(np.argmax(distances))
    return float(slips[best]), distances[best]


def best_deceleration(scenario, speed, slips=STOP_SLIPS):
    """Deceleration [m/s^2] at a speed [m/s] with every wheel braked at the one slip that gives
    most, found by trying all `slips`.

    On even grip, with load transfer. Source: derived.
    """
    car, rows = assembly.car_of(scenario), assembly.road_of(scenario)[2]
    body, tyres = car.body, car.tyres
    loads, best = np.zeros(4), 0.0
    for slip in slips:
        rate = 0.0
        for _ in range(10):
            wheel_loads(-rate, 0.0, body, loads)
            force = sum(
                adhesion(slip, speed, rows[-1])
                * load_factor(load, tyres.sensitivity, tyres.reference_load)
                * load
                for load in loads
            )
            rate = force / body.mass
        best = max(best, rate)
    return best
