"""The car on paper: one moment of a run from above, with forces, grip limits, brake pressures and
the second car dashed.
"""

import numpy as np
from matplotlib.patches import Circle, FancyArrowPatch, FancyBboxPatch, Rectangle
from matplotlib.transforms import Affine2D

from tractionlab.paint.surfaces import hatch_number
from tractionlab.view import COLOURS
from tractionlab.wheels import WHEEL_WORDS

_HATCHES = ("//", "oo", "--", "..", "xx", "++")
_LIMIT_RADIUS = 0.9


def paint_car(axes, scenes, time=None):
    """Paint `scenes` at `time` [s] (None = the end) into `axes` (14 m by 5.8 m), with a list of the
    wheels to its right.
    """
    scene = scenes[0]
    end = float(scene.time[-1])
    time = end if time is None else min(max(float(time), float(scene.time[0])), end)
    now = _moment(scene, time)
    left, right = now["x"] - 7.0, now["x"] + 7.0
    middle = now["y"] - np.clip(now["y"], -0.5, 0.5)
    _road(axes, scene, left, right, middle)
    if len(scenes) > 1:
        there = _moment(scenes[1], time)
        _body(axes, scenes[1], there, facecolor="none", linestyle=(0, (6, 4)))
    _body(axes, scene, now, facecolor=(1, 1, 1, 0.85), linestyle="-")
    _wheels(axes, scene, now)
    axes.set(
        xlim=(left, right),
        ylim=(middle - 2.9, middle + 2.9),
        xlabel="distance [m]",
        yticks=[],
        aspect="equal",
    )
    axes.set_title(f"The car after {time:.2f} s", loc="left")
    axes.text(
        1.03,
        1,
        "\n".join(_words(scenes, now, time)),
        va="top",
        linespacing=1.35,
        transform=axes.transAxes,
    )


def _moment(scene, time):
    at = {
        name: float(np.interp(time, scene.time, getattr(scene, name)))
        for name in ("x", "y", "yaw", "steer", "lamp")
    }
    wheels = ("wheel_angle", "drive_force", "side_force", "grip_limit", "pressure")
    return at | {
        name: [
            float(np.interp(time, scene.time, np.asarray(getattr(scene, name))[:, w]))
            for w in range(4)
        ]
        for name in wheels
    }


def _road(axes, scene, left, right, middle):
    for x_from, x_to, y_from, y_to, name, grip in scene.road:
        axes.add_patch(
            Rectangle(
                (x_from, y_from),
                x_to - x_from,
                y_to - y_from,
                facecolor="#f4f4f4",
                edgecolor="#b5b5b5",
                hatch=_HATCHES[hatch_number(name)],
                linewidth=0.8,
                zorder=0,
            )
        )
        start = max(x_from, left)
        if start < min(x_to, right) - 2:
            below = (y_from + y_to) / 2 < -0.2
            height = max(y_from, middle - 2.9) + 0.2 if below else min(y_to, middle + 2.9) - 0.2
            axes.text(
                start + 0.2,
                height,
                f"{name}, grip {grip:.2f}",
                va="bottom" if below else "top",
                zorder=6,
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.5},
            )


def _placed(axes, now):
    return Affine2D().rotate(now["yaw"]).translate(now["x"], now["y"]) + axes.transData


def _body(axes, scene, now, **look):
    rear = scene.to_front - scene.wheelbase - 0.65
    half = scene.track / 2 + 0.1
    axes.add_patch(
        FancyBboxPatch(
            (rear + 0.4, -half + 0.4),
            scene.wheelbase + 0.6,
            2 * half - 0.8,
            boxstyle="round,pad=0.4",
            edgecolor="black",
            linewidth=1.3,
            transform=_placed(axes, now),
            zorder=2,
            **look,
        )
    )
    glass = scene.to_front - 0.5
    axes.add_patch(
        FancyArrowPatch(
            (glass, -half + 0.25),
            (glass, half - 0.25),
            arrowstyle="-",
            connectionstyle="arc3,rad=0.25",
            linewidth=0.8,
            linestyle=look["linestyle"],
            transform=_placed(axes, now),
            zorder=2.5,
        )
    )


def _wheels(axes, scene, now):
    strongest = max(1.0, float(np.max(scene.grip_limit)))
    half = scene.track / 2
    places = [
        (scene.to_front, half),
        (scene.to_front, -half),
        (scene.to_front - scene.wheelbase, half),
        (scene.to_front - scene.wheelbase, -half),
    ]
    for w, (x, y) in enumerate(places):
        turned = Affine2D().rotate(now["steer"] if w < 2 else 0.0).translate(x, y) + _placed(
            axes, now
        )
        r = scene.tyre_radius
        axes.add_patch(
            Rectangle(
                (-r, -0.13),
                2 * r,
                0.26,
                facecolor="#999999" if scene.driven[w] else "white",
                edgecolor="black",
                hatch="||||" if scene.driven[w] else None,
                transform=turned,
                zorder=3,
            )
        )
        axes.add_patch(
            Circle(
                (0, 0),
                _LIMIT_RADIUS * now["grip_limit"][w] / strongest,
                fill=False,
                edgecolor=COLOURS[1],
                linewidth=1.2,
                transform=turned,
                zorder=4,
            )
        )
        force = np.array([now["drive_force"][w], now["side_force"][w]]) * _LIMIT_RADIUS / strongest
        if np.hypot(*force) > 0.03:
            tail, tip = axes.transData.inverted().transform(turned.transform([(0, 0), force]))
            axes.add_patch(
                FancyArrowPatch(
                    tail,
                    tip,
                    arrowstyle="-|>",
                    mutation_scale=8,
                    shrinkA=0,
                    shrinkB=0,
                    color=COLOURS[2],
                    linewidth=2,
                    zorder=5,
                )
            )


def _words(scenes, now, time):
    scene = scenes[0]
    words = ["control working" if now["lamp"] > 0.5 else "control resting"]
    if abs(scene.slope) > 0.0005:
        words.append(
            f"road {'up' if scene.slope > 0 else 'down'} {abs(scene.slope):.0%}".replace("%", " %")
        )
    for w, name in enumerate(WHEEL_WORDS):
        limit = now["grip_limit"][w]
        used = np.hypot(now["drive_force"][w], now["side_force"][w]) / limit if limit > 0 else 0.0
        words += [
            f"{name}{' (driven)' if scene.driven[w] else ''}",
            f"    grip used {100 * used:.0f} %, brake {now['pressure'][w]:.0f} bar",
        ]
    if len(scenes) > 1:
        gap = _moment(scenes[1], time)["x"] - now["x"]
        words.append(
            f"dashed: {scenes[1].label or 'second run'},\n    {abs(gap):.1f} m"
            f" {'behind' if gap < 0 else 'ahead'}"
        )
    return words
