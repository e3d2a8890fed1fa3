"""Answers for tests: what a perfect candidate types, and an item made from a few lines of TOML."""

import tomllib
from pathlib import Path

from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.item import items, read_item
from tractionlab.assess.bank.shown import option_text
from tractionlab.catalogue import entries as catalogue
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import shortest_path
from tractionlab.workshop.reading import shown

FILE = Path("LO1.toml")


def item_from(text, outcome="LO1"):
    """Item from the TOML of its table, without head; the source S is known."""
    return read_item(FILE, outcome, f"{outcome[2:]}-test", tomllib.loads(text), {"S": "a test"})


def letter_of(item, variant, name, option_id):
    """Letter under which the variant shows an option."""
    part, field = next((p, f) for p, f in zip(item.fields, variant.fields) if p.name == name)
    words = option_text(
        next(option for option in part.options if option.id == option_id), item, variant.params
    )
    return next(letter for letter, shown in field.choices if shown == words)


def perfect(item, variant):
    """The right answer to every field, typed with a decimal comma; settings are the course's own.

    A case is left out.
    """
    right, answer, course = keys(item, variant.params), {}, catalogue.in_use().control_values()
    for part, field in zip(item.fields, variant.fields):
        if part.kind == "number":
            answer[part.name] = f"{right[part.name]:.6f}".replace(".", ",") + (
                f" {part.unit}" if part.unit_asked else ""
            )
        elif part.kind == "choice":
            answer[part.name] = letter_of(item, variant, part.name, right[part.name])
        elif part.kind == "path":
            way = shortest_path(
                layout(part.layout), variant.params["mode"], field.start, field.goal
            )
            answer[part.name] = list(way) if way else "none"
        elif part.kind == "states":
            answer[part.name] = {
                key: layout(part.layout).modes[variant.params["mode"]][key] for key in part.parts
            }
        elif part.kind == "sketch":
            answer[part.name] = right[part.name]
        elif part.kind == "tuning":
            answer[part.name] = {row["name"]: f"{course[row['name']]:g}" for row in part.settings}
        elif part.kind == "checklist":
            answer[part.name] = {step["id"]: "done" for step in part.steps}
    return answer


def perfect_rows(sitting, number, ids=None):
    """[(item, field, value)] of a candidate who has everything right: of the items `ids`, or of all
    that the paper asks at the desk.
    """
    if ids is None:
        ids = [name for name in sitting.paper["items"] if items()[name].kind != "checklist"]
    return [
        (name, field, value)
        for name in ids
        for field, value in perfect(items()[name], sitting.variant(items()[name], number)).items()
    ]


def last_reading(case, units=True):
    """The last number that was read in a repair case, as a technician writes it down; a careless
    one leaves its unit out.
    """
    readings = [
        reading
        for entry in case.log
        for reading in entry.get("readings", ())
        if isinstance(reading["value"], float) and reading["unit"] not in ("", "times")
    ]
    if not readings:
        return "nothing was read yet"
    last = readings[-1]
    return (
        f"{last['name']}: {shown(last['value'], last['unit'])}" if units else f"{last['value']:.2f}"
    )


def of_kind(kind):
    """The first item of a kind."""
    return next(item for item in items().values() if item.kind == kind)
