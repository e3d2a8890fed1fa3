"""The driver: pedals over time, and steering that keeps the car in its lane. Gears and clutch are
in `gear_change`.
"""

from typing import NamedTuple


class Driver(NamedTuple):
    """What the driver does.

    Times in s, pressures in Pa, angles in rad, engine speeds in rad/s; pedal 0..1. `gear` is the
    number of a gear that stays in, 0 if the driver chooses; `clutch` one of DRIVER, SHUT and OPEN
    in `gear_change`. `hold_torque` is what the hand brake holds at each rear wheel before the car
    pulls away [N m], 0 if it is not pulled.
    """

    start: float
    pedal: float
    pedal_rise: float
    pedal_until: float
    pedal_fall: float
    brake_pressure: float
    brake_from: float
    brake_until: float
    brake_rise: float
    brake_fall: float
    gear: float
    clutch: float
    clutch_open: float
    clutch_close: float
    clutch_soft: float
    clutch_match: float
    shift: float
    shift_up: float
    shift_up_easy: float
    shift_fit: float
    shift_down: float
    hold_torque: float
    hold_longest: float
    steer: float
    keep_lane: float
    lane_gain: float
    heading_gain: float
    steer_most: float
    steer_lag: float
    control_off: float


def ramp(t, begin, duration):
    """0 before `begin`, 1 after `begin + duration`, a straight line between [-]."""
    if t <= begin:
        return 0.0
    if t >= begin + duration:
        return 1.0
    return (t - begin) / duration


def pedal_at(t, driver):
    """Accelerator pedal at time t, 0..1; a gear change lifts it besides."""
    pressed = ramp(t, driver.start, driver.pedal_rise)
    return driver.pedal * pressed * (1.0 - ramp(t, driver.pedal_until, driver.pedal_fall))


def brake_at(t, driver):
    """Pressure from the brake pedal at time t [Pa]."""
    pressed = ramp(t, driver.brake_from, driver.brake_rise)
    return driver.brake_pressure * pressed * (1.0 - ramp(t, driver.brake_until, driver.brake_fall))


def lets_go(t, pull, hill, driver):
    """True from when the driver lets go of the hand brake: the drive pulls [N] as hard as the hill,
    or it is too long since the accelerator began to go down.
    """
    return pull >= hill or t >= driver.start + driver.hold_longest


def steer_after(before, y, yaw, elapsed, driver):
    """Steering angle at the road wheels [rad], `elapsed` s after it was `before`: straightens the
    car in its lane, with a lag.
    """
    wanted = driver.steer
    if driver.keep_lane == 1.0:
        wanted -= driver.lane_gain * y + driver.heading_gain * yaw
    wanted = min(driver.steer_most, max(-driver.steer_most, wanted))
    return before + (wanted - before) * min(1.0, elapsed / driver.steer_lag)
