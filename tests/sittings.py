"""Helpers for tests of sittings: small papers from the item bank, sittings without files, and
answer files as a candidate's desk writes them.
"""

from dataclasses import replace
from unittest import mock

from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers.line import make
from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import Paper
from tractionlab.assess.bank.rules import Rules
from tractionlab.assess.sitting import sitting as drawing
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.written.numbers import UNITS

START = "2026-03-02T09:00:00Z"


class Steps(list):
    """The log of a repair case as the desk stores it."""


def paper_of(ids, minutes=60, rules=None):
    """A paper of the items named."""
    return Paper(
        id="test-paper",
        title="Test paper",
        kind="mock",
        items=tuple(ids),
        minutes=minutes,
        rules=Rules(**rules or {}),
    )


def ids_of(*kinds, most=6):
    """The first items of the bank, spare ones left out, whose fields are all of these kinds."""
    return [
        item.id
        for item in items().values()
        if not item.spare and all(part.kind in kinds for part in item.fields)
    ][:most]


def sitting_of(ids, numbers, **more):
    """A Sitting for candidate numbers."""
    drawn = drawing.draw_sitting(
        paper_of(ids, **more),
        [Candidate(number, f"Person {number}") for number in numbers],
        day="2026-03-02",
    )
    return replace(drawn, ahead=0)


def long_sitting(ids, numbers, **more):
    """The same for a long roll, without drawing candidates against each other: that is the work of
    `paper issue`, and changes nothing for marking.
    """
    with mock.patch.object(drawing, "turns", lambda chosen, key, roll: dict.fromkeys(roll, 0)):
        return sitting_of(ids, numbers, **more)


def clock(second, day="2026-03-02"):
    """Time of a line, so many seconds after the start."""
    return f"{day}T{9 + second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}Z"


def lines_of(sitting, number, answers, hand_in=True):
    """Contents of the lines of an honest file, as (kind, entries): answers = [(item, field, value),
    ...], where a Steps is the log of a repair case.
    """
    lines = [
        (
            "start",
            {
                "format": answer_line.FORMAT,
                "sitting": sitting.id,
                "paper": sitting.paper["id"],
                "candidate": number,
            },
        )
    ]
    for item, field, value in answers:
        case = isinstance(value, Steps)
        lines += (
            [("case", {"item": item, "field": field, "entry": entry}) for entry in value]
            if case
            else [("answer", {"item": item, "field": field, "value": value})]
        )
    return lines + [("hand_in", {"own_work": True})] * hand_in


def written(lines, seal, step=20, day="2026-03-02"):
    """Bytes of an answer file with these lines, one every `step` seconds, chained from `seal`."""
    raw, last = [], seal
    for n, (kind, entries) in enumerate(lines):
        line, last = make(n, kind, last, time=clock(n * step, day), **entries)
        raw.append(line)
    return b"".join(raw)


def file_of(sitting, number, answers, hand_in=True, step=20):
    """Bytes of an honest answer file."""
    lines = lines_of(sitting, number, answers, hand_in)
    return written(lines, sitting.seal(number), step, sitting.date)


def right_answers(sitting, number):
    """[(item, field, value)] with the keys of all choice and number fields."""
    found = []
    for name in sitting.paper["items"]:
        item = items()[name]
        drawn = sitting.variant(item, number)
        right = keys(item, drawn.params)
        for part, field in zip(item.fields, drawn.fields):
            found.append(
                (
                    name,
                    part.name,
                    (
                        letter_of(item, drawn, field, right[part.name])
                        if part.kind == "choice"
                        else typed(part, right[part.name])
                    ),
                )
            )
    return found


def letter_of(item, drawn, field, option_id):
    """Letter under which a candidate sees an option."""
    from tractionlab.assess.bank.shown import option_text

    part = next(part for part in item.fields if part.name == field.name)
    words = option_text(
        next(option for option in part.options if option.id == option_id), item, drawn.params
    )
    return next(letter for letter, shown in field.choices if shown == words)


def typed(part, value):
    """A number as a careful candidate types it, with its unit where that is asked."""
    assert part.unit in UNITS
    return f"{value:.6g}" + (f" {part.unit}" if part.unit_asked else "")
