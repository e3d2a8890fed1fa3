"""Symbols of electrical parts after IEC 60617 (from memory), made of the shapes of
`circuit_shapes`: both painters draw the same ones.

A symbol stands upright around (0, 0) with its two terminals at (0, -HALF) and (0, HALF). Channel 0:
1 = closed, lit, conducting."""

from math import cos, pi, sin

from tractionlab.hydraulics.shapes import box, circle, path, text

HALF = 22  #: from the middle of a symbol to its terminals


def _leads(top, bottom):
    return [path((0, -HALF), (0, top)), path((0, bottom), (0, HALF))]


def _resistor():
    return [*_leads(-13, 13), box(-5, -13, 5, 13)]


def _fuse():
    return [box(-5, -13, 5, 13), path((0, -HALF), (0, HALF))]


def _lamp():
    d = 10 * sin(pi / 4)
    return [
        *_leads(-10, 10),
        circle(0, 0, 10),
        path((-d, -d), (d, d)),
        path((-d, d), (d, -d)),
        circle(0, 0, 13, f="", w=2.4, show=0),
    ]


def _round(letter):
    return lambda: [*_leads(-12, 12), circle(0, 0, 12), text(0, 0, letter)]


def _contact():
    """A contact that closes: at rest open."""
    return [
        *_leads(-10, 10),
        path((0, 10), (-9, -11), w=1.8, hide=0),
        path((0, 10), (0, -10), w=1.8, show=0),
    ]


def _opener():
    """A contact that opens: at rest closed."""
    return [
        *_leads(-10, 10),
        path((0, -10), (6, -10)),
        path((0, 10), (5, -12), w=1.8, show=0),
        path((0, 10), (-9, -11), w=1.8, hide=0),
    ]


def _relay_coil():
    return [*_leads(-8, 8), box(-14, -8, 14, 8)]


def _valve_coil():
    return [*_leads(-9, 9), box(-11, -9, 11, 9, f="coil"), path((-11, 9), (11, -9))]


def _winding():
    """A coil of a sensor: half circles in a row."""
    arcs = [
        path(*[(5 * sin(pi * k / 6), y - 5 * cos(pi * k / 6)) for k in range(7)])
        for y in (-10, 0, 10)
    ]
    return [*_leads(-15, 15), *arcs]


def _battery():
    return [
        *_leads(-6, 6),
        path((-13, -6), (13, -6), w=1.4),
        path((-7, -1), (7, -1), w=3),
        path((-13, 3), (13, 3), w=1.4),
        path((-7, 8), (7, 8), w=3),
        text(-18, -9, "+"),
        path((0, 8), (0, HALF)),
    ]


def _diode():
    return [
        *_leads(-7, 7),
        path((-8, 7), (8, 7), (0, -7), c=True, f="ink"),
        path((-8, -7), (8, -7), w=2),
    ]


def _driver():
    """A transistor that joins to ground: a contact in a dashed frame."""
    return [
        *_leads(-8, 8),
        path((0, 8), (-7, -9), w=1.8, hide=0),
        path((0, 8), (0, -8), w=1.8, show=0),
        path((-13, -13), (11, -13), (11, 13), (-13, 13), c=True, d=[3, 3], w=1),
    ]


def _feed():
    """A feed inside a control unit: an ideal source, a circle with a line through it."""
    return [circle(0, 0, 10, w=1.4), path((0, -HALF), (0, HALF))]


def _earth():
    return [
        path((0, -HALF), (0, 0)),
        path((-11, 0), (11, 0), w=1.8),
        path((-7, 5), (7, 5), w=1.8),
        path((-3, 10), (3, 10), w=1.8),
    ]


_MAKERS = {
    "resistor": _resistor,
    "fuse": _fuse,
    "lamp": _lamp,
    "motor": _round("M"),
    "generator": _round("G"),
    "contact": _contact,
    "opener": _opener,
    "relay_coil": _relay_coil,
    "coil": _valve_coil,
    "winding": _winding,
    "battery": _battery,
    "diode": _diode,
    "driver": _driver,
    "feed": _feed,
    "earth": _earth,
}
KINDS = tuple(_MAKERS)


def symbol(kind, turned=False):
    """Shapes of a symbol; `turned`: its terminals lie left and right."""
    shapes = _MAKERS[kind]()
    return tuple(_turned(shape) for shape in shapes) if turned else tuple(shapes)


def _turned(shape):
    out = dict(shape)
    if "p" in out:
        out["p"] = [[y, -x] for x, y in out["p"]]
    if "o" in out:
        x, y, radius = out["o"]
        out["o"] = [y, -x, radius]
    if "at" in out:
        out["at"] = [out["at"][1], -out["at"][0]]
    return out


def block(width, height, words):
    """A part with electronics: a rectangle around (0, 0) with words inside, row by row."""
    rows = words.split("\n") if words else []
    return (
        box(-width / 2, -height / 2, width / 2, height / 2),
        *(text(0, 12 * (k - (len(rows) - 1) / 2), row, small=True) for k, row in enumerate(rows)),
    )


_BY_KIND = {
    "battery": "battery",
    "generator": "generator",
    "unit": "resistor",
    "resistor": "resistor",
    "lamp": "lamp",
    "diode": "diode",
    "fuse": "fuse",
    "rail": "feed",
    "contact": "contact",
    "relay": "contact",
    "driver": "driver",
    "motor": "motor",
    "coil": "coil",
    "coil_sensor": "winding",
}

_BY_CONDITION = {"no_brake": "opener", "starting": "motor"}


def symbol_of(element, coil):
    """Name of the symbol of an element of the network, or with `coil` of a relay's coil."""
    if coil:
        return "relay_coil"
    return _BY_CONDITION.get(element.more.get("closed"), _BY_KIND[element.kind])
