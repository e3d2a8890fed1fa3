"""Reads data/workshop/network_*.toml: points, plugs, leads and elements of a vehicle's electrical
network, group by group.
"""

import re
from functools import lru_cache
from types import MappingProxyType

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.wheels import CALLED
from tractionlab.workshop.wiring.points import Element, Lead, Plan, Plug, Point

VEHICLES = ("rear_petrol", "front_petrol", "front_electric")
_LAMPS = {
    "abs": "ABS",
    "tc": "traction control",
    "tc_off": "traction control off",
    "brake": "brake",
}
_PROBES = ("break-out box", "back", "sealed", "socket")
_SECTIONS = {"name", "vehicles", "plugs", "points", "chains", "elements", "forbidden", "expand"}
#: What an element of each kind says beside `kind` and `at`, and how many points it has.
KINDS = {
    "battery": ((), 2),
    "generator": ((), 2),
    "unit": ((), 2),
    "resistor": (("ohm",), 2),
    "lamp": (("ohm",), 2),
    "diode": ((), 2),
    "fuse": ((), 2),
    "rail": (("volt", "limit"), 2),
    "contact": (("ohm", "closed"), 2),
    "relay": (("coil",), 2),
    "driver": (("ohm", "command"), 2),
    "motor": ((), 2),
    "coil": ((), 2),
    "coil_sensor": ((), 2),
    "two_currents": ((), 2),
    "potentiometer": (("share",), 3),
    "signal": (("signal",), 3),
    "transceiver": ((), 3),
}
_MAY = {"part", "vehicles", "welded", "seized", "regulated", "unit", "ohm"}


def plan(vehicle, folder=None):
    """Plan of a vehicle, one of VEHICLES."""
    if vehicle not in VEHICLES:
        raise UserError(f"no vehicle is called {vehicle!r}; there are: {', '.join(VEHICLES)}")
    paths = tuple(sorted(((folder or data_folder()) / "workshop").glob("network_*.toml")))
    return _read(vehicle, tuple((path, path.stat().st_mtime_ns) for path in paths))


@lru_cache(maxsize=16)
def _read(vehicle, stamped):
    found = _Reader(vehicle)
    tables = [(path, read_toml(path)) for path, _ in stamped]
    for path, table in tables:
        found.take_points(path, table)
    for path, table in tables:
        found.take_chains(path, table)
    for path, table in tables:
        found.take_elements(path, table)
    found.leave_out_idle_points()
    return Plan(
        vehicle=vehicle,
        **{
            name: MappingProxyType(getattr(found, name))
            for name in ("groups", "points", "plugs", "leads", "elements", "forbidden")
        },
    )


class _Reader:
    """Gathers the entries of all files that this vehicle has."""

    def __init__(self, vehicle):
        self.vehicle = vehicle
        self.groups, self.points, self.plugs, self.leads, self.elements, self.forbidden = (
            {},
            {},
            {},
            {},
            {},
            {},
        )
        self.ends = set()

    def take_points(self, path, table):
        unknown = set(table) - _SECTIONS
        if unknown or not isinstance(table.get("name"), str):
            raise UserError(
                f"{path}: {sorted(unknown)[0] if unknown else 'name'} is"
                f" {'unknown' if unknown else 'missing'}; a network file has"
                f" {', '.join(sorted(_SECTIONS))}"
            )
        group = path.stem.removeprefix("network_")
        if self.vehicle in table.get("vehicles", VEHICLES):
            self.groups[group] = table["name"]
        for key, entry in self._entries(path, table, "plugs"):
            if entry.get("probe") not in _PROBES or not entry.get("name") or not entry.get("where"):
                raise UserError(
                    f"{path}, [plugs]: {key} needs name, where and probe, one of"
                    f" {', '.join(_PROBES)}"
                )
            self.plugs[key] = Plug(key, entry["name"], entry["where"], entry["probe"], ())
        for key, name in table.get("points", {}).items():
            self.points[key] = Point(key, name, group)
        for key, entry in self._entries(path, table, "forbidden"):
            self.forbidden[key] = (entry["name"], entry["why"])

    def take_chains(self, path, table):
        group = path.stem.removeprefix("network_")
        for key, entry in self._entries(path, table, "chains"):
            way = entry.get("way", ())
            if len(way) < 2 or not entry.get("name"):
                raise UserError(
                    f"{path}, [chains.{key}]: needs a name and a way of at least two points"
                )
            for place, point in enumerate(way):
                self._join(path, key, group, point, place in (0, len(way) - 1))
            for number, (a, b) in enumerate(zip(way[:-1], way[1:]), start=1):
                name = entry["name"] + (f", section {number}" if len(way) > 2 else "")
                lead = f"lead_{key}_{number}"
                self.leads[lead] = Lead(
                    lead, name, group, self._half(a, number > 1), b, entry.get("ohm")
                )

    def _join(self, path, key, group, point, end):
        plug, _, pin = point.partition(".")
        if plug not in self.plugs:
            if point not in self.points:
                raise UserError(f"{path}, [chains.{key}]: no plug and no point is called {point!r}")
            return
        if point in self.points:
            raise UserError(f"{path}, [chains.{key}]: the pin {point!r} has a lead already")
        old = self.plugs[plug]
        self.plugs[plug] = Plug(plug, old.name, old.where, old.probe, (*old.pins, pin))
        words = (
            f"pin {pin} of the {old.name}"
            if pin.isdigit()
            else f"pin {len(old.pins) + 1} of the {old.name} ({_spoken(pin)})"
        )
        self.points[point] = Point(point, f"{words}, lead side", group, plug)
        self.points[f"{point}.device"] = Point(
            f"{point}.device", f"{words}, {'part' if end else 'far'} side", group, plug, True
        )
        if end:
            self.ends.add(point)

    def _half(self, point, passed):
        """The half of a pin at which the next section of a chain begins."""
        return f"{point}.device" if passed and point.partition(".")[0] in self.plugs else point

    def take_elements(self, path, table):
        group = path.stem.removeprefix("network_")
        for key, entry in self._entries(path, table, "elements"):
            kind = entry.pop("kind", None)
            if kind not in KINDS:
                raise UserError(
                    f"{path}, [elements.{key}]: kind must be one of {', '.join(KINDS)}; got"
                    f" {kind!r}"
                )
            needs, count = KINDS[kind]
            unknown = set(entry) - set(needs) - _MAY - {"at"}
            missing = [name for name in (*needs, "at") if name not in entry]
            if unknown or missing or len(entry["at"]) != count:
                problem = (
                    f"{sorted(unknown)[0]} is unknown"
                    if unknown
                    else f"{missing[0]} is missing"
                    if missing
                    else f"at must name {count} points"
                )
                raise UserError(f"{path}, [elements.{key}]: {problem}")
            at = tuple(self._terminal(path, key, point) for point in entry.pop("at"))
            if "coil" in entry:
                entry["coil"] = tuple(self._terminal(path, key, point) for point in entry["coil"])
            part = entry.pop("part", key)
            self.elements[key] = Element(key, kind, part, group, at, MappingProxyType(entry))

    def leave_out_idle_points(self):
        """Points that no lead and no part of this vehicle touches are none of its points."""
        used = {end for lead in self.leads.values() for end in (lead.a, lead.b)} | {
            end for e in self.elements.values() for end in (*e.at, *e.more.get("coil", ()))
        }
        self.points = {
            key: point for key, point in self.points.items() if point.plug or key in used
        }

    def _terminal(self, path, key, point):
        """The node at which a part sits: its own half of the pin; a name with a stroke is a node
        inside a control unit.
        """
        if point in self.ends:
            return f"{point}.device"
        if point not in self.points and "/" not in point:
            raise UserError(f"{path}, [elements.{key}]: no point is called {point!r}")
        return point

    def _entries(self, path, table, section):
        """(key, entry) of a section for this vehicle; braces are filled in."""
        letters = {"w": list(CALLED), "W": [w.upper() for w in CALLED], **table.get("expand", {})}
        for key, entry in table.get(section, {}).items():
            if not isinstance(entry, dict):
                raise UserError(f"{path}, [{section}]: {key} must be a table")
            letter = re.search(r"\{(\w)\}", key)
            for word in letters[letter[1]] if letter else [None]:
                filled = _filled(entry, letter and letter[1], word)
                if self.vehicle in filled.pop("vehicles", table.get("vehicles", VEHICLES)):
                    yield (key if word is None else key.replace(f"{{{letter[1]}}}", word)), filled


def _spoken(pin):
    """A pin's key in words."""
    first, _, last = pin.rpartition("_")
    return (
        f"{first.replace('_', ' ')} {CALLED[last.lower()]}"
        if last.lower() in CALLED
        else pin.replace("_", " ")
    )


def _filled(value, letter, word):
    """`value` with {letter} replaced by `word`, and {wheel} or {lamp} by its words."""
    if isinstance(value, dict):
        return {key: _filled(inner, letter, word) for key, inner in value.items()}
    if isinstance(value, list):
        return [_filled(inner, letter, word) for inner in value]
    if not isinstance(value, str) or word is None:
        return value
    return (
        value.replace(f"{{{letter}}}", word)
        .replace("{wheel}", CALLED.get(word.lower(), ""))
        .replace("{lamp}", _LAMPS.get(word, ""))
    )
