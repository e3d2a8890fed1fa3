"""The body on its four wheels: wheel loads and the speed of each wheel over the ground.

Axes of ISO 8855.
"""

from typing import NamedTuple


class Body(NamedTuple):
    """Parameters of body and road slope. SI; wheel order FL, FR, RL, RR."""

    mass: float
    yaw_inertia: float
    to_front: float
    to_rear: float
    height: float
    track: float
    drag: float
    slope_sin: float
    slope_cos: float
    gravity: float
    load_time: float


def wheel_loads(forward, sideways, body, loads):
    """Fill `loads` (4,) [N]: static share plus load transfer by the tyre forces `forward` and
    `sideways` per mass [m/s^2].

    Rear wheels gain under drive, right wheels gain in a left bend. A wheel cannot pull: loads end
    at 0. Source: derived, e.g. front = m (g lr - a h)/L on a level road."""
    base = body.to_front + body.to_rear
    weight = body.mass * body.gravity * body.slope_cos
    pitch = 0.5 * body.mass * forward * body.height / base
    front = 0.5 * weight * body.to_rear / base - pitch
    rear = 0.5 * weight * body.to_front / base + pitch
    roll = sideways * body.height / (body.track * body.gravity * body.slope_cos)
    loads[0] = max(0.0, front * (1.0 - 2.0 * roll))
    loads[1] = max(0.0, front * (1.0 + 2.0 * roll))
    loads[2] = max(0.0, rear * (1.0 - 2.0 * roll))
    loads[3] = max(0.0, rear * (1.0 + 2.0 * roll))


def wheel_place(i, body):
    """(x, y) of wheel i from the centre of mass [m]."""
    x = body.to_front if i < 2 else -body.to_rear
    y = 0.5 * body.track if i == 0 or i == 2 else -0.5 * body.track
    return x, y


def ground_speed(i, forward, sideways, yaw_rate, body):
    """(forward, leftward) speed of wheel i over the ground in body axes [m/s]."""
    x, y = wheel_place(i, body)
    return forward - yaw_rate * y, sideways + yaw_rate * x
