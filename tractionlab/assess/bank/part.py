"""What an item asks: its fields with labels, units, marks, keys and distractors.

Reads and checks one field of the bank.
"""

import re
from dataclasses import dataclass

from tractionlab.assess.bank.call import read_call
from tractionlab.catalogue.checked import TableReader
from tractionlab.catalogue.ranges import CONTROL_RANGES
from tractionlab.hydraulics.layout import KEYS as LAYOUTS
from tractionlab.hydraulics.layout import layout
from tractionlab.written.numbers import UNITS

NAME = re.compile(r"[a-z][a-z0-9_]*")
#: Share of the key that an answer may be off. `stated`: the field says its own rule (sketch,
#: tuning, case, checklist).
TOLERANCES = {"exact": 0.0, "formula": 0.02, "rounded": 0.03, "reading": 0.05, "stated": 0.0}
_KEYS = {
    "choice": {"options", "key"},
    "number": {"key", "unit", "unit_asked", "places", "limits", "traps"},
    "path": {"layout"},
    "states": {"layout", "parts"},
    "tuning": {"key", "settings", "trial"},
    "sketch": {"key", "points", "x", "y", "y_range", "features", "traps"},
    "case": set(),
    "checklist": {"steps"},
}
PART_KEYS = set().union(*_KEYS.values())
#: Features a sketch can be marked by: what the drawn curve must do between two of its points.
FEATURES = ("rises", "falls", "level", "near", "peak")


@dataclass(frozen=True, kw_only=True)
class Option:
    """One answer to choose: its id, its words, and the idea that makes it wrong ("" for the right
    one).
    """

    id: str
    text: str
    idea: str
    right: bool


@dataclass(frozen=True, kw_only=True)
class Trap:
    """A wrong answer that a known wrong idea gives, as a call."""

    key: object
    idea: str


@dataclass(frozen=True, kw_only=True)
class Part:
    """One field of an item, with what only the marker may know.

    kind choice: options. number: unit ("1" = plain), unit_asked (the unit must be typed), places
    (digits after the point that are asked), limits (lowest and highest possible), traps. path:
    layout. states: layout, parts to set. tuning: settings, trial (call for the road that is shown).
    sketch: points on the x axis, axis titles, y_range, features. checklist: steps. `key` is the
    call that computes the right answer, None where an option is marked right or a rule decides."""

    name: str
    kind: str
    label: str
    marks: int
    tolerance: str
    key: object = None
    unit: str = ""
    unit_asked: bool = False
    places: int = 0
    limits: tuple = ()
    traps: tuple = ()
    options: tuple = ()
    layout: str = ""
    parts: tuple = ()
    settings: tuple = ()
    trial: object = None
    points: tuple = ()
    x: str = ""
    y: str = ""
    y_range: tuple = ()
    features: tuple = ()
    steps: tuple = ()

    def texts(self):
        """All texts that a candidate sees and that may hold drawn values."""
        return (
            self.label,
            *(option.text for option in self.options),
            *(step["text"] for step in self.steps),
        )

    def ideas(self):
        """The wrong ideas behind the distractors."""
        return tuple(thing.idea for thing in (*self.options, *self.traps) if thing.idea)


def read_part(outer, item_kind, tolerance, table, names, marks):
    """Part from its table. `names`: what a key may take, drawn values and earlier fields.

    `marks`: used when the field does not say.
    """
    reader = TableReader(f"{outer.place}, field {table.get('name', '?')}")
    kind = reader.one_of(
        {"kind": "number" if item_kind == "waveform" else item_kind, **table}, "kind", _KEYS
    )
    reader.check_keys(
        table,
        {"name", "kind", "label", "marks", "tolerance"} | _KEYS[kind],
        f"key of a {kind} field",
    )
    if not isinstance(table.get("name"), str) or not NAME.fullmatch(table["name"]):
        raise reader.wrong(f"name has small letters, digits and _, got {table.get('name')!r}")
    common = {
        "name": table["name"],
        "kind": kind,
        "label": reader.text(table, "label"),
        "marks": reader.number({"marks": marks, **table}, "marks", 1, 60, whole=True),
        "tolerance": reader.one_of({"tolerance": tolerance, **table}, "tolerance", TOLERANCES),
    }
    if "key" in table:
        common["key"] = read_call(
            reader, "key", table["key"], names | {"points"} if kind == "sketch" else names
        )
    return Part(**common, **_READERS[kind](reader, table, names, common))


def _choice(reader, table, names, common):
    rows = reader.rows(table, "options", {"id", "text", "idea", "right"}, ("text",), shortest=3)
    options = tuple(
        Option(
            id=reader.text({"id": str(i), **row}, "id"),
            text=reader.text(row, "text"),
            idea=reader.text(row, "idea") if "idea" in row else "",
            right=reader.flag(row, "right"),
        )
        for i, row in enumerate(rows)
    )
    if len({option.id for option in options}) < len(options) or len(
        {option.text for option in options}
    ) < len(options):
        raise reader.wrong("options: two have the same id or the same text")
    if "key" in common:
        if any(option.right for option in options) or not all(option.idea for option in options):
            raise reader.wrong(
                "options: with a key none is marked right, and each says the idea behind it"
            )
    elif sum(option.right for option in options) != 1 or not all(
        option.idea for option in options if not option.right
    ):
        raise reader.wrong(
            "options: without a key exactly one is marked right = true, and every other one says"
            " the idea behind it"
        )
    return {"options": options}


def _number(reader, table, names, common):
    if "key" not in common:
        raise reader.wrong("key is missing: a number is always computed")
    limits = reader.numbers(table, "limits", 2, 2)
    traps = reader.rows(
        {"traps": [], **table}, "traps", {"key", "idea"}, ("key", "idea"), shortest=0
    )
    return {
        "unit": reader.one_of(table, "unit", UNITS),
        "unit_asked": reader.flag(table, "unit_asked"),
        "places": reader.number({"places": 0, **table}, "places", 0, 4, whole=True),
        "limits": limits,
        "traps": tuple(
            Trap(key=read_call(reader, "traps", row["key"], names), idea=reader.text(row, "idea"))
            for row in traps
        ),
    }


def _path(reader, table, names, common):
    _needs(reader, names, "mode", "start", "goal")
    return {"layout": reader.one_of(table, "layout", LAYOUTS)}


def _states(reader, table, names, common):
    _needs(reader, names, "mode")
    shown = layout(reader.one_of(table, "layout", LAYOUTS))
    parts = table.get("parts")
    movable = [key for key, part in shown.components.items() if part.positions]
    if (
        not isinstance(parts, list)
        or not parts
        or any(not isinstance(part, str) or part not in movable for part in parts)
    ):
        raise reader.wrong(
            f"parts must be a list of movable parts of layout {shown.key}: {', '.join(movable)};"
            f" got {parts!r}"
        )
    return {"layout": shown.key, "parts": tuple(parts)}


def _needs(reader, names, *wanted):
    for name in wanted:
        if name not in names:
            raise reader.wrong(f"draws must give {', '.join(wanted)}; {name} is missing")


def _tuning(reader, table, names, common):
    rows = reader.rows(
        table,
        "settings",
        {"name", "label", "unit", "low", "high"},
        ("name", "label", "unit", "low", "high"),
    )
    for row in rows:
        reader.one_of(row, "name", CONTROL_RANGES)
        reader.one_of(row, "unit", UNITS)
        reader.text(row, "label")
        low, high = CONTROL_RANGES[row["name"]]
        if not reader.number(row, "low", low, high) < reader.number(row, "high", low, high):
            raise reader.wrong(f"settings.{row['name']}: low must be below high")
    if "key" not in common:
        raise reader.wrong("key is missing: it gives the runs that judge the settings")
    if "trial" not in table:
        raise reader.wrong(
            "trial is missing: it gives the road on which a candidate may try the settings"
        )
    return {"settings": tuple(rows), "trial": read_call(reader, "trial", table["trial"], names)}


def _sketch(reader, table, names, common):
    if "key" not in common:
        raise reader.wrong("key is missing: the curve is always computed")
    points, y_range = reader.numbers(table, "points", 4, 12), reader.numbers(table, "y_range", 2, 2)
    features = reader.rows(
        table,
        "features",
        {"rule", "first", "last", "within", "marks", "words"},
        ("rule", "first", "last", "marks", "words"),
    )
    for row in features:
        reader.one_of(row, "rule", FEATURES)
        reader.text(row, "words")
        reader.number({"within": 0.1, **row}, "within", 0.01, 0.5)
        if reader.number(row, "first", 0, len(points) - 1, whole=True) > reader.number(
            row, "last", 0, len(points) - 1, whole=True
        ):
            raise reader.wrong("features: first must not lie behind last")
    if abs(sum(reader.number(row, "marks", 0.25, 20) for row in features) - common["marks"]) > 1e-9:
        raise reader.wrong("features: their marks must add up to those of the field")
    traps = reader.rows(
        {"traps": [], **table}, "traps", {"key", "idea"}, ("key", "idea"), shortest=0
    )
    return {
        "points": points,
        "x": reader.text(table, "x"),
        "y": reader.text(table, "y"),
        "y_range": y_range,
        "features": tuple(features),
        "traps": tuple(
            Trap(
                key=read_call(reader, "traps", row["key"], names | {"points"}),
                idea=reader.text(row, "idea"),
            )
            for row in traps
        ),
    }


def _case(reader, table, names, common):
    _needs(reader, names, "fault", "vehicle")
    return {}


def _checklist(reader, table, names, common):
    steps = reader.rows(table, "steps", {"id", "text", "marks", "gate"}, ("id", "text", "marks"))
    if len({reader.text(row, "id") for row in steps}) < len(steps):
        raise reader.wrong("steps: two have the same id")
    for row in steps:
        reader.flag(row, "gate")
        reader.text(row, "text")
    if sum(reader.number(row, "marks", 0, 20, whole=True) for row in steps) != common["marks"]:
        raise reader.wrong("steps: their marks must add up to those of the field")
    return {"steps": tuple(steps)}


_READERS = {
    "choice": _choice,
    "number": _number,
    "path": _path,
    "states": _states,
    "tuning": _tuning,
    "sketch": _sketch,
    "case": _case,
    "checklist": _checklist,
}
