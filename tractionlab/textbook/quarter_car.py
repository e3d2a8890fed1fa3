"""One braked wheel that carries its share of the car: steady brake torque, stability of the slip,
and its motion.

Braking slip s = (v - w r)/v, 0 rolls freely, 1 locked. Friction is a Burckhardt curve (c1, c2, c3).
Source: S. M. Savaresi, M. Tanelli, Active Braking Control Systems Design for Vehicles, 2010, ch. 2
(from memory); derived here from Newton's law for the car and for the wheel."""

import math
from typing import NamedTuple

from tractionlab.physics.tyre import burckhardt
from tractionlab.textbook.longitudinal import GRAVITY
from tractionlab.textbook.search import crossing, highest_point


class QuarterCar(NamedTuple):
    """A quarter of a car on one surface."""

    mass: float  # kg
    inertia: float  # of the wheel, kg m^2
    radius: float  # m
    c1: float
    c2: float
    c3: float


def friction(slip, car):
    """Friction [-] at a braking slip [-]."""
    return burckhardt(slip, car.c1, car.c2, car.c3)


def friction_slope(slip, car):
    """Change of friction with slip [-] at a braking slip 0..1."""
    return car.c1 * car.c2 * math.exp(-car.c2 * slip) - car.c3


def rates(speed, wheel_speed, torque, car):
    """Rate of road speed [m/s^2] and of wheel speed [rad/s^2] under a brake torque [N m]; speed >
    0, wheel turning.
    """
    mu = friction((speed - wheel_speed * car.radius) / speed, car)
    force = mu * car.mass * GRAVITY
    return -force / car.mass, (force * car.radius - torque) / car.inertia


def slip_rate(slip, speed, torque, car):
    """Rate of the braking slip [1/s] at road speed [m/s] under a brake torque [N m]."""
    braking, spin = rates(speed, (1.0 - slip) * speed / car.radius, torque, car)
    return ((1.0 - slip) * braking - car.radius * spin) / speed


def trim_torque(slip, car):
    """Brake torque [N m] that holds a braking slip [-] steady."""
    arm = car.radius + car.inertia * (1.0 - slip) / (car.radius * car.mass)
    return arm * car.mass * GRAVITY * friction(slip, car)


def locked_torque(car):
    """Smallest brake torque [N m] that keeps the wheel locked.

    300 kg on dry asphalt: 0.76 x 300 x 9.81 N at 0.3 m.

    >>> round(locked_torque(QuarterCar(300.0, 1.0, 0.3, 1.28, 23.99, 0.52)))
    671
    """
    return trim_torque(1.0, car)


def greatest_trim(car):
    """Slip [-] and torque [N m] of the strongest steady braking; more torque locks the wheel
    whatever the slip.
    """
    return highest_point(lambda slip: trim_torque(slip, car), 0.0, 1.0)


def equilibria(torque, car):
    """The two slips [-] that a brake torque [N m] can hold, stable one first.

    Raises ValueError unless the torque lies between `locked_torque` and that of `greatest_trim`.
    """
    top, most = greatest_trim(car)
    if not locked_torque(car) < torque < most:
        raise ValueError(
            f"torque must lie between {locked_torque(car):.1f} and {most:.1f} N m, got {torque}"
        )
    return tuple(
        crossing(lambda slip: trim_torque(slip, car), torque, start, top) for start in (0.0, 1.0)
    )


def pole(slip, speed, car):
    """How fast a small change of slip dies away (negative) or grows (positive) at a held road speed
    [m/s]. [1/s]
    """
    wheel = (1.0 - slip) / car.mass + car.radius * car.radius / car.inertia
    load = car.mass * GRAVITY
    return -load / speed * (wheel * friction_slope(slip, car) - friction(slip, car) / car.mass)


def stop_history(speed, torque, car, step, steps):
    """Road speed [m/s] and wheel speed [rad/s] after each of `steps` steps [s] of constant brake
    torque [N m].

    Starts rolling freely; classical Runge-Kutta of fourth order. Returns a list of (speed,
    wheel_speed), steps + 1 long, or shorter: it ends with the step in which the wheel comes to
    stand, since a brake turns no wheel backwards."""
    state = (speed, speed / car.radius)
    history = [state]
    for _ in range(steps):
        v, w = state
        a1, b1 = rates(v, w, torque, car)
        a2, b2 = rates(v + 0.5 * step * a1, w + 0.5 * step * b1, torque, car)
        a3, b3 = rates(v + 0.5 * step * a2, w + 0.5 * step * b2, torque, car)
        a4, b4 = rates(v + step * a3, w + step * b3, torque, car)
        state = (
            v + step / 6.0 * (a1 + 2.0 * a2 + 2.0 * a3 + a4),
            w + step / 6.0 * (b1 + 2.0 * b2 + 2.0 * b3 + b4),
        )
        if state[1] <= 0.0:
            return [*history, (state[0], 0.0)]
        history.append(state)
    return history
