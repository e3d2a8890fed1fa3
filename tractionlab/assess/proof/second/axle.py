"""The second routes of `keys/axle.py` for the proof: torque or pressure raised until a wheel gives
way. Same names, same values in and out.
"""

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
    """Torque raised step by step without a brake."""
    return split_force(low, 1.0, load, 0.0, 0.0, 0.3)


def brake_pressure(force, low, load, radius, per_bar):
    """Pressure, by halving, at which the axle gives the force."""
    return halved(0.0, 1000.0, lambda bar: 2 * low * load + bar * per_bar / radius >= force)
