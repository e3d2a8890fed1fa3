"""Keys of the waveform items: what can be read from the pictures of `keys/pictures.py`, and what
follows. Units as in the items.
"""

from tractionlab.assess.keys.sensing import frequency_at, rpm
from tractionlab.sensors.parts import wheel_sensors
from tractionlab.sensors.ring import TURN
from tractionlab.units import IN_KMH


def active_low(resistor, leak):
    """Low level [V]."""
    return (wheel_sensors()["active"]["low_mA"] + leak) * resistor / 1000


def active_high(resistor, leak):
    """High level [V]."""
    return (wheel_sensors()["active"]["high_mA"] + leak) * resistor / 1000


def turn_time(speed, radius):
    """Time of one turn [ms]."""
    return 60000 / rpm(speed, radius)


def tooth_gap_time(speed, radius, teeth):
    """Trap: time of one tooth [ms]."""
    return 1000 / frequency_at(speed, radius, teeth)


def speed_of_turn(turn, radius):
    """Speed [km/h] from the time of one turn [ms]."""
    return TURN * radius / (turn / 1000) * IN_KMH


def speed_of_turn_ms(turn, radius):
    """Trap: m/s given for km/h."""
    return TURN * radius / (turn / 1000)


def _swing(speed, radius, teeth, gap):
    v = wheel_sensors()["passive"]
    hertz = frequency_at(speed, radius, teeth)
    return v["volts_per_hertz"] * hertz * (v["reference_gap_mm"] / gap) ** 1.5


def largest_swing(speed, radius, teeth, gap, wobble):
    """Largest voltage peak to peak [V] within a turn."""
    return _swing(speed, radius, teeth, gap - wobble)


def smallest_swing(speed, radius, teeth, gap, wobble):
    """Smallest voltage peak to peak [V] within a turn."""
    return _swing(speed, radius, teeth, gap + wobble)


def slipping_frequency(speed, radius, teeth, slip):
    """Frequency [Hz] of the wheel that slips."""
    return frequency_at(speed / (1 - slip / 100), radius, teeth)


def slip_of_frequencies(left, right):
    """Slip [%] by wheel speed from two frequencies."""
    return 100 * (right - left) / right


def slip_by_slow(left, right):
    """Trap: divided by the slower one."""
    return 100 * (right - left) / left


def rise_time(start, step, period, target):
    """Time [ms] until the pressure gets from start to target, in whole periods."""
    return (target - start) / step * period


def pump_average(inrush, steady):
    """Trap: mean of peak and steady value."""
    return (inrush + steady) / 2


def motor_power(steady, voltage):
    """Power [W] taken at a voltage."""
    return steady * voltage


def sweep_rate(angle, travel):
    """Steps a second of 0.36 degrees from the angle [degrees] and the time [ms]."""
    return angle / 0.36 / (travel / 1000)


def off_share(share):
    """Trap: the time off [%]."""
    return 100.0 - share


def hertz_of_period(hertz):
    """Trap: the period in ms given as frequency."""
    return 1000 / hertz


def coil_mean_current(share, supply, coil):
    """Mean current [A] of a coil."""
    return share / 100 * supply / coil


def coil_full_current(supply, coil):
    """Trap: always on."""
    return supply / coil


def way_between(speed, every):
    """Distance [m] between two bumps."""
    return speed / IN_KMH * every / 1000


def way_kmh(speed, every):
    """Trap: km/h put in for m/s."""
    return speed * every / 1000


def swing(speed, radius, teeth, gap):
    """Voltage peak to peak [V]."""
    return _swing(speed, radius, teeth, gap)


def swing_half(speed, radius, teeth, gap):
    """Trap: from the middle to the top."""
    return _swing(speed, radius, teeth, gap) / 2


def rpm_of_turn(turn):
    """Turning speed [rpm] from the time of one turn [ms]."""
    return 60000 / turn


def turns_a_second(turn):
    """Trap: turns in a second."""
    return 1000 / turn


def pump_peak(inrush, steady, fall):
    """Peak current [A]."""
    return float(inrush)


def pump_steady(inrush, steady, fall):
    """Steady current [A]."""
    return float(steady)


def step_height(start, step, open_ms, period):
    """Height of a step [bar]."""
    return float(step)


def step_apart(start, step, open_ms, period):
    """Time from step to step [ms]."""
    return float(period)


def duty_frequency(share, hertz, supply):
    """Frequency [Hz] of a switched coil."""
    return float(hertz)


def duty_share(share, hertz, supply):
    """Share of the time on [%]."""
    return float(share)


def shut_voltage(closed, opened, travel):
    """Voltage [V] when shut."""
    return float(closed)


def open_voltage(closed, opened, travel):
    """Voltage [V] when open."""
    return float(opened)


def gap_length(speed, gap_ms, every):
    """Length of one gap [ms]."""
    return float(gap_ms)


def gap_apart(speed, gap_ms, every):
    """Time from gap to gap [ms]."""
    return float(every)
