"""The catalogue of faults: what each changes on the car, what the customer says, and what it claims
to show. Read from data/workshop/faults.toml.
"""

from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.checked import is_number, number_in
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.workshop.fault_entry import (
    CLAIMS,
    DETECTABLE,
    GROUPS,
    KINDS,
    LAMPS,
    REACTIONS,
    WHYS,
    Expected,
    Fault,
)
from tractionlab.workshop.told import read_told
from tractionlab.workshop.wiring.netlist import VEHICLES

_TEXTS = (
    "place",
    "circuit",
    "cause",
    "repair",
    "verification",
    "monitor",
    "code",
    "failure_type",
    "work",
    "weather",
)
_MAY_LACK = {
    "monitor": "",
    "code": "",
    "failure_type": "",
    "work": "",
    "weather": "",
    "seconds": 0.0,
}
_CHOICES = {
    "group": GROUPS,
    "kind": KINDS,
    "why": WHYS,
    "reaction": REACTIONS,
    "detectable": DETECTABLE,
}
_TABLES = ("symptoms", "told_kinds", "proofs", "faults")
_LISTS = {"vehicles": VEHICLES, "lamps": LAMPS, "symptoms": None, "tests": None}


def default_file():
    """The catalogue that comes with the course."""
    return data_folder() / "workshop" / "faults.toml"


def check_vehicle(vehicle):
    """UserError if the bench does not know this car: it has the wiring and the part values of the
    course's cars alone.
    """
    if vehicle not in VEHICLES:
        raise UserError(
            f"the workshop bench knows the cars of the course only: {', '.join(VEHICLES)}; got"
            f" {vehicle!r}"
        )


def faults(path=None):
    """Faults by id, in the order of the file."""
    return _read(*_stamped(path))[0]


def symptoms(path=None):
    """Words of each symptom by key."""
    return _read(*_stamped(path))[1]


def fault(name):
    """The fault with this id; an unknown one is answered with those of a similar name."""
    return catalogue.pick(faults(), name, "fault")


def with_symptom(symptom, vehicle):
    """Ids of the faults of a vehicle that show a symptom."""
    return tuple(
        key
        for key, entry in faults().items()
        if symptom in entry.symptoms and vehicle in entry.vehicles
    )


def _stamped(path):
    path = Path(path or default_file())
    return path, path.stat().st_mtime_ns if path.exists() else 0


@lru_cache(maxsize=8)
def _read(path, stamp):
    tables = read_toml(path)
    for name in _TABLES:
        if not isinstance(tables.get(name), dict):
            raise UserError(f"{path}: the table [{name}] is missing")
    for name in _TABLES[:-1]:
        for key, words in tables[name].items():
            if not isinstance(words, str) or not words.strip():
                raise UserError(f"{path}, [{name}]: {key} must be a text, got {words!r}")
    if extra := set(tables) - set(_TABLES):
        raise UserError(
            f"{path}: unknown table [{sorted(extra)[0]}]; there may be {', '.join(_TABLES)}"
        )
    found = {
        key: _entry(_Place(path, key), key, entry, tables)
        for key, entry in tables["faults"].items()
    }
    return MappingProxyType(found), MappingProxyType(tables["symptoms"])


class _Place:
    """File and entry, for the sentence that says what is wrong there."""

    def __init__(self, path, key):
        self.path = path
        self.where = f"{path}, [faults.{key}]"

    def wrong(self, field, problem):
        return UserError(f"{self.where}: {field} {problem}")


def _entry(place, key, entry, tables):
    if not isinstance(entry, dict):
        raise UserError(f"{place.where}: must be a table")
    known = {f for f in Fault.__dataclass_fields__ if f != "id"}
    for field in known - {*entry, *_MAY_LACK, "claims"}:
        raise place.wrong(field, "is missing")
    for field in set(entry) - known:
        raise place.wrong(field, f"is not known; a fault has {', '.join(sorted(known))}")
    entry = {**_MAY_LACK, **entry}
    claims = entry.pop("claims", {})
    for field in _TEXTS:
        if not isinstance(entry[field], str) or (
            field not in _MAY_LACK and not entry[field].strip()
        ):
            raise place.wrong(field, f"must be a text, got {entry[field]!r}")
    for field, allowed in _CHOICES.items():
        if entry[field] not in allowed:
            raise place.wrong(field, f"must be one of {', '.join(allowed)}; got {entry[field]!r}")
    for field, allowed in _LISTS.items():
        allowed = tables["symptoms"] if field == "symptoms" else allowed
        if not isinstance(entry[field], list) or any(
            not isinstance(x, str) or (allowed is not None and x not in allowed)
            for x in entry[field]
        ):
            raise place.wrong(
                field,
                "must be a list of"
                f" {', '.join(allowed) if allowed else 'test numbers such as T04'}; got"
                f" {entry[field]!r}",
            )
    if entry["proof"] not in tables["proofs"]:
        raise place.wrong(
            "proof", f"must be one of {', '.join(tables['proofs'])}; got {entry['proof']!r}"
        )
    if not number_in(entry["band"], 1, 3, whole=True):
        raise place.wrong("band", f"must be 1, 2 or 3; got {entry['band']!r}")
    for field in ("vehicles", "symptoms", "tests"):
        if not entry[field]:
            raise place.wrong(field, "must not be empty")
    found = Fault(
        **{
            **entry,
            "id": key,
            "claims": MappingProxyType({}),
            "seconds": _number(place, "seconds", entry["seconds"], 0.0, 600.0),
            "told": read_told(place, entry["told"], tables["told_kinds"]),
            "changes": _changes(place, entry["changes"]),
            "proof": tables["proofs"][entry["proof"]],
            "readings": _readings(place, entry["readings"], entry["tests"]),
            **{field: tuple(entry[field]) for field in _LISTS},
        }
    )
    return replace(found, claims=_claims(place, key, entry, claims, tables))


def _claims(place, key, entry, claims, tables):
    """For each vehicle named in `claims` the fields of CLAIMS as they hold there, read by the
    rules of the entry itself.
    """
    if not isinstance(claims, dict):
        raise place.wrong(
            "claims", "must hold a table for each vehicle on which something else is found"
        )
    found = {}
    for vehicle, own in claims.items():
        if (
            vehicle not in entry["vehicles"]
            or not isinstance(own, dict)
            or not own
            or not set(own) <= set(CLAIMS)
        ):
            raise place.wrong(
                f"claims.{vehicle}",
                f"must be for one of {', '.join(entry['vehicles'])}, and hold only"
                f" {', '.join(CLAIMS)}",
            )
        there = _entry(_Place(place.path, f"{key}.claims.{vehicle}"), key, {**entry, **own}, tables)
        found[vehicle] = MappingProxyType({field: getattr(there, field) for field in own})
    return MappingProxyType(found)


def _number(place, field, value, low, high):
    if not number_in(value, low, high):
        raise place.wrong(field, f"must be a number from {low:g} to {high:g}; got {value!r}")
    return float(value)


def _changes(place, table):
    if not isinstance(table, dict) or not table:
        raise place.wrong("changes", 'must name part values, as in { "sensor_fl.gap_mm" = 2.0 }')
    return MappingProxyType(
        {
            name: _number(place, f"changes, {name},", value, -1e12, 1e12)
            for name, value in table.items()
        }
    )


def _readings(place, rows, tests):
    found = []
    for row in rows if isinstance(rows, list) else [None]:
        if not isinstance(row, dict) or set(row) != {"test", "reading", "healthy", "faulty"}:
            raise place.wrong("readings", "each needs test, reading, healthy and faulty")
        ranges = {}
        for side in ("healthy", "faulty"):
            values = row[side]
            words = isinstance(values, list) and values and all(isinstance(v, str) for v in values)
            span = (
                isinstance(values, list) and len(values) == 2 and all(is_number(v) for v in values)
            )
            if not words and not (span and values[0] <= values[1]):
                raise place.wrong(
                    f"readings, {row['reading']}, {side},",
                    f"must be [low, high] or a list of words; got {values!r}",
                )
            ranges[side] = tuple(values)
        found.append(Expected(test=row["test"], reading=row["reading"], **ranges))
    if not found:
        raise place.wrong("readings", "must not be empty")
    return tuple(found)
