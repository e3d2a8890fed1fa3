"""The second routes of `keys/waves.py` for the proof: what a picture shows is read from its
points, as a candidate does. Same names and units.
"""

import numpy as np

from tractionlab.assess.keys import pictures as w


def _points(charts, number=0):
    line = charts[number].lines[0]
    return line.x, line.y


def _rises(x, y, level):
    """Times at which a curve climbs through a level, between the points."""
    k = np.flatnonzero((y[:-1] < level) & (y[1:] >= level))
    return x[k] + (level - y[k]) / (y[k + 1] - y[k]) * (x[k + 1] - x[k])


def frequency_read(charts, number=0):
    """Frequency [Hz] of a wave: periods over their time."""
    x, y = _points(charts, number)
    times = _rises(x, y, 0.5 * (y.max() + y.min()))
    return 1000 * (len(times) - 1) / (times[-1] - times[0])


def swing(speed, radius, teeth, gap):
    """Highest less lowest point."""
    _, y = _points(w.passive(speed, radius, teeth, gap))
    return float(y.max() - y.min())


def _swings(charts):
    """Highest less lowest point of each period."""
    x, y = _points(charts)
    times = _rises(x, y, 0.0)
    return [float(np.ptp(y[(x >= a) & (x <= b)])) for a, b in zip(times, times[1:])]


def largest_swing(speed, radius, teeth, gap, wobble):
    """The largest of all periods."""
    return max(_swings(w.runout(speed, radius, teeth, gap, wobble)))


def smallest_swing(speed, radius, teeth, gap, wobble):
    """The smallest of all periods."""
    return min(_swings(w.runout(speed, radius, teeth, gap, wobble)))


def turn_time(speed, radius):
    """Time between two gaps of a ring without one tooth."""
    x, y = _points(w.missing(speed, radius, 48))
    times = _rises(x, y, 0.3 * y.max())
    apart = np.diff(times)
    gaps = times[:-1][apart > 1.5 * np.median(apart)]
    return float(gaps[1] - gaps[0])


def active_low(resistor, leak):
    """Lowest level of the picture."""
    return float(_points(w.active(20, 0.305, 48, resistor, leak))[1].min())


def active_high(resistor, leak):
    """Highest level of the picture."""
    return float(_points(w.active(20, 0.305, 48, resistor, leak))[1].max())


def slipping_frequency(speed, radius, teeth, slip):
    """Read from the picture of the right wheel."""
    return frequency_read(w.two_wheels(speed, radius, teeth, slip), 1)


def pump_peak(inrush, steady, fall):
    """Highest point."""
    return float(_points(w.pump(inrush, steady, fall))[1].max())


def pump_steady(inrush, steady, fall):
    """Last point."""
    return float(_points(w.pump(inrush, steady, fall))[1][-1])


def _levels(charts):
    """(time, value) of the middle of each flat piece of a staircase."""
    x, y = _points(charts)
    flat = np.abs(np.diff(y)) < 1e-12
    edges = np.flatnonzero(np.diff(flat.astype(int)))
    pieces = [(a, b) for a, b in zip(edges, edges[1:]) if flat[a + 1]]
    return [(0.5 * (x[a] + x[b]), y[(a + b) // 2]) for a, b in pieces]


def step_height(start, step, open_ms, period):
    """From one flat piece to the next."""
    flat = _levels(w.pulses(start, step, open_ms, period))
    return float(np.mean(np.diff([value for _, value in flat])))


def step_apart(start, step, open_ms, period):
    """From one flat piece to the next."""
    flat = _levels(w.pulses(start, step, open_ms, period))
    return float(np.mean(np.diff([time for time, _ in flat])))


def rise_time(start, step, period, target):
    """Whole and part periods counted."""
    time, pressure = 0.0, float(start)
    while pressure + step < target:
        pressure, time = pressure + step, time + period
    return time + period * (target - pressure) / step


def duty_frequency(share, hertz, supply):
    """Read from the picture."""
    return frequency_read(w.duty(share, hertz, supply))


def duty_share(share, hertz, supply):
    """Points that are on, over whole periods."""
    x, y = _points(w.duty(share, hertz, supply))
    times = _rises(x, y, supply / 2)
    inside = (x >= times[0]) & (x < times[-1])
    return 100 * float(np.mean(y[inside] > supply / 2))


def shut_voltage(closed, opened, travel):
    """First point."""
    return float(_points(w.sweep(closed, opened, travel))[1][0])


def open_voltage(closed, opened, travel):
    """Last point."""
    return float(_points(w.sweep(closed, opened, travel))[1][-1])


def gap_length(speed, gap_ms, every):
    """Points at nothing in the first gap."""
    x, y = _points(w.dropouts(speed, gap_ms, every))
    falls, rises = x[1:][(y[:-1] > 0) & (y[1:] == 0)], x[1:][(y[:-1] == 0) & (y[1:] > 0)]
    return float(rises[0] - falls[0])


def gap_apart(speed, gap_ms, every):
    """From one fall to the next."""
    x, y = _points(w.dropouts(speed, gap_ms, every))
    falls = x[1:][(y[:-1] > 0) & (y[1:] == 0)]
    return float(falls[1] - falls[0])
