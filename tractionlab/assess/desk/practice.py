"""Feedback at once for a learner who practises: what an answer would get, why, and the right
answer.
"""

import numpy as np

from tractionlab.assess.answers.case_log import open_answer
from tractionlab.assess.bank.draw import variant
from tractionlab.assess.bank.item import ONE_ANSWER, items
from tractionlab.assess.bank.own_car import with_numbers
from tractionlab.assess.judge.answers import judge, right_answer
from tractionlab.assess.judge.sketch import sketched_values
from tractionlab.errors import UserError
from tractionlab.view import Chart, Line
from tractionlab.written.numbers import Unreadable, convert, read


def drawn_again(sheet, name):
    """(item, variant) of a practice sheet; UserError if the item has changed since."""
    issued = next(one for one in sheet["items"] if one["id"] == name)
    if name not in items() or items()[name].version != issued["version"]:
        raise UserError("This question has changed since your paper was drawn. Draw a new paper.")
    item = with_numbers(items()[name], sheet["practice"].get("numbers", {}))
    return item, variant(
        item, sheet["practice"]["key"], sheet["candidate"], turn=sheet["practice"]["turn"]
    )


def marks(sheet, name, answer):
    """Marks for the answer to one item of a practice sheet."""
    item, drawn = drawn_again(sheet, name)
    return judge(item, drawn, open_answer(drawn, answer)).marks


def feedback(sheet, name, answer):
    """Lines of text for the answer to one item of a practice sheet.

    A number that cannot be read, or cannot be meant, only says so: there is another try.
    """
    item, drawn = drawn_again(sheet, name)
    if typing := [
        f"{field.label}: {words}"
        for part, field in zip(item.fields, drawn.fields)
        if (words := _typing(part, answer.get(part.name)))
    ]:
        return typing
    if not answer:
        return ["No answer yet: answer first, then check it."]
    found = judge(item, drawn, open_answer(drawn, answer))
    lines = [f"{found.marks:g} of {found.out_of} marks.", *found.reasons]
    if found.marks < found.out_of:
        lines += [
            f"Right answer{'' if label == ONE_ANSWER else f', {label}'}: {words}."
            for label, words in right_answer(item, drawn).items()
        ]
    return lines


def right_curves(sheet, name, answer):
    """Charts of the computed curves beside the sketched ones, () unless every sketch of the item is
    whole: drawn after the answer, never before.
    """
    item, drawn = drawn_again(sheet, name)
    charts = []
    for part, field in (
        (part, field) for part, field in zip(item.fields, drawn.fields) if part.kind == "sketch"
    ):
        sketched = sketched_values(part, answer.get(part.name))
        if sketched is None:
            return ()
        x, lines = (
            np.array(part.points),
            (
                ("computed", part.key.run({**drawn.params, "points": part.points}), 0),
                ("yours", sketched, 1),
            ),
        )
        charts.append(
            Chart(
                title=field.label,
                x=field.x,
                y=field.y,
                y_range=field.y_range,
                lines=tuple(
                    Line(label=label, x=x, y=np.array(values), style=style)
                    for label, values, style in lines
                ),
            )
        )
    return tuple(charts)


def _typing(part, text):
    """What is wrong with the form or the size of a typed number, or ""."""
    if part.kind != "number" or not isinstance(text, str) or not text.strip():
        return ""
    try:
        reading = read(text)
    except Unreadable as problem:
        return str(problem)
    value = convert(reading.number, reading.unit or part.unit, part.unit)
    return (
        ""
        if value is None or part.limits[0] <= value <= part.limits[1]
        else "check the size. No real value is so large or so small."
    )
