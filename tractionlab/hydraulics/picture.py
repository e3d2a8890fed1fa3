"""A hydraulic circuit as a picture: symbols, pipes and state words of a run, frame by frame."""

from dataclasses import replace

import numpy as np

from tractionlab.hydraulics.drawing import drawing
from tractionlab.hydraulics.film import Frames
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.part_states import shown
from tractionlab.hydraulics.places import PLACES
from tractionlab.view import CircuitScene


def circuit_scene(key, film, parts):
    """The picture of a run of layout `key`.

    Parameters
    ----------
    film : film.Film
    parts : physics.circuit.Circuit the run was made with

    Returns
    -------
    view.CircuitScene
    """
    plan, plot, run = layout(key), drawing(key), Frames(key, film, parts)
    n = len(run.time)
    through = np.zeros((n, len(plot.lines)))
    for column, way in enumerate(plot.through):
        for sign, *where in way:
            for factor, index in run.between.get(tuple(where), ()):
                through[:, column] += sign * factor * run.flow[:, index]
    motion, numbers, drawn = (
        np.zeros((n, len(plot.parts), 2)),
        np.zeros((n, len(plot.parts)), int),
        [],
    )
    for column, part in enumerate(plot.parts):
        state = shown(run, part, plot.ports[part.key])
        motion[:, column, 0], motion[:, column, 1] = state.motion, state.second
        said, numbers[:, column] = _said(np.asarray(state.numbers, float), state.words)
        drawn.append(
            replace(
                part,
                states=tuple(long for long, _ in said),
                short=tuple(short for _, short in said),
            )
        )
    nodes = tuple((node, plan.nodes[node], plot.node_places.get(node)) for node in PLACES[key])
    return CircuitScene(
        layout=key,
        title=plan.name,
        size=plot.size,
        time=run.time,
        parts=tuple(drawn),
        lines=plot.lines,
        nodes=nodes,
        dots=plot.dots,
        pressure=run.bar[:, [PLACES[key][node] for node, _, _ in nodes]],
        flow=through,
        state=numbers,
        motion=motion,
    )


def _said(keys, words):
    """The words for each different row of `keys` (n, k), and for every frame which of them it
    shows.
    """
    changed = np.flatnonzero(np.any(np.diff(keys, axis=0, prepend=keys[:1] - 1.0) != 0.0, axis=1))
    known, stretch = {}, []
    for frame in changed:
        stretch.append(known.setdefault(words(*keys[frame]), len(known)))
    return list(known), np.repeat(stretch, np.diff(np.append(changed, len(keys))))
