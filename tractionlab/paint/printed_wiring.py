"""The wiring diagram on paper: symbols, leads, plugs on or pulled, and the probes on it."""

from matplotlib.patches import Circle, FancyBboxPatch, Rectangle

from tractionlab.paint.printed_circuit import paint_shape, paint_words
from tractionlab.view import COLOURS

_INK, _SIZE, _LINE = "#1a1a1a", 6.6, 0.75
#: Ring colour of each probe; its letter tells it apart without colour.
PROBES = {"R": COLOURS[2], "B": COLOURS[0], "2": COLOURS[1], "C": COLOURS[3]}
LEGEND = (
    "R red probe   B black probe   2 second channel   C current clamp      on, off: plug, fuse or"
    " relay in its place, or pulled"
)


def paint_wiring(axes, scene):
    """Paint `scene` into `axes`, which has the shape of the drawing with a legend row below."""
    wide, tall = scene.size
    pulled = {key for key, _ in scene.pulled}
    axes.set(xlim=(0, wide), ylim=(tall + 24, 0), xticks=[], yticks=[], aspect="equal")
    axes.set_frame_on(False)
    axes.set_title(scene.title, loc="left")
    for left, top, right, bottom in scene.frames:
        axes.add_patch(
            Rectangle(
                (left, top),
                right - left,
                bottom - top,
                facecolor="#f6f6f6",
                edgecolor=_INK,
                linewidth=0.8,
                linestyle=(0, (6, 3)),
                zorder=1,
            )
        )
    for points in scene.lines:
        xs, ys = zip(*points)
        axes.plot(xs, ys, color=_INK, linewidth=_LINE, zorder=2)
    for x, y, other, plug in scene.joints:
        if plug not in pulled:
            axes.plot((x, x), (y, other), color=_INK, linewidth=_LINE, zorder=2)
    for x, y in scene.dots:
        axes.add_patch(Circle((x, y), 2.6, color=_INK, zorder=3))
    for part, on in zip(scene.parts, scene.active):
        for shape in part.shapes:
            paint_shape(axes, shape, part.at, (on, 0.0, 0.0))
        if part.label_at:
            paint_words(axes, part.label, part.label_at)
    for point in scene.points:
        axes.add_patch(
            Circle(point.at, 3.4, facecolor="white", edgecolor=_INK, linewidth=0.8, zorder=6)
        )
    for x, y, words, align in scene.marks:
        axes.text(
            x,
            y,
            words,
            size=5.4,
            va="center",
            ha={"middle": "center"}.get(align, align),
            linespacing=1.1,
            zorder=7,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.5, "alpha": 0.9},
        )
    for plug in scene.plugs:
        _plug(axes, plug.box, plug.key in pulled)
    places = {point.key: point.at for point in scene.points}
    for letter, key, _ in scene.probes:
        if key in places:
            _probe(axes, letter, places[key])
    axes.text(4, tall + 12, LEGEND, size=_SIZE, va="center")


def _plug(axes, box, pulled):
    left, top, right, bottom = box
    axes.add_patch(
        FancyBboxPatch(
            (left + 3, top + 3),
            right - left - 6,
            bottom - top - 6,
            boxstyle="round,pad=3",
            facecolor="white",
            edgecolor=_INK,
            linewidth=0.6,
            zorder=6,
        )
    )
    axes.text(
        (left + right) / 2,
        (top + bottom) / 2,
        "off" if pulled else "on",
        size=5.2,
        weight="bold" if pulled else "normal",
        ha="center",
        va="center",
        zorder=7,
    )


def _probe(axes, letter, at):
    x, y = at
    axes.plot((x, x + 11), (y, y - 11), color=PROBES[letter], linewidth=2, zorder=8)
    axes.add_patch(
        Circle(
            (x + 14, y - 14),
            8,
            facecolor="white",
            edgecolor=PROBES[letter],
            linewidth=1.8,
            zorder=9,
        )
    )
    axes.text(x + 14, y - 14, letter, size=6, weight="bold", ha="center", va="center", zorder=10)
