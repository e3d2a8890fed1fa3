"""The second routes of `keys/torque.py` for the proof: cylinders and steps counted, halving. Same
names and units.
"""

from tractionlab.assess.proof.second.halving import halved


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
