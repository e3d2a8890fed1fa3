"""Symbols of valves after ISO 1219-1 (from memory): squares for the positions, spring, coil, and
what stands beside.
"""

from tractionlab.hydraulics.shapes import arrow, blocked, box, circle, path, spring

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
        *ball(x, 0, 1 if down else -1),
    ]


def ball(x, y, way):
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


def two_way(rest_open, beside=(), both=True, down=True):
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


def three_way():
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
