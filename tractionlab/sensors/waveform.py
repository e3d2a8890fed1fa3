"""From a turning ring to the speed that the control unit knows: voltage, switching with hysteresis,
teeth, speed.
"""

from math import pi

import numpy as np

from tractionlab.sensors.counting import read_wheel
from tractionlab.sensors.parts import wheel_sensors
from tractionlab.sensors.ring import TURN, passive_amplitude, tooth_gap, tooth_shift


def tooth_phase(angle, sensor):
    """(number of the nearest tooth, distance to it in tooth pitches from -0.5 to 0.5) at each ring
    angle [rad], arrays (n,).
    """
    count = int(sensor.teeth)
    places = np.array([k + tooth_shift(float(k), sensor) for k in range(count)])
    around = np.concatenate((places[-1:] - count, places, places[:1] + count))
    turns = np.interp(
        np.mod(np.asarray(angle) * count / TURN, count), around, np.arange(-1, count + 1)
    )
    number = np.rint(turns)
    return np.mod(number, count).astype(int), turns - number


def sensor_voltage(time, angle, sensor, noise=0.0, seed=1):
    """Voltage [V] at the control unit's input over a run.

    Passive: the coil sees the flux of each tooth rise and fall. Active: two currents over the
    measuring resistor, steady when the gap is too large.

    Parameters
    ----------
    time : array (n,) [s], evenly spaced
    angle : array (n,), angle of the wheel [rad]
    noise : float, largest disturbance to either side [V]: a random curve through one point each
        millisecond, the same for the same `seed`
    """
    number, distance = tooth_phase(angle, sensor)
    gaps = np.array([tooth_gap(float(k), sensor) for k in range(int(sensor.teeth))])
    present = np.arange(int(sensor.teeth)) != sensor.missing
    frequency = np.gradient(angle, time) * sensor.teeth / TURN
    if sensor.connected == 0.0:
        voltage = np.zeros(len(time))
    elif sensor.active == 1.0:
        low, high = level_voltages()
        near = present & (gaps <= sensor.gap_limit)
        on = near[number] & (distance < 0.0) & (np.abs(frequency) <= sensor.frequency_limit)
        voltage = np.where(on, high, low)
    else:
        swing = np.array([passive_amplitude(1.0, gap, sensor) for gap in gaps]) * present
        voltage = -0.5 * swing[number] * frequency * np.sin(2.0 * pi * distance)
    if noise > 0.0:
        points = np.arange(time[0], time[-1] + 1e-3, 1e-3)
        voltage = voltage + np.interp(
            time, points, np.random.default_rng(seed).uniform(-noise, noise, len(points))
        )
    return voltage


def level_voltages():
    """(low, high) [V] of an active sensor over the measuring resistor."""
    v = wheel_sensors()["active"]
    return 1e-3 * v["low_mA"] * v["resistor_ohm"], 1e-3 * v["high_mA"] * v["resistor_ohm"]


def switching_levels(sensor):
    """(lower, upper) voltage [V] at which the input stage takes the signal for low and for high."""
    middle = 0.5 * sum(level_voltages()) if sensor.active == 1.0 else 0.0
    return middle - 0.5 * sensor.threshold, middle + 0.5 * sensor.threshold


def switch(voltage, lower, upper):
    """Output of an input stage with hysteresis, bool array (n,): goes high at `upper`, low at
    `lower`, else stays.
    """
    level = np.where(voltage >= upper, 1, np.where(voltage <= lower, 0, -1))
    last = np.maximum.accumulate(np.where(level >= 0, np.arange(len(level)), 0))
    return level[last] == 1


def rising_edges(time, high):
    """Times [s] at which the output goes high."""
    return time[1:][high[1:] & ~high[:-1]]


def speed_from_edges(edges, duration, settings):
    """(time [s], speed [m/s], acceleration [m/s^2]) of a wheel as the control unit works them out
    cycle by cycle from edge times [s].
    """
    cycles = int(round(duration / settings.cycle))
    time = settings.cycle * np.arange(cycles + 1)
    after = np.searchsorted(edges, time, side="right")
    speed, rate = np.zeros(cycles + 1), np.zeros(cycles + 1)
    last, share = -1.0, settings.cycle / (settings.cycle + settings.rate_filter)
    for k in range(1, cycles + 1):
        teeth = float(after[k] - after[k - 1])
        tooth_time = float(edges[after[k] - 1]) if teeth else 0.0
        speed[k], last = read_wheel(
            teeth, tooth_time, time[k], speed[k - 1], last, settings.tooth_pitch
        )
        rate[k] = rate[k - 1] + share * ((speed[k] - speed[k - 1]) / settings.cycle - rate[k - 1])
    return time, speed, rate


def level_of(current_mA):
    """What a current [mA] of an active sensor is taken for: 'low', 'high', or 'none' when it is no
    valid level.
    """
    v = wheel_sensors()["active"]
    for name in ("low", "high"):
        nominal = v[f"{name}_mA"]
        if abs(current_mA - nominal) <= v["level_tolerance"] * nominal + 1e-9:
            return name
    return "none"


def start_speed(sensor, radius):
    """Car speed [m/s] from which a sound ring gives a signal; infinity when it never does.

    Tyre `radius` in m.
    """
    if sensor.active == 1.0:
        return 0.0 if sensor.gap <= sensor.gap_limit else float("inf")
    return (
        sensor.threshold / passive_amplitude(1.0, sensor.gap, sensor) / sensor.teeth * TURN * radius
    )
