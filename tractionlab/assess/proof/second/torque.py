"""The second routes of `keys/torque.py` for the proof: cylinder by cylinder, step by step, by
energy. Same names and units.
"""

from tractionlab.assess.proof.second.halving import halved
from tractionlab.catalogue.entries import shipped


def cut(indicated, friction, cylinders, number):
    """Cylinders that burn, one by one."""
    return sum(indicated / cylinders for _ in range(cylinders - number)) - friction


def factor(target, indicated, friction, cylinders, number):
    """Factor, by halving, at which the rest gives the target."""
    burning = indicated * (cylinders - number) / cylinders
    return 100 * halved(0.0, 2.0, lambda share: share * burning - friction >= target)


def fewest_cut(target, indicated, friction):
    """Take cylinders away until it is enough."""
    burning, number = indicated, 0
    while burning - friction > target:
        burning, number = burning - indicated / 4, number + 1
    return {1: "one", 2: "two", 3: "three"}.get(number, "four")


def plate_time(angle, step, rate):
    """Steps counted until the plate is there."""
    turned, steps = 0.0, 0
    while turned < angle - 1e-9:
        turned, steps = turned + step, steps + 1
    return steps / rate * 1000


def flare(torque, grip, load, radius, inertia):
    """Power left over at 1 m/s of the tread goes into the energy of turning."""
    turning = 1.0 / radius
    left = (torque - grip * load * radius) * turning
    return left / (inertia * turning) * radius


def overshoot(gain, delay):
    """Speed after small steps."""
    return sum(gain * delay / 1000 / 1000 for _ in range(1000)) * 3.6


def fall_time(first, last, rate):
    """Time to fall from the first value to nothing, less that from the last value."""
    return (first / rate - last / rate) * 1000


def wheel_torque(engine, ratio, efficiency):
    """Power at an engine speed of 1 rad/s, shared by two slow wheels."""
    return engine * 1.0 * efficiency / 100 / (1.0 / ratio) / 2


def inertia(wheel, motor, ratio):
    """Energy of both wheels and the motor at 1 rad/s of the wheels, taken for two alike."""
    energy = 2 * 0.5 * wheel + 0.5 * motor * ratio**2
    return 2 * energy / 2


def firing_gap(turning, cylinders):
    """All cylinders fire once in two turns."""
    return 120000 / turning / cylinders


def cycle_time(turning):
    """Two turns."""
    return 2 * (60000 / turning)


def first_path(paths):
    """The order that lesson 5 teaches: spark, then fuel, then air."""
    return next(path for path in ("ignition", "fuel", "throttle") if path in paths.split(","))


def reach(target, full):
    """What late ignition leaves at its deepest, against the target."""
    return "not" if shipped().control_values()["ignition_min"] * full > target else "enough"


def throttle_alone(delay, allowed, gain):
    """Longest delay allowed, against the one there is."""
    return "yes" if delay <= allowed / 3.6 / gain * 1000 else "no"
