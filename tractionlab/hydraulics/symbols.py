"""Symbols of fluid power after ISO 1219-1 (from memory), made of the shapes of `shapes`: both
painters draw the same ones.
"""

from tractionlab.hydraulics import supply_symbols as supply
from tractionlab.hydraulics import valve_symbols as valve
from tractionlab.hydraulics.shapes import arrow, box, path, spring, text


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


_MAKERS = {
    "two_way_open": lambda: valve.two_way(True),
    "two_way_open_check": lambda: valve.two_way(True, ("non_return",), down=False),
    "two_way_open_pedal": lambda: valve.two_way(True, ("non_return",)),
    "two_way_open_pedal_relief": lambda: valve.two_way(True, ("non_return", "relief")),
    "two_way_closed": lambda: valve.two_way(False, both=False),
    "three_way": valve.three_way,
    "pump": lambda: supply.pump(False),
    "pump_motor": lambda: supply.pump(True, True),
    "gas_accumulator": supply.gas_accumulator,
    "spring_accumulator": supply.spring_accumulator,
    "low_pressure": supply.low_pressure,
    "reservoir": supply.reservoir,
    "small_reservoir": supply.small_reservoir,
    "master_cylinder": _master_cylinder,
    "ports": _ports,
    "wheel": _wheel,
    "pressure_switch": _pressure_switch,
    "transducer": _transducer,
    "relief_valve": _relief_valve,
    "hand_valve": _hand_valve,
    "bottle": supply.bottle,
    "damper": supply.damper,
}
KINDS = (*_MAKERS, "motor")


def symbol(kind, flip=False, quarter=0, shaft=()):
    """Shapes, box and ports of a symbol; `flip` mirrors it left to right, `quarter` turns it
    clockwise by quarters.

    shaft : for a motor, how far its shaft reaches to the left, to the right, and up at its ends
    """
    shapes, edges, ports = supply.motor(*shaft) if kind == "motor" else _MAKERS[kind]()

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
