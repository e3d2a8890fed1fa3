"""Judges fluid paths and valve states by the hydraulic graph, not by one stored answer."""

from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import can_reach, explain_path, positions_in, shortest_path

NO_WAY = "none"


def judge_path(item, variant, part, field, given, runs):
    """(marks, reason) for a list of places from start to goal, or "none". Any way the fluid can
    take is right.

    Part marks: of a way that begins at the start, each step the fluid can take before the first
    impossible one counts as its share of the shortest way, up to half the marks."""
    shown, mode = layout(part.layout), variant.params["mode"]
    start, goal = variant.params["start"], variant.params["goal"]
    shortest = shortest_path(shown, mode, start, goal)
    if given == NO_WAY:
        return (
            (float(part.marks), "right: there is no way.")
            if shortest is None
            else (0.0, "not right: there is a way.")
        )
    if (
        not isinstance(given, list)
        or not 2 <= len(given) <= 30
        or any(not isinstance(place, str) or place not in shown.nodes for place in given)
    ):
        return 0.0, "the answer is not a list of places of this circuit."
    if shortest is None:
        step = explain_path(shown, mode, given)[-1]
        return 0.0, f"not right: no way leads there. {step.words}"
    if given[0] != start:
        return 0.0, f"the way does not begin in {shown.nodes[start]}."
    steps = explain_path(shown, mode, given)
    if all(step.possible for step in steps) and given[-1] == goal:
        return float(part.marks), "right: the fluid can take this way."
    good = sum(step.possible for step in steps)
    share = min(0.5, 0.5 * good / (len(shortest) - 1))
    reason = next(
        (step.words for step in steps if not step.possible),
        f"the way ends before {shown.nodes[goal]}.",
    )
    return (
        share * part.marks,
        (
            f"{good} step{'s' if good != 1 else ''} of the way can be taken, at most half the"
            f" marks. {reason}"
        ),
    )


def judge_states(item, variant, part, field, given, runs):
    """(marks, reason) for {part: position} against the mode asked for; the reason says what the
    graph makes of a wrong one.

    Each part that has to leave its rest and is set right counts for, each part set wrong counts
    against; never below zero."""
    shown, mode = layout(part.layout), variant.params["mode"]
    wanted = positions_in(shown, mode)
    if not isinstance(given, dict):
        return 0.0, "the answer names no parts."
    chosen = {key: given.get(key) for key in part.parts}
    empty = [key for key in part.parts if chosen[key] not in shown.components[key].positions]
    if empty:
        return 0.0, f"{shown.components[empty[0]].name}: no position is chosen."
    wrong = [key for key in part.parts if chosen[key] != wanted[key]]
    if not wrong:
        return float(part.marks), "right."
    moved = [key for key in part.parts if wanted[key] != shown.components[key].rest_position]
    good = sum(key not in wrong for key in moved)
    share = max(0.0, (good - len(wrong)) / max(1, len(moved)))
    return (
        share * part.marks,
        (
            f"wrong: {', '.join(shown.components[key].name for key in wrong)}."
            f" {_consequence(shown, wanted, {**wanted, **chosen})}"
        ),
    )


def right_way(part, variant):
    """The shortest way in words, or that there is none."""
    shown = layout(part.layout)
    way = shortest_path(
        shown, variant.params["mode"], variant.params["start"], variant.params["goal"]
    )
    return "there is no way" if way is None else ", then ".join(shown.nodes[place] for place in way)


def right_states(part, variant):
    """Positions of the parts in the mode asked for, in words."""
    shown = layout(part.layout)
    return ", ".join(
        f"{shown.components[key].name}: {shown.modes[variant.params['mode']][key]}"
        for key in part.parts
    )


def _consequence(shown, wanted, chosen):
    for start in shown.nodes:
        for goal in shown.nodes:
            if start != goal and can_reach(shown, wanted, start, goal) != can_reach(
                shown, chosen, start, goal
            ):
                there = can_reach(shown, chosen, start, goal)
                return (
                    f"With your positions fluid can{'' if there else 'not'} get from"
                    f" {shown.nodes[start]} to {shown.nodes[goal]}."
                )
    return "Fluid could take another way between the same places."
