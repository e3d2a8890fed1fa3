"""Symbols of what moves and keeps fluid, after ISO 1219-1 (from memory): pumps, accumulators,
reservoirs, damper.
"""

from math import cos, pi, sin

from tractionlab.hydraulics.shapes import box, circle, path, text
from tractionlab.hydraulics.valve_symbols import ball


def pump(motor, non_return=False):
    shapes = [circle(0, 0, 11), path((0, -11), (-5, -3), (5, -3), c=True, f="ink")]
    if motor:
        shapes += [path((11, -1.5), (17, -1.5)), path((11, 1.5), (17, 1.5)), *_motor_face(28)]
    if non_return:
        shapes += [path((0, -11), (0, -15)), *ball(0, -22, -1)]
    return (
        shapes,
        (-12, -27 if non_return else -12, 40 if motor else 12, 12),
        {"in": (0, 11), "out": (0, -26 if non_return else -11)},
    )


def _motor_face(x):
    marks = [
        path(
            (x + 11 * cos(k * pi / 2), 11 * sin(k * pi / 2)),
            (x + 7 * cos(k * pi / 2), 7 * sin(k * pi / 2)),
            turn=[x, 0],
            w=2,
        )
        for k in range(4)
    ]
    return [circle(x, 0, 11), *marks, text(x, 0, "M")]


def motor(left, right, up=0):
    """A motor with a shaft (double line) to both sides, its ends perhaps turned up."""
    rods = [
        path((x, y), (end, y), w=0.8) for y in (-1.5, 1.5) for x, end in ((-11, left), (11, right))
    ]
    rods += [
        path((end + d, 1.5), (end + d, -up), w=0.8)
        for end in (left, right)
        for d in (-1.5, 1.5)
        if up
    ]
    return [*rods, *_motor_face(0)], (-13, -13, 13, 13), {}


def gas_accumulator():
    return (
        [
            _capsule(f="paper"),
            {"level": [-9, -40, 18, 40], "f": "fluid"},
            path((-9, 0), (9, 0), by=[0, 0, -40]),
            path((-4, -37), (4, -37), (0, -30), c=True, f="paper"),
            _capsule(),
        ],
        (-11, -42, 11, 2),
        {"port": (0, 0)},
    )


def _capsule(**more):
    arc = [(9 * cos(pi + pi * k / 8), -33 - 7 * -sin(pi + pi * k / 8)) for k in range(9)]
    low = [(9 * cos(pi * k / 8), -7 + 7 * sin(pi * k / 8)) for k in range(9)]
    return path(*arc, *low, c=True, **more)


def spring_accumulator():
    """Capsule hanging from its pipe: fluid above, spring below, a piston between."""
    arc = [(8 * cos(pi + pi * k / 8), 6 + 6 * sin(pi + pi * k / 8)) for k in range(9)]
    low = [(8 * cos(pi * k / 8), 30 + 6 * sin(pi * k / 8)) for k in range(9)]
    zigzag = [(4 * (-1) ** k, 33 - 2.2 * k) for k in range(6)]
    return (
        [
            path(*arc, *low, c=True, f="paper"),
            {"level": [-8, 0, 16, 20], "f": "fluid", "hang": True},
            path((-8, 4), (8, 4), w=2.4, by=[0, 0, 15]),
            path(*zigzag),
            path(*arc, *low, c=True),
        ],
        (-11, 0, 11, 38),
        {"port": (0, 0)},
    )


def low_pressure():
    """Spring chamber with the non-return valve towards the pump."""
    shapes, _, _ = spring_accumulator()
    return (
        shapes + [path((0, 0), (0, -13)), *ball(0, -20, -1)],
        (-11, -26, 11, 38),
        {"port": (0, 0), "out": (0, -25)},
    )


def reservoir():
    return (
        [
            box(-36, -6, 36, 0, f="fluid", w=0),
            path((-36, -10), (-36, 0), (36, 0), (36, -10), w=1.8),
        ],
        (-38, -12, 38, 2),
        {"left": (-22, 0), "right": (22, 0)},
    )


def small_reservoir():
    return [path((-9, -7), (-9, 0), (9, 0), (9, -7), w=1.8)], (-12, -8, 12, 2), {"port": (0, -2)}


def bottle():
    return (
        [
            path(
                (-4, -9),
                (-4, -5),
                (-8, -1),
                (-8, 12),
                (8, 12),
                (8, -1),
                (4, -5),
                (4, -9),
                c=True,
                f="paper",
                w=1.6,
            )
        ],
        (-10, -12, 10, 14),
        {"port": (0, -9)},
    )


def damper():
    """Narrow place and a chamber beside it, on a level pipe."""
    return (
        [
            path((-9, -5), (-3, -1.5), (3, -1.5), (9, -5)),
            path((-9, 5), (-3, 1.5), (3, 1.5), (9, 5)),
            path((14, 0), (14, -5)),
            circle(14, -10, 6),
        ],
        (-11, -17, 22, 7),
        {},
    )
