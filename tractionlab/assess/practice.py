"""Feedback at once for a learner who practises: what an answer would get, why, and the right answer."""
from tractionlab.assess.case_log import open_answer
from tractionlab.assess.draw import variant
from tractionlab.assess.item import items
from tractionlab.assess.judge import judge, right_answer
from tractionlab.errors import UserError
from tractionlab.lesson.numbers import Unreadable, convert, read


def drawn_again(sheet, name):
    """(item, variant) of a practice sheet; UserError if the item has changed since."""
    issued = next(one for one in sheet["items"] if one["id"] == name)
    if name not in items() or items()[name].version != issued["version"]:
        raise UserError("This question has changed since your paper was drawn. Draw a new paper.")
    return items()[name], variant(items()[name], sheet["practice"]["key"], sheet["candidate"], turn=sheet["practice"]["turn"])


def marks(sheet, name, answer):
    """Marks for the answer to one item of a practice sheet."""
    item, drawn = drawn_again(sheet, name)
    return judge(item, drawn, open_answer(drawn, answer)).marks


def feedback(sheet, name, answer):
    """Lines of text for the answer to one item of a practice sheet."""
    item, drawn = drawn_again(sheet, name)
    if impossible := [f"{part.label}: check the size. No real value is so large or so small." for part in item.fields if _is_impossible(part, answer.get(part.name))]:
        return impossible
    found = judge(item, drawn, open_answer(drawn, answer))
    lines = [f"{found.marks:g} of {found.out_of} marks.", *found.reasons]
    if answer and found.marks < found.out_of:
        lines += [f"Right answer, {label}: {words}." for label, words in right_answer(item, drawn).items()]
    return lines


def _is_impossible(part, text):
    """True if a typed number lies outside what its field can ever be."""
    if part.kind != "number" or not isinstance(text, str):
        return False
    try:
        reading = read(text)
    except Unreadable:
        return False
    value = convert(reading.number, reading.unit or part.unit, part.unit)
    return value is not None and not part.limits[0] <= value <= part.limits[1]
