"""Drive torque: combustion engine with two throttle plates in series, intake lag, ignition and
fuel; or an electric motor.
"""

from math import sqrt
from typing import NamedTuple

#: Speed of a motor [rad/s] under which its recuperation fades out: about 8 km/h of the course's
#: car. Chosen for this course.
FADES_FROM = 60.0


class Engine(NamedTuple):
    """Parameters of the drive. Speeds in rad/s, torques in N m, times in s; `excess` is what it
    gives above a reduction that it is asked for, 0 in a sound car.
    """

    electric: float
    max_torque: float
    max_power: float
    best_speed: float
    droop: float
    idle_speed: float
    bite_speed: float
    top_speed: float
    friction: float
    inertia: float
    clutch_capacity: float
    clutch_slip: float
    intake_time: float
    airflow: float
    plate_rate: float
    second_plate: float
    torque_rate: float
    recuperation: float
    excess: float


def full_torque(speed, engine):
    """Torque at full load [N m] at a speed [rad/s]: a parabola round `best_speed`, limited by
    power, cut at `top_speed`.
    """
    away = speed / engine.best_speed - 1.0
    torque = engine.max_torque * (1.0 - engine.droop * away * away)
    torque = min(torque, engine.max_power / max(speed, 1.0))
    limiter = (engine.top_speed - speed) / (0.03 * engine.top_speed)
    return max(0.0, torque) * min(1.0, max(0.0, limiter))


def plate_area(opening):
    """Free area of a throttle plate, as a share, at an opening of 0..1.

    Course model: slow at first, then faster.
    """
    return opening * (0.3 + 0.7 * opening)


def plate_opening(area):
    """Opening of a plate that gives a free area of 0..1: inverse of `plate_area`."""
    return (sqrt(0.09 + 2.8 * area) - 0.3) / 1.4


def two_plates(first, second):
    """Free area of two plates one behind the other; each alone gives its own area.

    Flow resistances of plates in series add, and a resistance goes with 1/area^2. Derived.
    """
    both = first * first + second * second - first * first * second * second
    if both < 1e-12:
        return 0.0
    return first * second / sqrt(both)


def air_charge(area, speed, engine):
    """Filling of the cylinders, 0..1, for a free area and an engine speed.

    Course model: the faster, the more area it needs.
    """
    x = engine.airflow * area * engine.best_speed / max(speed, 0.5 * engine.idle_speed)
    return x / sqrt(1.0 + x * x)


def area_for(charge, speed, engine):
    """Free area that gives a filling of 0..1: inverse of `air_charge`, at most 1."""
    c = min(max(charge, 0.0), 0.9999)
    x = c / sqrt(1.0 - c * c)
    return min(1.0, x * max(speed, 0.5 * engine.idle_speed) / (engine.airflow * engine.best_speed))


def second_area_for(area, first):
    """Free area the second plate must have so that both together give `area`, with the first at
    `first`; at most 1.
    """
    if area >= first:
        return 1.0
    inverse = 1.0 / (area * area + 1e-12) - 1.0 / (first * first + 1e-12) + 1.0
    return min(1.0, 1.0 / sqrt(max(inverse, 1.0)))


def combustion_torque(charge, ignition, cut, speed, engine):
    """Torque at the crankshaft [N m].

    Parameters
    ----------
    charge : float, filling of the cylinders, 0..1
    ignition : float, efficiency left by retarded ignition, 0..1
    cut : float, share of cylinders without fuel, 0..1
    speed : float, engine speed [rad/s]
    """
    indicated = charge * (full_torque(speed, engine) + engine.friction) * ignition * (1.0 - cut)
    friction = engine.friction * min(1.0, speed / (0.25 * engine.idle_speed))
    return indicated + idle_support(speed, engine) - friction


def idle_support(speed, engine):
    """Torque [N m] with which the idle control holds an engine up that turns slower than idle."""
    return min(3.0 * engine.friction, max(0.0, 4.0 * (engine.idle_speed - speed)))


def recuperation_torque(speed, pedal, engine):
    """Torque with which a motor brakes [N m] while the accelerator is nearly free; it fades out
    towards standstill.
    """
    free = min(1.0, max(0.0, 1.0 - 10.0 * pedal))
    return engine.recuperation * free * min(1.0, max(0.0, speed / FADES_FROM))


def clutch_torque(engine_speed, gear_speed, engine):
    """Torque through the launch clutch [N m]: closed above `bite_speed`, open at idle, smooth in
    between.
    """
    share = (engine_speed - engine.idle_speed) / (engine.bite_speed - engine.idle_speed)
    share = min(1.0, max(0.0, share))
    capacity = engine.clutch_capacity * share * share * (3.0 - 2.0 * share)
    slip = (engine_speed - gear_speed) / engine.clutch_slip
    return capacity * slip / sqrt(1.0 + slip * slip)
