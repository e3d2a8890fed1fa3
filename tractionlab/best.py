"""The best a car could do: a launch in which every driven wheel is held at one slip, by a control without delay or error."""
import numpy as np

from tractionlab import assembly
from tractionlab.driver import pedal_at
from tractionlab.physics.chassis import wheel_loads
from tractionlab.physics.engine import full_torque
from tractionlab.physics.tyre import adhesion, load_factor

SLIPS = np.concatenate([np.linspace(0.01, 0.2, 39), np.linspace(0.22, 0.6, 20)])


def constant_slip_distance(scenario, slip, step=0.01):
    """Distance a car covers in the scenario's time when each driven wheel stays at `slip` [m].

    A point mass with load transfer: the tyres give what the curve says at this slip, but never more than the engine can at its
    speed and pedal (which also turns the driven wheels against their rolling resistance); a brake makes up for different grip left and right, so the engine must serve the better side on both sides.
    Uniform along the road (no patches). Source: derived.
    """
    car, driver = assembly.car_of(scenario), assembly.driver_of(scenario)
    _, shares, rows, _ = assembly.road_of(scenario)
    body, tyres, line, engine = car.body, car.tyres, car.line, car.engine
    ground = (rows[-2], rows[-1], rows[-2], rows[-1])
    hill = body.mass * body.gravity * body.slope_sin
    loads = np.zeros(4)
    speed, distance, accel = 0.0, 0.0, 0.0
    for k in range(int(round(scenario.duration_s / step))):
        wheel_loads(accel + body.gravity * body.slope_sin, 0.0, body, loads)
        rim = speed / (1.0 - slip)
        turning = max(line.ratio * rim / tyres.radius, engine.bite_speed)
        torque = full_torque(turning, engine) * pedal_at(k * step, driver)
        grip = [adhesion(slip, rim, ground[i]) * load_factor(loads[i], tyres.sensitivity, tyres.reference_load) * loads[i] for i in range(4)]
        asked = max(grip[i] / shares[i] for i in range(4) if shares[i] > 0.0)
        possible = torque * line.ratio * line.efficiency / tyres.radius
        limit = min(1.0, possible / asked) * asked
        push = sum(min(grip[i], limit * shares[i]) for i in range(4) if shares[i] > 0.0)
        rolling = tyres.rolling * sum(loads[i] for i in range(4) if shares[i] == 0.0)
        drag = body.drag * speed * speed + (rolling if speed > 0.0 else min(rolling, max(0.0, push - hill)))
        accel = (push - drag - hill) / body.mass
        if speed <= 0.0 and accel < 0.0:
            accel = 0.0
        distance += speed * step + 0.5 * accel * step * step
        speed += accel * step
    return distance


def best_launch(scenario, slips=SLIPS):
    """(slip, distance [m]) of the constant-slip launch that gets farthest in the scenario's time, found by trying all `slips`."""
    distances = [constant_slip_distance(scenario, float(slip)) for slip in slips]
    best = int(np.argmax(distances))
    return float(slips[best]), distances[best]
