"""Where fluid can go in a hydraulic layout: open paths, reachability, shortest path, and in words
why a step is possible or not.
"""

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass

from tractionlab.errors import UserError
from tractionlab.units import BAR

#: A way may start or end here but not lead through: the fluid has no pressure left.
ENDS = ("RES", "BOTTLE")


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of a way, judged: can the fluid take it, through which part, and why (one or more
    sentences).
    """

    possible: bool
    component: str  # "" if no part joins the two places
    words: str


def positions_in(layout, state, **changes):
    """Position of every movable part: those of a mode (its name) or the given ones, with some parts
    changed.

    Parameters
    ----------
    layout : Layout
    state : str or mapping component -> position
    **changes : position by component, for a stuck valve for example
    """
    if not isinstance(state, Mapping):
        if state not in layout.modes:
            raise UserError(
                f"layout {layout.key} has no mode {state!r}; there are: {', '.join(layout.modes)}"
            )
        state = layout.modes[state]
    positions = {**state, **changes}
    movable = {key: part.positions for key, part in layout.components.items() if part.positions}
    for key in [*positions, *movable]:
        if key not in movable:
            raise UserError(
                f"layout {layout.key} has no movable part {key!r}; there are: {', '.join(movable)}"
            )
        if positions.get(key) not in movable[key]:
            raise UserError(
                f"layout {layout.key}: {key} must be one of {', '.join(movable[key])}; got"
                f" {positions.get(key)!r}"
            )
    return positions


def open_ways(layout, state, relief=False):
    """Place -> places that fluid can get to from there in one step.

    `relief` opens the relief valves too.
    """
    positions = positions_in(layout, state)
    ways = {node: [] for node in layout.nodes}
    for edge in layout.edges:
        if _is_open(edge, positions) or (relief and edge.kind == "relief"):
            ways[edge.start].append(edge.goal)
            if edge.flow == "both":
                ways[edge.goal].append(edge.start)
    return ways


def shortest_path(layout, state, start, goal, relief=False):
    """Places from `start` to `goal` by the fewest steps, as a tuple; None if there is no path.

    Pressure does not count here.
    """
    _known(layout, start, goal)
    ways = open_ways(layout, state, relief)
    before, waiting = {start: None}, deque([start])
    while waiting:
        place = waiting.popleft()
        if place == goal:
            path = [place]
            while before[path[-1]] is not None:
                path.append(before[path[-1]])
            return tuple(reversed(path))
        if place in ENDS and place != start:
            continue
        for after in ways[place]:
            if after not in before:
                before[after] = place
                waiting.append(after)
    return None


def can_reach(layout, state, start, goal, relief=False):
    """True if any way leads from `start` to `goal`. It says "can be connected", not "flows now"."""
    return shortest_path(layout, state, start, goal, relief) is not None


def explain_step(layout, state, start, goal, pressures=None):
    """Can fluid go from `start` to the neighbouring place `goal`, and why?

    Parameters
    ----------
    layout : Layout
    state : str or mapping component -> position
    start, goal : str, places of the layout
    pressures : mapping place -> pressure [Pa], optional
        With it, fluid only flows from high to low, unless a pump moves it, and relief valves open
        by it.

    Returns
    -------
    Step
    """
    _known(layout, start, goal)
    for place in (start, goal) if pressures is not None else ():
        if place not in pressures:
            raise UserError(f"layout {layout.key}: the pressure of {place} is missing")
    if start == goal:
        return Step(
            possible=False, component="", words=f"The fluid is already in {layout.nodes[start]}."
        )
    positions = positions_in(layout, state)
    there = [edge for edge in layout.edges if edge.leads(start, goal)]
    passable = [edge for edge in there if _is_open(edge, positions) or _relieves(edge, pressures)]
    if passable:
        return _with_pressure(layout, positions, passable, start, goal, pressures)
    back = [edge for edge in layout.edges if edge.leads(goal, start) and edge not in there]
    blocking = there + back
    if not blocking:
        near = [
            name
            for node, name in layout.nodes.items()
            if any(edge.leads(start, node) for edge in layout.edges)
        ]
        return Step(
            possible=False,
            component="",
            words=(
                f"No part joins {layout.nodes[start]} and {layout.nodes[goal]}. "
                f"From {layout.nodes[start]} parts lead to: {', '.join(near)}."
            ),
        )
    reasons = [_why_shut(layout, edge, positions) for edge in there] + [
        _why_not_back(layout, edge) for edge in back
    ]
    return Step(possible=False, component=blocking[0].component, words=" ".join(reasons))


def explain_path(layout, state, path, pressures=None):
    """Steps along `path` (places), judged one by one; the list ends at the first step that is not
    possible.
    """
    steps = []
    for place, after in zip(path, path[1:]):
        if steps and place in ENDS:
            words = (
                f"A way ends in {layout.nodes[place]}: fluid there has no pressure that could push"
                " it on."
            )
            return [*steps, Step(possible=False, component="", words=words)]
        steps.append(explain_step(layout, state, place, after, pressures))
        if not steps[-1].possible:
            break
    return steps


def _known(layout, *places):
    for place in places:
        if place not in layout.nodes:
            raise UserError(
                f"layout {layout.key} has no place {place!r}; there are: {', '.join(layout.nodes)}"
            )


def _is_open(edge, positions):
    return edge.position == "any" or positions.get(edge.component) == edge.position


def _relieves(edge, pressures):
    return (
        edge.kind == "relief"
        and pressures is not None
        and pressures[edge.start] - pressures[edge.goal] > edge.opening_pressure
    )


def _part(layout, edge):
    """Name of the part inside a sentence; a non-return or relief valve beside another part is named
    with it.
    """
    name = layout.components[edge.component].name
    name = f"the {name[0].lower()}{name[1:]}"
    if edge.position == "any":
        return f"the non-return valve of {name}"
    if edge.kind == "relief" and not name.startswith("the relief valve"):
        return f"the relief valve of {name}"
    return name


def _with_pressure(layout, positions, passable, start, goal, pressures):
    edge = next((edge for edge in passable if edge.kind == "pump"), passable[0])
    opening = _sentence(_why_open(layout, edge))
    pumped = edge.kind == "pump" or (
        edge.kind == "suction"
        and any(
            after.kind == "pump" and after.start == goal and _is_open(after, positions)
            for after in layout.edges
        )
    )
    if pressures is None or pumped or pressures[start] > pressures[goal]:
        return Step(possible=True, component=edge.component, words=opening)
    high, low = pressures[goal] / BAR, pressures[start] / BAR
    if high == low:
        words = f"{opening} But both sides have {high:.0f} bar: nothing pushes the fluid."
    else:
        words = (
            f"{opening} But {layout.nodes[goal]} has {high:.1f} bar and {layout.nodes[start]} only"
            f" {low:.1f} bar: fluid flows from high pressure to low."
        )
    return Step(possible=False, component=edge.component, words=words)


def _why_open(layout, edge):
    part = _part(layout, edge)
    if edge.kind == "pump":
        return f"{part} runs and carries the fluid it gets this way, even against pressure."
    if edge.kind == "relief":
        return (
            f"{part} is pushed open, for the difference is above {edge.opening_pressure / BAR:.0f}"
            " bar."
        )
    if edge.position == "any":
        return f"{part} lets fluid through this way."
    return f"{part} is open." if edge.position == "open" else f"{part} stands at {edge.position}."


def _why_shut(layout, edge, positions):
    part = _part(layout, edge)
    if edge.kind == "pump":
        return _sentence(f"{part} stands still.")
    if edge.kind == "relief":
        return _sentence(
            f"{part} opens only when {layout.nodes[edge.start]} has"
            f" {edge.opening_pressure / BAR:.0f} bar more than {layout.nodes[edge.goal]}."
        )
    if edge.position == "open":
        return _sentence(f"{part} is closed.")
    return _sentence(
        f"{part} stands at {positions[edge.component]}; this way is open only at {edge.position}."
    )


def _why_not_back(layout, edge):
    way = f"from {layout.nodes[edge.start]} to {layout.nodes[edge.goal]}"
    if edge.kind == "relief":
        return _sentence(f"{_part(layout, edge)} opens only {way}.")
    if edge.kind == "pump":
        return _sentence(f"{_part(layout, edge)} carries fluid only {way}.")
    if edge.position == "any":
        return _sentence(
            f"{_part(layout, edge)} opens only {way}; from this side the fluid presses it shut."
        )
    return _sentence(f"{_part(layout, edge)} lets fluid only {way}.")


def _sentence(text):
    return text[0].upper() + text[1:]
