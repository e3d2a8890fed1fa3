"""A trace: what happened in a run, as named arrays with units; one row per cycle of the control
unit.
"""

import csv
from functools import cached_property
from types import MappingProxyType

from tractionlab.run import loop

WHEEL_NAMES = ("FL", "FR", "RL", "RR")


def _channels():
    """name -> (first column of the record, number of columns, unit)."""
    at = 0
    for name, (width, unit) in loop.RECORD.items():
        yield name, (at, width, unit)
        at += width


CHANNELS = MappingProxyType(dict(_channels()))


class Trace:
    """Arrays of a run by name, as attributes or `trace["speed"]`: shape (n,), or (n, 4) in wheel
    order FL, FR, RL, RR.
    """

    units = MappingProxyType({name: unit for name, (_, _, unit) in CHANNELS.items()})

    def __init__(self, scenario, record, film=None):
        record.setflags(write=False)
        self.scenario = scenario
        self.record = record
        self.film = film

    @cached_property
    def circuit(self):
        """Record of the hydraulic circuit and of the speeds read from teeth, a `CircuitRecord`;
        None in a run without `circuit`.
        """
        if self.film is None:
            return None
        from tractionlab.run.circuit_record import CircuitRecord

        return CircuitRecord(self)

    def __getitem__(self, name):
        if name not in CHANNELS:
            raise KeyError(f"no channel {name!r}; there are: {', '.join(CHANNELS)}")
        first, count, _ = CHANNELS[name]
        return self.record[:, first] if count == 1 else self.record[:, first : first + count]

    def __getattr__(self, name):
        if name in CHANNELS:
            return self[name]
        raise AttributeError(f"a trace has no {name!r}; its channels are: {', '.join(CHANNELS)}")

    def __len__(self):
        return len(self.record)

    @cached_property
    def driven(self):
        """Which wheels are driven, a tuple of 4 bools."""
        from tractionlab.run.assembly import road_of

        return tuple(bool(share > 0.0) for share in road_of(self.scenario)[1])

    def until(self, rows):
        """The trace of the first so many rows."""
        return Trace(
            self.scenario, self.record[:rows], None if self.film is None else self.film[:rows]
        )

    def merit(self):
        """Figures of merit of the run, see `tractionlab.run.merit`."""
        from tractionlab.run.merit import merit

        return merit(self)

    def to_csv(self, path):
        """Write all channels to a CSV file; the header names channel and unit."""
        header = []
        for name, (_, count, unit) in CHANNELS.items():
            header += (
                [f"{name} [{unit}]"]
                if count == 1
                else [f"{name}_{wheel} [{unit}]" for wheel in WHEEL_NAMES]
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
