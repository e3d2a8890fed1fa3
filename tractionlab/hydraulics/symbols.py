"""Symbols of fluid power after ISO 1219-1 (from memory), made of the shapes of `circuit_shapes`:
both painters draw the same ones.
"""

from math import cos, pi, sin

from tractionlab.shapes import arrow, blocked, box, circle, path, spring, text

S = 18  #: side of a valve's square
H = S / 2


def _valve_body(squares, travel):
    """Squares from the spring side to the coil side; each is a function (x, more) -> shapes.

    The first stands at the port at rest.
    """
    slide = {"by": [0, S, 0]}
    left, right = H - len(squares) * S, H
    wall = right + travel + 6
    shapes = []
    for number, inside in enumerate(squares):
        x = -number * S
        shapes += [box(x - H, -H, x + H, H, **slide), *inside(x, slide)]
    shapes += [
        spring(right, wall, **slide, of=[wall, right]),
        path((wall, -6), (wall, 6), w=1.6),
        path((left - 4, 0), (left, 0), **slide, of=[left - 4, left], w=2),
        box(left - 16, -7, left - 4, 7, f="coil"),
        path((left - 16, 7), (left - 4, -7)),
        path((-H, -H), (H, -H), (H, H), (-H, H), c=True, w=2.4),
    ]
    return shapes, left - 16, wall


def _bypass(x, top=0.0, bottom=0.0, down=True):
    """Non-return valve beside a valve at column `x`, joined to the pipes at columns `top` and
    `bottom`; `down`: it opens downwards.
    """
    return [
        path((top, -16), (x, -16), (x, -7)),
        path((x, 7), (x, 16), (bottom, 16)),
        *_ball(x, 0, 1 if down else -1),
    ]


def _ball(x, y, way):
    """Ball on its seat; it lifts and lets fluid through downwards (`way` 1) or upwards (-1)."""
    return [
        path((x - 5.5, y), (x, y - way * 7), (x + 5.5, y)),
        circle(x, y - way * 1.5, 3.2, by=[1, 0, way * 5]),
    ]


def _relief(x):
    """Relief valve beside a valve at column `x`, opening upwards; the spring sets it, a dashed
    pilot line opens it.
    """
    return [
        path((0, -16), (x, -16), (x, -7)),
        path((x, 7), (x, 16), (0, 16)),
        box(x - 7, -7, x + 7, 7),
        *arrow((x + 3, 6), (x + 3, -6), by=[2, -3, 0]),
        spring(x + 7, x + 17, turns=3, high=4),
        path((x, 12), (x - 10, 12), (x - 10, 0), (x - 7, 0), d=[2, 2]),
    ]


def _open_square(both):
    return lambda x, more: (
        arrow((x, H - 1), (x, 1 - H), both, **more)
        if both
        else arrow((x, 1 - H), (x, H - 1), **more)
    )


def _closed_square(x, more):
    return blocked(x, -H, 1, **more) + blocked(x, H, -1, **more)


def _two_way(rest_open, beside=(), both=True, down=True):
    squares = [_open_square(both), _closed_square]
    shapes, left, right = _valve_body(squares if rest_open else squares[::-1], S)
    ports = {"top": (0, -H), "bottom": (0, H)}
    if "non_return" in beside:
        shapes += _bypass(right + 10, down=down)
        right += 16
    if "relief" in beside:
        shapes += _relief(right + 18)
        right += 36
    return shapes, (left, -20, right, 20), ports


def _three_way():
    a, r = 5, -5

    def increase(x, more):
        return arrow((x + a, 1 - H), (x + a, H - 1), True, **more) + blocked(x + r, H, -1, **more)

    def hold(x, more):
        return (
            blocked(x + a, -H, 1, **more)
            + blocked(x + a, H, -1, **more)
            + blocked(x + r, H, -1, **more)
        )

    def reduce(x, more):
        return (
            blocked(x + a, -H, 1, **more)
            + [path((x + a, H), (x + a, 1), (x + r, 1), **more)]
            + arrow((x + r, 1), (x + r, H - 1), **more)
        )

    shapes, left, right = _valve_body([increase, hold, reduce], 2 * S)
    return (
        shapes + _bypass(right + 9, a, a, down=False),
        (left, -20, right + 14, 20),
        {"top": (a, -H), "wheel": (a, H), "back": (r, H)},
    )


def _pump(motor, non_return=False):
    shapes = [circle(0, 0, 11), path((0, -11), (-5, -3), (5, -3), c=True, f="ink")]
    if motor:
        shapes += [path((11, -1.5), (17, -1.5)), path((11, 1.5), (17, 1.5)), *_motor_face(28)]
    if non_return:
        shapes += [path((0, -11), (0, -15)), *_ball(0, -22, -1)]
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


def _motor(left, right, up=0):
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


def _gas_accumulator():
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


def _spring_accumulator():
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


def _low_pressure():
    """Spring chamber with the non-return valve towards the pump."""
    shapes, _, _ = _spring_accumulator()
    return (
        shapes + [path((0, 0), (0, -13)), *_ball(0, -20, -1)],
        (-11, -26, 11, 38),
        {"port": (0, 0), "out": (0, -25)},
    )


def _reservoir():
    return (
        [
            box(-36, -6, 36, 0, f="fluid", w=0),
            path((-36, -10), (-36, 0), (36, 0), (36, -10), w=1.8),
        ],
        (-38, -12, 38, 2),
        {"left": (-22, 0), "right": (22, 0)},
    )


def _small_reservoir():
    return [path((-9, -7), (-9, 0), (9, 0), (9, -7), w=1.8)], (-12, -8, 12, 2), {"port": (0, -2)}


def _master_cylinder():
    """Tandem cylinder: pedal and push rod on the left; the two pistons move to the right as it is
    pressed.
    """
    slide = {"by": [0, 12, 0]}
    return (
        [
            box(-50, -12, 50, 12, w=1.8),
            box(-42, -12, -37, 12, f="ink", **slide),
            box(2, -12, 7, 12, f="ink", **slide),
            spring(-37, 2, turns=4, **slide),
            spring(7, 50, turns=4, **slide, of=[50, 7]),
            path((-78, 0), (-42, 0), w=3, **slide),
            path((-82, -20), (-78, 0), (-80, 14), w=3, **slide),
            path((-86, 14), (-74, 14), w=5, **slide),
        ],
        (-88, -14, 50, 14),
        {"left": (-22, 12), "right": (22, 12), "top_left": (-22, -12), "top_right": (22, -12)},
    )


def _ports():
    """The two ports between reservoir and master cylinder, shut as soon as the pistons move."""
    shapes = []
    for x in (-22, 22):
        shapes += [
            box(x - 6, -5, x + 6, 5, w=1),
            path((x, -5), (x, 5), w=1.6, hide=0),
            path((x - 5, 0), (x + 5, 0), w=2.6, show=0),
        ]
    return (
        shapes,
        (-30, -6, 30, 6),
        {"left": (-22, -5), "right": (22, -5), "low_left": (-22, 5), "low_right": (22, 5)},
    )


def _wheel():
    """Tyre from above with its brake; the pads close as pressure rises."""
    return (
        [
            box(-9, -24, 9, 24, w=1.8),
            *[path((-9, y), (9, y), w=0.6) for y in (-16, -8, 8, 16)],
            box(9, -9, 19, 9, f="coil"),
            path((14, -6), (14, 6), w=2.4, by=[0, -4, 0]),
        ],
        (-10, -25, 20, 25),
        {"port": (19, 0)},
    )


def _pressure_switch():
    return (
        [
            box(-9, -24, 9, -8),
            path((0, 0), (0, -8), d=[2, 2]),
            path((-6, -13), (-2, -13)),
            path((2, -13), (6, -13)),
            path((-2, -13), (2, -20), hide=0),
            path((-2, -13), (3, -13), show=0, w=2),
        ],
        (-11, -26, 11, -2),
        {"port": (0, 0)},
    )


def _transducer():
    return (
        [
            box(-9, -24, 9, -8),
            path((0, 0), (0, -8), d=[2, 2]),
            path((-9, -8), (9, -24)),
            text(-4, -19, "p", small=True),
            text(4, -12, "U", small=True),
        ],
        (-11, -26, 11, -2),
        {"port": (0, 0)},
    )


def _relief_valve():
    return (
        [
            box(-8, -8, 8, 8),
            *arrow((4, 7), (4, -7), by=[2, -4, 0]),
            spring(8, 22, turns=3),
            path((0, 15), (-13, 15), (-13, 0), (-8, 0), d=[2, 2]),
        ],
        (-14, -9, 23, 17),
        {"port": (0, 8), "out": (0, -8)},
    )


def _hand_valve():
    return (
        [
            path((-7, -6), (-7, 6), (7, -6), (7, 6), c=True, f="paper"),
            path((-7, -6), (-7, 6), (7, -6), (7, 6), c=True, f="ink", hide=0),
            path((0, 0), (0, -11)),
            path((-5, -11), (5, -11), w=2),
        ],
        (-14, -14, 14, 8),
        {"out": (-7, 0), "port": (7, 0)},
    )


def _bottle():
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


def _damper():
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


_MAKERS = {
    "two_way_open": lambda: _two_way(True),
    "two_way_open_check": lambda: _two_way(True, ("non_return",), down=False),
    "two_way_open_pedal": lambda: _two_way(True, ("non_return",)),
    "two_way_open_pedal_relief": lambda: _two_way(True, ("non_return", "relief")),
    "two_way_closed": lambda: _two_way(False, both=False),
    "three_way": _three_way,
    "pump": lambda: _pump(False),
    "pump_motor": lambda: _pump(True, True),
    "gas_accumulator": _gas_accumulator,
    "spring_accumulator": _spring_accumulator,
    "low_pressure": _low_pressure,
    "reservoir": _reservoir,
    "small_reservoir": _small_reservoir,
    "master_cylinder": _master_cylinder,
    "ports": _ports,
    "wheel": _wheel,
    "pressure_switch": _pressure_switch,
    "transducer": _transducer,
    "relief_valve": _relief_valve,
    "hand_valve": _hand_valve,
    "bottle": _bottle,
    "damper": _damper,
}
KINDS = (*_MAKERS, "motor")


def symbol(kind, flip=False, quarter=0, shaft=()):
    """Shapes, box and ports of a symbol; `flip` mirrors it left to right, `quarter` turns it
    clockwise by quarters.

    shaft : for a motor, how far its shaft reaches to the left, to the right, and up at its ends
    """
    shapes, edges, ports = _motor(*shaft) if kind == "motor" else _MAKERS[kind]()

    def place(x, y):
        x = -x if flip else x
        for _ in range(quarter % 4):
            x, y = -y, x
        return [x, y]

    corners = [place(edges[i], edges[j]) for i in (0, 2) for j in (1, 3)]
    xs, ys = zip(*corners)
    return (
        tuple(_placed(shape, place) for shape in shapes),
        (min(xs), min(ys), max(xs), max(ys)),
        {n: tuple(place(*p)) for n, p in ports.items()},
    )


def _placed(shape, place):
    out = dict(shape)
    if "p" in out:
        out["p"] = [place(*point) for point in out["p"]]
    if "o" in out:
        out["o"] = [*place(*out["o"][:2]), out["o"][2]]
    for key in ("at", "turn"):
        if key in out:
            out[key] = place(*out[key])
    if "by" in out:
        out["by"] = [out["by"][0], *place(*out["by"][1:])]
    if "of" in out:
        out["of"] = [place(x, 0)[0] for x in out["of"]]
    return out
