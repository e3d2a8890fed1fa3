"""The circuit as a riddle: its picture without what gives the path of the fluid away."""

from dataclasses import replace

import numpy as np

#: Symbols whose words tell a pressure.
_FILLED = (
    "wheel",
    "transducer",
    "gas_accumulator",
    "spring_accumulator",
    "low_pressure",
    "relief_valve",
)


def riddle(scene):
    """The circuit without what gives the way away: no pressures, no flow.

    How the valves stand is left to see.
    """
    parts = tuple(
        replace(part, states=tuple(_without_flow(part, words) for words in part.states))
        for part in scene.parts
    )
    motion = scene.motion.copy()
    motion[:, :, 1] = 0.0
    motion[:, [part.symbol == "wheel" for part in parts], 0] = 0.0
    return replace(
        scene,
        parts=parts,
        motion=motion,
        flow=np.zeros_like(scene.flow),
        pressure=np.zeros_like(scene.pressure),
    )


def _without_flow(part, words):
    """What the words say of a part beyond its position: the pressure in it, or the fluid that
    passes it.
    """
    if part.symbol in _FILLED:
        return ""
    return (
        words.split(",")[0]
        if "pump" in part.symbol or part.symbol == "motor"
        else words.split(";")[0]
    )
