"""The print painter: the same View with matplotlib, for hand-outs and tests.

No window, no global state.
"""

import base64
import io
from html import escape
from pathlib import Path
from textwrap import fill

import matplotlib
import numpy as np
from matplotlib.figure import Figure

from tractionlab.errors import UserError
from tractionlab.paint.printed_car import paint_car
from tractionlab.paint.printed_circuit import paint_circuit
from tractionlab.paint.printed_closeup import CLOSEUP, paint_closeup
from tractionlab.paint.printed_lanes import paint_lanes
from tractionlab.paint.printed_phases import paint_phases, reasons_on_paper
from tractionlab.paint.printed_wiring import paint_wiring
from tractionlab.view import COLOURS, DASHES, PALE

#: Portrait A4 width [inch]; all lengths below are inches on a sheet of that width.
WIDTH = 8.27
_LEFT, _RIGHT, _TITLE, _TICKS, _TEXT_LINE = 0.75, 0.2, 0.26, 0.48, 0.19
_SCENE, _STRIP, _SQUARE, _LANE, _PHASE = 2.25, 1.2, 2.7, 0.24, 0.19
_UNIT = 0.0124  # inch per unit of a circuit drawing
#: Same View, same bytes: no dates, no program versions, fixed ids.
_METADATA = {
    "pdf": {"CreationDate": None, "Creator": None, "Producer": None},
    "svg": {"Date": None, "Creator": None},
    "png": {"Software": None},
}
_PLAIN = {"facecolor": (1, 1, 1, 0.85), "edgecolor": "none", "pad": 1}
_STYLE = {
    "font.size": 9,
    "axes.titlesize": 9.5,
    "axes.titleweight": "bold",
    "lines.scale_dashes": False,
    "svg.hashsalt": "tractionlab",
    "pdf.fonttype": 42,
    "font.family": "DejaVu Sans",
}


def print_figure(view, *, title="", time=None, size=None):
    """Paint `view` on paper.

    Parameters
    ----------
    view : View
    title : str, heading of the sheet
    time : float, the moment of the run at which car and forces are drawn [s]; None = its end
    size : (width, height) in inches; None = A4 width and the height it needs

    Returns
    -------
    matplotlib.figure.Figure
    """
    said = "\n\n".join(fill(text, 112) for text in (view.sentence, _figures(view)) if text)
    if view.phases is not None and time is not None:
        said += f"\n\n{reasons_on_paper(view.phases, time, 112)}"
    places, used = _places(view, 0.45 if title else 0.15)
    height = used + _TEXT_LINE * (said.count("\n") + 1) + 0.15
    with matplotlib.rc_context(_STYLE):
        figure = Figure(figsize=size or (WIDTH, height))
        for (left, top, width, tall), what in places:
            axes = figure.add_axes(
                (left / WIDTH, 1 - (top + tall) / height, width / WIDTH, tall / height)
            )
            if what == "scene":
                paint_car(axes, view.scenes, time)
            elif what == "circuit":
                paint_circuit(axes, view.circuit, time)
            elif what == "closeup":
                paint_closeup(axes, view.closeup, time)
            elif what == "wiring":
                paint_wiring(axes, view.wiring)
            elif what == "lanes":
                paint_lanes(axes, view.lanes, time)
            elif what == "phases":
                paint_phases(axes, view, time)
            else:
                _chart(
                    axes,
                    what,
                    time,
                    last=not what.over_time or what is [c for c in view.charts if c.over_time][-1],
                )
        if title:
            figure.text(0.02, 1 - 0.1 / height, title, weight="bold", size=13, va="top")
        figure.text(0.02, 1 - used / height, said, va="top", linespacing=1.3)
    return figure


def save(view, path, *, title="", time=None, size=None):
    """Write `view` to `path` (.pdf, .png or .svg). The same View gives the same bytes."""
    path = Path(path)
    kind = path.suffix.lstrip(".").lower()
    if kind not in _METADATA:
        raise UserError(f"{path.name}: a hand-out is saved as .pdf, .png or .svg")
    path.write_bytes(_bytes(view, kind, title=title, time=time, size=size))


def png(view, **how):
    """`view` as the bytes of a PNG picture; `how` as for `print_figure`."""
    return _bytes(view, "png", **how)


def img_tag(view, *, title="", time=None, size=None):
    """`view` as HTML without a kernel: an `<img>` whose alternative text is the sentence."""
    data = base64.b64encode(_bytes(view, "png", title=title, time=time, size=size)).decode()
    return f'<img alt="{escape(view.sentence)}" src="data:image/png;base64,{data}">'


def _bytes(view, kind, **how):
    target = io.BytesIO()
    with matplotlib.rc_context(_STYLE):
        print_figure(view, **how).savefig(target, format=kind, dpi=150, metadata=_METADATA[kind])
    return target.getvalue()


def _figures(view):
    return "     ".join(
        f"{f.label}: {f.value} {f.unit}".rstrip().replace(" ", "\u00a0") for f in view.figures
    )


def _places(view, top):
    """Where everything stands: ((left, top, width, height), "scene", "circuit", "wiring",
    "closeup", "lanes", "phases" or a Chart) in inches, and the height used.
    """
    timed = [chart for chart in view.charts if chart.over_time]
    others = [chart for chart in view.charts if not chart.over_time]
    places = []
    if view.scenes:
        places.append(((0.2, top + _TITLE, 5.43, _SCENE), "scene"))
        top += _TITLE + _SCENE + _TICKS
    for plan, what in ((view.circuit, "circuit"), (view.wiring, "wiring")):
        if plan is None:
            continue
        unit = min(_UNIT, (WIDTH - 0.2) / plan.size[0])
        width, tall = plan.size[0] * unit, (plan.size[1] + 24) * unit
        places.append((((WIDTH - width) / 2, top + _TITLE, width, tall), what))
        top += _TITLE + tall + 0.15
    if view.closeup is not None:
        places.append(((0.2, top + _TITLE, WIDTH - 0.4, CLOSEUP), "closeup"))
        top += _TITLE + CLOSEUP + 0.15
    longest = max((len(line.label) for chart in timed for line in chart.lines), default=0)
    legend = 0.65 + 0.068 * longest
    for chart in timed:
        places.append(((_LEFT, top + _TITLE, WIDTH - _LEFT - _RIGHT - legend, _STRIP), chart))
        top += _TITLE + _STRIP + (_TICKS if chart is timed[-1] else 0.08)
    if view.phases is not None:
        tall = _PHASE * len(view.phases.lanes)
        places.append(((_LEFT, top + _TITLE, WIDTH - _LEFT - _RIGHT - legend, tall), "phases"))
        top += _TITLE + tall + 0.15
    if view.lanes is not None:
        tall = _LANE * len(view.lanes.lanes)
        left = 0.25 + 0.075 * max(len(lane.label) for lane in view.lanes.lanes)
        right = 1.0 if any(lane.lamp for lane in view.lanes.lanes) else _RIGHT
        places.append(((left, top + _TITLE, WIDTH - left - right, tall), "lanes"))
        top += _TITLE + tall + _TICKS
    for row in (others[i : i + 2] for i in range(0, len(others), 2)):
        keys = max(_legend_rows(chart) for chart in row) * _TEXT_LINE
        share = WIDTH / len(row)
        for column, chart in enumerate(row):
            width = _SQUARE if same_scale(chart) else min(share - _LEFT - _RIGHT, 5.5)
            places.append(((column * share + _LEFT, top + keys + _TITLE, width, _SQUARE), chart))
        top += keys + _TITLE + _SQUARE + _TICKS
    return places, top + 0.08


def _legend_rows(chart):
    return (sum(bool(line.label) for line in chart.lines) + 1) // 2


def _chart(axes, chart, time, last):
    for place, line in enumerate(chart.pale):
        axes.plot(line.x, line.y, color=PALE, linewidth=1.1, label="_", linestyle=_dash(line))
        at = letter_place(line.x, place)
        axes.annotate(
            line.label,
            (line.x[at], line.y[at]),
            xytext=(0, 2),
            textcoords="offset points",
            bbox=_PLAIN,
            color="#555555",
            weight="bold",
        )
    for line in chart.lines:
        axes.plot(
            line.x,
            line.y,
            color=COLOURS[line.style],
            linewidth=1.4,
            label=line.label or "_",
            linestyle=_dash(line),
        )
    for mark in chart.marks:
        if mark.y is None:
            axes.axvline(mark.x, color="black", linewidth=1, linestyle=":")
            top = _top_is_clearer(chart, mark.x)
            axes.annotate(
                mark.label,
                (mark.x, int(top)),
                xycoords=("data", "axes fraction"),
                xytext=(4, -4 if top else 4),
                textcoords="offset points",
                va="top" if top else "bottom",
                bbox=_PLAIN,
            )
        else:
            axes.plot([mark.x], [mark.y], "o", mfc="white", mec="black", ms=6)
            axes.annotate(
                mark.label, (mark.x, mark.y), xytext=(7, 6), textcoords="offset points", bbox=_PLAIN
            )
    if chart.over_time and time is not None:
        axes.axvline(time, color="black", linewidth=1)
    axes.set_title(chart.title, loc="left")
    axes.set_xlabel(chart.x, visible=last)
    axes.tick_params(labelbottom=last)
    axes.set_ylabel(chart.y)
    if chart.y.endswith("[1]"):
        axes.yaxis.get_major_locator().set_params(integer=True)
    if chart.x_range or chart.over_time:
        axes.set_xlim(
            chart.x_range
            or (
                min(np.min(line.x) for line in (*chart.lines, *chart.pale)),
                max(np.max(line.x) for line in (*chart.lines, *chart.pale)),
            )
        )
    if chart.y_range:
        axes.set_ylim(chart.y_range)
    if same_scale(chart):
        axes.set_aspect("equal")
    axes.grid(color="#dddddd", linewidth=0.6)
    axes.set_axisbelow(True)
    if chart.over_time:
        axes.legend(loc="center left", bbox_to_anchor=(1.01, 0.5), frameon=False, handlelength=3.2)
    elif any(line.label for line in chart.lines):
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(-0.02, 1.09),
            frameon=False,
            handlelength=3.2,
            ncols=2,
            borderaxespad=0,
        )


def _dash(line):
    return (0, tuple(0.75 * d for d in DASHES[line.style])) if DASHES[line.style] else "-"


def letter_place(x, place):
    """Where along a pale line its letter stands: those of several lines apart from each other."""
    return int(np.searchsorted(x, x[0] + (0.92 - 0.07 * place) * (x[-1] - x[0])))


def _top_is_clearer(chart, x):
    """Do fewer points of the curves lie in the top fifth than in the bottom fifth, right of `x`?"""
    y = np.concatenate([np.asarray(line.y, float) for line in chart.lines] or [np.zeros(1)])
    near = np.concatenate([np.asarray(line.x, float) for line in chart.lines] or [np.zeros(1)]) >= x
    low, high = chart.y_range or (np.nanmin(y), np.nanmax(y))
    part = (y[near] - low) / ((high - low) or 1.0)
    return np.sum(part > 0.8) < np.sum(part < 0.2)


def same_scale(chart):
    """True if both axes have the same unit and equally wide fixed ranges: then a circle must look
    like one.
    """
    unit = [label[label.find("[") :] for label in (chart.x, chart.y)]
    widths = [
        limits[1] - limits[0] if limits else None for limits in (chart.x_range, chart.y_range)
    ]
    return unit[0] == unit[1] and None not in widths and abs(widths[0] - widths[1]) < 1e-9
