"""A vehicle that coasts down: its resistance is a constant and a part that grows with the square of
speed.
"""

from math import atan, sqrt


def coasting_time(mass, constant, square, fast, slow):
    """Time [s] in which a vehicle coasts from one speed to a lower one [m/s].

    Parameters
    ----------
    mass : float, with what its turning parts add [kg]
    constant : float, resistance at no speed [N]
    square : float, resistance for each (m/s)^2 more [N s^2/m^2]

    From mass x dv/dt = -(constant + square v^2), derived. Without the constant part,
    1000 / 0.5 x (1 / 20 - 1 / 25) = 20 s; without the square 1000 x 5 / 100 = 50 s.

    >>> round(coasting_time(1000.0, 0.0, 0.5, 25.0, 20.0), 9)
    20.0
    >>> round(coasting_time(1000.0, 100.0, 0.0, 25.0, 20.0), 9)
    50.0
    """
    if constant == 0.0:
        return mass / square * (1.0 / slow - 1.0 / fast)
    if square == 0.0:
        return mass * (fast - slow) / constant
    root = sqrt(square / constant)
    return mass / sqrt(constant * square) * (atan(fast * root) - atan(slow * root))
