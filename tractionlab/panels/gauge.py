"""Making layout A safe: ignition off, waiting, pedal strokes, bleed screw, and what a gauge on the
accumulator shows.
"""

from tractionlab.bench.bench import Bench
from tractionlab.panels.base import Panel, Slider, Switch
from tractionlab.physics import circuit as h
from tractionlab.view import Chart, Figure, Line, Mark, View

_STROKE_BAR, _STROKE_S = 60.0, 0.3  # how hard, and how long down and again up
_QUARTER_TURN, _BLEED_S = 0.25, 35.0


def work(values):
    """(Bench after the work, time at which the bleed screw was opened or NaN); values: wait [s],
    strokes, bleed (bool).
    """
    bench = Bench("A")
    bench.ignition(False)
    bench.run(1.0 + values["wait"])
    for _ in range(int(values["strokes"])):
        bench.pedal(_STROKE_BAR)
        bench.run(_STROKE_S)
        bench.pedal(0.0)
        bench.run(_STROKE_S)
    opened = float("nan")
    if values["bleed"]:
        opened = float(bench.time[-1])
        bench.bleed(_QUARTER_TURN)
        bench.run(_BLEED_S)
    return bench, opened


def gauge_view(values):
    """Picture of the work; values: wait [s], strokes, bleed (bool)."""
    bench, opened = work(values)
    stored, bottle = bench.pressure(h.ACCUMULATOR), bench.fluid(h.BOTTLE)
    marks = (Mark(label="bleed screw open", x=opened),) if values["bleed"] else ()
    pressures = Chart(
        title="Gauges",
        x="time [s]",
        y="pressure [bar]",
        marks=marks,
        y_range=(0.0, 200.0),
        lines=(
            Line(label="accumulator", x=bench.time, y=stored, style=0),
            Line(label="rear left brake", x=bench.time, y=bench.wheel("RL"), style=1),
        ),
    )
    fluid = Chart(
        title="Fluid",
        x="time [s]",
        y="fluid [cm³]",
        marks=marks,
        y_range=(0.0, 160.0),
        lines=(
            Line(label="in the accumulator", x=bench.time, y=bench.fluid(h.ACCUMULATOR), style=0),
            Line(label="in the bottle", x=bench.time, y=bottle, style=2),
        ),
    )
    figures = (
        Figure(label="Gauge on the accumulator", value=f"{stored[-1]:.0f}", unit="bar"),
        Figure(label="In the bottle", value=f"{bottle[-1]:.0f}", unit="cm³"),
    )
    return View(
        charts=(pressures, fluid),
        sentence=_sentence(values, stored[-1], bottle[-1]),
        figures=figures,
    )


def _sentence(values, gauge, bottle):
    done = "Ignition off" + (f", {values['wait']:g} s of waiting" if values["wait"] else "")
    done += f", {values['strokes']:g} pedal strokes" if values["strokes"] else ""
    if gauge >= 0.5:
        return f"{done}: the gauge on the accumulator shows {gauge:.0f} bar. No line may be opened."
    return (
        f"{done}, bleed screw open: {bottle:.0f} cm³ of fluid are in the bottle, and the gauge"
        f" shows {gauge:.0f} bar."
    )


def gauge_panel(locked_by=None):
    """What makes an accumulator unit free of pressure."""
    controls = [
        Slider("wait", "Wait after ignition off", "s", 0, 60, 10, 0),
        Slider("strokes", "Then pedal strokes", "times", 0, 60, 5, 0),
        Switch("bleed", "Then open the bleed screw, hose in the bottle", False),
    ]
    return Panel("Is the pressure gone?", controls, gauge_view, locked_by=locked_by)
