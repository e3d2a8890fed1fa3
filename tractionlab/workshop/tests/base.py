"""The tests of the workshop bench: what each is, and its readings on a car, computed from the part
values.
"""

from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.checked import TableReader
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.workshop.instruments import probing
from tractionlab.workshop.reading import agree
from tractionlab.workshop.tests import (
    hydraulics,
    lamps,
    live,
    looking,
    ohms,
    road,
    running,
    signals,
    volts,
)

#: Module that has the readings of each test, as a function named after it in small letters.
_HOME = {
    **dict.fromkeys(("T01", "T02"), looking),
    **dict.fromkeys(("T18", "T19", "T21", "T22", "T23"), running),
    **dict.fromkeys(("T14", "T16", "T17"), hydraulics),
    **dict.fromkeys(("T08", "T09", "T24", "T25"), ohms),
    **dict.fromkeys(("T10", "T11", "T15"), volts),
    **dict.fromkeys(("T12", "T13", "T20"), signals),
    **dict.fromkeys(("T03", "T04", "T28"), lamps),
    **dict.fromkeys(("T05", "T06", "T26", "T27"), live),
    **dict.fromkeys(("T07", "T29"), road),
}


@dataclass(frozen=True, kw_only=True)
class Test:
    """A test: minutes it takes, preparations that are critical or minor, those that an electric car
    needs on top, cautions to show (keys of data/safety.toml).
    """

    __test__ = False

    id: str
    name: str
    does: str
    minutes: int
    critical: tuple = ()
    minor: tuple = ()
    electric: tuple = ()
    cautions: tuple = ()

    def critical_on(self, vehicle):
        """Preparations without which this test ends the case on a vehicle."""
        car = catalogue.shipped().vehicles()[vehicle]
        return (*self.critical, *(self.electric if car["motor"] == "electric" else ()))


@dataclass(frozen=True)
class History:
    """What the customer can tell: own words, work done before, weather of the complaint."""

    story: str = ""
    work: str = ""
    weather: str = ""


def tests():
    """All tests by number."""
    return _table()[0]


def preparations():
    """Words of every preparation by key."""
    return _table()[1]


def run(test, vehicle, values, history=History()):
    """Readings of a test, a tuple of Reading.

    Parameters
    ----------
    test : str, such as "T10", or a Setup for one reading at points of the wiring
    values : PartValues of the vehicle
    history : History, for what only the customer can tell
    """
    if not isinstance(test, str):
        return probing.readings_at(test, vehicle, values)
    catalogue.pick(tests(), test, "test")
    return _run(test, vehicle, values, history if test == "T01" else History())


def reading_minutes():
    """Minutes of one reading at points of the wiring."""
    return _table()[2]


def minutes_of(step):
    """Minutes of a test by number, or of one reading of a Setup."""
    return tests()[step].minutes if isinstance(step, str) else reading_minutes()


@lru_cache(maxsize=8192)
def _run(test, vehicle, values, history):
    readings = getattr(_HOME[test], test.lower())
    return tuple(readings(vehicle, values, history))


def all_agree(readings, others):
    """Do the readings of two runs of the same test agree, each with its own? Order of the two
    matters only for what a customer says.
    """
    by_key = {other.key: other for other in others}
    return len(readings) == len(by_key) and all(
        reading.key in by_key and agree(reading, by_key[reading.key]) for reading in readings
    )


def telling(readings, others):
    """Readings of the first run that differ from those of the second."""
    by_key = {other.key: other for other in others}
    return tuple(
        reading
        for reading in readings
        if reading.key not in by_key or not agree(reading, by_key[reading.key])
    )


def _table():
    path = data_folder() / "workshop" / "tests.toml"
    return _read(path, path.stat().st_mtime_ns if path.exists() else 0)


@lru_cache(maxsize=2)
def _read(path, stamp):
    tables = read_toml(path)
    words = tables.get("preparations")
    cautions = read_toml(data_folder() / "safety.toml")["cautions"]
    if not isinstance(words, dict) or not isinstance(tables.get("tests"), dict):
        raise UserError(f"{path}: needs the tables [preparations] and [tests]")
    wiring = _minutes(TableReader(f"{path}, [wiring]"), tables.get("wiring", {}))
    found = {}
    for key, entry in tables["tests"].items():
        reader = TableReader(f"{path}, [tests.{key}]")
        unknown = set(entry) - set(Test.__dataclass_fields__)
        if key not in _HOME or unknown:
            raise reader.wrong(
                "unknown test" if key not in _HOME else f"unknown field {sorted(unknown)[0]}"
            )
        for name in ("name", "does"):
            reader.text(entry, name)
        _minutes(reader, entry)
        for name, allowed in (
            ("critical", words),
            ("minor", words),
            ("electric", words),
            ("cautions", cautions),
        ):
            if any(x not in allowed for x in entry.get(name, ())):
                raise reader.wrong(f"{name} may hold {', '.join(allowed)}; got {entry[name]!r}")
        found[key] = Test(
            id=key,
            **{
                name: tuple(value) if isinstance(value, list) else value
                for name, value in entry.items()
            },
        )
    if missing := set(_HOME) - set(found):
        raise UserError(f"{path}: the test {sorted(missing)[0]} is missing")
    return MappingProxyType(found), MappingProxyType(words), wiring


def _minutes(reader, table):
    return reader.number(table, "minutes", 1, 120, whole=True)
