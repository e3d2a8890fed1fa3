"""The second routes of `keys/service.py` for the proof: every order tried, logarithms,
geometry written out. Same names and units.
"""

from itertools import permutations
from math import log, pi


def best_order(a, b, c, minutes_a, minutes_b, minutes_c):
    """All six orders tried: time until the cause is found, on average."""
    chance, cost = {"A": a, "B": b, "C": c}, {"A": minutes_a, "B": minutes_b, "C": minutes_c}

    def mean(order):
        return sum(
            chance[test] * sum(cost[earlier] for earlier in order[: k + 1])
            for k, test in enumerate(order)
        )

    return "".join(min(permutations("ABC"), key=mean))


def better_test(first_left, first_minutes, second_left, second_minutes, faults):
    """Halvings counted with natural logarithms, minutes for one halving."""
    first, second = (
        first_minutes / log(faults / first_left),
        second_minutes / log(faults / second_left),
    )
    return "first" if first < second else "second"


def diameter(width, profile, rim):
    """Rim and both side walls, one after the other."""
    wall = width / 100 * profile
    return wall + rim * 25.4 + wall


def false_speed_of(width, profile, rim, fitted, speed):
    """The fitted wheel makes more turns over the same distance; the unit takes each for a right
    one.
    """
    turns = speed * 1e6 / (pi * diameter(width, fitted, rim))
    return turns * pi * diameter(width, profile, rim) / 1e6 - speed


def bubble(air, pressure):
    """Absolute pressures: what is left of the air is taken off."""
    return air - air / (pressure + 1)


def pedal(volume, cylinder, ratio):
    """Length of a column of fluid in the cylinder, times the lever."""
    radius_cm = cylinder / 20
    return volume / (pi * radius_cm * radius_cm) * 10 * ratio


def delay(volume, flow):
    """Seconds that bring the volume."""
    return 1 / (flow / volume)


def axle_difference(left, right):
    """What the weaker side lacks of 100."""
    return 100 - 100 * min(left, right) / max(left, right)


def turn_frequency(teeth, turns, seconds):
    """Teeth in all, over the time."""
    return (teeth * turns) / seconds


def hand_speed(turns, seconds, radius):
    """Distance in an hour."""
    return 3600 / seconds * turns * 2 * pi * radius / 1000


def fluid_state(kind, measured):
    """The limits as printed in the item."""
    return "renew" if measured < {"DOT 3": 140, "DOT 4": 155, "DOT 5.1": 180}[kind] else "keep"
