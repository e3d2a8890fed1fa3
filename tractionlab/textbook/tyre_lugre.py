"""Steady friction of a bristle tyre (LuGre): how grip follows from bristles that bend along the
contact patch.

Source: Canudas de Wit, Tsiotras, Velenis, Basset, Gissinger, Vehicle System Dynamics 39(3), 2003.
The closed form for even contact pressure is from memory; tests/test_published.py checks it by
integrating the bristles along the patch."""

import math
from typing import NamedTuple

from tractionlab.textbook.search import highest_point


class Bristles(NamedTuple):
    """Coefficients of a bristle tyre."""

    stiffness: float  # bristle stiffness / load, 1/m
    viscous: float  # s/m
    sliding: float  # friction at high sliding speed, -
    static: float  # friction at no sliding speed, -
    falling_speed: float  # speed at which 63 % of the fall is done, m/s
    patch_length: float  # m


def sliding_friction(sliding_speed, bristles):
    """Friction [-] that a bristle can hold at a sliding speed [m/s]; falls from static to sliding
    friction.
    """
    drop = math.exp(-math.sqrt(abs(sliding_speed) / bristles.falling_speed))
    return bristles.sliding + (bristles.static - bristles.sliding) * drop


def steady_friction(slip, speed, bristles):
    """Brake force over load [-] at braking slip (v - w r)/v, 0..1, and road speed [m/s] > 0."""
    if slip <= 0.0:
        return 0.0
    sliding_speed = slip * speed
    held = sliding_friction(sliding_speed, bristles)
    viscous = bristles.viscous * sliding_speed
    if slip >= 1.0:
        return held + viscous
    x = bristles.stiffness * bristles.patch_length * slip / (1.0 - slip) / held
    if x < 1e-6:
        return held * 0.5 * x + viscous
    return held * (1.0 + math.expm1(-x) / x) + viscous


def steady_peak(speed, bristles):
    """Slip and friction (slip, mu) [-] of the highest point of the curve at a road speed [m/s];
    slip 1 if it only rises.
    """
    slip, peak = highest_point(lambda s: steady_friction(s, speed, bristles), 0.0, 1.0)
    locked = steady_friction(1.0, speed, bristles)
    return (slip, peak) if peak > locked else (1.0, locked)
