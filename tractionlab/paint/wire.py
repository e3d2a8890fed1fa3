"""View -> what travels to the browser: a JSON-able description and one block of float32 numbers."""

import json

import numpy as np

from tractionlab.paint.surfaces import hatch_number
from tractionlab.paint.wire_closeup import describe_closeup

#: More points than a chart has pixels are not sent; the extremes of each stretch are.
MOST_POINTS = 600
#: More frames than this are thinned; the browser interpolates between frames.
MOST_FRAMES = 500

_PER_FRAME = ("time", "x", "y", "yaw", "steer", "lamp")
_PER_WHEEL = ("wheel_angle", "drive_force", "side_force", "grip_limit", "pressure")


def pack(view):
    """Describe `view` for the browser.

    Returns
    -------
    meta : dict
        Ready for JSON. An array stands as `[offset, length]`, counted in numbers of the block.
    block : bytes
        All arrays one after the other, little-endian float32.
    """
    block = _Block()
    meta = {
        "sentence": view.sentence,
        "held": list(view.held),
        "figures": [
            {"label": f.label, "value": f.value, "unit": f.unit, "held": f.held}
            for f in view.figures
        ],
        "charts": [_chart(chart, block) for chart in view.charts],
        "scenes": [_scene(scene, block) for scene in view.scenes],
        "circuit": None if view.circuit is None else _circuit(view.circuit, block),
        "wiring": None if view.wiring is None else _wiring(view.wiring),
    }
    if view.closeup is not None:
        meta["closeup"] = describe_closeup(view.closeup, block)
    if view.lanes is not None:
        meta["lanes"] = _lanes(view.lanes)
    if view.phases is not None:
        meta["phases"] = json.dumps(_phases(view.phases))
    if view.tables:
        meta["tables"] = [_table(table) for table in view.tables]
    return meta, block.bytes()


def drawing_of(circuit):
    """What of a circuit stays the same along all runs of its layout, ready for JSON; it travels
    apart from the numbers.
    """
    index = {node: i for i, (node, _, _) in enumerate(circuit.nodes)}
    return {
        "layout": circuit.layout,
        "title": circuit.title,
        "size": list(circuit.size),
        "dots": [list(dot) for dot in circuit.dots],
        "nodes": [
            {"words": words, "place": place and list(place)} for _, words, place in circuit.nodes
        ],
        "lines": [
            {"node": index[line.node], "points": [list(point) for point in line.points]}
            for line in circuit.lines
        ],
        "parts": [
            {
                "key": p.key,
                "name": p.name,
                "task": p.task,
                "failure": p.failure,
                "symbol": p.symbol,
                "at": list(p.at),
                "box": list(p.box),
                "shapes": list(p.shapes),
                "label": p.label,
                "label_at": p.label_at and list(p.label_at),
                "state_at": p.state_at and list(p.state_at),
            }
            for p in circuit.parts
        ],
    }


def wiring_drawing_of(wiring):
    """What of a wiring diagram stays the same whatever is measured, ready for JSON."""
    return {
        "layout": wiring.layout,
        "title": wiring.title,
        "size": list(wiring.size),
        "lines": [[list(point) for point in line] for line in wiring.lines],
        "joints": [list(joint) for joint in wiring.joints],
        "dots": [list(dot) for dot in wiring.dots],
        "frames": [list(frame) for frame in wiring.frames],
        "marks": [list(mark) for mark in wiring.marks],
        "plugs": [{"key": p.key, "name": p.name, "box": list(p.box)} for p in wiring.plugs],
        "points": [
            {"key": p.key, "name": p.name, "at": list(p.at), "plug": p.plug, "device": p.device}
            for p in wiring.points
        ],
        "parts": [
            {
                "at": list(p.at),
                "shapes": list(p.shapes),
                "label": p.label,
                "label_at": p.label_at and list(p.label_at),
            }
            for p in wiring.parts
        ],
    }


def thin(x, y, most=MOST_POINTS):
    """The curve with at most about `most` points: first, last, and the lowest and highest of each
    stretch.
    """
    n = len(x)
    if n <= most:
        return x, y
    size = -(-n // (most // 2))
    starts = np.arange(0, n, size)
    known = np.nan_to_num(y)
    padded = np.full(len(starts) * size, known[-1])
    padded[:n] = known
    stretches = padded.reshape(-1, size)
    extremes = np.stack((stretches.argmin(axis=1), stretches.argmax(axis=1)), axis=1)
    extremes.sort(axis=1)
    index = np.concatenate(([0], (starts[:, None] + extremes).ravel(), [n - 1])).clip(max=n - 1)
    index = index[np.diff(index, prepend=-1) > 0]
    return x[index], y[index]


class _Block:
    """Collects arrays; the same array is stored once."""

    def __init__(self):
        self.parts, self.size, self.known = [], 0, {}

    def add(self, array):
        part = np.ascontiguousarray(array, dtype="<f4").ravel()
        key = part.tobytes()
        if key not in self.known:
            self.known[key] = [self.size, part.size]
            self.parts.append(key)
            self.size += part.size
        return self.known[key]

    def bytes(self):
        return b"".join(self.parts)


def _chart(chart, block):
    lines = []
    for line in chart.lines:
        x, y = thin(np.asarray(line.x, float), np.asarray(line.y, float))
        lines.append(
            {"label": line.label, "style": line.style, "x": block.add(x), "y": block.add(y)}
        )
    return {
        "title": chart.title,
        "x": chart.x,
        "y": chart.y,
        "over_time": chart.over_time,
        "lines": lines,
        "marks": [
            {"label": m.label, "x": float(m.x), "y": None if m.y is None else float(m.y)}
            for m in chart.marks
        ],
        "x_range": _pair(chart.x_range),
        "y_range": _pair(chart.y_range),
    }


def _frames(n):
    return (
        np.arange(n)
        if n <= MOST_FRAMES
        else np.unique(np.linspace(0, n - 1, MOST_FRAMES).round().astype(int))
    )


def _circuit(circuit, block):
    frames = _frames(len(circuit.time))
    columns = {
        "pressure": circuit.pressure,
        "flow": circuit.flow,
        "state": circuit.state,
        "first": circuit.motion[:, :, 0],
        "second": circuit.motion[:, :, 1],
    }
    return {
        "time": block.add(circuit.time[frames]),
        "moment": float(circuit.moment),
        "states": [[list(part.states), list(part.short)] for part in circuit.parts],
        **{
            name: [block.add(column) for column in array[frames].T]
            for name, array in columns.items()
        },
    }


def _wiring(wiring):
    return {
        "active": [float(on) for on in wiring.active],
        "pulled": [key for key, _ in wiring.pulled],
        "pulled_words": [words for _, words in wiring.pulled],
        "probes": [list(probe) for probe in wiring.probes],
        "letters": list(wiring.letters),
    }


def _lanes(lanes):
    return {
        "title": lanes.title,
        "x": lanes.x,
        "x_range": _pair(lanes.x_range),
        "states": list(lanes.states),
        "words": lanes.words,
        "lanes": [
            {"label": lane.label, "spans": [list(span) for span in lane.spans], "lamp": lane.lamp}
            for lane in lanes.lanes
        ],
    }


def _phases(phases):
    """They travel as one text: each of their thousand lists would be looked through for buffers."""
    return {
        "title": phases.title,
        "legend": phases.legend,
        "words": phases.words,
        "kinds": [
            {"letter": kind.letter, "name": kind.name, "pattern": kind.pattern}
            for kind in phases.kinds
        ],
        "lanes": [
            {"label": lane.label, "rest": lane.rest, "spans": [list(span) for span in lane.spans]}
            for lane in phases.lanes
        ],
        "decisions": [list(decision) for decision in phases.decisions],
    }


def _table(table):
    return {
        "title": table.title,
        "head": list(table.head),
        "rows": [list(row) for row in table.rows],
        "empty": table.empty,
    }


def _scene(scene, block):
    frames = _frames(len(scene.time))
    meta = {
        name: block.add(np.asarray(getattr(scene, name))[frames])
        for name in _PER_FRAME + _PER_WHEEL
    }
    meta |= {
        name: float(getattr(scene, name))
        for name in ("wheelbase", "track", "to_front", "tyre_radius", "slope")
    }
    return meta | {
        "label": scene.label,
        "driven": [bool(d) for d in scene.driven],
        "road": [
            [*map(float, patch[:4]), str(patch[4]), float(patch[5]), hatch_number(patch[4])]
            for patch in scene.road
        ],
    }


def _pair(limits):
    return None if limits is None else [float(limits[0]), float(limits[1])]
