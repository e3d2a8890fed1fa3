"""Air in the closed passages of layout B: a hard pedal before, a slow build-up and a low pedal
after the first control.
"""

import numpy as np

from tractionlab.bench.bench import Bench
from tractionlab.hydraulics.faults import with_fault
from tractionlab.panels.base import Panel, Slider
from tractionlab.view import Chart, Figure, Line, View
from tractionlab.workshop.hydraulic_bay import air_travel

_SECONDS, _TARGET = 1.5, 40.0


def build_up(air, temperature=20.0):
    """(time [s], front left pressure [bar]) of traction control with free air [cm3] in the line of
    circuit 1.
    """
    bench = Bench(
        "B",
        temperature=temperature,
        fit=(lambda circuit: with_fault(circuit, "line_1", "air", air)) if air else None,
    )
    bench.mode("tc_increase")
    bench.run(_SECONDS)
    return bench.time, bench.wheel("FL")


def air_view(values):
    """Picture of a build-up with air; values: air [cm3], pedal [bar], temperature [degC]."""
    (time, sound), (_, with_air) = (
        build_up(0.0, values["temperature"]),
        build_up(values["air"], values["temperature"]),
    )
    chart = Chart(
        title="Pressure at the front left brake",
        x="time [s]",
        y="pressure [bar]",
        over_time=True,
        lines=(
            Line(label="bled", x=time, y=sound, style=0),
            Line(label="with air", x=time, y=with_air, style=1),
        ),
    )
    volume, travel = air_travel(values["air"], values["pedal"])
    first, late = (_reached(time, pressure) for pressure in (sound, with_air))
    figures = (
        Figure(label="Pedal before the first control", value="as ever"),
        Figure(label="Pedal lower after it by", value=f"{travel:.0f}", unit="mm"),
        Figure(label=f"{_TARGET:.0f} bar, bled", value=_words(first), unit="s"),
        Figure(label=f"{_TARGET:.0f} bar, with air", value=_words(late), unit="s"),
    )
    text = (
        f"{values['air']:g} cm\u00b3 of air in closed passages: before the first control the pedal"
        f" feels nothing of it. After it {volume:.2f} cm\u00b3 give way at {values['pedal']:g} bar,"
        f" the pedal goes {travel:.0f} mm lower, and {_TARGET:.0f} bar take {_words(late)} s"
        f" instead of {_words(first)} s."
    )
    return View(charts=(chart,), sentence=text, figures=figures)


def _reached(time, pressure):
    return float(time[np.argmax(pressure >= _TARGET)]) if pressure.max() >= _TARGET else None


def _words(seconds):
    return f"over {_SECONDS:g}" if seconds is None else f"{seconds:.2f}"


def air_panel(locked_by=None):
    """What air in the closed passages does."""
    controls = [
        Slider("air", "Air left in the closed passages", "cm³", 0, 3, 0.25, 1),
        Slider("pedal", "Pedal pressure", "bar", 10, 100, 10, 50),
        Slider("temperature", "Temperature of the fluid", "°C", -20, 20, 10, 20),
    ]
    return Panel("A hard pedal proves nothing", controls, air_view, locked_by=locked_by)
