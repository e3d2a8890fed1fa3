"""Reads data/workshop/monitors.toml: what the control unit watches, with which limits, and what a
fault there costs.
"""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from tractionlab.catalogue.checked import TableReader, wrong_number
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml

GROUPS = ("none", "traction", "shared", "distribution", "fluid", "pause")
REACTIONS = ("R0", "R1", "R2", "R3", "R4", "R5", "R6")
KINDS = (
    "circuit continuity",
    "range",
    "missing signal",
    "jump",
    "correlation",
    "plausibility",
    "performance of pump",
    "performance of supply",
    "performance of control",
    "timeout",
    "supply",
    "thermal model",
    "configuration",
)
#: What a monitor may depend on (`needs`), and what is known to be bad while one has failed
#: (`spoils`).
SIGNALS = ("wheels", "pedal", "pressure", "yaw", "steer", "engine", "throttle", "supply", "brakes")
_WORDS = {"kind": KINDS, "group": GROUPS, "reaction": REACTIONS, "lamp_until": ("passed", "cycle")}


@dataclass(frozen=True, kw_only=True)
class Monitor:
    """One monitor. limits: name -> number in the unit of the file; units and sources likewise;
    confirm_s: time to "failed" if all is bad [s]; needs: SIGNALS that it depends on; spoils:
    SIGNALS that are known to be bad while it has failed."""

    key: str
    name: str
    kind: str
    group: str
    reaction: str
    lamp_until: str
    trips: int
    confirm_s: float
    needs: tuple
    spoils: tuple
    limits: MappingProxyType
    units: MappingProxyType
    sources: MappingProxyType

    @property
    def lamp(self):
        """Does a stored fault ask for a warning lamp?"""
        return self.group != "none"

    @property
    def held(self):
        """Does the lamp stay on until the next ignition cycle?"""
        return self.lamp_until == "cycle"

    def __getitem__(self, name):
        return self.limits[name]


@lru_cache(maxsize=4)
def monitors(path=None):
    """All monitors by key."""
    path = Path(path or data_folder() / "workshop" / "monitors.toml")
    tables = read_toml(path)
    known = tables.pop("sources", {})
    return MappingProxyType(
        {key: _monitor(path, key, table, known) for key, table in tables.items()}
    )


def _monitor(path, key, table, known):
    reader = TableReader(f"{path}, [{key}]")
    if not isinstance(table, dict) or not isinstance(table.get("name"), str):
        raise reader.wrong("name is missing; it is what people read")
    for word, allowed in _WORDS.items():
        if table.get(word) not in allowed:
            raise reader.wrong(
                f"{word} must be one of {', '.join(allowed)}, got {table.get(word)!r}"
            )
    trips = reader.number(table, "trips", 1, 10, whole=True)
    signals = {field: tuple(table.get(field, ())) for field in ("needs", "spoils")}
    for field, names in signals.items():
        if strange := set(names) - set(SIGNALS):
            raise reader.wrong(f"{field} may hold {', '.join(SIGNALS)}; got {sorted(strange)[0]!r}")
    numbers = {
        name: entry
        for name, entry in table.items()
        if name not in ("name", "trips", *_WORDS, *signals)
    }
    if "confirm_s" not in numbers:
        raise reader.wrong("confirm_s is missing")
    values = {name: number(reader, name, entry) for name, entry in numbers.items()}
    return Monitor(
        key=key,
        name=table["name"],
        trips=trips,
        confirm_s=values.pop("confirm_s"),
        limits=MappingProxyType(values),
        units=MappingProxyType({name: entry["unit"] for name, entry in numbers.items()}),
        sources=MappingProxyType(
            {name: known.get(entry["source"], entry["source"]) for name, entry in numbers.items()}
        ),
        **signals,
        **{word: table[word] for word in _WORDS},
    )


def number(reader, name, entry):
    """The value of an entry that holds value, unit, low, high and source; anything else is a
    UserError of `reader`, a TableReader.
    """
    if (
        not isinstance(entry, dict)
        or set(entry) != {"value", "unit", "low", "high", "source"}
        or not str(entry["source"]).strip()
    ):
        raise reader.wrong(
            f"{name} needs value, unit, low, high and source, as in {{ value = 1.0, unit ="
            ' "s", low = 0.0, high = 2.0, source = "I" }'
        )
    value, low, high = entry["value"], entry["low"], entry["high"]
    if words := wrong_number(name, value, low, high, entry["unit"]):
        raise reader.wrong(words)
    return float(value)
