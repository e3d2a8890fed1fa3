"""Three positions of a wheel valve in layout A: pressure rises for a moment, then the valve gets
another current, perhaps through a bad plug.
"""

import numpy as np

from tractionlab.bench.recording import FilmedBench
from tractionlab.hydraulics.faults import with_fault
from tractionlab.hydraulics.values import hydraulics
from tractionlab.panels.base import Panel, Slider
from tractionlab.textbook.formulas import largest_current
from tractionlab.view import Chart, Figure, Line, Mark, View

_WHEEL = "RL"
_RISE_S, _THEN_S = 0.1, 0.4


def film(values):
    """(FilmedBench, current through the coil after the change [A]); values: current [A] that the
    control unit wants, plug [ohm].
    """
    a = hydraulics()["layout_a"]
    bench = FilmedBench("A")
    most = largest_current(a["supply_V"], a["wheel_coil_ohm"], values["plug"])
    bench.parts = with_fault(
        bench.parts, f"wheel_valve_{_WHEEL}", "extra_resistance", values["plug"]
    )
    bench.mode("tc_increase")
    bench.run(_RISE_S)
    bench.set(wheel_valve_RL=values["current"])
    return bench.run(_THEN_S), min(values["current"], most)


def current_view(values):
    """Picture of the change; values: current [A], plug [ohm]."""
    bench, carried = film(values)
    time, pressure = bench.time, bench.wheel(_WHEEL)
    later = time > _RISE_S + 1e-9
    pressures = Chart(
        title="Rear left brake",
        x="time [s]",
        y="pressure [bar]",
        over_time=True,
        y_range=(0.0, 200.0),
        lines=(Line(label="rear left", x=time, y=pressure, style=0),),
        marks=(Mark(label="current changes", x=_RISE_S),),
    )
    currents = Chart(
        title="Current of its wheel valve",
        x="time [s]",
        y="current [A]",
        over_time=True,
        y_range=(0.0, 6.5),
        lines=(
            Line(
                label="wanted",
                x=time,
                y=np.where(later, values["current"], 0.0),
                style=1,
            ),
            Line(label="through the coil", x=time, y=np.where(later, carried, 0.0), style=0),
        ),
    )
    figures = (
        Figure(label="Before the change", value=f"{pressure[~later][-1]:.0f}", unit="bar"),
        Figure(label="At the end", value=f"{pressure[-1]:.0f}", unit="bar"),
        Figure(label="Current through the coil", value=f"{carried:.1f}", unit="A"),
    )
    return View(
        charts=(pressures, currents),
        circuit=bench.scene(),
        figures=figures,
        sentence=_sentence(values["current"], carried, pressure[~later][-1], pressure[-1]),
    )


def _sentence(wanted, carried, before, after):
    change = after / before - 1.0
    word = "rises on" if change > 0.1 else "falls" if change < -0.1 else "stays"
    text = f"The control unit wants {wanted:.1f} A"
    text += f", but only {carried:.1f} A get through" if carried < wanted - 0.05 else ""
    return text + f": the pressure {word}, from {before:.0f} to {after:.0f} bar."


def current_panel(locked_by=None):
    """One wheel valve and its current."""
    controls = [
        Slider("current", "Current after a moment of increase", "A", 0, 6, 0.1, 0),
        Slider("plug", "Bad plug adds", "ohm", 0, 8, 0.5, 0),
    ]
    return Panel("One valve, three positions", controls, current_view, locked_by=locked_by)
