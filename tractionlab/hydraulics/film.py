"""A run of a hydraulic circuit, frame by frame: as the kernels have it, as a picture shows it."""

from typing import NamedTuple

import numpy as np

from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.places import flows_between
from tractionlab.physics import circuit as c
from tractionlab.units import BAR, CM3


class Film(NamedTuple):
    """A run of a circuit, frame by frame, as the kernels of physics.circuit have it.

    time (n,) [s]; pressures (n, PLACES) [Pa]; fluid (n, PLACES) [m^3]; flows (n, FLOWS) [m^3/s];
    travel (n, VALVES) [-]; command (n, COMMANDS)
    pulse (n, VALVES) : share of the cycle that each wire's current lasts; where it is neither 0 nor
    1 the valve works in pulses. None: no wire is pulsed.
    """

    time: np.ndarray
    pressures: np.ndarray
    fluid: np.ndarray
    flows: np.ndarray
    travel: np.ndarray
    command: np.ndarray
    pulse: np.ndarray | None = None


class Frames:
    """A Film of layout `key` in the units that a picture shows: bar, cm3, cm3/s."""

    def __init__(self, key, film, parts):
        self.key, self.plan, self.parts, self.between = key, layout(key), parts, flows_between(key)
        self.time = np.asarray(film.time)
        self.bar = np.asarray(film.pressures) / BAR
        self.fluid, self.flow = np.asarray(film.fluid) / CM3, np.asarray(film.flows) / CM3
        self.travel, self.command = np.asarray(film.travel), np.asarray(film.command)
        n = len(self.time)
        self.pulse = np.zeros((n, c.VALVES)) if film.pulse is None else np.asarray(film.pulse)
        chambers = slice(c.CHAMBER, c.CHAMBER + 2)
        squeezed = (
            parts.numbers[c.PLACE + 2 * c.CHAMBER]
            * np.maximum(0.0, self.bar[:, chambers])
            * BAR
            / CM3
        )
        self.stroke = np.maximum(
            0.0, parts.numbers[c.REST_VOLUME] / CM3 - self.fluid[:, chambers] + squeezed
        ).mean(axis=1)
        self.down = (self.command[:, c.COMMAND_PEDAL] > 0.5 * BAR) | (self.stroke > 0.3)
