"""A bench run kept in full, so that it can be drawn: pressures, fluid, flows, plungers and commands
of every frame.
"""

import numpy as np

from tractionlab.bench.bench import Bench
from tractionlab.hydraulics.film import Film
from tractionlab.hydraulics.picture import circuit_scene
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as c
from tractionlab.units import BAR, CM3

_FRAME = 0.01  # s


class FilmedBench(Bench):
    """A bench that keeps every frame; `scene()` is its run as a picture.

    `accumulator_bar`: of layout A at the start, None = full.
    """

    def __init__(self, key, accumulator_bar=None, **more):
        self._frames = []
        super().__init__(key, **more)
        if accumulator_bar is not None:
            reservoir = hydraulics()[f"layout_{key.lower()}"]["reservoir_cm3"] * CM3
            self._kernel.circuit_at_rest(self.parts, accumulator_bar * BAR, reservoir, self.state)
            self._advance(0)
            self._frames.clear()
            self._note(0.0)

    def _note(self, time):
        super()._note(time)
        travel = self.state[c.VALVE : c.VALVE + c.VALVES]
        self._frames.append(
            [
                time,
                *(
                    array.copy()
                    for array in (
                        self._pressures,
                        self.state[: c.PLACES],
                        self._flows,
                        travel,
                        self.command,
                    )
                ),
            ]
        )

    def until(self, enough, longest):
        """Let time pass until `enough(bench)` is true, `longest` seconds at most.

        Returns the bench.
        """
        for _ in range(round(longest / _FRAME)):
            if enough(self):
                break
            self.run(_FRAME)
        return self

    def now(self, place):
        """Pressure at a place now [bar]."""
        return self._pressures[place] / BAR

    def scene(self):
        """The run so far as a CircuitScene."""
        return circuit_scene(self.layout.key, Film(*map(np.array, zip(*self._frames))), self.parts)
