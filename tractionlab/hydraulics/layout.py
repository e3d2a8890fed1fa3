"""Reads the hydraulic layouts A and B from data/hydraulics/ and checks every cell."""

from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from tractionlab.catalogue.csv_table import Table
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.hydraulics.connections import WHEEL_COLUMNS, plant_cells, wheel_cells
from tractionlab.hydraulics.parts import Component, Edge, Layout, PathRule, WheelCircuit
from tractionlab.units import BAR
from tractionlab.wheels import WHEELS

KEYS = ("A", "B")
RULES = ("must", "must_not", "relief")
FLOWS = ("both", "forward")
KINDS = ("port", "valve", "non_return", "pump", "suction", "relief")
MARKS = MappingProxyType(
    {"C": "common practice, no source", "M": "from memory", "I": "course value, invented"}
)
COLUMNS = {
    "components": ("component", "symbol", "ports", "rest", "positions", "currents_A"),
    "edges": ("component", "position", "from", "to", "flow", "kind", "opening_bar"),
    "paths": ("mode", "rule", "path", "meaning"),
    "wheels": WHEEL_COLUMNS,
    "summary": (
        "layout",
        "mode",
        "isolating_or_cut_off",
        "priming_or_feed",
        "drain",
        "inlet_or_wheel_valve",
        "outlet",
        "pump",
        "pressure_from",
        "fluid_goes_to",
    ),
}


def layout(key):
    """Layout "A" or "B" of the course."""
    return _shipped_layout(key)


@lru_cache
def _shipped_layout(key):
    return read_layout(key, data_folder() / "hydraulics")


def read_layout(key, folder):
    """Read layout `key` from `folder`; a mistake is named with file, line and column."""
    if key not in KEYS:
        raise UserError(f"no hydraulic layout is called {key!r}; there are: {', '.join(KEYS)}")
    folder = Path(folder)
    words = _Words(folder / "parts.toml", key)
    tables = {
        name: Table(folder / f"layout_{key.lower()}_{name}.csv", COLUMNS.get(name))
        for name in ("components", "edges", "modes", "paths", "wheels", "plant")
    }
    components = {
        part.key: part
        for part in (_component(tables["components"], row, words) for row in tables["components"])
    }
    tables["components"].no_doubles("component")
    words.all_used(components)
    modes = _modes(tables["modes"], components, words)
    return Layout(
        key=key,
        name=words.name,
        nodes=words.nodes,
        components=MappingProxyType(components),
        mode_names=words.modes,
        wheels=words.wheels,
        modes=modes,
        edges=tuple(_edge(tables["edges"], row, components, words) for row in tables["edges"]),
        paths=tuple(_rule(tables["paths"], row, words) for row in tables["paths"]),
        connections=tuple(
            wheel_cells(tables["wheels"], words) + plant_cells(tables["plant"], words)
        ),
    )


def valve_summary(folder=None):
    """Rows of the summary of both layouts, as dicts: layout, mode, valve positions, pump, where
    pressure and fluid come from and go.
    """
    table = Table(
        Path(folder or data_folder() / "hydraulics") / "valve_states_summary.csv",
        COLUMNS["summary"],
    )
    for row in table:
        table.one_of(row, "layout", KEYS)
        table.one_of(row, "mode", layout(row["layout"]).modes)
    return tuple({column: row[column] for column in table.columns} for row in table)


class _Words:
    """Table of one layout in parts.toml: names of places, modes and parts, and the places of each
    wheel.
    """

    def __init__(self, path, key):
        self.path, self.key = path, key
        table = read_toml(path).get(key, {})
        for part in ("name", "nodes", "wheels", "modes", "parts"):
            if not table.get(part):
                raise UserError(f"{path}, [{key}]: {part} is missing")
        self.name, self.nodes, self.modes = (
            table["name"],
            MappingProxyType(table["nodes"]),
            MappingProxyType(table["modes"]),
        )
        self.wheels = MappingProxyType(
            {wheel: self._wheel(wheel, table["wheels"].get(wheel, {})) for wheel in WHEELS}
        )
        self.parts = {}
        for part, entry in table["parts"].items():
            for word in ("name", "task", "rest", "failure", "mark"):
                if not str(entry.get(word, "")).strip():
                    raise UserError(f"{path}, [{key}.parts.{part}]: {word} is missing")
            if entry["mark"] not in MARKS:
                raise UserError(
                    f"{path}, [{key}.parts.{part}]: mark must be one of {', '.join(MARKS)}; got"
                    f" {entry['mark']!r}"
                )
            for component, place in entry.get("covers", {part: ""}).items():
                self.parts[component] = {
                    word: entry[word] for word in ("task", "rest", "failure")
                } | {
                    "name": entry["name"].replace("{place}", place),
                    "source": MARKS[entry["mark"]],
                }

    def _wheel(self, wheel, entry):
        for field in ("chamber", "supply", "gallery"):
            if entry.get(field) not in self.nodes:
                raise UserError(
                    f"{self.path}, [{self.key}.wheels]: {wheel}: {field} must be one of"
                    f" {', '.join(self.nodes)}; got {entry.get(field)!r}"
                )
        return WheelCircuit(
            chamber=entry["chamber"], supply=entry["supply"], gallery=entry["gallery"]
        )

    def all_used(self, components):
        """Complain of words for a part that the layout does not have."""
        odd = sorted(set(self.parts) - set(components))
        if odd:
            raise UserError(
                f"{self.path}, [{self.key}.parts]: {odd[0]} is no part of the layout; known are"
                f" {', '.join(components)}"
            )


def _component(table, row, words):
    key = row["component"]
    if key not in words.parts:
        raise table.fault(
            row, "component", f"{key!r} has no words in {words.path.name}, [{words.key}.parts]"
        )
    positions = tuple(row["positions"].split("/")) if row["positions"] else ()
    if positions or row["rest"]:
        table.one_of(row, "rest", positions)
    currents = row["currents_A"].split("/") if row["currents_A"] else []
    if currents and len(currents) != len(positions):
        raise table.fault(
            row,
            "currents_A",
            f"needs one current for each of the positions {', '.join(positions)}; got"
            f" {len(currents)}",
        )
    ranges = [
        [table.number(row, "currents_A", text, 0, 20) for text in current.split("-")]
        for current in currents
    ]
    return Component(
        key=key,
        **words.parts[key],
        symbol=row["symbol"],
        ports=table.split(row, "ports", "/", words.nodes),
        rest_position=row["rest"],
        positions=positions,
        currents=MappingProxyType(
            {position: (pair[0], pair[-1]) for position, pair in zip(positions, ranges)}
        ),
    )


def _edge(table, row, components, words):
    part = components[table.one_of(row, "component", components)]
    position = table.one_of(row, "position", (*part.positions, "any", "relief"))
    for column in ("from", "to"):
        table.one_of(row, column, part.ports)
    relief = position == "relief"
    if relief != (table.one_of(row, "kind", KINDS) == "relief"):
        raise table.fault(row, "kind", "position relief and kind relief belong together")
    if not relief and row["opening_bar"]:
        raise table.fault(
            row,
            "opening_bar",
            f"only a relief valve has an opening pressure; got {row['opening_bar']!r}",
        )
    pressure = table.number(row, "opening_bar", row["opening_bar"], 1, 500) * BAR if relief else 0.0
    return Edge(
        component=part.key,
        position=position,
        start=row["from"],
        goal=row["to"],
        flow=table.one_of(row, "flow", FLOWS),
        kind=row["kind"],
        opening_pressure=pressure,
    )


def _modes(table, components, words):
    if table.columns != ("component", *words.modes):
        raise UserError(
            f"{table.path}, line 2: the columns must be component, {', '.join(words.modes)}; got"
            f" {', '.join(table.columns)}"
        )
    table.no_doubles("component")
    movable = [key for key, part in components.items() if part.positions]
    for row in table:
        for mode in words.modes:
            table.one_of(row, mode, components[table.one_of(row, "component", movable)].positions)
    missing = set(movable) - {row["component"] for row in table}
    if missing:
        raise UserError(f"{table.path}: no row for {sorted(missing)[0]}")
    return MappingProxyType(
        {
            mode: MappingProxyType({row["component"]: row[mode] for row in table})
            for mode in words.modes
        }
    )


def _rule(table, row, words):
    path = table.split(row, "path", ">", words.nodes)
    if len(path) < 2:
        raise table.fault(row, "path", "needs a start and a goal, as in MC_F>W_FL")
    return PathRule(
        mode=table.one_of(row, "mode", words.modes),
        rule=table.one_of(row, "rule", RULES),
        path=path,
        meaning=row["meaning"],
    )
