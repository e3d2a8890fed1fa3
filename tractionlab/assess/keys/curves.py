"""Curves of the sketch items at the points of their x axis. Units as on the axes."""

from math import exp

from tractionlab.assess.keys import axle as a
from tractionlab.assess.keys import grip as g
from tractionlab.assess.keys import sensing as s
from tractionlab.assess.keys import torque as t
from tractionlab.catalogue.entries import shipped
from tractionlab.physics.tyre import adhesion
from tractionlab.run.surfaces import surface_row


def grip_over_slip(surface, points):
    """Grip [-] over slip [%] at very low speed."""
    row = surface_row(shipped().surfaces()[surface].curves["burckhardt"])
    return [float(adhesion(slip / 100, 0.0, row)) for slip in points]


def grip_that_never_falls(surface, points):
    """Trap: grip climbs to the end."""
    top = max(grip_over_slip(surface, points))
    return [top * slip / points[-1] for slip in points]


def push_over_torque(peak, sliding, load, radius, ratio, points):
    """Push [N] of a driven axle over engine torque [N m], losses left out: in proportion up to the
    peak grip, beyond it the wheels slide.
    """
    return [
        torque * ratio / radius if torque * ratio / radius <= peak * load else sliding * load
        for torque in points
    ]


def push_in_proportion(load, radius, ratio, points):
    """Trap: push follows torque for ever."""
    return [torque * ratio / radius for torque in points]


def side_over_drive(points):
    """Side hold left [%] over the share of grip used for driving [%]."""
    return [g.side_left(share) for share in points]


def side_by_subtraction(points):
    """Trap: 100 minus the share."""
    return [100.0 - share for share in points]


def stop_over_speed(grip, points):
    """Braking distance [m] over speed [km/h]."""
    return [g.stop(speed, grip) for speed in points]


def stop_in_proportion(grip, points):
    """Trap: in proportion to speed."""
    return [g.stop(points[-1], grip) * speed / points[-1] for speed in points]


def acceleration_over_grip(drive, share, height, base, points):
    """Largest acceleration [m/s²] over grip [-]."""
    return [g.push(drive, grip, 1000.0, share, height, base) / 1000.0 for grip in points]


def acceleration_of_whole_weight(points):
    """Trap: as if all the weight were on driven wheels."""
    return [9.81 * grip for grip in points]


def split_over_pressure(low, high, load, per_bar, radius, points):
    """Drive force [N] of an open axle over brake pressure on the low side [bar]."""
    return [a.split_force(low, high, load, pressure, per_bar, radius) for pressure in points]


def split_without_end(low, load, per_bar, radius, points):
    """Trap: force rises for ever."""
    return [2 * low * load + pressure * per_bar / radius for pressure in points]


def split_level(low, load, points):
    """Trap: the brake changes nothing."""
    return [2 * low * load for _ in points]


def split_over_high(low, load, points):
    """Force [N] of an open axle over the grip of the better side [-]: the poor side decides."""
    return [a.split_force(low, max(high, low), load, 0.0, 10.0, 0.3) for high in points]


def split_sum_over_high(low, load, points):
    """Trap: both sides give what they could."""
    return [(low + high) * load for high in points]


def split_over_low(high, load, points):
    """Force [N] of an open axle over the grip of the poorer side [-]."""
    return [a.split_force(low, high, load, 0.0, 10.0, 0.3) for low in points]


def split_sum_over_low(high, load, points):
    """Trap: the good side always gives its share."""
    return [(low + high) * load for low in points]


def other_wheel_over_wheel(case, points):
    """Turning speed of the right wheel [rpm] over that of the left one, the differential case held
    at one speed.
    """
    return [a.other_wheel(case, wheel) for wheel in points]


def other_wheel_level(case, points):
    """Trap: the other wheel keeps the speed of the case."""
    return [float(case) for _ in points]


def engine_over_pressure(low, load, per_bar, radius, ratio, efficiency, points):
    """Engine torque [N m] over brake pressure [bar] on the low side, while the wheels push as hard
    as the brake allows.
    """
    return [
        a.engine_torque_braked(
            a.split_force(low, 9.0, load, pressure, per_bar, radius),
            radius,
            pressure,
            per_bar,
            ratio,
            efficiency,
        )
        for pressure in points
    ]


def engine_level(low, load, radius, ratio, efficiency, points):
    """Trap: braking costs the engine nothing."""
    return [g.engine_torque(2 * low * load, radius, ratio, efficiency) for _ in points]


def reference_over_time(rise, points):
    """Reference [km/h] over time [s]: climbs as fast as it may, never above wheels at 60 km/h."""
    return [min(60.0, s.reference(rise, time)) for time in points]


def reference_at_once(rise, points):
    """Trap: the wheels are believed."""
    return [60.0 for _ in points]


def slip_over_wheel(car, points):
    """Slip [%] over wheel speed [km/h]."""
    return [s.slip(wheel, car) for wheel in points]


def slip_by_car_over_wheel(car, points):
    """Trap: divided by the car, cut off at the top of the chart."""
    return [min(100.0, s.slip_by_car(wheel, car)) for wheel in points]


def tooth_time_over_speed(at_ten, points):
    """Time of one tooth [ms] over speed [km/h], from its value at 10 km/h."""
    return [at_ten * 10 / speed for speed in points]


def tooth_time_straight(at_ten, points):
    """Trap: a straight line."""
    return [at_ten * (1 - (speed - 10) / (points[-1] - 10)) for speed in points]


def frequency_over_speed(at_fifty, points):
    """Frequency [Hz] over speed [km/h], from its value at 50 km/h."""
    return [at_fifty * speed / 50 for speed in points]


def frequency_square(at_fifty, points):
    """Trap: grows like the square."""
    return [min(1000.0, at_fifty * (speed / 50) ** 2) for speed in points]


def error_over_time(rise, true, points):
    """How far the reference is too high [km/h] over time [s]."""
    return [s.ahead(s.reference(rise, time), s.car_after(true, time)) for time in points]


def torque_after_shut(full, lag, points):
    """Torque [N m] over time [ms] after the throttle has shut: the intake runs empty with a time
    constant [ms].
    """
    return [full * exp(-time / lag) for time in points]


def torque_at_once(points):
    """Trap: gone at once."""
    return [0.0 for _ in points]


def torque_over_cut(indicated, friction, points):
    """Torque [N m] over cylinders cut of four."""
    return [t.cut(indicated, friction, 4, number) for number in points]


def torque_over_cut_no_friction(indicated, points):
    """Trap: friction forgotten."""
    return [t.cut_without_friction(indicated, 4, number) for number in points]


def overshoot_over_delay(gain, points):
    """Speed gained [km/h] over delay [ms]."""
    return [t.overshoot(gain, delay) for delay in points]


def overshoot_level(gain, points):
    """Trap: the delay does not matter."""
    return [t.overshoot(gain, points[1]) for _ in points]


def plate_over_time(step, rate, angle, points):
    """Angle [degrees] of a stepper-driven plate over time [ms], from step angle, steps a second and
    end of travel.
    """
    return [min(angle, step * rate * time / 1000) for time in points]


def plate_without_end(step, rate, points):
    """Trap: it never stops."""
    return [step * rate * time / 1000 for time in points]


def motor_ramp(first, last, rate, points):
    """Torque [N m] of a motor over time [ms] that falls at a rate [N m/s] to a target."""
    return [max(last, first - rate * time / 1000) for time in points]


def motor_through_zero(first, rate, points):
    """Trap: it falls on below the target."""
    return [first - rate * time / 1000 for time in points]
