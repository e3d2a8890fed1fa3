"""Close-ups on paper: the ring near its sensor, the tread on the road, the discs in the dark, at
one moment of their clock.
"""

import numpy as np
from matplotlib.patches import Circle, Polygon, Rectangle, Wedge

from tractionlab.view.closeups import DiscCloseup, RingCloseup

CLOSEUP = 1.9  #: inches
_STEEL, _DARK, _NIGHT, _PALE = "#d5dade", "#525c66", "#14161a", "#e8eaed"
_WHEEL = 300.0  # mm: radius of the wheel whose belt leaves the patch
_BIG = {"weight": "bold"}


def paint_closeup(axes, shown, time=None):
    """Paint a close-up at `time`, in its unit; None = its end."""
    first, last = float(shown.time[0]), float(shown.time[-1])
    time = last if time is None else min(max(float(time), first), last)
    axes.set_title(f"{shown.title}, at {time:.2f} {shown.unit}", loc="left")
    axes.set(xticks=[], yticks=[])
    size = axes.get_position()
    width, height = np.array(axes.figure.get_size_inches()) * (size.width, size.height)
    if isinstance(shown, RingCloseup):
        _ring(axes, shown, time, width / height)
    elif isinstance(shown, DiscCloseup):
        _discs(axes, shown, time, width / height)
    else:
        _tread(axes, shown, time, width / height)


def _ring(axes, ring, time, shape):
    """Near the sensor in the middle, all lengths in mm; the whole ring to the left."""
    angle = float(np.interp(time, ring.time, ring.angle))
    i = int(np.abs(np.asarray(ring.time) - time).argmin())
    gap, tall = float(ring.gap[i]), 20.0
    wide = tall * shape
    axes.set(xlim=(-wide / 2, wide / 2), ylim=(ring.face - 12.0, ring.face + 8.0))
    near = Rectangle((-21, ring.face - 12), 42, tall, fill=False, linestyle="--", linewidth=0.8)
    axes.add_patch(near)
    _edge(axes, ring, angle, (0.0, 0.0), 1.0, near)
    axes.add_patch(Rectangle((-3.3, ring.face), 6.6, 8, facecolor="#eef1f4", edgecolor="black"))
    if ring.active:
        axes.add_patch(Rectangle((-1, ring.face + 0.5), 2, 1.1, color=_DARK))
    else:
        axes.add_patch(Rectangle((-1.5, ring.face + 5), 3, 2, color=_DARK))
        axes.add_patch(Rectangle((-0.4, ring.face), 0.8, 5, color=_DARK))
        for k in range(5):
            y = ring.face + 1.2 + 0.7 * k
            axes.plot([-1.9, 1.9], [y, y + 0.3], color="#b0662b", linewidth=1.5)
    for y in (ring.face, ring.face - gap):
        axes.plot([1, 8], [y, y], color="black", linewidth=0.8)
    axes.text(8.3, ring.face - gap / 2, f"gap {gap:.1f} mm", va="center", **_BIG)
    axes.plot([-20, -10], [ring.face + 6.6] * 2, color="black", linewidth=2)
    axes.text(-20, ring.face + 5.2, "10 mm", va="center")
    axes.text(-20, ring.face - 10.8, "turns \u25b6", va="center")
    scale = 8.5 / ring.face
    middle = (-wide / 2 + 10, ring.face - 3.0)
    _edge(axes, ring, angle, middle, scale, None)
    axes.add_patch(Circle(middle, 3.5, facecolor="white", edgecolor="black", linewidth=0.8))
    dot = (middle[0] + 5 * np.sin(angle), middle[1] + 5 * np.cos(angle))
    axes.add_patch(Circle(dot, 0.5, color="black"))
    axes.add_patch(
        Rectangle(
            (middle[0] - 0.8, middle[1] + 8.5), 1.6, 2.5, facecolor="white", edgecolor="black"
        )
    )
    edge = "pole pair" if ring.poles else "tooth"
    axes.text(
        22.5,
        ring.face + 6.5,
        f"{edge} {int(ring.tooth[i]) + 1} of {ring.teeth}\nis nearest to the\n"
        f"{'active' if ring.active else 'passive'} sensor",
        va="top",
    )


def _edge(axes, ring, angle, middle, scale, clip):
    """The ring's edge and poles around `middle`, drawn inside `clip` alone."""
    way, radius = ring.outline[:, 0] - angle, ring.outline[:, 1] * scale
    points = np.column_stack((middle[0] - radius * np.sin(way), middle[1] + radius * np.cos(way)))
    patches = [Polygon(points, facecolor=_STEEL, edgecolor="black", linewidth=0.8)]
    outer = ring.outline[0, 1] * scale
    for begin, end, letter in ring.poles:
        turns = np.degrees([np.pi / 2 + begin - angle, np.pi / 2 + end - angle])
        look = _DARK if letter == "N" else "white"
        patches.append(
            Wedge(
                middle,
                outer,
                *turns,
                width=3.2 * scale,
                facecolor=look,
                edgecolor="black",
                linewidth=0.4,
            )
        )
        at = (begin + end) / 2 - angle
        if clip is not None and abs(np.mod(at + np.pi, 2 * np.pi) - np.pi) < 0.35:
            r = outer - 1.6
            axes.text(
                -r * np.sin(at),
                r * np.cos(at),
                letter,
                ha="center",
                va="center",
                fontsize=7,
                color="white" if letter == "N" else "black",
                clip_on=True,
            )
    for patch in patches:
        axes.add_patch(patch)
        if clip is not None:
            patch.set_clip_path(clip)


def _tread(axes, tread, time, shape):
    """Lengths in mm from the rear end of the patch; the road is at 0."""
    length, depth = tread.length, tread.depth
    wide = 1.5 * length
    tall = wide / shape
    axes.set(xlim=(length / 2 - wide / 2, length / 2 + wide / 2), ylim=(-9.0, tall - 9.0))
    left = length / 2 - wide / 2
    axes.add_patch(Rectangle((left, -9), wide, 9, facecolor="#e4e2de", edgecolor="black"))
    # As on the screen: blocks stand where the belt has taken them.
    first = -np.ceil(0.25 * length / tread.block) * tread.block
    for u in np.arange(first, 1.3 * length, tread.block) + (tread.belt * time) % tread.block:
        inside = 0.0 <= u <= length
        lift = _rise(max(-u, u - length), length / 2)
        x, lean = length - u, float(np.interp(u, tread.place, tread.lean)) if inside else 0.0
        slides = inside and u > tread.holding
        look = "white" if slides else "#4a4f55" if inside else "#c9ced3"
        axes.add_patch(
            Polygon(
                [
                    (x - 2.4, depth + lift),
                    (x + lean - 2.4, lift),
                    (x + lean + 2.4, lift),
                    (x + 2.4, depth + lift),
                ],
                facecolor=look,
                edgecolor="black",
                linewidth=0.8,
            )
        )
    belt = np.linspace(left, left + wide, 120)
    up = [_rise(max(-x, x - length), length / 2) for x in belt]
    axes.plot(belt, depth + 0.6 + np.array(up), color="black", linewidth=3)
    split = length - tread.holding
    both = (
        (0.0, split, "slides", tread.pushes[1]),
        (split, length, "holds", tread.pushes[0]),
    )
    for row, (begin, end, word, push) in enumerate(both):
        if end - begin < 0.5:
            continue
        y = depth + 6.0
        axes.annotate(
            "", (begin, y), (end, y), arrowprops={"arrowstyle": "|-|", "mutation_scale": 3}
        )
        side = "right" if row == 0 else "left"
        at = min(max(split, 0.25 * length), 0.75 * length)
        axes.text(
            at + (-1 if row == 0 else 1),
            y + 5,
            f"{word} {end - begin:.0f} mm, {push:.0f} N",
            ha=side,
            va="center",
            **_BIG,
        )
    words = f"{tread.surface}: the road passes at {3.6 * tread.road:.1f} km/h"
    axes.text(left + 1, -6, words, va="center")
    axes.text(left + wide - 1, -6, "driving \u25b6", va="center", ha="right")


def _rise(away, half):
    """Height [mm] of the belt over its place in the patch, `away` mm beyond an end of it."""
    return (half * away + away**2 / 2) / _WHEEL if away > 0 else 0.0


def _discs(axes, shown, time, shape):
    """Discs of radius 1 side by side on a dark ground, each beside its scale."""
    wide = 2.6 * shape
    share = wide / len(shown.discs)
    axes.set(xlim=(0, wide), ylim=(-1.2, 1.4), facecolor=_NIGHT)
    i = int(np.abs(np.asarray(shown.time) - time).argmin())
    for n, disc in enumerate(shown.discs):
        x, degrees = share * n + 1.15, float(np.interp(time, shown.time, disc.temperature))
        for r, look in (
            (1.0, np.clip(disc.colour[i] / 255.0, 0, 1)),
            (0.55, "#34373c"),
            (0.2, _NIGHT),
        ):
            axes.add_patch(Circle((x, 0), r, facecolor=look, edgecolor="#a9b0b8"))
        axes.add_patch(
            Wedge((x, 0), 1.08, -26, 26, width=0.44, facecolor="#5b6168", edgecolor=_PALE)
        )
        axes.text(x - 1.05, 1.22, disc.label, color=_PALE, va="center")
        number = f"{degrees:.0f} °C: {shown.heats[int(disc.heat[i])]}"
        axes.text(x + 1.25, 1.22, number, color=_PALE, va="center", **_BIG)
        bar = Rectangle((x + 1.25, -1), 0.2, 2, fill=False, edgecolor=_PALE)
        full = 2.0 * min(1.0, degrees / shown.top)
        axes.add_patch(bar)
        axes.add_patch(Rectangle((x + 1.28, -1), 0.14, full, facecolor=_PALE))
        _marks(axes, shown, x + 1.45)


def _marks(axes, shown, x):
    """Words beside the scale, moved up where they would touch."""
    last = -np.inf
    for value, words in sorted(((0.0, "°C"), *shown.marks)):
        y = -1.0 + 2.0 * value / shown.top
        last = max(y, last + 0.26)
        axes.plot([x, x + 0.12, x + 0.22], [y, y, last], color=_PALE, linewidth=0.8)
        axes.text(x + 0.27, last, f"{value:.0f} {words}", color=_PALE, va="center", fontsize=8)
