"""Keys of the items on fault-finding and service.

Units as in the items: min, mm, km/h, cm3, percent, degC.
"""

from itertools import permutations
from math import log2, pi

from tractionlab.assess.keys.fluid import air_volume
from tractionlab.textbook.hydraulics import BOILING_DEGC
from tractionlab.units import IN_KMH


def expected(order, a, b, c, minutes_a, minutes_b, minutes_c):
    """Expected time [min] of tests in an order such as "BAC"; chances in percent."""
    chance, cost = dict(zip("ABC", (a, b, c))), dict(zip("ABC", (minutes_a, minutes_b, minutes_c)))
    total = spent = 0.0
    for test in order:
        spent += cost[test]
        total += chance[test] / 100 * spent
    return total


def best_order(a, b, c, minutes_a, minutes_b, minutes_c):
    """Order of the tests with the shortest expected time: largest chance a minute first."""
    ratio = {"A": a / minutes_a, "B": b / minutes_b, "C": c / minutes_c}
    return "".join(sorted(ratio, key=ratio.get, reverse=True))


def clear_order(a, b, c, minutes_a, minutes_b, minutes_c):
    """True if the best order is clearly better than every other one, and chances add up."""
    times = sorted(
        expected("".join(order), a, b, c, minutes_a, minutes_b, minutes_c)
        for order in permutations("ABC")
    )
    return a + b + c == 100 and times[1] > 1.03 * times[0]


def bits(before, after):
    """Information of a test: halvings from so many possible faults to so many."""
    return log2(before / after)


def better_test(first_left, first_minutes, second_left, second_minutes, faults):
    """Which test brings more for its time: "first" or "second"."""
    return (
        "first"
        if bits(faults, first_left) / first_minutes > bits(faults, second_left) / second_minutes
        else "second"
    )


def clear_test(first_left, first_minutes, second_left, second_minutes, faults):
    """True if one test is clearly better."""
    ratio = bits(faults, first_left) / first_minutes / (bits(faults, second_left) / second_minutes)
    return first_left < faults and second_left < faults and abs(log2(ratio)) > 0.4


def diameter(width, profile, rim):
    """Outer diameter [mm] of a tyre: width in mm, profile in percent, rim in inches."""
    return 2 * width * profile / 100 + 25.4 * rim


def diameter_one_side(width, profile, rim):
    """Trap: one side wall only."""
    return width * profile / 100 + 25.4 * rim


def false_speed(speed, right, fitted):
    """How much too fast a wheel of another diameter reads [km/h]."""
    return speed * (right / fitted - 1)


def bubble(air, pressure):
    """Fluid [cm3] that air takes up at a gauge pressure [bar]."""
    return air_volume(air, pressure)


def delay(volume, flow):
    """Delay [s]."""
    return volume / flow


def pedal(volume, cylinder, ratio):
    """Extra pedal travel [mm] for a volume [cm3] in a master cylinder of a diameter [mm] behind a
    pedal ratio.
    """
    return volume * 1000 / (pi / 4 * cylinder**2) * ratio


def pedal_without_ratio(volume, cylinder):
    """Trap: travel of the piston."""
    return volume * 1000 / (pi / 4 * cylinder**2)


def fluid_state(kind, measured):
    """What a measured boiling point [degC] says: below the wet limit of the class "renew", above it
    "keep".
    """
    return "renew" if measured < BOILING_DEGC[kind][1] else "keep"


def clear_fluid(kind, measured):
    """True if the measured value is clear of the limit."""
    return abs(measured - BOILING_DEGC[kind][1]) > 8


def axle_difference(left, right):
    """Difference across an axle [%] of the larger brake force."""
    return 100 * (max(left, right) - min(left, right)) / max(left, right)


def axle_difference_of_smaller(left, right):
    """Trap: divided by the smaller one."""
    return 100 * (max(left, right) - min(left, right)) / min(left, right)


def turn_frequency(teeth, turns, seconds):
    """Pulses a second [Hz] of a wheel turned by hand."""
    return teeth * turns / seconds


def hand_speed(turns, seconds, radius):
    """Speed [km/h] of a wheel turned by hand."""
    return turns / seconds * 2 * pi * radius * IN_KMH


def hand_speed_ms(turns, seconds, radius):
    """Trap: m/s given for km/h."""
    return turns / seconds * 2 * pi * radius


def false_speed_of(width, profile, rim, fitted, speed):
    """How much too fast [km/h] a wheel of another profile reads."""
    return false_speed(speed, diameter(width, profile, rim), diameter(width, fitted, rim))


def unequal(left, right):
    """True if the two differ clearly."""
    return axle_difference(left, right) > 6
