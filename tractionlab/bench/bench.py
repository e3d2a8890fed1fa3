"""A brake circuit on the bench, without a car: choose a mode or currents, step on the pedal, let
time pass, read the gauges.
"""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.errors import UserError
from tractionlab.hydraulics.circuit_values import circuit_of
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.places import COMMANDS
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as h
from tractionlab.run import kernels
from tractionlab.run.records import record
from tractionlab.units import BAR, CM3
from tractionlab.wheels import WHEELS

_STEP = 0.001  # s
_EVERY = 10  # steps between two rows of the record


class Bench:
    """Layout "A" or "B" with the brakes of a course car, at rest; layout A with a full accumulator,
    or an empty one.

    The record has a row every 10 ms: `time` [s], and by `pressure` and `fluid` those at a place,
    numbered as in `physics.circuit`. `fit(circuit) -> circuit` may put faults into the sound
    circuit."""

    def __init__(self, key, vehicle="", temperature=20.0, fit=None, filled=True):
        vehicle = vehicle or ("rear_petrol" if key == "A" else "front_petrol")
        car = catalogue.pick(catalogue.in_use().vehicles(), vehicle, "vehicle")
        self.layout, parts = layout(key), circuit_of(key, car, car["drive"], temperature)
        self.parts = record(parts if fit is None else fit(parts))
        values = hydraulics()[f"layout_{key.lower()}"]
        self.state, self.command = np.zeros(h.STATES), np.zeros(h.COMMANDS)
        self._pressures, self._flows, self._space = (
            np.zeros(h.PLACES),
            np.zeros(h.FLOWS),
            np.zeros((3, h.STATES)),
        )
        self._kernel = kernels.compiled("physics.brake_circuit")
        full = values["cut_out_bar"] * BAR if key == "A" and filled else 0.0
        self._kernel.circuit_at_rest(self.parts, full, values["reservoir_cm3"] * CM3, self.state)
        self.powered = True
        self._time, self._pressure_rows, self._fluid_rows = [], [], []
        self._advance(0)
        self._note(0.0)

    def mode(self, name, **positions):
        """Command every valve and pump as in a mode of the layout, single parts otherwise, e.g.

        `mode("tc_increase", inlet_FL="closed")`.
        """
        if name not in self.layout.modes:
            raise UserError(
                f"layout {self.layout.key} has no mode {name!r}; there are:"
                f" {', '.join(self.layout.modes)}"
            )
        for component, position in {**self.layout.modes[name], **positions}.items():
            index = COMMANDS.get(component)
            if index is not None and component != "charge_pump":
                currents = self.layout.components[component].currents
                self.command[index] = (
                    currents[position][1] if currents else float(position in ("run", "open"))
                )

    def set(self, **currents):
        """Current [A] of single valves, e.g. `set(wheel_valve_RL=3.5)`."""
        for component, current in currents.items():
            self.command[COMMANDS[component]] = current

    def ignition(self, on):
        """Ignition off: no current anywhere, no pump."""
        self.powered = on
        if not on:
            self.command[: h.VALVES] = 0.0
            self.command[h.RETURN_ON] = self.command[h.CHARGE_ON] = 0.0

    def bleed(self, opening):
        """Open the bleed screw of the accumulator, 0..1."""
        self.command[h.BLEED] = opening

    def pedal(self, bar):
        """Push the pedal with a force that stands for so much pressure [bar]."""
        self.command[h.COMMAND_PEDAL] = bar * BAR

    def run(self, seconds):
        """Let time pass; a row of the record every 10 ms. Returns the bench."""
        for _ in range(round(seconds / (_STEP * _EVERY))):
            if self.powered:
                self._kernel.watch_accumulator(self.command, self.parts, self._pressures)
            self._advance(_EVERY)
            self._note(self._time[-1] + _STEP * _EVERY)
        return self

    def _note(self, time):
        self._time.append(time)
        self._pressure_rows.append(self._pressures / BAR)
        self._fluid_rows.append(self.state[: h.PLACES] / CM3)

    def _advance(self, steps):
        self._kernel.advance_circuit(
            steps,
            _STEP,
            self.state,
            self.command,
            self.parts,
            self._pressures,
            self._flows,
            self._space,
        )

    @property
    def time(self):
        """Times of the record, (n,) [s]."""
        return np.array(self._time)

    def pressure(self, place):
        """Pressure at a place over the record, (n,) [bar]."""
        return np.array([row[place] for row in self._pressure_rows])

    def fluid(self, place):
        """Fluid at a place over the record, (n,) [cm3]."""
        return np.array([row[place] for row in self._fluid_rows])

    def wheel(self, name):
        """Pressure at a wheel over the record, (n,) [bar]."""
        return self.pressure(h.WHEEL + WHEELS.index(name))
