"""The numbers that make a vehicle what it is, part by part: a flat table of dotted names; a fault
is nothing but a change of it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from types import MappingProxyType

from tractionlab.catalogue.checked import is_number, number_in, wrong_number
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.wheels import CALLED
from tractionlab.workshop.wiring.netlist import VEHICLES, plan

_WORDS = ("name", "task", "where")
_ENTRY = {"value", "unit", "low", "high", "source"}


@dataclass(frozen=True)
class Value:
    """One number of a part with its unit, the range it may have, and its source."""

    value: float
    unit: str
    low: float
    high: float
    source: str


@dataclass(frozen=True)
class Part:
    """A part in words, and its values by name."""

    key: str
    name: str
    task: str
    where: str
    values: MappingProxyType


@dataclass(frozen=True)
class PartValues(Mapping):
    """The part values of a car by dotted name: those of a sound one, and what differs from them.

    Two cars with the same changes are equal and hash alike, so what was computed from part values
    can be kept under them.

    changes : tuple of (name, value), in the order of the names; sound : table of a sound car
    """

    vehicle: str
    changes: tuple
    sound: MappingProxyType = field(compare=False, repr=False)

    @cached_property
    def _changed(self):
        return dict(self.changes)

    def __getitem__(self, name):
        changed = self._changed
        return changed[name] if name in changed else self.sound[name]

    def __iter__(self):
        return iter(self.sound)

    def __len__(self):
        return len(self.sound)

    def items(self):
        return {**self.sound, **self._changed}.items()

    def only(self, matters):
        """This car with those changes alone whose name matters: `matters(name)` -> bool."""
        changes = tuple(change for change in self.changes if matters(change[0]))
        return PartValues(self.vehicle, changes, self.sound)


def part_values(vehicle, folder=None):
    """PartValues of a sound vehicle, one of VEHICLES."""
    return _tables(vehicle, *_stamp(folder))[1]


def parts(vehicle, folder=None):
    """Parts of a vehicle by key, leads and plugs among them."""
    return _tables(vehicle, *_stamp(folder))[0]


def changed(values, changes):
    """PartValues with further changes, a mapping by dotted name; an unknown name or a value out of
    its range is a UserError.
    """
    known = parts(values.vehicle)
    for name, value in changes.items():
        part, _, short = name.rpartition(".")
        if name not in values.sound:
            there = (
                f"that part has {', '.join(known[part].values)}"
                if part in known
                else "parts() lists the parts"
            )
            raise UserError(f"{values.vehicle} has no part value {name!r}; {there}")
        limits = known[part].values[short]
        if words := wrong_number(name, value, limits.low, limits.high, limits.unit):
            raise UserError(words)
    wanted = {**dict(values.changes), **{name: float(value) for name, value in changes.items()}}
    differing = ((name, value) for name, value in wanted.items() if value != values.sound[name])
    return PartValues(values.vehicle, tuple(sorted(differing)), values.sound)


def _stamp(folder):
    home = (folder or data_folder()) / "workshop"
    paths = sorted(home.glob("parts_*.toml"))
    if not paths:
        raise UserError(f"{home}: there is no parts_*.toml")
    return folder, tuple((path, path.stat().st_mtime_ns) for path in paths)


@lru_cache(maxsize=16)
def _tables(vehicle, folder, stamped):
    if vehicle not in VEHICLES:
        raise UserError(f"no vehicle is called {vehicle!r}; there are: {', '.join(VEHICLES)}")
    found = {}
    for path, _ in stamped:
        tables = read_toml(path)
        sources = tables.pop("sources", {})
        patterns = {
            key: _values(path, key, tables.pop(key), sources)
            for key in ("lead", "pin")
            if key in tables
        }
        for table_key, table in tables.items():
            for part in _parts(path, table_key, table, sources, vehicle):
                if part.key in found:
                    raise UserError(
                        f"{path}, [{table_key}]: the part {part.key} stands in another table"
                        " already"
                    )
                found[part.key] = part
        if patterns:
            found |= _wires(vehicle, folder, patterns)
    flat = {
        f"{part.key}.{name}": value.value
        for part in found.values()
        for name, value in part.values.items()
    }
    return MappingProxyType(found), PartValues(vehicle, (), MappingProxyType(flat))


def _parts(path, table_key, table, sources, vehicle):
    """The parts of one table: one, or with {w} or {W} in its key one for each wheel."""
    table = dict(table)
    words = [table.pop(word, "") for word in _WORDS]
    key, vehicles = table.pop("key", table_key), table.pop("vehicles", ())
    for word, text in zip(_WORDS, words):
        if not isinstance(text, str) or not text.strip():
            raise UserError(f"{path}, [{table_key}]: {word} is missing")
    strange = set(vehicles) - set(VEHICLES)
    if not vehicles or strange:
        raise UserError(
            f"{path}, [{table_key}]: vehicles must list some of {', '.join(VEHICLES)}; got"
            f" {', '.join(sorted(strange)) or 'none'}"
        )
    if vehicle not in vehicles:
        return
    values = _values(path, table_key, table, sources)
    for wheel, said in CALLED.items() if "{" in key else ((None, ""),):
        name, task, where = (text.replace("{wheel}", said) for text in words)
        yield Part(
            key if wheel is None else key.replace("{w}", wheel).replace("{W}", wheel.upper()),
            name,
            task,
            where[:1].lower() + where[1:],
            values,
        )


def _values(path, key, table, sources):
    values = {}
    for name, entry in table.items():
        if not isinstance(entry, dict) or set(entry) != _ENTRY:
            raise UserError(
                f"{path}, [{key}]: {name} needs value, unit, low, high and source, nothing else"
            )
        low, high, value = entry["low"], entry["high"], entry["value"]
        if not is_number(low) or not is_number(high) or not number_in(value, low, high):
            raise UserError(
                f"{path}, [{key}]: {name} must be a number from {low!r} to {high!r}"
                f" {entry['unit']}, got {value!r}"
            )
        if not str(entry["source"]).strip():
            raise UserError(f"{path}, [{key}]: {name} has no source")
        values[name] = Value(
            float(value),
            entry["unit"],
            float(low),
            float(high),
            sources.get(entry["source"], entry["source"]),
        )
    return MappingProxyType(values)


def _wires(vehicle, folder, patterns):
    """A part for each section of lead and each plug of the vehicle's network."""
    net, found = plan(vehicle, folder), {}
    for lead in net.leads.values():
        values = dict(patterns["lead"])
        if lead.ohm is not None:
            values["ohm"] = Value(
                lead.ohm, "ohm", values["ohm"].low, values["ohm"].high, values["ohm"].source
            )
        found[lead.key] = Part(
            lead.key,
            lead.name[:1].upper() + lead.name[1:],
            "Carries current from one point to the next.",
            f"from {_short(net, lead.a)} to {_short(net, lead.b)}",
            MappingProxyType(values),
        )
    for plug in net.plugs.values():
        values = {f"{pin}_ohm": patterns["pin"]["ohm"] for pin in plug.pins}
        if len(plug.pins) > 1:
            values |= {name: patterns["pin"][name] for name in ("leak_ohm", "wet_ohm")}
        found[f"plug_{plug.key}"] = Part(
            f"plug_{plug.key}",
            plug.name[:1].upper() + plug.name[1:],
            "Joins leads so that they can be taken apart.",
            plug.where,
            MappingProxyType(values),
        )
    return found


def _short(net, node):
    point = net.points[node]
    return net.plugs[point.plug].name if point.plug else point.name
