"""The numbers that make a vehicle what it is, part by part: a flat table of dotted names; a fault
is nothing but a change of it.
"""

from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from tractionlab.catalogue.checked import is_number, number_in, wrong_number
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.workshop.wiring.netlist import VEHICLES, WHEELS, plan

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


def part_values(vehicle, folder=None):
    """Healthy values of a vehicle ("rear_petrol", "front_petrol", "front_electric") by dotted name."""
    return _tables(vehicle, *_stamp(folder))[1]


def parts(vehicle, folder=None):
    """Parts of a vehicle by key, leads and plugs among them."""
    return _tables(vehicle, *_stamp(folder))[0]


def changed(values, changes):
    """`values` of a vehicle with `changes` by dotted name; an unknown name or a value out of its
    range is a UserError.
    """
    vehicle = vehicle_of(values)
    known = parts(vehicle)
    for name, value in changes.items():
        part, _, short = name.rpartition(".")
        if name not in values:
            there = (
                f"that part has {', '.join(known[part].values)}"
                if part in known
                else "parts() lists the parts"
            )
            raise UserError(f"{vehicle} has no part value {name!r}; {there}")
        limits = known[part].values[short]
        if words := wrong_number(name, value, limits.low, limits.high, limits.unit):
            raise UserError(words)
    return MappingProxyType({**values, **{name: float(value) for name, value in changes.items()}})


def vehicle_of(values):
    """The vehicle that a table of part values belongs to."""
    for vehicle in VEHICLES:
        if part_values(vehicle).keys() == values.keys():
            return vehicle
    raise UserError(
        "these part values belong to no vehicle; part_values(vehicle) gives a sound table"
    )


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
    return MappingProxyType(found), MappingProxyType(flat)


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
    for wheel, said in WHEELS.items() if "{" in key else ((None, ""),):
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
