"""What the wheel-speed sensors tell: flanks of teeth counted while the wheels turn, and the speeds
that the control unit makes of them.
"""

from math import floor
from typing import NamedTuple

from tractionlab.control import settings as s
from tractionlab.control.hydraulics import CODED_A, CODED_B
from tractionlab.sensors.counting import read_wheel
from tractionlab.sensors.ring import TURN, edges_between

# Rows of the counters (COUNTERS, 4): angle of the ring [rad], flanks of this cycle, time of the
# last one [s], speed as read [m/s],
# time of the last flank of the cycles before [s].
ANGLE, FLANKS, FLANK_TIME, READ, LAST = range(5)
COUNTERS = 5


class Steps(NamedTuple):
    """In which steps the control unit sees its sensors: accelerator pedal 0..1, the
    rest in SI. `low_pressure`: where the warning contact of the pressure switch closes [Pa];
    `low_level`: fluid in the reservoir under which its float closes the level switch [m^3]."""

    throttle: float
    engine_speed: float
    yaw_rate: float
    steering: float
    pedal_pressure: float
    low_pressure: float
    low_level: float


def in_steps(value, step):
    """The value as a converter with this step gives it."""
    return step * floor(value / step + 0.5)


def read_signals(sensors, chamber, accumulator, fluid, layout, yaw_sensor, steps):
    """Replace true values in `sensors` by what the control unit sees; pressures in Pa, fluid in the
    reservoir in m^3. Only layout B has a pressure sensor behind the pedal, only layout A a pressure
    switch at the accumulator, and not every car sensors of yaw rate and steering angle."""
    sensors[s.SENSE_PEDAL] = in_steps(sensors[s.SENSE_PEDAL], steps.throttle)
    sensors[s.SENSE_ENGINE_SPEED] = in_steps(sensors[s.SENSE_ENGINE_SPEED], steps.engine_speed)
    sensors[s.SENSE_YAW_RATE] = (
        in_steps(sensors[s.SENSE_YAW_RATE], steps.yaw_rate) if yaw_sensor == 1.0 else 0.0
    )
    sensors[s.SENSE_STEERING] = (
        in_steps(sensors[s.SENSE_STEERING], steps.steering) if yaw_sensor == 1.0 else 0.0
    )
    sensors[s.SENSE_PEDAL_PRESSURE] = (
        max(0.0, in_steps(chamber, steps.pedal_pressure)) if layout == CODED_B else 0.0
    )
    sensors[s.SENSE_LOW_PRESSURE] = (
        1.0 if layout == CODED_A and accumulator < steps.low_pressure else 0.0
    )
    sensors[s.SENSE_LOW_LEVEL] = 1.0 if fluid < steps.low_level else 0.0


def tooth_near(low, high, ring):
    """True if a tooth may pass between two angles [rad]: a multiple of the pitch, give or take how
    far any tooth stands from its place.
    """
    pitch = TURN / ring.teeth
    shift = (
        pitch * (ring.pitch_error + ring.crack + ring.runout / ring.ring_radius * ring.teeth / TURN)
        + 1e-9
    )
    return floor((low - shift) / pitch) != floor((high + shift) / pitch)


def count_flanks(i, t, dt, turned, speed, rings, counters):
    """Turn ring i on by an angle [rad] from time t on, within dt [s], and count the flanks that
    pass: the rising one of each tooth, and half a pitch behind it the falling one. `speed` is that
    of the wheel at the end [rad/s]."""
    ring = rings[i]
    start = counters[ANGLE, i]
    end = start + turned
    counters[ANGLE, i] = end
    low, high, newest = min(start, end), max(start, end), t
    evenness = min(2.0, max(0.0, 2.0 - speed * dt / turned)) if turned != 0.0 else 1.0
    for behind in (0.0, 0.5 * TURN / ring.teeth):
        if tooth_near(low - behind, high - behind, ring):
            count, last = edges_between(start - behind, end - behind, t, t + dt, ring, evenness)
            if count > 0.0:
                counters[FLANKS, i] += count
                newest = max(newest, last)
                counters[FLANK_TIME, i] = newest


def read_speeds(t, pitch, counters):
    """Speeds of the four wheels as the control unit reads them at time t, into row READ; the
    counters start again.

    `pitch` is the distance from tooth to tooth [m].
    """
    for i in range(4):
        speed, last = read_wheel(
            counters[FLANKS, i],
            counters[FLANK_TIME, i],
            t,
            counters[READ, i],
            counters[LAST, i],
            0.5 * pitch,
        )
        counters[READ, i], counters[LAST, i], counters[FLANKS, i] = speed, last, 0.0
