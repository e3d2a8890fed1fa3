"""Sheets for blind second marking: each question as it was seen, the answer, the rules and the key,
without name and without first marks. One page for the screen and one for print.
"""

import csv
from pathlib import Path

import numpy as np

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.preview import behind, item_blocks, picture, what_counts
from tractionlab.assess.judge.answers import right_answer
from tractionlab.assess.judge.sketch import as_shown, sketched_values
from tractionlab.assess.markbook.case_line import fault_words, time_line
from tractionlab.assess.markbook.moderate import answers_of, sample, shown_answer
from tractionlab.assess.markbook.second_rules import case_rows, sketch_rows, tuning_rows
from tractionlab.assess.sitting.rule_sheet import sentences
from tractionlab.errors import UserError
from tractionlab.paint.blocks import Heading, Page, Picture, Rows, Text
from tractionlab.paint.document import Document
from tractionlab.paint.safety_words import safety_words
from tractionlab.view import Chart, Line


def sheets(book, folder):
    """Write the sheet of each candidate of the sample. Returns the paths.

    Beside them goes second_marks.csv, to be filled in and given to `markbook second --enter`.
    Practicals are not among them: who was not there cannot mark them.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    table, rows = folder / "second_marks.csv", []
    if table.exists():
        raise UserError(
            f"{table} is there already. Marks that were filled in are never written over: give"
            " another folder with --out."
        )
    written = []
    for number in sample(book):
        written += sheet(book, number).save(folder / f"second_{number}")
        rows += [[number, item, ""] for item in _asked(book)]
    with open(table, "x", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([["candidate", "item", "marks"], *rows])
    return [*written, table]


def _asked(book):
    return [name for name in book.sitting.paper["items"] if items()[name].kind != "checklist"]


def sheet(book, number):
    """Document for blind second marking of one candidate."""
    given, asked = answers_of(book, number), _asked(book)
    blocks = [
        Text(
            f"Candidate {number}. Mark each question by the rules and the key, from 0 to its most."
        ),
        Heading("The rules"),
        *(Text(rule) for rule in sentences({items()[name].kind for name in asked})),
    ]
    for place, name in enumerate(asked, 1):
        item, drawn = items()[name], book.sitting.variant(items()[name], number)
        blocks += [Page(), *item_blocks(place, item, drawn, answers=False)]
        blocks += _key_and_answer(item, drawn, given.get(name, {}))
        blocks.append(Text(f"My marks for {name}, of {item.marks}: ________", strong=True))
    blocks.append(safety_words())
    title = f"Blind second marking: {book.sitting.paper['title']}"
    return Document(title, blocks, f"{book.sitting.about}, candidate {number}")


def _key_and_answer(item, drawn, given):
    """Blocks with what is right beside what the candidate answered."""
    right, rules, rows, more = right_answer(item, drawn), what_counts(item, drawn), [], []
    for part, field in zip(item.fields, drawn.fields):
        value = given.get(part.name)
        if field.kind == "case" and value:
            told = tuple(time_line(drawn, field, value))
            more += [
                Text(f"The fault: {fault_words(drawn)}", strong=True),
                Rows("The case as it went", ("Time", "Step", "Readings"), told, (1.2, 5, 5)),
                *case_rows(drawn, field, value),
            ]
            continue
        if field.kind == "sketch":
            computed = part.key.run({**drawn.params, "points": part.points})
            curve = [as_shown(value) for value in computed]
            right[field.label] = shown_answer(field, curve)
            more.append(sketch_rows(part, curve))
        if field.kind == "tuning" and (demands := tuning_rows(drawn, part, value)):
            more.append(demands)
        label = field.label
        rows.append((label, right.get(label, ""), rules.get(label, ""), shown_answer(field, value)))
        drawn_by_hand = sketched_values(part, value) if field.kind == "sketch" else None
        if drawn_by_hand is not None:
            line = Line(label="the candidate's", x=np.array(part.points), y=np.array(drawn_by_hand))
            chart = Chart(title=label, x=field.x, y=field.y, y_range=field.y_range, lines=(line,))
            words = f"The candidate's curve, {label.lower()}"
            more.append(Picture(picture((chart,)), words))
    head = ("Question", "Right", "By the rules", "The candidate's answer")
    table = [Rows("Key and answer", head, tuple(rows), (3, 4, 3, 4))] if rows else []
    return [*table, *more, *behind(item, drawn)]
