"""The second routes of `keys/curves.py` for the proof: each curve worked out point by point in
another way. Same names and units.
"""

from tractionlab.assess.proof.second import axle as a
from tractionlab.assess.proof.second import grip as g


def side_over_drive(points):
    """Tried, thousandth by thousandth."""
    return [g.side_left(share) for share in points]


def stop_over_speed(grip, points):
    """Small steps."""
    return [g.stop(speed, grip) for speed in points]


def acceleration_over_grip(drive, share, height, base, points):
    """Load transfer by iteration."""
    return [g.push(drive, grip, 1.0, share, height, base) for grip in points]


def split_over_pressure(low, high, load, per_bar, radius, points):
    """Torque raised until a wheel gives way."""
    return [a.split_force(low, high, load, pressure, per_bar, radius) for pressure in points]


def split_over_high(low, load, points):
    """Torque raised until the poorer wheel gives way."""
    return [a.split_force(min(low, high), max(low, high), load, 0.0, 0.0, 0.3) for high in points]


def split_over_low(high, load, points):
    """Torque raised until the poorer wheel gives way."""
    return [a.split_force(min(low, high), max(low, high), load, 0.0, 0.0, 0.3) for low in points]


def reference_over_time(rise, points):
    """Hundredths of a second, never above the wheels."""
    curve = []
    for end in points:
        speed = 0.0
        for _ in range(round(end * 100)):
            speed = min(60.0, speed + rise * 0.01 * 3.6)
        curve.append(speed)
    return curve


def torque_after_shut(full, lag, points):
    """Small steps: each loses its share."""
    curve = []
    for end in points:
        torque, step = full, 0.01
        for _ in range(round(end / step)):
            torque -= torque / lag * step
        curve.append(torque)
    return curve
