"""Computed keys against a second route, rounding on the way, distractors and limits."""

from tractionlab.assess.bank.answer_key import keys, tolerance
from tractionlab.assess.bank.draw import why_unfair
from tractionlab.assess.judge.sketch import fulfils
from tractionlab.assess.proof.second.fluid import reached
from tractionlab.assess.proof.three_digits import ThreeDigits, three
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import can_reach, shortest_path

#: How far the second route may be off, as a share of the key. Pictures are read to half the
#: tolerance of a reading.
SAME, READ = 2e-3, 0.025


def _number(item, part, params):
    values = keys(item, params)
    value, near = values[part.name], tolerance(part, values[part.name])
    other = part.key.run({**params, **values}, family="second")
    allowed = (READ if part.tolerance == "reading" else SAME) * abs(value) + 1e-9
    if abs(other - value) > allowed:
        return f"the second route gives {other:.6g}, the key is {value:.6g}"
    rounded = rounded_key(item, part, params)
    if abs(rounded - value) > near:
        return (
            f"rounded to three digits on the way it gives {rounded:.6g}, the key is {value:.6g}:"
            " widen the tolerance to 'rounded'"
        )
    if why := why_unfair(item, params):
        return why
    return ""


def rounded_key(item, part, params):
    """Key of a number field with every step, and every earlier answer, rounded to three digits."""
    values = dict(params)
    for earlier in item.fields:
        if earlier.kind == "number":
            numbers = {
                name: ThreeDigits(values[name]) if isinstance(values[name], float) else values[name]
                for name in earlier.key.names
            }
            values[earlier.name] = three(earlier.key.run(numbers))
        if earlier.name == part.name:
            return values[part.name]
    raise KeyError(part.name)


def _choice(item, part, params):
    right, other = keys(item, params)[part.name], part.key.run(params, family="second")
    return "" if right == other else f"the second route gives {other!r}, the key is {right!r}"


def _sketch(item, part, params):
    curve = keys(item, params)[part.name]
    other = part.key.run({**params, "points": part.points}, family="second")
    span = part.y_range[1] - part.y_range[0]
    if max(abs(a - b) for a, b in zip(curve, other)) > 0.01 * span:
        return "the second route gives another curve"
    if not all(part.y_range[0] <= value <= part.y_range[1] for value in curve):
        return "the curve leaves the y axis"
    if missing := [
        feature["words"] for feature in part.features if not fulfils(curve, curve, feature, part)
    ]:
        return f"the computed curve itself lacks a feature: {missing[0]}"
    for trap in part.traps:
        wrong = trap.key.run({**params, "points": part.points})
        if all(fulfils(wrong, curve, feature, part) for feature in part.features):
            return f"the curve of a wrong idea has every feature: {trap.idea}"
    return ""


def _path(item, part, params):
    shown = layout(part.layout)
    way = shortest_path(shown, params["mode"], params["start"], params["goal"])
    there = params["goal"] in reached(shown, shown.modes[params["mode"]], params["start"])
    return (
        ""
        if (way is not None) == there
        else f"a search edge by edge says {'there is a' if there else 'there is no'} way"
    )


def _states(item, part, params):
    shown, mode = layout(part.layout), params["mode"]
    wrong = [
        cell
        for cell in shown.connections
        if cell.mode == mode and can_reach(shown, mode, cell.start, cell.goal) != cell.connected
    ]
    return (
        f"the table written by hand says otherwise of {wrong[0].start} to {wrong[0].goal}"
        if wrong
        else ""
    )


ROUTES = {
    "number": _number,
    "choice": _choice,
    "sketch": _sketch,
    "path": _path,
    "states": _states,
}
