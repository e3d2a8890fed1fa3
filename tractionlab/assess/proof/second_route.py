"""Computed keys against a second route or worked examples, rounding on the way, distractors and
limits.
"""

from tractionlab.assess.bank.answer_key import keys, tolerance
from tractionlab.assess.bank.call import function_of
from tractionlab.assess.bank.draw import why_unfair
from tractionlab.assess.judge.sketch import fulfils
from tractionlab.assess.proof.second.fluid import reached
from tractionlab.assess.proof.three_digits import ThreeDigits, three
from tractionlab.assess.proof.worked import evidence_of
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import can_reach, shortest_path

#: How far the second route may be off, as a share of the key. Pictures are read to half the
#: tolerance of a reading.
SAME, READ = 2e-3, 0.025
#: How far a second route to a curve may be off, as a share of the y axis.
DRAWN = 0.01

_KINDS = {
    "path": "a search of the circuit edge by edge",
    "states": "a table of ways written by hand",
}


def route_of(call):
    """The second route of a key that an item calls, or None."""
    try:
        return function_of("second", call.module, call.function)
    except AttributeError:
        return None


def shown_by(part):
    """By what the key of a field is shown, for the report: the second route's method, worked
    examples or both; "" if by nothing.
    """
    if part.kind in _KINDS:
        return _KINDS[part.kind]
    route, worked = route_of(part.key), evidence_of(part.key).worked
    method = " ".join(route.__doc__.split()) if route else ""
    return " ".join(
        [f"Second route: {method}"] * bool(route)
        + [f"Worked example: {example.words()}." for example in worked]
    )


def worked_fault(part):
    """What is wrong with a key by its worked examples, in words, or ""."""
    function = function_of("keys", part.key.module, part.key.function)
    for example in evidence_of(part.key).worked:
        if not example.agrees(function):
            found = function(*example.of)
            return f"a worked example says otherwise: {example.words()}; the key gives {found}"
    return ""


def allowed(part, value):
    """How far the second route may be off from the value of a number."""
    return (READ if part.tolerance == "reading" else SAME) * abs(value) + 1e-9


def differs(part, key, other):
    """True if a second route's answer is another one than the key."""
    if part.kind == "number":
        return not abs(other - key) <= allowed(part, key)
    if part.kind == "sketch":
        span = part.y_range[1] - part.y_range[0]
        return not max(abs(a - b) for a, b in zip(key, other)) <= DRAWN * span
    return key != other


def _number(item, part, params):
    values = keys(item, params)
    value, near = values[part.name], tolerance(part, values[part.name])
    if route_of(part.key):
        other = part.key.run({**params, **values}, family="second")
        if differs(part, value, other):
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
    if not route_of(part.key):
        return ""
    right, other = keys(item, params)[part.name], part.key.run(params, family="second")
    return "" if right == other else f"the second route gives {other!r}, the key is {right!r}"


def _sketch(item, part, params):
    curve = keys(item, params)[part.name]
    if route_of(part.key):
        other = part.key.run({**params, "points": part.points}, family="second")
        if differs(part, curve, other):
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
