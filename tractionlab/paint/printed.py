"""The print painter: the same View with matplotlib, for hand-outs and tests. No window, no global state."""
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
from tractionlab.view import COLOURS, DASHES

#: Portrait A4 width, and what the parts need in height [inch].
WIDTH = 8.27
_SCENE, _STRIP, _SQUARE, _TEXT_LINE = 2.6, 1.75, 3.3, 0.19
#: Same View, same bytes: no dates, no program versions, fixed ids.
_METADATA = {"pdf": {"CreationDate": None, "Creator": None, "Producer": None}, "svg": {"Date": None, "Creator": None}, "png": {"Software": None}}
_PLAIN = {"facecolor": (1, 1, 1, 0.85), "edgecolor": "none", "pad": 1}
_STYLE = {"font.size": 9, "axes.titlesize": 9.5, "axes.titleweight": "bold", "lines.scale_dashes": False, "svg.hashsalt": "tractionlab",
          "pdf.fonttype": 42, "font.family": "DejaVu Sans"}


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
    caption = fill(view.sentence, 112)
    figures = "     ".join(f"{f.label}: {f.value} {f.unit}".rstrip() for f in view.figures)
    said = "\n\n".join(part for part in (caption, fill(figures, 112)) if part)
    rows = _rows(view)
    text_height = _TEXT_LINE * (said.count("\n") + 2)
    head_height = 0.45 if title else 0.15
    heights = [height for height, _ in rows]
    size = size or (WIDTH, sum(heights) + 0.25 * len(rows) + text_height + head_height)
    with matplotlib.rc_context(_STYLE):
        figure = Figure(figsize=size, layout="constrained")
        figure.get_layout_engine().set(rect=(0.01, text_height / size[1], 0.98, 1 - (text_height + head_height) / size[1]), h_pad=0.06, w_pad=0.06)
        if rows:
            parts = np.atleast_1d(figure.subfigures(len(rows), 1, height_ratios=heights))
            for part, (_, painted) in zip(parts, rows):
                if painted == "scene":
                    paint_car(part, view.scenes, time)
                else:
                    stacked = painted[0].over_time
                    grid = part.subplots(len(painted) if stacked else 1, 1 if stacked else len(painted), squeeze=False)
                    for axes, chart in zip(grid.flat, painted):
                        _chart(axes, chart, time)
        if title:
            figure.text(0.02, 1 - 0.1 / size[1], title, weight="bold", size=13, va="top")
        figure.text(0.02, (text_height - 0.08) / size[1], said, va="top", linespacing=1.3)
    return figure


def save(view, path, *, title="", time=None, size=None):
    """Write `view` to `path` (.pdf, .png or .svg). The same View gives the same bytes."""
    path = Path(path)
    kind = path.suffix.lstrip(".").lower()
    if kind not in _METADATA:
        raise UserError(f"{path.name}: a hand-out is saved as .pdf, .png or .svg")
    path.write_bytes(_bytes(view, kind, title=title, time=time, size=size))


def img_tag(view, *, title="", time=None, size=None):
    """`view` as HTML for pages without a kernel: an `<img>` whose alternative text is the sentence."""
    data = base64.b64encode(_bytes(view, "png", title=title, time=time, size=size)).decode()
    return f'<img alt="{escape(view.sentence)}" src="data:image/png;base64,{data}">'


def _bytes(view, kind, **how):
    target = io.BytesIO()
    with matplotlib.rc_context(_STYLE):
        print_figure(view, **how).savefig(target, format=kind, dpi=150, metadata=_METADATA[kind])
    return target.getvalue()


def _rows(view):
    """Rows of the sheet: (height, "scene", or time charts below each other, or other charts beside each other)."""
    timed = [chart for chart in view.charts if chart.over_time]
    others = [chart for chart in view.charts if not chart.over_time]
    rows = [(_SCENE, "scene")] if view.scenes else []
    rows += [(_STRIP * len(timed), timed)] if timed else []
    return rows + [(_SQUARE, others[i:i + 2]) for i in range(0, len(others), 2)]


def _chart(axes, chart, time):
    for line in chart.lines:
        axes.plot(line.x, line.y, color=COLOURS[line.style], linewidth=1.4, label=line.label or "_",
                  linestyle=(0, tuple(0.75 * d for d in DASHES[line.style])) if DASHES[line.style] else "-")
    for mark in chart.marks:
        if mark.y is None:
            axes.axvline(mark.x, color="black", linewidth=1, linestyle=":")
            axes.annotate(mark.label, (mark.x, 0), xycoords=("data", "axes fraction"), xytext=(4, 4), textcoords="offset points", bbox=_PLAIN)
        else:
            axes.plot([mark.x], [mark.y], "o", mfc="white", mec="black", ms=6)
            axes.annotate(mark.label, (mark.x, mark.y), xytext=(7, 6), textcoords="offset points", bbox=_PLAIN)
    if chart.over_time and time is not None:
        axes.axvline(time, color="black", linewidth=1)
    axes.set_title(chart.title, loc="left")
    axes.set_xlabel(chart.x)
    axes.set_ylabel(chart.y)
    if chart.x_range or chart.over_time:
        axes.set_xlim(chart.x_range or (min(np.min(line.x) for line in chart.lines), max(np.max(line.x) for line in chart.lines)))
    if chart.y_range:
        axes.set_ylim(chart.y_range)
    if same_scale(chart):
        axes.set_aspect("equal")
    axes.grid(color="#dddddd", linewidth=0.6)
    axes.set_axisbelow(True)
    if chart.over_time:
        axes.legend(loc="center left", bbox_to_anchor=(1.01, 0.5), frameon=False, handlelength=3.2)
    elif any(line.label for line in chart.lines):
        axes.legend(loc="lower left", bbox_to_anchor=(-0.02, 1.08), frameon=False, handlelength=3.2, ncols=2, borderaxespad=0)


def same_scale(chart):
    """True if both axes have the same unit and equally wide fixed ranges: then a circle must look like one."""
    unit = [label[label.find("["):] for label in (chart.x, chart.y)]
    widths = [limits[1] - limits[0] if limits else None for limits in (chart.x_range, chart.y_range)]
    return unit[0] == unit[1] and None not in widths and abs(widths[0] - widths[1]) < 1e-9
