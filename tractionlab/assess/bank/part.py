"""What an item asks: its fields with labels, units, marks, keys and distractors.

Reads and checks one field of the bank.
"""

import re
from dataclasses import dataclass

from tractionlab.assess.bank.call import read_call
from tractionlab.catalogue.checked import Fault, check_keys
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
    """One answer to choose: its id, its words, the idea that makes it wrong ("" for the right one)."""

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
    fault = Fault(f"{outer.place}, field {table.get('name', '?')}")
    kind = fault.one_of(
        {"kind": "number" if item_kind == "waveform" else item_kind, **table}, "kind", _KEYS
    )
    check_keys(
        fault,
        table,
        {"name", "kind", "label", "marks", "tolerance"} | _KEYS[kind],
        f"key of a {kind} field",
    )
    if not isinstance(table.get("name"), str) or not NAME.fullmatch(table["name"]):
        raise fault(f"name has small letters, digits and _, got {table.get('name')!r}")
    common = {
        "name": table["name"],
        "kind": kind,
        "label": fault.text(table, "label"),
        "marks": fault.number({"marks": marks, **table}, "marks", 1, 60, whole=True),
        "tolerance": fault.one_of({"tolerance": tolerance, **table}, "tolerance", TOLERANCES),
    }
    if "key" in table:
        common["key"] = read_call(
            fault, "key", table["key"], names | {"points"} if kind == "sketch" else names
        )
    return Part(**common, **_READERS[kind](fault, table, names, common))


def _choice(fault, table, names, common):
    rows = fault.rows(table, "options", {"id", "text", "idea", "right"}, ("text",), least=3)
    options = tuple(
        Option(
            id=fault.text({"id": str(i), **row}, "id"),
            text=fault.text(row, "text"),
            idea=fault.text(row, "idea") if "idea" in row else "",
            right=fault.flag(row, "right"),
        )
        for i, row in enumerate(rows)
    )
    if len({option.id for option in options}) < len(options) or len(
        {option.text for option in options}
    ) < len(options):
        raise fault("options: two have the same id or the same text")
    if "key" in common:
        if any(option.right for option in options) or not all(option.idea for option in options):
            raise fault(
                "options: with a key none is marked right, and each says the idea behind it"
            )
    elif sum(option.right for option in options) != 1 or not all(
        option.idea for option in options if not option.right
    ):
        raise fault(
            "options: without a key exactly one is marked right = true, and every other one says"
            " the idea behind it"
        )
    return {"options": options}


def _number(fault, table, names, common):
    if "key" not in common:
        raise fault("key is missing: a number is always computed")
    limits = fault.numbers(table, "limits", 2, 2)
    traps = fault.rows({"traps": [], **table}, "traps", {"key", "idea"}, ("key", "idea"), least=0)
    return {
        "unit": fault.one_of(table, "unit", UNITS),
        "unit_asked": fault.flag(table, "unit_asked"),
        "places": fault.number({"places": 0, **table}, "places", 0, 4, whole=True),
        "limits": limits,
        "traps": tuple(
            Trap(key=read_call(fault, "traps", row["key"], names), idea=fault.text(row, "idea"))
            for row in traps
        ),
    }


def _path(fault, table, names, common):
    _needs(fault, names, "mode", "start", "goal")
    return {"layout": fault.one_of(table, "layout", LAYOUTS)}


def _states(fault, table, names, common):
    _needs(fault, names, "mode")
    shown = layout(fault.one_of(table, "layout", LAYOUTS))
    parts = table.get("parts")
    movable = [key for key, part in shown.components.items() if part.positions]
    if (
        not isinstance(parts, list)
        or not parts
        or any(not isinstance(part, str) or part not in movable for part in parts)
    ):
        raise fault(
            f"parts must be a list of movable parts of layout {shown.key}: {', '.join(movable)};"
            f" got {parts!r}"
        )
    return {"layout": shown.key, "parts": tuple(parts)}


def _needs(fault, names, *wanted):
    for name in wanted:
        if name not in names:
            raise fault(f"draws must give {', '.join(wanted)}; {name} is missing")


def _tuning(fault, table, names, common):
    from tractionlab.catalogue.entries import CONTROL_RANGES

    rows = fault.rows(
        table,
        "settings",
        {"name", "label", "unit", "low", "high"},
        ("name", "label", "unit", "low", "high"),
    )
    for row in rows:
        fault.one_of(row, "name", CONTROL_RANGES)
        fault.one_of(row, "unit", UNITS)
        fault.text(row, "label")
        low, high = CONTROL_RANGES[row["name"]]
        if not fault.number(row, "low", low, high) < fault.number(row, "high", low, high):
            raise fault(f"settings.{row['name']}: low must be below high")
    if "key" not in common:
        raise fault("key is missing: it gives the runs that judge the settings")
    if "trial" not in table:
        raise fault("trial is missing: it gives the road on which a candidate may try the settings")
    return {"settings": tuple(rows), "trial": read_call(fault, "trial", table["trial"], names)}


def _sketch(fault, table, names, common):
    if "key" not in common:
        raise fault("key is missing: the curve is always computed")
    points, y_range = fault.numbers(table, "points", 4, 12), fault.numbers(table, "y_range", 2, 2)
    features = fault.rows(
        table,
        "features",
        {"rule", "first", "last", "within", "marks", "words"},
        ("rule", "first", "last", "marks", "words"),
    )
    for row in features:
        fault.one_of(row, "rule", FEATURES)
        fault.text(row, "words")
        fault.number({"within": 0.1, **row}, "within", 0.01, 0.5)
        if fault.number(row, "first", 0, len(points) - 1, whole=True) > fault.number(
            row, "last", 0, len(points) - 1, whole=True
        ):
            raise fault("features: first must not lie behind last")
    if abs(sum(fault.number(row, "marks", 0.25, 20) for row in features) - common["marks"]) > 1e-9:
        raise fault("features: their marks must add up to those of the field")
    traps = fault.rows({"traps": [], **table}, "traps", {"key", "idea"}, ("key", "idea"), least=0)
    return {
        "points": points,
        "x": fault.text(table, "x"),
        "y": fault.text(table, "y"),
        "y_range": y_range,
        "features": tuple(features),
        "traps": tuple(
            Trap(
                key=read_call(fault, "traps", row["key"], names | {"points"}),
                idea=fault.text(row, "idea"),
            )
            for row in traps
        ),
    }


def _case(fault, table, names, common):
    _needs(fault, names, "fault", "vehicle")
    return {}


def _checklist(fault, table, names, common):
    steps = fault.rows(table, "steps", {"id", "text", "marks", "gate"}, ("id", "text", "marks"))
    if len({fault.text(row, "id") for row in steps}) < len(steps):
        raise fault("steps: two have the same id")
    for row in steps:
        fault.flag(row, "gate")
        fault.text(row, "text")
    if sum(fault.number(row, "marks", 0, 20, whole=True) for row in steps) != common["marks"]:
        raise fault("steps: their marks must add up to those of the field")
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
