"""Wheel-speed sensor: its signal, the teeth that the input stage makes of it, and the speed that
the control unit reads.
"""

from dataclasses import dataclass

import numpy as np

from tractionlab.panels.base import Choice, Panel, Slider
from tractionlab.panels.ring import ring_closeup
from tractionlab.run.assembly import settings_of
from tractionlab.run.scenario import Scenario
from tractionlab.sensors.parts import wheel_sensor, wheel_sensors
from tractionlab.sensors.ring import WheelSensor, tooth_frequency
from tractionlab.sensors.waveform import (
    level_voltages,
    rising_edges,
    sensor_voltage,
    speed_from_edges,
    start_speed,
    switch,
    switching_levels,
)
from tractionlab.units import IN_KMH, MM
from tractionlab.view import Chart, Figure, Line, View

RINGS = {
    "sound": "sound",
    "missing": "one tooth missing",
    "cracked": "cracked, one space too wide",
    "eccentric": "eccentric by 0.4 mm",
}
_FAULT = {
    "sound": {},
    "missing": {"missing": 0.0},
    "cracked": {"crack": 0.5},
    "eccentric": {"runout": 0.4 * MM},
}
_RISE, _SECONDS, _STEP = 2.0, 3.0, 5e-5  # s: run-up, whole run, distance of samples
_MOST_POINTS = 5000


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A sensor through a run: time, true speed, angle of the ring, voltage, input stage high or low
    (n,); the control unit's time and speed (m,). SI units.
    """

    sensor: WheelSensor
    radius: float
    time: np.ndarray
    speed: np.ndarray
    angle: np.ndarray
    voltage: np.ndarray
    high: np.ndarray
    cycle_time: np.ndarray
    read: np.ndarray

    @property
    def held(self):
        """What the control unit reads while the speed is steady [km/h]."""
        return self.read[self.cycle_time > _RISE + 0.3] * IN_KMH


def reading_of(values):
    """Reading for the panel's values: the wheel runs up to its speed in two seconds and keeps it; a
    faulty place passes in mid-window.
    """
    sensor = wheel_sensor(
        values["kind"],
        gap=values["gap"] * MM,
        teeth=float(values["teeth"]),
        **_FAULT[values["ring"]],
    )
    settings = settings_of(Scenario())
    time = np.arange(0.0, _SECONDS, _STEP)
    top = values["speed"] / IN_KMH
    speed = top * np.minimum(time / _RISE, 1.0)
    angle = (
        top * np.where(time < _RISE, time**2 / (2.0 * _RISE), time - _RISE / 2.0) / settings.radius
    )
    angle -= np.interp(_SECONDS - 0.5e-3 * float(values["window"]), time, angle)
    voltage = sensor_voltage(time, angle, sensor, values["noise"] * 1e-3)
    high = switch(voltage, *switching_levels(sensor))
    cycle_time, read, _ = speed_from_edges(rising_edges(time, high), _SECONDS, settings)
    return Reading(
        sensor=sensor,
        radius=settings.radius,
        time=time,
        speed=speed,
        angle=angle,
        voltage=voltage,
        high=high,
        cycle_time=cycle_time,
        read=read,
    )


def sensor_view(values):
    """Picture of a sensor; values: kind, gap [mm], speed [km/h], noise [mV], teeth, ring, window
    [ms].
    """
    got = reading_of(values)
    window = float(values["window"])
    span = slice(
        len(got.time) - round(window * 1e-3 / _STEP),
        None,
        max(1, round(window * 1e-3 / _STEP / _MOST_POINTS)),
    )
    shown = (got.time[span] - got.time[span][0]) * 1e3
    lower, upper = switching_levels(got.sensor)
    signal = Chart(
        title="Signal of the sensor",
        x="time [ms]",
        y="voltage [V]",
        x_range=(0.0, window),
        over_time=True,
        lines=(
            Line(label="signal", x=shown, y=got.voltage[span], style=0),
            Line(label="high from here", x=shown[[0, -1]], y=np.full(2, upper), style=2),
            Line(label="low from here", x=shown[[0, -1]], y=np.full(2, lower), style=1),
        ),
    )
    counted = Chart(
        title="After the input stage",
        x="time [ms]",
        y="level [0 low, 1 high]",
        x_range=(0.0, window),
        y_range=(-0.2, 1.2),
        over_time=True,
        lines=(Line(label="low or high", x=shown, y=got.high[span].astype(float), style=0),),
    )
    speeds = Chart(
        title="Speed of the wheel",
        x="time [s]",
        y="speed [km/h]",
        lines=(
            Line(label="true", x=got.time[::200], y=got.speed[::200] * IN_KMH, style=0),
            Line(
                label="as the control unit reads it", x=got.cycle_time, y=got.read * IN_KMH, style=2
            ),
        ),
    )
    return View(
        charts=(signal, speeds, counted),
        sentence=_sentence(values, got),
        figures=_figures(values, got),
        closeup=ring_closeup(shown, got.angle[span], got.sensor),
    )


def swing(got):
    """Voltage from peak to peak while the speed is steady [V]."""
    return float(np.ptp(got.voltage[got.time > _RISE]))


def _figures(values, got):
    start = start_speed(got.sensor, got.radius) * IN_KMH
    held = got.held
    return (
        Figure(
            label="Teeth in a second",
            value=f"{tooth_frequency(got.speed[-1] / got.radius, got.sensor):.0f}",
            unit="Hz",
        ),
        Figure(label="Signal, peak to peak", value=f"{swing(got):.2f}", unit="V"),
        Figure(
            label="Signal starts at",
            value=f"{start:.1f}" if np.isfinite(start) else "no speed",
            unit="km/h" if np.isfinite(start) else "",
            held=True,
        ),
        Figure(label="Control unit reads", value=f"{held.mean():.1f}", unit="km/h"),
        Figure(
            label="Lowest and highest", value=f"{held.min():.1f} to {held.max():.1f}", unit="km/h"
        ),
    )


def _sentence(values, got):
    kind = wheel_sensors()[values["kind"]].name
    text = (
        f"{kind}, {values['gap']:g} mm gap, {values['teeth']:g} teeth, ring"
        f" {RINGS[values['ring']]}, at {values['speed']:g} km/h: {_signal(values, got)}. "
    )
    held = got.held
    if not held.any():
        return text + "The control unit reads 0 km/h."
    text += f"The control unit reads {held.mean():.1f} km/h on average"
    if np.ptp(held) > 0.03 * max(held.mean(), 1.0):
        text += f", but at times {held.min():.1f} and at times {held.max():.1f} km/h"
    return text + "."


def _signal(values, got):
    sensor = got.sensor
    if sensor.active == 1.0:
        low, high = level_voltages()
        if got.high.any() and not got.high.all():
            return (
                f"the signal jumps between {low:.2f} and {high:.2f} V, at this speed as at any"
                " other"
            )
        return f"the signal stays at {low:.2f} V" + (
            ", for the gap is too large" if sensor.gap > sensor.gap_limit else ""
        )
    if values["speed"] == 0:
        return "the ring stands, so there is no signal" + (
            " but the disturbance" if values["noise"] else ""
        )
    found = swing(got)
    return (
        f"the signal has {found:.3g} V from peak to peak and {sensor.threshold:.2f} V are needed"
        + ("" if found >= sensor.threshold else ", so it is too small")
    )


def sensor_panel(locked_by=None, ring=True):
    """Wheel-speed sensor at a steady speed; with `ring` its ring may be faulty, else the line to
    the control unit may be disturbed.
    """
    sound = {"teeth": 48, "ring": "sound", "noise": 0}
    controls = [
        Choice(
            "kind",
            "Sensor",
            tuple((key, entry.name) for key, entry in wheel_sensors().items()),
            "passive",
        ),
        Slider("gap", "Gap", "mm", 0.3, 5.0, 0.1, 0.8),
        Slider("speed", "Speed of the car", "km/h", 0, 100, 0.5, 30 if ring else 5),
    ]
    if ring:
        controls += [
            Choice("ring", "Ring", tuple(RINGS.items()), "sound"),
            Slider("teeth", "Teeth on the ring", "", 40, 56, 1, 48),
        ]
    else:
        controls.append(Slider("noise", "Disturbance, either way", "mV", 0, 200, 5, 0))
    controls.append(
        Choice(
            "window",
            "Time shown",
            (("50", "50 ms"), ("250", "250 ms"), ("1000", "1000 ms")),
            "50" if ring else "250",
        )
    )
    title = "Sensor and ring" if ring else "Sensor, gap and speed"
    return Panel(
        title, controls, lambda values: sensor_view({**sound, **values}), locked_by=locked_by
    )
