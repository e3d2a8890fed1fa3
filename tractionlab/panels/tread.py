"""Tread on the road: which part of the contact patch holds and which slides, while slip grows."""

import numpy as np

from tractionlab.panels.base import Panel, Slider
from tractionlab.panels.friction import forces
from tractionlab.panels.runs import percent, surface_choice, tyre_choice
from tractionlab.run.surfaces import surface_words
from tractionlab.textbook.tread import along_patch, holding_part, pushes, stiffness, tread_like
from tractionlab.units import MM
from tractionlab.view import Chart, Figure, Line, Mark, View
from tractionlab.view.closeups import TreadCloseup

#: Chosen for this course: the patch about as long as a hand; distance and height of the blocks;
#: speed at which the belt passes, as in the panel of one tyre at small slip.
_PATCH, _BLOCK, _DEPTH, _BELT = 0.12, 0.008, 0.008, 10.0 / 3.6
_SLOWER = 100.0  # so many times slower than in truth
_SLIPS = np.linspace(0.0, 1.0, 201)
_PLACES = np.linspace(0.0, _PATCH, 241)


def tread_of(values):
    """(push [N] over the slips 0 to 1, the Tread that has the same top and the same end)."""
    push, _ = forces(_SLIPS, 0.0, {**values, "speed": 10.0})
    top, load = int(push.argmax()), values["load"]
    return push, tread_like(push[top] / load, _SLIPS[top], push[-1] / load, _PATCH)


def tread_view(values):
    """Picture of a tread; values: surface, tyre, slip [%], load [N]."""
    push, tread = tread_of(values)
    slip, load = values["slip"] / 100.0, values["load"]
    holds, slides = (float(one) for one in pushes(slip, load, tread))
    here, most = along_patch(_PLACES, slip, load, tread)
    front = holding_part(slip, tread)
    # Places count from the rear end, so that the front is to the right as in the close-up.
    rear = (_PATCH - _PLACES) / MM
    patch = Chart(
        title="Along the contact patch",
        x="place, from the rear end [mm]",
        y="push [N/mm]",
        x_range=(0.0, _PATCH / MM),
        lines=(
            Line(label="tread pushes", x=rear[::-1], y=here[::-1] * MM, style=0),
            Line(label="most that holds", x=rear[::-1], y=most[::-1] * MM, style=2),
        ),
        marks=(Mark(label="slides | holds", x=float((_PATCH - front) / MM)),)
        if 0.0 < slip and front > 0.0
        else (),
    )
    part = pushes(_SLIPS, load, tread)
    over_slip = Chart(
        title="Push over slip",
        x="slip [%]",
        y="force [N]",
        x_range=(0.0, 100.0),
        lines=(
            Line(label="tread", x=100 * _SLIPS, y=part[0] + part[1], style=0),
            Line(label="its holding part", x=100 * _SLIPS, y=part[0], style=3),
            Line(label="its sliding part", x=100 * _SLIPS, y=part[1], style=2),
            Line(label="grip curve", x=100 * _SLIPS, y=push, style=1),
        ),
        marks=(Mark(label="you are here", x=values["slip"], y=holds + slides),),
    )
    return View(
        charts=(patch, over_slip),
        sentence=_sentence(values, front, holds, slides),
        figures=(
            Figure(label="Holding part", value=f"{front / MM:.0f}", unit="mm"),
            Figure(label="pushes", value=f"{holds:.0f}", unit="N"),
            Figure(label="Sliding part", value=f"{(_PATCH - front) / MM:.0f}", unit="mm"),
            Figure(label="pushes with", value=f"{slides:.0f}", unit="N"),
            Figure(
                label="All of it slides from",
                value=f"{100 * min(1.0, tread.full_slide):.0f}",
                unit="% slip",
                held=True,
            ),
        ),
        closeup=_closeup(values, here / stiffness(load, tread), front, (holds, slides)),
    )


def _closeup(values, lean, front, both):
    passage = 1000.0 * _PATCH / _BELT
    return TreadCloseup(
        time=np.array([0.0, 3.0 * passage]),
        belt=_BELT,
        road=_BELT * (1.0 - values["slip"] / 100.0),
        length=_PATCH / MM,
        holding=front / MM,
        block=_BLOCK / MM,
        depth=_DEPTH / MM,
        place=_PLACES / MM,
        lean=lean / MM,
        pushes=both,
        surface=surface_words(values["surface"]),
        rate=1000.0 / _SLOWER,
    )


def _sentence(values, front, holds, slides):
    text = f"{surface_words(values['surface'])}, {values['slip']:g} % slip: "
    if values["slip"] == 0:
        return text + "the blocks stand upright and roll through. No slip, no push."
    if front == 0.0:
        return text + f"all of the patch slides and pushes {slides:.0f} N."
    return text + (
        f"the front {front / MM:.0f} mm of the patch hold the road and push {holds:.0f} N, the rear"
        f" {(_PATCH - front) / MM:.0f} mm slide and push {slides:.0f} N. Together"
        f" {holds + slides:.0f} N, {percent(slides / (holds + slides))} of it by sliding."
    )


def tread_panel(locked_by=None):
    """The tread of one driven tyre."""
    controls = [
        surface_choice("surface", "Surface", "packed_snow"),
        tyre_choice(),
        Slider("slip", "Slip", "%", 0, 100, 1, 5),
        Slider("load", "Load on the wheel", "N", 500, 7000, 100, 3600),
    ]
    return Panel("Tread on the road", controls, tread_view, locked_by=locked_by)


def tread_at_top(surface):
    """(holding, sliding) part of the contact patch [mm] of the winter tyre where it pushes hardest
    on this surface.
    """
    push, tread = tread_of({"surface": surface, "tyre": "winter", "load": 3600.0})
    front = holding_part(_SLIPS[int(push.argmax())], tread)
    return front / MM, (_PATCH - front) / MM
