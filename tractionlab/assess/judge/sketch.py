"""Judges a sketched curve by stated features of the computed one: where it rises, falls, stays
level, peaks, or how near it comes.
"""

from math import isfinite

from tractionlab.catalogue.checked import is_number

LEVEL = 0.08  #: a curve is level when it changes by no more than this share of the y range
STEP = 0.02  #: a change smaller than this share of the y range is neither rise nor fall


def judge_sketch(item, variant, part, field, given, runs):
    """(marks, reason) for a list of one number for each point.

    Each feature earns its marks by itself.
    """
    if not isinstance(given, list) or len(given) != len(part.points):
        return 0.0, f"the answer is not a list of {len(part.points)} numbers."
    drawn = sketched_values(part, given)
    if drawn is None:
        return 0.0, f"a point is missing or not in {part.y_range[0]:g} to {part.y_range[1]:g}."
    curve = [as_shown(value) for value in part.key.run({**variant.params, "points": part.points})]
    marks, missed = 0.0, []
    for feature in part.features:
        if fulfils(drawn, curve, feature, part):
            marks += feature["marks"]
        else:
            missed.append(feature["words"])
    return marks, "every feature is there." if not missed else f"missing: {'; '.join(missed)}."


def sketched_values(part, given):
    """The values of a whole sketch as numbers, or None."""
    drawn = (
        [_number(value) for value in given]
        if isinstance(given, list) and len(given) == len(part.points)
        else [None]
    )
    return (
        None
        if any(value is None or not part.y_range[0] <= value <= part.y_range[1] for value in drawn)
        else drawn
    )


def as_shown(value):
    """A computed or drawn value to the four digits that sheets show: who marks from a sheet comes
    to the same marks.
    """
    return float(f"{value:.4g}")


def _number(value):
    if isinstance(value, str):
        value = value.strip().replace(",", ".") if len(value) < 20 else value
    elif not is_number(value):
        return None
    try:
        number = float(value) if isinstance(value, str) else as_shown(value)
    except (ValueError, OverflowError):
        return None
    return number if isfinite(number) else None


def fulfils(drawn, curve, feature, part):
    """True if the drawn values show a feature.

    rises, falls: from `first` to `last` by at least half of what the computed curve does, and no
    step the other way. level: stays within LEVEL of the y range. peak: the largest value lies
    between the points `first` and `last`. near: every value there lies within `within` of the
    computed one, as a share of the y range."""
    rule, first, last = feature["rule"], feature["first"], feature["last"]
    span = part.y_range[1] - part.y_range[0]
    piece = drawn[first : last + 1]
    if rule == "peak":
        return first <= drawn.index(max(drawn)) <= last and max(drawn) - min(drawn) > LEVEL * span
    if rule == "near":
        return all(
            abs(value - right) <= feature.get("within", 0.1) * span
            for value, right in zip(piece, curve[first : last + 1])
        )
    if rule == "level":
        return max(piece) - min(piece) <= LEVEL * span
    way = 1.0 if rule == "rises" else -1.0
    wanted = way * (curve[last] - curve[first])
    return way * (piece[-1] - piece[0]) >= max(0.5 * wanted, STEP * span) and all(
        way * (b - a) >= -STEP * span for a, b in zip(piece, piece[1:])
    )
