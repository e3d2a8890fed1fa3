"""Plain shapes that symbols of fluid power are made of.

A shape is a dict: `p` points of a polyline, or `o` (x, y, radius), or `t` text with `at`, or
`level` (x, y, width, height): a box filled from below, with `hang` from above, to channel 0. `c`
closed; `f` fill ("", "ink", "paper", "fluid", "coil"); `w` line width; `d` dashes. How it moves:
`by` (channel, dx, dy): shift per unit of the channel; with `of` (fixed x, moving x) only that far,
as a spring is pressed together; `turn` (x, y): turned by channel 0 [rad]; `show` or `hide`
(channel): there only when it is above, below 0.5. Channels: 0 = motion, 1 = second motion above
zero (ball lifts), 2 = second motion below zero (relief opens)."""


def path(*points, **more):
    """A polyline."""
    return {
        "p": [list(map(float, point)) for point in points],
        "w": 1.2,
        "f": "",
        "c": False,
        **more,
    }


def box(left, top, right, bottom, **more):
    """A closed rectangle."""
    return path(
        (left, top),
        (right, top),
        (right, bottom),
        (left, bottom),
        **{"c": True, "f": "paper", **more},
    )


def circle(x, y, radius, **more):
    """A circle filled with paper."""
    return {"o": [float(x), float(y), float(radius)], "w": 1.2, "f": "paper", **more}


def text(x, y, words, **more):
    """A letter."""
    return {"t": words, "at": [float(x), float(y)], **more}


def arrow(tail, tip, both=False, **more):
    """A shaft with a filled head, or two."""
    length = ((tip[0] - tail[0]) ** 2 + (tip[1] - tail[1]) ** 2) ** 0.5
    ux, uy = (tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length

    def head(point, sign):
        x, y = point[0] - sign * 5 * ux, point[1] - sign * 5 * uy
        return path(
            point,
            (x - 2.6 * uy, y + 2.6 * ux),
            (x + 2.6 * uy, y - 2.6 * ux),
            c=True,
            f="ink",
            **more,
        )

    return [path(tail, tip, **more), head(tip, 1)] + ([head(tail, -1)] if both else [])


def blocked(x, y, inward, **more):
    """A shut port: a T into the square."""
    return [
        path((x, y), (x, y + inward * 5), **more),
        path((x - 3, y + inward * 5), (x + 3, y + inward * 5), **more),
    ]


def spring(near, far, y=0.0, turns=4, high=5, **more):
    """A zigzag from `near` to `far`."""
    step = (far - near) / (2 * turns)
    points = (
        [(near, y)]
        + [(near + step * (i + 0.5), y + (high if i % 2 else -high)) for i in range(2 * turns)]
        + [(far, y)]
    )
    return path(*points, **more)
