"""Reads the item bank of data/items/, one file per outcome, and checks every field.

An item is a question without its numbers.
"""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from string import Formatter
from types import MappingProxyType

from tractionlab.assess.bank.call import read_call
from tractionlab.assess.bank.part import NAME, PART_KEYS, TOLERANCES, read_part
from tractionlab.catalogue.checked import TableReader, is_number
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError

OUTCOMES = MappingProxyType(
    {
        "LO1": "Grip and slip",
        "LO2": "Differential and one-sided ice",
        "LO3": "Wheel-speed sensing",
        "LO4": "Reference speed, slip, acceleration",
        "LO5": "Torque reduction",
        "LO6": "Hydraulic layout A",
        "LO7": "Hydraulic layout B",
        "LO8": "Control strategy",
        "LO9": "Monitoring and memory",
        "LO10": "Measuring",
        "LO11": "Fault-finding",
        "LO12": "Service, verification, safety",
    }
)
#: Label of the only thing that a question asks, where it names none.
ONE_ANSWER = "Your answer"
LEVELS = ("remember", "apply", "analyse")
KINDS = ("choice", "number", "path", "states", "waveform", "tuning", "sketch", "case", "checklist")
_ITEM_KEYS = {
    "kind",
    "level",
    "minutes",
    "marks",
    "spare",
    "title",
    "text",
    "given",
    "draws",
    "words",
    "figure",
    "possible",
    "fields",
    "tolerance",
    "source",
    "version",
}


@dataclass(frozen=True, kw_only=True, eq=False)
class Item:
    """One question of the bank.

    `draws`: name -> values to choose from; a value that is a table gives all its keys at once.
    `words`: name -> call that puts a drawn value into words. `given`: rows (label, value) of the
    data sheet. `figure`: call that gives the charts of the picture, or None. `possible`: call that
    says whether numbers are physically possible. `fields`: what is asked (Part). `minutes`: three
    times an expert's. `misconceptions`: the wrong ideas behind the distractors."""

    id: str
    outcome: str
    kind: str
    level: str
    minutes: float
    marks: int
    spare: bool
    title: str
    text: str
    given: tuple
    draws: MappingProxyType
    words: MappingProxyType
    figure: object
    possible: object
    fields: tuple
    tolerance: str
    misconceptions: tuple
    source: str
    version: int


def items(folder=None):
    """All items by id, in the order of the outcomes and of their files."""
    return _read(folder)


@lru_cache(maxsize=8)
def _read(folder):
    found, folder = {}, Path(folder or data_folder() / "items")
    for outcome in OUTCOMES:
        path = folder / f"{outcome}.toml"
        tables = read_toml(path)
        known = tables.pop("sources", {})
        if set(tables) - {"items"}:
            raise UserError(
                f"{path}: unknown table {sorted(set(tables) - {'items'})[0]!r}; allowed are"
                " sources, items"
            )
        for key, table in tables.get("items", {}).items():
            found[key] = read_item(path, outcome, key, table, known)
    return MappingProxyType(found)


def read_item(path, outcome, key, table, sources):
    """Item from its table; `sources` maps the short names of sources to their words.

    A mistake is a UserError: file, item, field, what is allowed.
    """
    reader = TableReader(f"{path}, [items.{key}]")
    if not isinstance(table, dict):
        raise reader.wrong(f"an item is a table, got {table!r}")
    if not key.startswith(f"{outcome[2:]}-"):
        raise reader.wrong(f"an item of {outcome} is called {outcome[2:]}-..., got {key!r}")
    reader.check_keys(
        table,
        _ITEM_KEYS | ({"label"} | PART_KEYS if "fields" not in table else set()),
        "field",
    )
    kind = reader.one_of(table, "kind", KINDS)
    draws = _draws(reader, reader.table(table, "draws"))
    names = set(_names(draws))
    words = {
        name: read_call(reader, f"words.{name}", text, names)
        for name, text in reader.table(table, "words").items()
    }
    tolerance = reader.one_of(
        {"tolerance": "exact" if kind in ("choice", "path", "states") else None, **table},
        "tolerance",
        TOLERANCES,
    )
    marks = reader.number(table, "marks", 1, 60, whole=True)
    parts = _parts(reader, kind, tolerance, _written(reader, table), names, marks)
    asked = {part.name for part in parts if part.kind == "number"}
    text, given = reader.text(table, "text"), _given(reader, table)
    for piece in [
        text,
        *(cell for row in given for cell in row),
        *(said for part in parts for said in part.texts()),
    ]:
        _check_template(reader, piece, names | set(words))
    source = reader.text(table, "source")
    if source not in sources:
        raise reader.wrong(
            f"source must be one of {', '.join(sources)} of [sources]; got {source!r}"
        )
    return Item(
        id=key,
        outcome=outcome,
        kind=kind,
        level=reader.one_of(table, "level", LEVELS),
        minutes=reader.number(table, "minutes", 0.5, 120),
        marks=marks,
        spare=reader.flag(table, "spare"),
        title=reader.text(table, "title"),
        text=text,
        given=given,
        draws=MappingProxyType(draws),
        words=MappingProxyType(words),
        figure=_call(reader, table, "figure", names),
        possible=_call(reader, table, "possible", names | asked),
        fields=parts,
        tolerance=tolerance,
        misconceptions=tuple(idea for part in parts for idea in part.ideas()),
        source=sources[source],
        version=reader.number({"version": 1, **table}, "version", 1, 999, whole=True),
    )


def _written(reader, table):
    """The tables of the fields; an item with one field may write it without a table of its own."""
    if "fields" in table:
        return reader.rows(
            table,
            "fields",
            {"name", "kind", "label", "marks", "tolerance"} | PART_KEYS,
            ("name", "label"),
        )
    return [
        {
            "name": "answer",
            "label": table.get("label", ONE_ANSWER),
            **{name: value for name, value in table.items() if name in PART_KEYS},
        }
    ]


def _given(reader, table):
    given = table.get("given", [])
    if not isinstance(given, list) or not all(
        isinstance(row, list) and len(row) == 2 and all(isinstance(cell, str) for cell in row)
        for row in given
    ):
        raise reader.wrong("given must be a list of [label, value] pairs of text")
    return tuple(tuple(row) for row in given)


def _call(reader, table, name, names):
    return read_call(reader, name, table[name], names) if name in table else None


def _draws(reader, table):
    draws = {}
    for name, values in table.items():
        if not NAME.fullmatch(name):
            raise reader.wrong(f"draws.{name}: a name has small letters, digits and _")
        if not isinstance(values, list) or not values:
            raise reader.wrong(f"draws.{name} must be a list with at least one value")
        if (
            any(isinstance(value, dict) for value in values)
            and len({tuple(sorted(v)) if isinstance(v, dict) else None for v in values}) != 1
        ):
            raise reader.wrong(f"draws.{name}: all its tables must have the same keys")
        for value in [
            inner for one in values for inner in (one.values() if isinstance(one, dict) else [one])
        ]:
            if not isinstance(value, str) and not is_number(value):
                raise reader.wrong(f"draws.{name}: a value is a number or a text, got {value!r}")
        draws[name] = tuple(values)
    names = list(_names(draws))
    if len(names) != len(set(names)):
        raise reader.wrong("draws: a name is given twice")
    return draws


def _names(draws):
    for name, values in draws.items():
        yield from values[0] if isinstance(values[0], dict) else (name,)


def _parts(reader, kind, tolerance, tables, names, marks):
    parts, known = [], set(names)
    for table in tables:
        part = read_part(reader, kind, tolerance, table, known, marks if len(tables) == 1 else None)
        if part.name in known:
            raise reader.wrong(f"fields: the name {part.name!r} is taken already")
        known.add(part.name)
        parts.append(part)
    if sum(part.marks for part in parts) != marks:
        raise reader.wrong(
            f"marks is {marks}, but those of its fields add up to"
            f" {sum(part.marks for part in parts)}"
        )
    return tuple(parts)


def _check_template(reader, text, shown):
    try:
        pieces = list(Formatter().parse(text))
    except ValueError as problem:
        raise reader.wrong(f"the braces in {text[:60]!r} do not fit: {problem}") from None
    for _, name, how, conversion in pieces:
        if name is not None and (name not in shown or how or conversion):
            raise reader.wrong(f"{{{name}}} in {text[:60]!r} is neither drawn nor one of its words")
