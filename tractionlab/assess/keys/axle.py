"""Keys of the items on the open differential and one-sided ice.

Units as in the items: bar, N, N m, rpm, km/h; efficiency in percent.
"""

from math import pi

from tractionlab.assess.keys.grip import on_slope
from tractionlab.textbook.formulas import brake_torque_for_force, engine_torque_for_force
from tractionlab.textbook.longitudinal import (
    brake_torque_for_full_grip,
    open_axle_force,
    other_wheel_speed,
)
from tractionlab.units import KMH


def split_force(low, high, load, pressure, per_bar, radius):
    """Drive force [N] of an open axle, the low side braked."""
    return open_axle_force(low, high, load, pressure * per_bar, radius)


def split_force_unbraked(low, load):
    """Drive force [N] of an open axle without brake: twice what the low side holds."""
    return open_axle_force(low, 1.0, load, 0.0, 0.3)


def split_force_sum(low, high, load):
    """Trap: each wheel gives all it could."""
    return (low + high) * load


def split_force_one(low, load):
    """Trap: one wheel only."""
    return low * load


def split_force_per_wheel_brake(low, load, pressure, per_bar, radius):
    """Trap: the brake counted twice."""
    return 2 * low * load + 2 * pressure * per_bar / radius


def high_side(force, low, load):
    """What the high side gives [N] of the force of the axle."""
    return force - low * load


def half(force):
    """Trap: each side half."""
    return force / 2


def brake_pressure(force, low, load, radius, per_bar):
    """Pressure [bar] on the low side for a force of the axle."""
    return brake_torque_for_force(force, low, load, radius) / per_bar


def brake_pressure_alone(force, radius, per_bar):
    """Trap: the low side's own force forgotten."""
    return force * radius / per_bar


def brake_pressure_one_side(force, low, load, radius, per_bar):
    """Trap: the low side's force counted once."""
    return (force - low * load) * radius / per_bar


def engine_torque_braked(force, radius, pressure, per_bar, ratio, efficiency):
    """Engine torque [N m] that drives the axle and turns the braked wheel."""
    return engine_torque_for_force(force, radius, ratio, efficiency / 100, pressure * per_bar)


def full_grip_pressure(low, high, load, radius, per_bar):
    """Pressure [bar] from which the high side is at its limit."""
    return brake_torque_for_full_grip(low, high, load, radius) / per_bar


def full_grip_pressure_high(high, load, radius, per_bar):
    """Trap: the low side's own grip forgotten."""
    return high * load * radius / per_bar


def full_grip_pressure_double(low, high, load, radius, per_bar):
    """Trap: taken for both sides."""
    return 2 * brake_torque_for_full_grip(low, high, load, radius) / per_bar


def both_limits(low, high, load):
    """Force [N] with both sides at their limit."""
    return (low + high) * load


def low_side(left, right):
    """Side to brake: "left" or "right"."""
    return "left" if left < right else "right"


def other_wheel(case, wheel):
    """Turning speed of the other wheel, same unit."""
    return other_wheel_speed(case, wheel)


def other_wheel_same(case, wheel):
    """Trap: the other wheel turns like the differential."""
    return float(case)


def other_wheel_rest(case, wheel):
    """Trap: the two add up to the case speed."""
    return float(case - wheel)


def case_turns(engine, ratio):
    """Turning speed of the differential case [rpm]."""
    return engine / ratio


def rim_speed(turning, radius):
    """Speed of the tread [km/h] at a turning speed [rpm]."""
    return turning / 60 * 2 * pi * radius / KMH


def brake_torque(pressure, per_bar):
    """Brake torque [N m] of a pressure [bar]."""
    return float(pressure * per_bar)


def force_gain(torque, radius):
    """Force [N] that a brake torque lets the other wheel give."""
    return torque / radius


def below_high_grip(low, high, load, pressure, per_bar, radius):
    """True if the high side is clearly below its limit."""
    return low * load + pressure * per_bar / radius < 0.9 * high * load


def slope_is_held(mass, slope, low, high, load):
    """True if the slope needs the brake, and the axle can hold it."""
    return 2.3 * low * load < on_slope(mass, slope) < 0.9 * (low + high) * load


def force_times_radius(torque, radius):
    """Trap: torque times radius."""
    return torque * radius
