"""Keys of the items on taking torque away. Units as in the items: N m, ms, km/h, degrees, rpm."""

from tractionlab.catalogue.entries import shipped
from tractionlab.textbook.formulas import (
    ignition_factor,
    inertia_at_wheel,
    torque_with_cylinders_cut,
)
from tractionlab.textbook.longitudinal import wheel_flare
from tractionlab.units import IN_KMH


def cut(indicated, friction, cylinders, number):
    """Torque [N m] left with so many cylinders cut."""
    return torque_with_cylinders_cut(indicated, friction, cylinders, number)


def cut_without_friction(indicated, cylinders, number):
    """Trap: friction forgotten."""
    return indicated * (cylinders - number) / cylinders


def cut_friction_scaled(indicated, friction, cylinders, number):
    """Trap: friction made smaller as well."""
    return (indicated - friction) * (cylinders - number) / cylinders


def factor(target, indicated, friction, cylinders, number):
    """Ignition factor [%] that brings the rest to the target."""
    return 100 * ignition_factor(target, indicated, friction, cylinders, number)


def factor_of_net(target, left):
    """Trap: target over what is left, friction not added [%]."""
    return 100 * target / left


def fewest_cut(target, indicated, friction):
    """Fewest of four cylinders to cut so that torque is not above the target: "one", "two",
    "three".
    """
    for number, word in ((1, "one"), (2, "two"), (3, "three")):
        if cut(indicated, friction, 4, number) <= target:
            return word
    return "four"


def clear_cut(target, indicated, friction):
    """True if no pattern lies close to the target, and one does it."""
    values = [cut(indicated, friction, 4, number) for number in (1, 2, 3)]
    return values[2] <= target < indicated - friction and all(
        abs(value - target) > 4 for value in values
    )


def steps(angle, step):
    """Steps of a stepper motor for an angle [degrees]."""
    return angle / step


def step_time(number, rate):
    """Time [ms] for so many steps at a rate [steps/s]."""
    return 1000 * number / rate


def flare(torque, grip, load, radius, inertia):
    """Acceleration of the tread [m/s²] of a wheel driven beyond its grip."""
    return radius * wheel_flare(torque, grip, load, radius, inertia)


def flare_without_road(torque, radius, inertia):
    """Trap: the road left out."""
    return radius * torque / inertia


def flare_in_radians(torque, grip, load, radius, inertia):
    """Trap: turning acceleration given for that of the tread."""
    return wheel_flare(torque, grip, load, radius, inertia)


def overshoot(gain, delay):
    """Speed gained [km/h] in a delay [ms]."""
    return gain * delay / 1000 * IN_KMH


def overshoot_ms(gain, delay):
    """Trap: m/s given for km/h."""
    return gain * delay / 1000


def beyond_grip(torque, grip, load, radius):
    """True if the torque clearly spins the wheel."""
    return torque > 1.5 * grip * load * radius


def wheel_torque(engine, ratio, efficiency):
    """Torque [N m] on each of two driven wheels; efficiency in percent."""
    return engine * ratio * efficiency / 100 / 2


def wheel_torque_both(engine, ratio, efficiency):
    """Trap: not halved."""
    return engine * ratio * efficiency / 100


def inertia(wheel, motor, ratio):
    """Inertia [kg m²] felt by one of two wheels that speed up together."""
    return inertia_at_wheel(wheel, motor, ratio)


def inertia_plain_ratio(wheel, motor, ratio):
    """Trap: ratio not squared."""
    return wheel + motor * ratio / 2


def inertia_whole_motor(wheel, motor, ratio):
    """Trap: the whole motor for one wheel."""
    return wheel + motor * ratio**2


def fall_time(first, last, rate):
    """Time [ms] for torque to fall between two values at a rate [N m/s]."""
    return 1000 * (first - last) / rate


def fall_time_from_zero(last, rate):
    """Trap: time for the torque that stays."""
    return 1000 * last / rate


def firing_gap(turning, cylinders):
    """Time [ms] between two firings of a four-stroke engine at an engine speed [rpm]."""
    return 1000 * 60 / turning * 2 / cylinders


def firing_gap_two_stroke(turning, cylinders):
    """Trap: every cylinder fires each turn."""
    return 1000 * 60 / turning / cylinders


def cycle_time(turning):
    """Time [ms] of a working cycle, two turns."""
    return 1000 * 60 / turning * 2


def cycle_time_one_turn(turning):
    """Trap: one turn."""
    return 1000 * 60 / turning


def first_path(paths):
    """Which of the paths acts first, from the course's delays: a word out of `paths`, written
    "ignition,fuel,throttle".
    """
    course = shipped().control_values()
    plate = shipped().vehicles()["rear_petrol"]
    delays = {
        "ignition": course["ignition_delay_s"],
        "fuel": course["fuel_delay_s"],
        "throttle": 1 / plate["throttle_rate_per_s"] + plate["intake_time_s"],
        "motor": course["message_delay_s"],
    }
    return min(paths.split(","), key=delays.get)


def reach(target, full):
    """Can late ignition alone, which leaves a half of the torque, reach a target: "enough" or
    "not".
    """
    least = shipped().control_values()["ignition_min"]
    return "enough" if target >= least * full else "not"


def throttle_alone(delay, allowed, gain):
    """Does a path with a delay [ms] keep the gain below what is allowed [km/h] at a gain rate
    [m/s²]: "yes" or "no".
    """
    return "yes" if overshoot(gain, delay) <= allowed else "no"


def not_close(delay, allowed, gain):
    """True if the answer to that is clear."""
    return abs(overshoot(gain, delay) / allowed - 1) > 0.15


def plate_time(angle, step, rate):
    """Time [ms] of a plate that a stepper moves."""
    return step_time(steps(angle, step), rate)
