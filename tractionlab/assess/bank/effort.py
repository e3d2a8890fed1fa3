"""How long an expert needs for a variant: a count of what has to be read, worked out, traced and
written. For comparing variants of one item.
"""

from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import shortest_path

#: Seconds for one step of each kind of work. Chosen for this course; only their ratio within an
#: item counts.
READ, CALCULATE, DIGIT, CHOOSE, TRACE, SET, DRAW = 10.0, 8.0, 1.0, 4.0, 12.0, 8.0, 5.0


def seconds(item, params, values):
    """Seconds an expert needs for a draw of an item; `values` are its keys by field."""
    total = READ
    for part in item.fields:
        if part.kind == "number":
            total += CALCULATE * (1 + len(part.key.names)) + DIGIT * len(
                f"{values[part.name]:.{part.places}f}"
            )
        elif part.kind == "choice":
            total += CHOOSE * len(part.options) + (
                CALCULATE * len(part.key.names) if part.key else 0.0
            )
        elif part.kind == "path":
            way = shortest_path(
                layout(part.layout), params["mode"], params["start"], params["goal"]
            )
            total += TRACE * (len(way) if way else 4)
        elif part.kind == "states":
            total += SET * len(part.parts)
        elif part.kind == "sketch":
            total += DRAW * len(part.points)
    return total
