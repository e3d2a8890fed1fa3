"""The hydraulic circuit on paper: one moment of a run, with pressures by value and line style and
the flow as arrows.
"""

import numpy as np
from matplotlib.patches import Circle, FancyBboxPatch, Polygon

from tractionlab.view import COLOURS, PIPE_LOOKS, PIPE_STEPS, pipe_style

_FILLS = {"paper": "white", "ink": "#1a1a1a", "fluid": "#a9cfe6", "coil": "#e4e4e4", "": "none"}
_INK = "#1a1a1a"
_SIZE = 6.6  #: of the words [point]
_LINE = 0.62  #: points per pixel of line width
_GAP = 55.0  #: between arrows [drawing units]
_FLOW_LEAST = 0.1  # cm3/s


def paint_circuit(axes, circuit, time=None):
    """Paint `circuit` at `time` [s] (None = the end) into `axes`, which has the shape of the
    drawing with a legend row below.
    """
    end = float(circuit.time[-1])
    time = end if time is None else min(max(float(time), 0.0), end)
    frame = int(np.argmin(np.abs(circuit.time - time)))
    wide, tall = circuit.size
    axes.set(xlim=(0, wide), ylim=(tall + 24, 0), xticks=[], yticks=[], aspect="equal")
    axes.set_frame_on(False)
    axes.set_title(f"{circuit.title}, after {time:.2f} s", loc="left")
    bar = dict(zip((node for node, _, _ in circuit.nodes), circuit.pressure[frame]))
    for line, flow in zip(circuit.lines, circuit.flow[frame]):
        _pipe(axes, line.points, pipe_style(bar[line.node]))
        if abs(flow) >= _FLOW_LEAST:
            _arrows(axes, np.array(line.points), flow > 0)
    for x, y in circuit.dots:
        axes.add_patch(Circle((x, y), 2.8, color=_INK, zorder=3))
    for part, (first, second), state in zip(
        circuit.parts, circuit.motion[frame], circuit.state[frame]
    ):
        for shape in part.shapes:
            paint_shape(axes, shape, part.at, (first, max(0.0, second), max(0.0, -second)))
        if part.label_at:
            paint_words(axes, part.label, part.label_at)
        if part.state_at:
            paint_words(axes, part.short[state], part.state_at, weight="bold")
    for node, _, place in circuit.nodes:
        if place:
            axes.text(
                *place,
                _bar(bar[node]),
                size=_SIZE,
                weight="bold",
                ha="center",
                va="center",
                zorder=8,
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8},
            )
    _legend(axes, tall + 12)


def _bar(value):
    return (
        f"{value:.1f} bar".replace("-", "\u2212")
        if 0.05 <= abs(value) < 9.95
        else f"{abs(value):.0f} bar"
    )


def _pipe(axes, points, style):
    width, dashes = PIPE_LOOKS[style]
    xs, ys = zip(*points)
    axes.plot(
        xs,
        ys,
        color=_INK,
        linewidth=width * _LINE,
        linestyle=(0, tuple(0.6 * d for d in dashes)) if dashes else "-",
        solid_capstyle="butt",
        solid_joinstyle="round",
        zorder=2,
    )


def _arrows(axes, points, forward):
    steps = np.hypot(*np.diff(points, axis=0).T)
    at = np.concatenate([[0.0], np.cumsum(steps)])
    count = max(1, round(at[-1] / _GAP))
    for way in (np.arange(count) + 0.5) * at[-1] / count:
        leg = min(int(np.searchsorted(at, way, side="right")) - 1, len(steps) - 1)
        along = (points[leg + 1] - points[leg]) / (steps[leg] or 1.0)
        here, u = points[leg] + along * (way - at[leg]), along * (1 if forward else -1)
        across = np.array([-u[1], u[0]])
        axes.add_patch(
            Polygon(
                [here + 6 * u, here - 4 * u + 4.5 * across, here - 4 * u - 4.5 * across],
                facecolor=COLOURS[1],
                edgecolor="white",
                linewidth=0.6,
                zorder=4,
            )
        )


def paint_shape(axes, shape, at, channels):
    """One shape of a symbol, moved by its channels; what a shape is, is told in circuit_shapes."""
    if ("show" in shape and channels[shape["show"]] < 0.5) or (
        "hide" in shape and channels[shape["hide"]] >= 0.5
    ):
        return
    x0, y0 = at
    if "t" in shape:
        axes.text(
            x0 + shape["at"][0],
            y0 + shape["at"][1],
            shape["t"],
            size=5 if shape.get("small") else 7,
            weight="bold",
            ha="center",
            va="center",
            zorder=7,
        )
    elif "level" in shape:
        x, y, width, height = shape["level"]
        full = height * min(1.0, max(0.0, channels[0]))
        if full > 0:
            top = y if shape.get("hang") else y + height - full
            rounding = min(6.0, full / 2.01, width / 2.01)
            axes.add_patch(
                FancyBboxPatch(
                    (x0 + x + rounding, y0 + top + rounding),
                    width - 2 * rounding,
                    full - 2 * rounding,
                    boxstyle=f"round,pad={rounding}",
                    facecolor=_FILLS["fluid"],
                    edgecolor="none",
                    zorder=5,
                )
            )
    else:
        _outline(axes, shape, at, channels)


def _outline(axes, shape, at, channels):
    look = {
        "facecolor": _FILLS[shape["f"]],
        "edgecolor": _INK if shape["w"] else "none",
        "linewidth": shape["w"] * _LINE,
        "zorder": 5,
        "linestyle": (0, (2, 2)) if "d" in shape else "-",
        "joinstyle": "round",
    }
    by = np.zeros(2) if "by" not in shape else channels[shape["by"][0]] * np.array(shape["by"][1:])
    if "o" in shape:
        x, y, radius = shape["o"]
        look.pop("joinstyle")
        axes.add_patch(Circle((at[0] + x + by[0], at[1] + y + by[1]), radius, **look))
        return
    points = np.array(shape["p"])
    if "of" in shape:
        fixed, end = shape["of"]
        points[:, 0] = fixed + (points[:, 0] - fixed) * (end + by[0] - fixed) / (end - fixed)
    elif "turn" in shape:
        centre, angle = np.array(shape["turn"]), channels[0]
        points = centre + (points - centre) @ np.array(
            [[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]]
        )
    else:
        points = points + by
    axes.add_patch(Polygon(points + at, closed=shape["c"], fill=bool(shape["f"]), **look))


def paint_words(axes, text, place, weight="normal"):
    """Rows of words at (x, y, "left" | "middle" | "right")."""
    x, y, align = place
    for row, words in enumerate(text.split("\n")):
        axes.text(
            x,
            y + 12 * row,
            words,
            size=_SIZE,
            weight=weight,
            ha={"middle": "center"}.get(align, align),
            va="center",
            zorder=7,
        )


def _legend(axes, y):
    x = 4.0
    for style, (_, words) in enumerate(PIPE_STEPS):
        _pipe(axes, ((x, y), (x + 26, y)), style)
        axes.text(x + 31, y, words, size=_SIZE, va="center")
        x += 125
    _arrows(axes, np.array([(x, y), (x + 20.0, y)]), True)
    axes.text(x + 22, y, "flow", size=_SIZE, va="center")
