"""A guess that is drawn: the points that the learner set, the computed curve over them, and one
sentence on how they differ.
"""

import numpy as np

from tractionlab.written.numbers import Unreadable, read

_LEAST = 2  #: points that make a curve
_NEAR = 0.1  #: of the axis: as near everywhere a drawn curve came out
_CLEAR = 0.1  #: of the axis: by so much a top must stand over both ends to be one


def drawn_field(draw, values=(), truth=None, label=""):
    """A field of a card to draw in, or with `truth` to look at: (x, y) of the computed curve, or ()
    before it may be seen.
    """
    return {
        "name": "drawn",
        "label": label or draw["ask"],
        "unit": "",
        "value": ";".join("" if v is None else f"{v:g}" for v in values),
        "fixed": False,
        "mark": "",
        "message": "",
        "sketch": {
            "x": draw["x"],
            "y": draw["y"],
            "points": draw["points"],
            "y_range": draw["range"],
            "truth": None if truth is None else [list(map(_short, part)) for part in truth],
        },
    }


def _short(number):
    return float(f"{number:.5g}")


def read_drawing(typed, draw):
    """Values of the points from what the card sends, None where nothing was set; () if nothing was
    drawn. Unreadable with one sentence if a value is none, is out of range, or stands alone.
    """
    pieces = [piece.strip() for piece in typed.split(";")]
    if not any(pieces):
        return ()
    if len(pieces) != len(draw["points"]):
        raise Unreadable("The drawing did not arrive whole. Move one of its points once more.")
    values = tuple(_value(*pair, draw) for pair in zip(pieces, draw["points"]))
    if sum(value is not None for value in values) < _LEAST:
        raise Unreadable("One point is no curve: set another one, or empty its box.")
    return values


def _value(piece, at, draw):
    if not piece:
        return None
    low, high = draw["range"]
    where = f"The point at {said(at, draw['x'])}"
    try:
        value = read(piece).number
    except Unreadable:
        raise Unreadable(f"{where} is no number: {piece!r}.") from None
    if not low <= value <= high:
        raise Unreadable(f"{where} must be from {low:g} to {said(high, draw['y'])}.")
    return value


def kept_drawing(line, draw):
    """What a line of the record holds of a drawing; () if it holds none that can be read."""
    found = line.get("drawn")
    if not isinstance(found, list) or len(found) != len(draw["points"]):
        return ()
    low, high = draw["range"]
    good = all(v is None or (type(v) in (int, float) and low <= v <= high) for v in found)
    return tuple(found) if good and sum(v is not None for v in found) >= _LEAST else ()


def apart(values, curve, draw):
    """One sentence on how the drawn curve and the computed one, (x, y), differ."""
    x, y = np.array([(p, v) for p, v in zip(draw["points"], values) if v is not None], float).T
    computed = np.interp(x, *curve)
    span = draw["range"][1] - draw["range"][0]
    worst = int(abs(y - computed).argmax())
    most = abs(y[worst] - computed[worst])
    if most <= _NEAR * span:
        return (
            f"Your curve came out: no point is more than {said(most, draw['y'])} from the computed"
            " one."
        )
    words = (
        f"They are furthest apart at {said(x[worst], draw['x'])}: you drew"
        f" {said(y[worst], draw['y'])} where {said(computed[worst], draw['y'])} is computed"
    )
    top = int(np.argmax(curve[1]))
    if curve[1][top] - max(curve[1][0], curve[1][-1]) < _CLEAR * span:
        return f"{words}."
    yours = int(y.argmax())
    return (
        f"{words}; the computed curve is highest at {said(curve[0][top], draw['x'])}, yours at"
        f" {said(x[yours], draw['x'])}."
    )


def said(value, axis):
    """A value with the unit that the label of its axis ends with; after the label if that has none,
    as a number of launches.
    """
    number = f"{float(f'{value:.3g}'):g}"
    if "[" not in axis:
        return f"{axis}\u00a0{number}"
    unit = axis[axis.index("[") + 1 : axis.rindex("]")]
    return f"{number}\u00a0{unit}".strip()
