"""A trace: what happened in a run, as named arrays with units; one row per cycle of the control
unit.
"""

import csv
from collections.abc import Iterator
from functools import cached_property
from os import PathLike
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from tractionlab.run.record_layout import RECORD
from tractionlab.run.scenario import Scenario
from tractionlab.wheels import WHEELS

if TYPE_CHECKING:
    from tractionlab.run.circuit_record import CircuitRecord
    from tractionlab.run.merit import Merit

Floats = NDArray[np.float64]


def _channels() -> Iterator[tuple[str, tuple[int, int, str]]]:
    """name -> (first column of the record, number of columns, unit)."""
    at = 0
    for name, (width, unit) in RECORD.items():
        yield name, (at, width, unit)
        at += width


CHANNELS = MappingProxyType(dict(_channels()))


class Trace:
    """Arrays of a run by name, as attributes or `trace["speed"]`: shape (n,), or (n, 4) in wheel
    order FL, FR, RL, RR.
    """

    units = MappingProxyType({name: unit for name, (_, _, unit) in CHANNELS.items()})

    def __init__(self, scenario: Scenario, record: Floats, film: Floats, ended: str = "") -> None:
        record.setflags(write=False)
        self.scenario = scenario
        self.record = record
        self.film = film
        #: Why the run ends before its time, a sentence; empty if it does not.
        self.ended = ended

    @cached_property
    def circuit(self) -> "CircuitRecord":
        """Record of the hydraulic circuit and of the speeds read from teeth."""
        from tractionlab.run.circuit_record import CircuitRecord

        return CircuitRecord(self)

    def __getitem__(self, name: str) -> Floats:
        if name not in CHANNELS:
            raise KeyError(f"no channel {name!r}; there are: {', '.join(CHANNELS)}")
        first, count, _ = CHANNELS[name]
        return self.record[:, first] if count == 1 else self.record[:, first : first + count]

    def __getattr__(self, name: str) -> Floats:
        if name in CHANNELS:
            return self[name]
        raise AttributeError(f"a trace has no {name!r}; its channels are: {', '.join(CHANNELS)}")

    def __len__(self) -> int:
        return len(self.record)

    @cached_property
    def driven(self) -> tuple[bool, ...]:
        """Which wheels are driven, a tuple of 4 bools."""
        from tractionlab.run.assembly import road_of

        return tuple(bool(share > 0.0) for share in road_of(self.scenario)[1])

    def until(self, rows: int) -> "Trace":
        """The trace of the first so many rows."""
        ended = self.ended if rows >= len(self) else ""
        return Trace(self.scenario, self.record[:rows], self.film[:rows], ended)

    def merit(self) -> "Merit":
        """Figures of merit of the run, see `tractionlab.run.merit`."""
        return self._merit

    @cached_property
    def _merit(self) -> "Merit":
        from tractionlab.run.merit import merit

        return merit(self)

    def to_csv(self, path: str | PathLike[str]) -> None:
        """Write all channels to a CSV file; the header names channel and unit."""
        header = []
        for name, (_, count, unit) in CHANNELS.items():
            header += (
                [f"{name} [{unit}]"]
                if count == 1
                else [f"{name}_{wheel} [{unit}]" for wheel in WHEELS]
            )
        columns = [
            column
            for name, (first, count, _) in CHANNELS.items()
            for column in range(first, first + count)
        ]
        with open(path, "w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(header)
            writer.writerows([f"{value:.9g}" for value in row] for row in self.record[:, columns])
