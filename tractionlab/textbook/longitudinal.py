"""Driving and braking in a straight line by hand formula: grip limits of the drive layouts, load
transfer, split grip.

Lessons and tests hold the simulation against these. No air drag; derived from Newton's laws unless
a function says otherwise."""

from math import atan
from typing import NamedTuple

GRAVITY = 9.81  # m/s^2


class Layout(NamedTuple):
    """Where the weight sits."""

    wheelbase: float  # m
    height: float  # of the centre of mass, m
    front_to_mass: float  # front axle to centre of mass, m


class LoadedAxles(NamedTuple):
    """Load on the two axles, N."""

    front: float
    rear: float


def grip_share(friction, layout, driven):
    """Greatest drive force over weight [-] at a friction [-]; `driven` is "front", "rear" or "all".

    A car of 2.5 m, its mass in the middle and 0.5 m high, at a friction of 0.8: driven behind
    0.8 x 1.25 / (2.5 - 0.4) = 0.476, driven in front 0.8 x 1.25 / (2.5 + 0.4) = 0.345.

    >>> car = Layout(wheelbase=2.5, height=0.5, front_to_mass=1.25)
    >>> [round(grip_share(0.8, car, driven), 3) for driven in ("rear", "front", "all")]
    [0.476, 0.345, 0.8]
    """
    length, height, front = layout
    if driven == "all":
        return friction
    if driven == "rear":
        return friction * front / (length - friction * height)
    if driven == "front":
        return friction * (length - front) / (length + friction * height)
    raise ValueError(f'driven must be "front", "rear" or "all", got {driven!r}')


def best_acceleration(friction, layout, driven):
    """Greatest acceleration [m/s^2] on the flat at a friction [-]; `driven` as in `grip_share`."""
    return GRAVITY * grip_share(friction, layout, driven)


def steepest_grade(friction, layout, driven):
    """Steepest grade [rad] that a friction [-] lets the car climb.

    The grade shifts load as an acceleration does.
    """
    return atan(grip_share(friction, layout, driven))


def axle_loads(mass, acceleration, layout):
    """Axle loads [N] of a car of `mass` [kg] that accelerates [m/s^2] on the flat.

    2 m/s^2 shift 1000 x 2 x 0.5 / 2.5 = 400 N of twice 4905 N to the rear.

    >>> loads = axle_loads(1000.0, 2.0, Layout(2.5, 0.5, 1.25))
    >>> round(loads.front, 6), round(loads.rear, 6)
    (4505.0, 5305.0)
    """
    length, height, front = layout
    shift = mass * acceleration * height / length
    weight = mass * GRAVITY
    return LoadedAxles(weight * (length - front) / length - shift, weight * front / length + shift)


def braked_axle_loads(static, rate, height, wheelbase):
    """Axle loads [N] at a braking rate z = deceleration / g, from the static loads [N]; lengths in
    m.
    """
    shift = rate * (static.front + static.rear) * height / wheelbase
    return LoadedAxles(static.front + shift, static.rear - shift)


def open_axle_force(low_friction, high_friction, wheel_load, brake_torque, radius):
    """Drive force [N] of an axle with an open differential on split grip, the low side braked by a
    torque [N m].

    Both sides get equal torque, so the high side pulls what the low side and its brake hold, up to
    its own grip. Steady, no losses in the differential. Wheel load N, radius m."""
    low = low_friction * wheel_load
    return low + min(low + brake_torque / radius, high_friction * wheel_load)


def brake_torque_for_full_grip(low_friction, high_friction, wheel_load, radius):
    """Brake torque [N m] on the low side from which an open differential does as well as a locked
    one.
    """
    return (high_friction - low_friction) * wheel_load * radius


def case_speed(left, right):
    """Speed of the differential case [rad/s] from the two wheel speeds."""
    return 0.5 * (left + right)


def other_wheel_speed(case, wheel):
    """Speed of the other wheel [rad/s] from the speeds of the case and of one wheel."""
    return 2.0 * case - wheel


def wheel_flare(torque, friction, load, radius, inertia):
    """Angular acceleration [rad/s^2] of a wheel driven [N m] beyond its grip; load N, radius m,
    inertia kg m^2.
    """
    return (torque - friction * load * radius) / inertia


class RotatingParts(NamedTuple):
    """What turns with the wheels."""

    wheels: float  # kg m^2
    propeller_shaft: float  # kg m^2
    engine: float  # with flywheel and clutch, kg m^2
    final_ratio: float
    final_efficiency: float
    total_efficiency: float


def equivalent_mass(parts, gear_ratio, radius):
    """Mass [kg] that resists acceleration as much as the rotating parts do; wheel radius in m."""
    shaft = parts.final_ratio / radius
    engine = shaft * gear_ratio
    return (
        parts.wheels / radius / radius
        + parts.propeller_shaft * parts.final_efficiency * shaft * shaft
        + parts.engine * parts.total_efficiency * engine * engine
    )


def mass_factor(total_ratio):
    """Rule of thumb: mass felt over mass, from the ratio engine to wheel.

    Source: Wong, from memory.
    """
    return 1.04 + 0.0025 * total_ratio * total_ratio


def braking_distance(speed, deceleration):
    """Distance [m] to stop from a speed [m/s] at a constant deceleration [m/s^2]."""
    return speed * speed / (2.0 * deceleration)


def stopping_distance(speed, reaction_time, deceleration):
    """Distance [m] from seeing to standing: reaction at a steady speed [m/s], then a constant
    deceleration [m/s^2].
    """
    return speed * reaction_time + braking_distance(speed, deceleration)


def friction_from_distance(speed, distance):
    """Mean friction used [-] by a stop from a speed [m/s] in a distance [m] on the flat."""
    return speed * speed / (2.0 * GRAVITY * distance)


def sight_distance_ft(speed_mph, reaction_time=2.5, deceleration=11.2):
    """Stopping sight distance of American road design [ft]; speed mph, time s, deceleration ft/s^2.

    Source: TxDOT Roadway Design Manual 4.11.1, with its rounded constants.
    """
    return 1.47 * speed_mph * reaction_time + 1.075 * speed_mph * speed_mph / deceleration
