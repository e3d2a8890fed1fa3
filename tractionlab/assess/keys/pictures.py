"""Waveforms of the reading items as charts.

Values come in the units of the items: km/h, mm, Hz, V, A, ms, bar.
"""

import numpy as np

from tractionlab.assess.keys.sensing import frequency_at, rpm
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.waveform import sensor_voltage
from tractionlab.units import IN_KMH, MM
from tractionlab.view import Chart, Line

_POINTS = 3000


def _chart(title, x, y, *lines, unit="ms"):
    return (
        Chart(
            title=title,
            x=f"time [{unit}]",
            y=y,
            over_time=False,
            lines=tuple(
                Line(label=label, x=x, y=values, style=i) for i, (label, values) in enumerate(lines)
            ),
        ),
    )


def _signal(kind, speed, radius, teeth, span, noise=0.0, **changes):
    """(time [ms], voltage [V]) of a wheel at a steady speed [km/h] over `span` seconds."""
    time = np.linspace(0.0, span, _POINTS)
    sensor = wheel_sensor(kind, teeth=float(teeth), **changes)
    return 1000 * time, sensor_voltage(time, speed / IN_KMH / radius * time + 0.01, sensor, noise)


def passive(speed, radius, teeth, gap):
    """Six periods of a passive sensor."""
    x, volts = _signal(
        "passive",
        speed,
        radius,
        teeth,
        6 / frequency_at(speed, radius, teeth),
        gap=gap * MM,
        pitch_error=0.0,
    )
    return _chart("Voltage of a wheel-speed sensor", x, "voltage [V]", ("sensor", volts))


def active(speed, radius, teeth, resistor, leak):
    """Six periods of an active sensor over a measuring resistor [ohm], with a leak current [mA] on
    top.
    """
    x, volts = _signal(
        "active", speed, radius, teeth, 6 / frequency_at(speed, radius, teeth), pitch_error=0.0
    )
    return _chart(
        "Voltage over the measuring resistor",
        x,
        "voltage [V]",
        ("sensor", volts * resistor / 100 + leak * resistor / 1000),
    )


def missing(speed, radius, teeth):
    """A bit more than two turns of a ring without one tooth."""
    turn = 60 / rpm(speed, radius)
    x, volts = _signal("passive", speed, radius, teeth, 2.3 * turn, missing=7.0, pitch_error=0.0)
    return _chart("Voltage of a wheel-speed sensor", x, "voltage [V]", ("sensor", volts))


def runout(speed, radius, teeth, gap, wobble):
    """Two turns over a ring that runs out of true by `wobble` [mm]."""
    turn = 60 / rpm(speed, radius)
    x, volts = _signal(
        "passive",
        speed,
        radius,
        teeth,
        2.2 * turn,
        gap=gap * MM,
        runout=wobble * MM,
        pitch_error=0.0,
    )
    return _chart("Voltage of a wheel-speed sensor", x, "voltage [V]", ("sensor", volts))


def two_wheels(speed, radius, teeth, slip):
    """Left wheel rolls at a speed [km/h], the right one turns faster by its slip [%]."""
    span = 8 / frequency_at(speed, radius, teeth)
    x, left = _signal("passive", speed, radius, teeth, span, pitch_error=0.0)
    _, right = _signal("passive", speed / (1 - slip / 100), radius, teeth, span, pitch_error=0.0)
    return (
        *_chart("Left driven wheel", x, "voltage [V]", ("left", left)),
        *_chart("Right driven wheel", x, "voltage [V]", ("right", right)),
    )


def pulses(start, step, open_ms, period):
    """Pressure that rises in ten steps, inlet open for part of each period."""
    time = np.linspace(0.0, 10.5 * period, _POINTS)
    number = np.floor(time / period)
    part = np.clip((time - number * period) / open_ms, 0.0, 1.0)
    return _chart(
        "Pressure in a wheel brake",
        time,
        "pressure [bar]",
        ("wheel", start + step * (number + part)),
    )


def pump(inrush, steady, fall):
    """Current of a pump motor: a peak, then down to a steady value with a time constant [ms]."""
    time = np.linspace(-50.0, 500.0, _POINTS)
    current = np.where(
        time < 0, 0.0, steady + (inrush - steady) * np.exp(-np.maximum(time, 0.0) / fall)
    )
    return _chart("Current of the pump motor", time + 50, "current [A]", ("clamp", current))


def sweep(closed, opened, travel):
    """Voltage of a throttle sensor: shut, opened in `travel` ms, open."""
    time = np.linspace(0.0, 2.5 * travel, _POINTS)
    share = np.clip((time - 0.5 * travel) / travel, 0.0, 1.0)
    return _chart(
        "Voltage of the throttle sensor",
        time,
        "voltage [V]",
        ("sensor", closed + (opened - closed) * share),
    )


def duty(share, hertz, supply):
    """Voltage over a valve coil that is switched on for a share [%] of each period."""
    period = 1000 / hertz
    time = np.linspace(0.0, 5.2 * period, _POINTS)
    on = (time / period - np.floor(time / period)) < share / 100
    return _chart(
        "Voltage over a valve coil", time, "voltage [V]", ("coil", np.where(on, supply, 0.0))
    )


def dropouts(speed, gap_ms, every):
    """Live speed of one wheel [km/h] that drops to nothing for a time at every bump."""
    time = np.linspace(0.0, 3.4 * every, _POINTS)
    place = time - every * np.floor(time / every)
    lost = (place > 0.6 * every) & (place < 0.6 * every + gap_ms)
    return _chart(
        "Live data: speed of the front left wheel",
        time,
        "speed [km/h]",
        ("front left", np.where(lost, 0.0, float(speed))),
    )
