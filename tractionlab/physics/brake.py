"""Brake of one wheel: pressure, torque, heat."""

from math import exp
from typing import NamedTuple

#: What the valves of a wheel do: follow the pedal, build up, hold, let go.
FOLLOW_PEDAL, INCREASE, HOLD, REDUCE = 2.0, 1.0, 0.0, -1.0


class Brakes(NamedTuple):
    """Parameters of the brakes. Pressures in Pa, times in s, torque per pressure in N m/Pa, heat in
    SI. `pads`: for each wheel the share of the friction of sound pads that its pads have."""

    supply: float
    rise_time: float
    fall_time: float
    pedal_time: float
    front_torque: float
    rear_torque: float
    pads: tuple
    disc_heat: float
    cooling_still: float
    cooling_speed: float
    air_temperature: float


def pressure_rate(pressure, valve, line, brakes):
    """Change of wheel pressure [Pa/s]: a first-order source that stands in for the hydraulic
    circuit.

    Parameters
    ----------
    pressure : float, at the wheel [Pa]
    valve : float
        FOLLOW_PEDAL = follows the line from the pedal; else the share of the time the valves
        increase (up to 1) or reduce (down to -1).
    line : float, pressure from the pedal [Pa]; where it is zero, the supply of traction control
        builds up
    """
    if valve == FOLLOW_PEDAL:
        return (line - pressure) / brakes.pedal_time
    if valve >= 0.0 and line > 0.0:
        return valve * max(0.0, line - pressure) / brakes.pedal_time
    if valve >= 0.0:
        return valve * (brakes.supply - pressure) / brakes.rise_time
    return valve * pressure / brakes.fall_time


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
