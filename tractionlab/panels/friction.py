"""Grip of one tyre: a driven tyre on its curve - push and side hold over slip, and what several
sources say about the surface.
"""

from math import radians, tan

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.panels.base import Panel, Slider, Switch
from tractionlab.panels.runs import percent, surface_choice, tyre_choice, tyre_of
from tractionlab.physics.tyre import adhesion, combined_force
from tractionlab.run.surfaces import row_of, surface_curve, surface_words
from tractionlab.units import IN_KMH
from tractionlab.view import Chart, Figure, Line, Mark, View

_SLIPS = np.linspace(0.0, 1.0, 201)


def forces(slips, angle, values):
    """(pushes, side holds) [N], arrays (n,), of the tyre on its surface at n slips; the car's speed
    is held, the wheel is the faster of the two.
    """
    row = row_of(values["surface"], tyre_of(values))
    car = catalogue.in_use().vehicles()["rear_petrol"]
    tyre = (car["side_stiffness_ratio"], car["load_sensitivity"], car["reference_load_N"])
    load, speed, aside = values["load"], values["speed"] / IN_KMH, tan(radians(angle))
    pairs = [combined_force(s, (1.0 - s) * aside, load, speed, row, *tyre) for s in slips]
    return np.array(pairs).T


def friction_view(values):
    """Picture of one tyre; values: surface, tyre, load [N], speed [km/h], slip [%], angle [deg],
    sources (bool).
    """
    surface, chosen = surface_curve(values["surface"])
    slip, angle = values["slip"] / 100.0, values["angle"]
    push, side = forces(_SLIPS, angle, values)
    (here,), (hold,) = forces([slip], angle, values)
    top = int(push.argmax())
    lines = [Line(label="push along the road", x=100 * _SLIPS, y=push, style=0)]
    if angle:
        lines.append(Line(label="hold to the side", x=100 * _SLIPS, y=side, style=1))
    forces_chart = Chart(
        title="Push and side hold",
        x="slip [%]",
        y="force [N]",
        lines=tuple(lines),
        marks=(Mark(label="you are here", x=values["slip"], y=here),),
        x_range=(0.0, 100.0),
    )
    sources = list(surface.curves.values()) if values["sources"] else [chosen]
    speed = values["speed"] / IN_KMH
    grip = Chart(
        title=f"Grip of {surface.name.lower()}",
        x="slip [%]",
        y="grip [-]",
        x_range=(0.0, 100.0),
        marks=(Mark(label="your slip", x=values["slip"]),),
        lines=tuple(
            Line(
                label=curve.label,
                x=100 * _SLIPS,
                y=np.array([adhesion(s, speed, row) for s in _SLIPS]),
                style=n % 5,
            )
            for n, curve in enumerate(sources)
            for row in [row_of(f"{surface.key}:{curve.key}", tyre_of(values))]
        ),
    )
    figures = (
        Figure(label="Push", value=f"{here:.0f}", unit="N"),
        Figure(label="Largest push", value=f"{push[top]:.0f}", unit="N", held=True),
        Figure(label="at slip", value=f"{100 * _SLIPS[top]:.1f}", unit="%", held=True),
        Figure(label="Hold to the side", value=f"{hold:.0f}", unit="N"),
    )
    sentence, held = _sentence(values, here, push, top, hold, side)
    return View(charts=(forces_chart, grip), sentence=sentence, figures=figures, held=held)


def _sentence(values, here, push, top, hold, side):
    """(sentence, pieces that tell where the top is)."""
    best, slip, held = 100 * _SLIPS[top], values["slip"], ()
    text = f"{surface_words(values['surface'])}, {slip:g} % slip: the tyre pushes {here:.0f} N. "
    if push[0] == push[top] == 0.0:
        text += "Without load or grip there is no force."
    elif here >= 0.97 * push[top]:
        text += (
            f"That is {percent(here / push[top])} of the most it can do, so you are near the top of"
            " the curve."
        )
    elif slip < best:
        held = (f", up to {push[top]:.0f} N at {best:.0f} %",)
        text += f"You are before the top: more slip pushes harder{held[0]}."
    else:
        held = (f", {push[top]:.0f} N at {best:.0f} %",)
        text += f"You are beyond the top: less slip would push harder{held[0]}."
    if values["angle"] > 0:
        text += (
            f" To the side it holds {hold:.0f} N, which is {percent(hold / side[0])} of a freely"
            " rolling tyre."
        )
    return text, held


def friction_panel(locked_by=None):
    """One driven tyre on its curve."""
    controls = [
        surface_choice("surface", "Surface", "packed_snow"),
        tyre_choice(),
        Slider("slip", "Slip", "%", 0, 100, 1, 2),
        Slider("angle", "Side slip angle", "°", 0, 15, 1, 0),
        Slider("load", "Load on the wheel", "N", 500, 7000, 100, 3600),
        Slider("speed", "Speed of the car", "km/h", 0, 100, 5, 10),
        Switch("sources", "Show every source", False),
    ]
    return Panel("Grip of one tyre", controls, friction_view, locked_by=locked_by)
