"""Reads the drawing of a hydraulic layout: where each symbol stands, how the pipes run, and which
flows go through each pipe.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import cos, pi, sin

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.symbols import KINDS, symbol
from tractionlab.view import CircuitLine, CircuitPart

_STORES = (
    "reservoir",
    "small_reservoir",
    "bottle",
    "master_cylinder",
    "wheel",
    "gas_accumulator",
    "spring_accumulator",
    "low_pressure",
)
_HOP = 5.0  #: radius of the bow where a pipe crosses another
_KEYS = {
    "symbol": str,
    "at": list,
    "ports": dict,
    "component": str,
    "name": str,
    "words": str,
    "label": list,
    "state": list,
    "flip": bool,
    "quarter": int,
    "shaft": list,
}


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A layout's drawing. `ports[part]` maps a place to the point where its pipe meets the symbol.
    `through[line]` lists what flows through a pipe, as (sign, component, place, other place): the
    flow that leaves `place` through `component` towards the other."""

    size: tuple
    parts: tuple
    ports: dict
    lines: tuple
    dots: tuple
    node_places: dict
    through: tuple


@lru_cache
def drawing(key):
    """Drawing of layout "A" or "B"."""
    plan, path = layout(key), data_folder() / "hydraulics" / f"drawing_{key.lower()}.toml"
    return read_drawing(path, plan)


def read_drawing(path, plan):
    """Read a drawing for the layout `plan`; a mistake is named with file and entry."""
    table = read_toml(path)
    for name in ("size", "nodes", "parts", "lines"):
        if not table.get(name):
            raise UserError(f"{path}: {name} is missing")
    parts, ports = {}, {}
    for key, entry in table["parts"].items():
        parts[key], ports[key] = _part(path, key, entry, plan)
    missing = set(plan.components) - {part.component for part in parts.values()}
    if missing:
        raise UserError(f"{path}, [parts]: {sorted(missing)[0]} is not drawn")
    runs = []
    for node, rows in table["lines"].items():
        if node not in plan.nodes:
            raise UserError(
                f"{path}, [lines]: no place {node!r}; there are {', '.join(plan.nodes)}"
            )
        runs += [(node, [_point(path, node, end, ports) for end in row]) for row in rows]
    trees = {
        node: _Tree(node, [run for run in runs if run[0] == node], parts, ports, plan)
        for node in table["lines"]
    }
    return Drawing(
        size=tuple(table["size"]),
        parts=tuple(parts.values()),
        ports=ports,
        node_places={k: tuple(v) for k, v in table["nodes"].items()},
        lines=tuple(
            CircuitLine(node=node, points=tuple(_with_hops(i, runs)))
            for i, (node, _) in enumerate(runs)
        ),
        dots=tuple(dot for tree in trees.values() for dot in tree.dots),
        through=tuple(trees[node].through(points) for node, points in runs),
    )


def _part(path, key, entry, plan):
    for name, value in entry.items():
        if name not in _KEYS or not isinstance(value, _KEYS[name]):
            raise UserError(
                f"{path}, [parts.{key}]: {name} is unknown or not a"
                f" {_KEYS.get(name, str).__name__}; known are {', '.join(_KEYS)}"
            )
    if entry.get("symbol") not in KINDS or "at" not in entry:
        raise UserError(
            f"{path}, [parts.{key}]: needs at and a symbol, one of {', '.join(KINDS)}; got"
            f" {entry.get('symbol')!r}"
        )
    component = entry.get("component", key if key in plan.components else "")
    if entry.get("component", component) not in (*plan.components, ""):
        raise UserError(
            f"{path}, [parts.{key}]: component must be one of {', '.join(plan.components)}; got"
            f" {component!r}"
        )
    shapes, box, anchors = symbol(
        entry["symbol"],
        entry.get("flip", False),
        entry.get("quarter", 0),
        tuple(entry.get("shaft", ())),
    )
    x, y = entry["at"]
    ports = {}
    for place, port in entry.get("ports", {}).items():
        if place not in plan.nodes or port not in anchors:
            raise UserError(
                f"{path}, [parts.{key}]: ports join a place of the layout with one of"
                f" {', '.join(anchors)}; got {place} = {port!r}"
            )
        ports[place] = (x + anchors[port][0], y + anchors[port][1])
    words = plan.components.get(component)
    part = CircuitPart(
        key=key,
        component=component,
        symbol=entry["symbol"],
        at=(x, y),
        box=box,
        shapes=shapes,
        name=entry.get("name") or words.name,
        task=words.task if words else _OTHER[entry["symbol"]][0],
        failure=words.failure if words else _OTHER[entry["symbol"]][1],
        label=entry.get("words", ""),
        label_at=tuple(entry["label"]) if "label" in entry else None,
        state_at=tuple(entry["state"]) if "state" in entry else None,
    )
    return part, ports


#: Task and failure of what is drawn but is no part of the unit. Common practice, no source.
_OTHER = {
    "reservoir": (
        "Holds the spare fluid without pressure. All drawn reservoirs are one and the same tank.",
        (
            "Too little fluid: air gets into the lines and the pedal goes soft. The level switch"
            " warns before that."
        ),
    ),
    "small_reservoir": (
        "The same tank as above, drawn a second time to keep the lines short.",
        "Too little fluid: air gets into the lines and the pumps draw air.",
    ),
    "master_cylinder": (
        "Turns the push of the foot into pressure in two separate chambers.",
        (
            "A worn cup seal lets fluid slip past: the pedal sinks while it is held, and one"
            " chamber loses its pressure."
        ),
    ),
    "wheel": (
        "Presses the pads on the disc. It needs a little fluid before pressure rises.",
        (
            "Air inside: the pedal is soft and pressure rises late. Seized: the wheel drags or"
            " hardly brakes."
        ),
    ),
    "bottle": (
        "Catches the stored fluid during service, through a hose on the bleed screw.",
        "Not connected: the stored pressure sprays out.",
    ),
}


def _point(path, node, end, ports):
    if isinstance(end, list) and len(end) == 2:
        return tuple(map(float, end))
    part, _, place = str(end).partition(".")
    if part not in ports or place != node or place not in ports[part]:
        raise UserError(
            f"{path}, [lines], {node}: {end!r} is neither a point nor a port part.{node}"
        )
    return ports[part][place]


class _Tree:
    """The pipes of one place: which ends meet, and what flows out behind each pipe."""

    def __init__(self, node, runs, parts, ports, plan):
        self.node = node
        self.near = {}
        for _, points in runs:
            self.near.setdefault(points[0], []).append(points[-1])
            self.near.setdefault(points[-1], []).append(points[0])
        self.dots = [point for point, others in self.near.items() if len(others) > 2]
        self.out, self.stores = {}, set()
        for key, places in ports.items():
            if node not in places or places[node] not in self.near:
                continue
            part = parts[key]
            ways = [
                edge
                for edge in plan.edges
                if edge.component == part.component
                and node in (edge.start, edge.goal)
                and {edge.start, edge.goal} <= set(places)
            ]
            self.out[places[node]] = [
                (part.component, node, other)
                for other in dict.fromkeys(
                    edge.goal if edge.start == node else edge.start for edge in ways
                )
            ]
            if part.symbol in _STORES and all(edge.goal != node for edge in ways):
                self.stores.add(places[node])

    def through(self, points):
        """What flows through a pipe: all that leaves this place on its side without a store, or on
        the smaller side.
        """
        first, last = points[0], points[-1]
        sides = [(1, self._behind(last, first)), (-1, self._behind(first, last))]
        sign, side = min(sides, key=lambda s: (bool(self.stores & set(s[1])), len(s[1])))
        return tuple((sign, *way) for point in side for way in self.out.get(point, ()))

    def _behind(self, start, shut):
        found, waiting = {start}, [start]
        while waiting:
            here = waiting.pop()
            for other in self.near[here]:
                if other not in found and not (here == start and other == shut):
                    found.add(other)
                    waiting.append(other)
        return sorted(found)


def _with_hops(index, runs):
    """Points of a pipe, with a bow upwards where a level stretch of it crosses an upright stretch
    of another.
    """
    _, points = runs[index]
    out = [points[0]]
    for (x0, y0), (x1, y1) in zip(points, points[1:]):
        if y0 == y1:
            way = 1 if x1 > x0 else -1
            crossed = [
                x
                for n, (_, other) in enumerate(runs)
                if n != index
                for (x, top), (x2, low) in zip(other, other[1:])
                if x == x2 and min(x0, x1) < x < max(x0, x1) and min(top, low) < y0 < max(top, low)
            ]
            for x in sorted(crossed, key=lambda x: way * x):
                out += [
                    (x - way * _HOP * cos(pi * k / 6), y0 - _HOP * sin(pi * k / 6))
                    for k in range(7)
                ]
        out.append((x1, y1))
    return out
