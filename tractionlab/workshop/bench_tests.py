"""The tests of the workshop bench: what each is, and its readings on a car, computed from the part values."""
from dataclasses import dataclass
from functools import lru_cache
from importlib import import_module
from types import MappingProxyType

from tractionlab import catalogue
from tractionlab.errors import UserError
from tractionlab.places import data_folder
from tractionlab.workshop.hydraulic_car import changes_of
from tractionlab.workshop.part_values import changed, part_values

OPEN = 1e6      #: ohm; from here on a meter shows no reading
#: Module that has the readings of each test, as a function named after it in small letters.
_HOME = {**dict.fromkeys(("T01", "T02", "T18", "T19", "T21", "T22", "T23"), "running"), **dict.fromkeys(("T14", "T16", "T17"), "hydraulics"),
         **dict.fromkeys(("T08", "T09", "T10", "T11", "T15", "T24", "T25"), "electrics"), **dict.fromkeys(("T12", "T13", "T20"), "signals"),
         **dict.fromkeys(("T03", "T04", "T05", "T06", "T07", "T26", "T27", "T28"), "live")}
#: Share and least amount by which two readings of an instrument may differ and still agree, by unit. Course values, near to workshop instruments.
TOLERANCE = {"V": (0.03, 0.03), "ohm": (0.04, 0.4), "A": (0.05, 0.3), "bar": (0.04, 1.0), "s": (0.1, 0.05), "ms": (0.08, 8.0), "km/h": (0.006, 0.25), "mm": (0.02, 0.1),
             "%": (0.05, 1.5), "degC": (0.03, 8.0), "N m": (0.1, 3.0), "N": (0.06, 60.0), "deg": (0.05, 0.6), "pulses": (0.0, 0.5), "V rms": (0.08, 0.012),
             "mA": (0.05, 0.3), "K": (0.1, 15.0), "times": (0.3, 1.0)}
#: What stands for an answer of the customer that speaks for nothing.
NOTHING_SAID = MappingProxyType({"work": "none known", "weather": "nothing special"})
CALLED = MappingProxyType({"fl": "front left", "fr": "front right", "rl": "rear left", "rr": "rear right"})


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One reading: `key` names it within its test, `value` is a number in `unit`, or words; `place` says where it was taken."""

    key: str
    name: str
    value: object
    unit: str = ""
    place: str = ""

    @property
    def words(self):
        """Name, value and unit as a person would write them down."""
        return f"{self.name}: {shown(self.value, self.unit)}" + (f" ({self.place})" if self.place else "")


@dataclass(frozen=True, kw_only=True)
class Test:
    """A test: minutes it takes, preparations that are critical or minor, cautions to show (keys of data/safety.toml)."""

    __test__ = False

    id: str
    name: str
    does: str
    minutes: int
    critical: tuple = ()
    minor: tuple = ()
    cautions: tuple = ()


@dataclass(frozen=True)
class History:
    """What the customer can tell: own words, work done before, weather of the complaint."""

    story: str = ""
    work: str = ""
    weather: str = ""


def shown(value, unit):
    """A value with its unit in words of the workshop."""
    if isinstance(value, str):
        return value
    if unit == "ohm":
        if value >= OPEN:
            return "OL, over 1 Mohm"
        return f"{value / 1000:.2f} kohm" if value >= 1000 else f"{value:.3g} ohm" if value < 100 else f"{value:.0f} ohm"
    if unit == "pulses":
        return f"{value:.0f} pulses"
    digits = 0 if unit in ("ms", "degC", "K", "N", "N m", "times") else 2 if unit in ("V", "s", "A") else 3 if unit == "V rms" else 1
    number = f"{round(value, digits) + 0.0:.{digits}f}".replace("-", "\u2212")
    return f"{number} {'°C' if unit == 'degC' else unit}".rstrip()


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
    test : str, such as "T10", or a probing.Setup for one reading at points of the wiring
    values : mapping, part values of the vehicle, see `part_values.changed`
    history : History, for what only the customer can tell
    """
    if not isinstance(test, str):
        return _probing().readings_at(test, vehicle, values)
    catalogue.pick(tests(), test, "test")
    return _run(test, vehicle, changes_of(vehicle, values), history if test == "T01" else History())


def reading_minutes():
    """Minutes of one reading at points of the wiring."""
    return _table()[2]


def minutes_of(step):
    """Minutes of a test by number, or of one reading of a probing.Setup."""
    return tests()[step].minutes if isinstance(step, str) else reading_minutes()


def _probing():
    return import_module("tractionlab.workshop.probing")


@lru_cache(maxsize=8192)
def _run(test, vehicle, changes, history):
    module = import_module(f"tractionlab.workshop.bench_tests_{_HOME[test]}")
    return tuple(getattr(module, test.lower())(vehicle, changed(part_values(vehicle), dict(changes)), history))


def agree(reading, other):
    """Do two readings of the same name agree within what the instrument can tell?

    What a customer says of work or weather speaks only against faults that need other work or weather; the story itself is no reading.
    """
    if reading.key == "story":
        return True
    if reading.key in NOTHING_SAID:
        return other.value in (NOTHING_SAID[reading.key], reading.value)
    if isinstance(reading.value, str) or isinstance(other.value, str):
        return reading.value == other.value
    if reading.unit == "ohm" and min(reading.value, other.value) >= OPEN:
        return True
    share, least = TOLERANCE[reading.unit]
    return abs(reading.value - other.value) <= share * max(abs(reading.value), abs(other.value)) + least


def all_agree(readings, others):
    """Do the readings of two runs of the same test agree, each with its own? Order of the two matters only for what a customer says."""
    by_key = {other.key: other for other in others}
    return len(readings) == len(by_key) and all(reading.key in by_key and agree(reading, by_key[reading.key]) for reading in readings)


def telling(readings, others):
    """Readings of the first run that differ from those of the second."""
    by_key = {other.key: other for other in others}
    return tuple(reading for reading in readings if reading.key not in by_key or not agree(reading, by_key[reading.key]))


def _table():
    path = data_folder() / "workshop" / "tests.toml"
    return _read(path, path.stat().st_mtime_ns if path.exists() else 0)


@lru_cache(maxsize=2)
def _read(path, stamp):
    tables = catalogue.read_toml(path)
    words = tables.get("preparations")
    cautions = catalogue.read_toml(data_folder() / "safety.toml")["cautions"]
    if not isinstance(words, dict) or not isinstance(tables.get("tests"), dict):
        raise UserError(f"{path}: needs the tables [preparations] and [tests]")
    wiring = tables.get("wiring", {}).get("minutes")
    if isinstance(wiring, bool) or not isinstance(wiring, int) or not 1 <= wiring <= 120:
        raise UserError(f"{path}, [wiring]: minutes must be a whole number from 1 to 120, got {wiring!r}")
    found = {}
    for key, entry in tables["tests"].items():
        where = f"{path}, [tests.{key}]"
        unknown = set(entry) - set(Test.__dataclass_fields__)
        if key not in _HOME or unknown:
            raise UserError(f"{where}: {'unknown test' if key not in _HOME else 'unknown field ' + sorted(unknown)[0]}")
        for name in ("name", "does"):
            if not isinstance(entry.get(name), str) or not entry[name].strip():
                raise UserError(f"{where}: {name} must be a text")
        if isinstance(entry.get("minutes"), bool) or not isinstance(entry.get("minutes"), int) or not 1 <= entry["minutes"] <= 120:
            raise UserError(f"{where}: minutes must be a whole number from 1 to 120, got {entry.get('minutes')!r}")
        for name, allowed in (("critical", words), ("minor", words), ("cautions", cautions)):
            if any(x not in allowed for x in entry.get(name, ())):
                raise UserError(f"{where}: {name} may hold {', '.join(allowed)}; got {entry[name]!r}")
        found[key] = Test(id=key, **{name: tuple(value) if isinstance(value, list) else value for name, value in entry.items()})
    if missing := set(_HOME) - set(found):
        raise UserError(f"{path}: the test {sorted(missing)[0]} is missing")
    return MappingProxyType(found), MappingProxyType(words), wiring
