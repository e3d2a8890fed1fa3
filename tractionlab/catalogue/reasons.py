"""Words for the phases, reasons and orders of the control unit, from data/reasons.toml."""

import math
from dataclasses import dataclass
from functools import cache

from tractionlab.catalogue.checked import TableReader
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.units import BAR, KMH

#: Unit of what a reason compares -> SI units in it, digits after the point.
UNITS = {
    "": (1.0, 0),
    "km/h": (KMH, 1),
    "m/s²": (1.0, 1),
    "bar": (BAR, 1),
    "ms": (1e-3, 0),
    "°C": (1.0, 0),
    "N m": (1.0, 0),
}
#: How a phase is drawn where there is room for a pattern alone.
PATTERNS = ("none", "level", "falling", "rising", "dots")
ORDERS = ("follow", "hold", "up", "down")


@dataclass(frozen=True, kw_only=True)
class Phase:
    """A phase in words; `letter` and `pattern` (of PATTERNS) mark it in a picture. `so`: what it
    asks of the engine, of a phase of the torque."""

    key: str
    name: str
    letter: str
    pattern: str
    so: str = ""


@dataclass(frozen=True, kw_only=True)
class Reason:
    """Why a phase begins: words with {seen} and {limit} in them, and the unit of both; `under`: the
    words where {seen} is less than {limit}, if they differ.
    """

    key: str
    unit: str
    sentence: str
    under: str = ""

    def value(self, si):
        """What the reason compares, from SI units into `unit`."""
        return si / UNITS[self.unit][0]

    def shown(self, si, more=0):
        """The same as people read it, with its unit and so many digits more than usual."""
        text = f"{self.value(si):z.{UNITS[self.unit][1] + more}f} {self.unit}".rstrip()
        return text.replace("-", "\u2212")

    def words(self, seen, limit):
        """The reason in words; `seen` and `limit` in SI units."""
        words = self.under if self.under and seen < limit else self.sentence
        more = 0
        while more < 2 and self.shown(seen, more) == self.shown(limit, more):
            more += 1  # what differs shall not read as the same
        more *= not math.isclose(seen, limit)
        return words.format(seen=self.shown(seen, more), limit=self.shown(limit, more))


@dataclass(frozen=True)
class Words:
    """Phases of a wheel, phases of the torque and reasons, each at the place of its number, and the
    words of each of ORDERS.
    """

    wheel_phases: tuple[Phase, ...]
    torque_phases: tuple[Phase, ...]
    reasons: tuple[Reason, ...]
    orders: dict


@cache
def reason_words():
    """The `Words` of the course; UserError names file and field of a mistake."""
    path = data_folder() / "reasons.toml"
    tables, reader = read_toml(path), TableReader(path)
    marks = ("key", "name", "letter", "pattern")
    return Words(
        tuple(Phase(**row) for row in _rows(reader, tables, "wheel_phase", marks)),
        tuple(Phase(**row) for row in _rows(reader, tables, "torque_phase", (*marks, "so"))),
        tuple(
            Reason(**row)
            for row in _rows(reader, tables, "reason", ("key", "unit", "sentence"), ("under",))
        ),
        {name: reader.text(reader.table(tables, "order"), name) for name in ORDERS},
    )


def _rows(reader, tables, name, keys, more=()):
    allowed = {"pattern": PATTERNS, "unit": tuple(UNITS)}
    for row in reader.rows(tables, name, (*keys, *more), keys):
        yield {
            key: reader.one_of(row, key, allowed[key]) if key in allowed else row[key]
            for key in row
        }
