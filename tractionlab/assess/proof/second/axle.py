"""The second routes of `keys/axle.py` for the proof: torque raised step by step, halving, power
balances. Same names, same values in and out.
"""

from math import pi

from tractionlab.assess.proof.second.halving import halved


def split_force(low, high, load, pressure, per_bar, radius):
    """Torque on each half shaft, raised step by step until one of the wheels gives way; the poor
    wheel keeps its own push.
    """
    torque, step = 0.0, 0.1
    while torque + step <= min(low * load * radius + pressure * per_bar, high * load * radius):
        torque += step
    return torque / radius + low * load


def split_force_unbraked(low, load):
    """The same without brake: both wheels give what the poor one holds."""
    return low * load + low * load


def high_side(force, low, load):
    """The rest after the poor side."""
    return force - load * low


def brake_pressure(force, low, load, radius, per_bar):
    """Pressure, by halving, at which the axle gives the force."""
    return halved(0.0, 1000.0, lambda bar: 2 * low * load + bar * per_bar / radius >= force)


def engine_torque_braked(force, radius, pressure, per_bar, ratio, efficiency):
    """Power at 1 m/s: push and brake together, less the losses."""
    power = force * 1.0 + pressure * per_bar * 1.0 / radius
    return power / (efficiency / 100) / (ratio / radius)


def full_grip_pressure(low, high, load, radius, per_bar):
    """Pressure at which the torque of the good side's limit is what the poor side and its brake
    hold.
    """
    torque = high * load * radius
    return (torque - low * load * radius) / per_bar


def brake_torque(pressure, per_bar):
    """Torque of one bar, over the share that one bar is of the pressure."""
    return per_bar / (1 / pressure)


def both_limits(low, high, load):
    """Each side by itself."""
    return low * load + high * load


def low_side(left, right):
    """The side that holds less."""
    return {True: "left", False: "right"}[min(left, right) == left]


def case_turns(engine, ratio):
    """Turns of the case while the engine makes a thousand."""
    return engine * (1000 / ratio) / 1000


def other_wheel(case, wheel):
    """As far above the case as the other is below."""
    return case + (case - wheel)


def rim_speed(turning, radius):
    """Distance in an hour."""
    return turning * 60 * (pi * 2 * radius) / 1000


def force_gain(torque, radius):
    """Force at the tread, from the lever."""
    return torque * (1 / radius)
