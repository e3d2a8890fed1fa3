"""The driver: pedals over time, and steering that keeps the car in its lane."""

from typing import NamedTuple


class Driver(NamedTuple):
    """What the driver does.

    Times in s, pressures in Pa, angles in rad; pedal 0..1.
    """

    start: float
    pedal: float
    pedal_rise: float
    brake_pressure: float
    brake_from: float
    brake_until: float
    brake_ramp: float
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
    """Accelerator pedal at time t, 0..1."""
    return driver.pedal * ramp(t, driver.start, driver.pedal_rise)


def brake_at(t, driver):
    """Pressure from the brake pedal at time t [Pa]."""
    if driver.brake_pressure == 0.0 or t < driver.brake_from:
        return 0.0
    on = 1.0
    if driver.brake_from > 0.0:
        on = ramp(t, driver.brake_from, driver.brake_ramp)
    return driver.brake_pressure * on * (1.0 - ramp(t, driver.brake_until, driver.brake_ramp))


def steer_after(before, y, yaw, elapsed, driver):
    """Steering angle at the road wheels [rad], `elapsed` s after it was `before`: straightens the
    car in its lane, with a lag.
    """
    wanted = driver.steer
    if driver.keep_lane == 1.0:
        wanted -= driver.lane_gain * y + driver.heading_gain * yaw
    wanted = min(driver.steer_most, max(-driver.steer_most, wanted))
    return before + (wanted - before) * min(1.0, elapsed / driver.steer_lag)
