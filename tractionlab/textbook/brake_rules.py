"""Formulas of the braking rules: braking rate, adhesion of an axle and its utilisation, split grip,
deceleration and distance of a stop.

Sources are named beside their checks in data/checks/outside.toml. Braking rates z are shares of g
[-], forces N, lengths m, times s."""

from tractionlab.textbook.longitudinal import GRAVITY, braked_axle_loads

#: Rolling resistance of the axle that is not braked, as a share of its load: driven or not.
UNBRAKED_DRIVEN, UNBRAKED_FREE = 0.015, 0.010


def braking_rate(fast, slow, time):
    """Braking rate [-] from the time [s] between two speeds [m/s]."""
    return (fast - slow) / (GRAVITY * time)


def axle_adhesion(rate, axle, static, height, wheelbase, unbraked_driven):
    """Adhesion [-] that one braked axle ("front" or "rear") used at a braking rate; `static` are
    the LoadedAxles [N] at rest.
    """
    weight = static.front + static.rear
    loads = braked_axle_loads(static, rate, height, wheelbase)
    rolling = UNBRAKED_DRIVEN if unbraked_driven else UNBRAKED_FREE
    if axle == "front":
        return (rate * weight - rolling * static.rear) / loads.front
    return (rate * weight - rolling * static.front) / loads.rear


def mean_adhesion(front, rear, rate, static, height, wheelbase):
    """Adhesion of the car [-] from that of its axles, weighted with their loads at a rate."""
    loads = braked_axle_loads(static, rate, height, wheelbase)
    return (front * loads.front + rear * loads.rear) / (static.front + static.rear)


def split_rate(low, high):
    """Smallest braking rate [-] on split grip with adhesion `low` on one side and `high` on the
    other.

    0.75 x (4 x 0.2 + 0.8) / 5 = 0.24, more than the low side alone.

    >>> round(split_rate(0.2, 0.8), 9)
    0.24
    """
    return max(0.75 * (4.0 * low + high) / 5.0, low)


def mean_developed_deceleration(speed_kmh, way_at_80, way_at_10):
    """Mean fully developed deceleration [m/s^2]: between 0.8 and 0.1 of the first speed [km/h],
    from the distances [m] at which these were reached.
    """
    return ((0.8 * speed_kmh) ** 2 - (0.1 * speed_kmh) ** 2) / (25.92 * (way_at_10 - way_at_80))


def longest_stop(speed_kmh):
    """Longest distance [m] a passenger car may need to stop from a speed [km/h].

    0.1 x 100 + 0.006 x 10 000.

    >>> longest_stop(100.0)
    70.0
    """
    return 0.10 * speed_kmh + 0.0060 * speed_kmh**2


def endurance_time(top_speed_kmh):
    """Time [s] for which anti-lock must hold out at full pedal."""
    return max(15.0, min(top_speed_kmh, 160.0) / 7.0)
