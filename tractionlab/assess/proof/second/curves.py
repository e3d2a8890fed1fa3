"""The second routes of `keys/curves.py` for the proof: each curve worked out point by point in
another way. Same names and units.
"""

from math import exp

from tractionlab.assess.proof.second import axle as a
from tractionlab.assess.proof.second import grip as g
from tractionlab.assess.proof.second import torque as t
from tractionlab.catalogue.entries import shipped


def grip_over_slip(surface, points):
    """The curve written out with its constants."""
    v = shipped().surfaces()[surface].curves["burckhardt"].values
    return [v["c1"] * (1 - exp(-v["c2"] * slip / 100)) - v["c3"] * slip / 100 for slip in points]


def push_over_torque(peak, sliding, load, radius, ratio, points):
    """The wheel holds, or it slides."""
    wheel = [torque * ratio for torque in points]
    return [
        torque / radius if torque <= peak * load * radius else sliding * load for torque in wheel
    ]


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
    """Twice the poorer side."""
    return [2 * min(low, high) * load for high in points]


def split_over_low(high, load, points):
    """Twice the poorer side."""
    return [2 * min(low, high) * load for low in points]


def other_wheel_over_wheel(case, points):
    """As far above as the other is below."""
    return [a.other_wheel(case, wheel) for wheel in points]


def engine_over_pressure(low, load, per_bar, radius, ratio, efficiency, points):
    """Power balance of push and brake."""
    return [
        a.engine_torque_braked(
            2 * low * load + pressure * per_bar / radius,
            radius,
            pressure,
            per_bar,
            ratio,
            efficiency,
        )
        for pressure in points
    ]


def reference_over_time(rise, points):
    """Hundredths of a second, never above the wheels."""
    curve = []
    for end in points:
        speed = 0.0
        for _ in range(round(end * 100)):
            speed = min(60.0, speed + rise * 0.01 * 3.6)
        curve.append(speed)
    return curve


def slip_over_wheel(car, points):
    """What is lost of 100 turns."""
    return [100 - 100 * car / wheel for wheel in points]


def tooth_time_over_speed(at_ten, points):
    """Teeth of a second at each speed."""
    return [1000 / (1000 / at_ten / 10 * speed) for speed in points]


def frequency_over_speed(at_fifty, points):
    """So many Hz for each km/h."""
    return [speed * (at_fifty / 50) for speed in points]


def error_over_time(rise, true, points):
    """The two climb apart."""
    return [(rise - true) * 3.6 * time for time in points]


def torque_after_shut(full, lag, points):
    """Small steps: each loses its share."""
    curve = []
    for end in points:
        torque, step = full, 0.01
        for _ in range(round(end / step)):
            torque -= torque / lag * step
        curve.append(torque)
    return curve


def torque_over_cut(indicated, friction, points):
    """Cylinder by cylinder."""
    return [t.cut(indicated, friction, 4, int(number)) for number in points]


def overshoot_over_delay(gain, points):
    """Small steps."""
    return [t.overshoot(gain, delay) for delay in points]


def plate_over_time(step, rate, angle, points):
    """Steps that are over, and a part of the next, until the end."""
    return [
        (
            angle
            if time >= t.plate_time(angle, step, rate)
            else time / t.plate_time(angle, step, rate) * angle
        )
        for time in points
    ]


def motor_ramp(first, last, rate, points):
    """Until the time of the fall is over."""
    return [
        (
            last
            if time >= t.fall_time(first, last, rate)
            else first - (first - last) * time / t.fall_time(first, last, rate)
        )
        for time in points
    ]
