"""The second routes of `keys/sensing.py` for the proof: counting teeth with the sensor kernel,
distances in an hour, small steps. Same names and units.
"""

from math import pi

from tractionlab.assess.proof.second.halving import halved
from tractionlab.sensors.parts import wheel_sensor, wheel_sensors
from tractionlab.sensors.ring import edges_between


def rpm(speed, radius):
    """Turns that cover the distance of a minute."""
    return speed * 1000 / 60 / (pi * 2 * radius)


def frequency(turning, teeth):
    """Teeth counted over a minute by the sensor kernel, a second at a time, over 60."""
    sensor = wheel_sensor(
        "active", teeth=float(teeth), pitch_error=0.0, tick=0.0, frequency_limit=1e9
    )
    turned = turning / 60 * 2 * pi
    return (
        sum(
            edges_between(k * turned + 0.001, (k + 1) * turned + 0.001, float(k), k + 1.0, sensor)[
                0
            ]
            for k in range(60)
        )
        / 60
    )


def frequency_at(speed, radius, teeth):
    """Distance in a second over the length of one tooth."""
    return speed / 3.6 / (2 * pi * radius / teeth)


def reading(speed, teeth, coded):
    """The unit takes each tooth for its own share of a turn: 1000 turns of the ring."""
    return speed * (1000 * teeth / coded) / 1000


def reading_error(read, speed):
    """Reading as a share of the truth, less the whole."""
    return (read / speed - 1) * 100


def minus(read, speed):
    """Difference."""
    return read + -speed


def amplitude(hertz, gap):
    """The printed rule, written out."""
    return 0.012 * hertz * ((0.8 / gap) ** 3) ** 0.5


def start_frequency(gap):
    """Frequency, by halving, at which the printed rule gives 0.25 V."""
    return halved(0.0, 10000.0, lambda hertz: amplitude(hertz, gap) >= 0.25)


def start_kmh(hertz, teeth, radius):
    """Distance in an hour at so many teeth a second."""
    return hertz * 3600 * (2 * pi * radius / teeth) / 1000


def top_speed(limit, teeth, radius):
    """Distance in an hour at the limit."""
    return limit * 3600 * (2 * pi * radius / teeth) / 1000


def tooth_time(speed, teeth, radius):
    """Length of a tooth over the distance in a millisecond."""
    return (2 * pi * radius / teeth) / (speed / 3600)


def pitch(radius, teeth):
    """Circumference in mm, shared."""
    return 2 * pi * (radius * 1000) / teeth


def tooth_speed(length, time):
    """mm a ms is m a s."""
    return (length / 1000) / (time / 1000)


def gain_of_teeth(length, first, second, apart):
    """Speed gained, over the time between."""
    return (length / second - length / first) / (apart / 1000)


def slip(wheel, car):
    """What is lost of 100 turns."""
    return 100 - 100 * car / wheel


def slip_by_car(wheel, car):
    """What the wheel turns more than 100."""
    return 100 * wheel / car - 100


def reference(rise, time):
    """Climb in small steps."""
    steps = 10000
    return sum(rise * time / steps for _ in range(steps)) * 3.6


def car_after(rate, time):
    """Climb in small steps."""
    return reference(rate, time)


def ahead(reference_, car):
    """Difference."""
    return -(car - reference_)


def mean(left, right):
    """Half way from one to the other."""
    return left + (right - left) / 2


def sum_of(left, right):
    """One after the other."""
    return right + left


def inner_wheel(car, bend, track):
    """All wheels go round in the same time."""
    return 2 * pi * (bend - track / 2) / (2 * pi * bend / car)


def outer_wheel(car, bend, track):
    """All wheels go round in the same time."""
    return 2 * pi * (bend + track / 2) / (2 * pi * bend / car)


def level(current):
    """The printed ranges: 7 and 14 mA, 20 % to either side."""
    return next(
        (
            name
            for name, nominal in (("low", 7), ("high", 14))
            if 0.8 * nominal - 1e-9 <= current <= 1.2 * nominal + 1e-9
        ),
        "none",
    )


def gap_code(gap, limit):
    """Is the voltage at the limit speed still below what the unit needs?"""
    return (
        "code"
        if amplitude(limit / 3.6 / (2 * pi * 0.305 / 48), gap)
        < wheel_sensors()["passive"]["threshold_V"]
        else "none"
    )


def reference_source(drive):
    """Wheels without drive are there unless all are driven."""
    driven = {"rear": {"RL", "RR"}, "front": {"FL", "FR"}, "all": {"FL", "FR", "RL", "RR"}}[drive]
    return "undriven" if {"FL", "FR", "RL", "RR"} - driven else "all"


def spins(gain, most):
    """More than half as much again as the road allows."""
    return "real" if gain <= most + most / 2 else "spin"


def seen_slip(true_car, reference_, wheel):
    """The larger of two subtrahends leaves less."""
    return (
        "same"
        if abs(reference_ - true_car) / wheel < 0.01
        else "less"
        if reference_ > true_car
        else "more"
    )


def roller_slip(driven, undriven):
    """A reference of nothing makes all of the turning slip."""
    return "full" if undriven == 0 else "none" if driven == undriven else "some"
