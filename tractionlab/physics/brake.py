"""Brake of one wheel: torque and heat."""

from math import exp
from typing import NamedTuple

#: What the valves of a wheel do: follow the pedal, build up, hold, let go.
FOLLOW_PEDAL, INCREASE, HOLD, REDUCE = 2.0, 1.0, 0.0, -1.0


class Brakes(NamedTuple):
    """Parameters of the brakes: torque per pressure in N m/Pa, heat in SI; `pads`: for each wheel
    the share of the friction of sound pads that its pads have.
    """

    front_torque: float
    rear_torque: float
    pads: tuple
    disc_heat: float
    cooling_still: float
    cooling_speed: float
    air_temperature: float


def cooling_rate(temperature, speed, brakes):
    """Cooling of a disc [K/s] at a road speed [m/s]: proportional to the excess temperature,
    quicker in the airstream.
    """
    return (brakes.cooling_still + brakes.cooling_speed * abs(speed)) * (
        temperature - brakes.air_temperature
    )


def temperature_after(start, power, duration, speed, brakes):
    """Disc temperature [degC] after `duration` [s] of constant brake power [W] at constant speed
    [m/s]. Derived.
    """
    rate = brakes.cooling_still + brakes.cooling_speed * abs(speed)
    final = brakes.air_temperature + power / (brakes.disc_heat * rate)
    return final + (start - final) * exp(-rate * duration)
