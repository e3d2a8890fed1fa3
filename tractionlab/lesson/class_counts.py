"""What a class did, counted from its records: where learners are, what they guessed, and what most
got wrong at the first answer.
"""

import math
from collections import Counter
from typing import NamedTuple

from tractionlab.lesson.exercises import all_exercises
from tractionlab.lesson.questions import questions
from tractionlab.written.numbers import Unreadable, convert, read

#: Kinds of lines that are answers of which one is right.
CHECKED = ("question", "exercise")


def first_answers(learners, kinds):
    """{question: first answer of each learner as a line}."""
    found = {}
    for one in learners:
        mine = {}
        for line in one.lines:
            if line["kind"] in kinds:
                mine.setdefault(line["question"], line)
        for name, line in mine.items():
            found.setdefault(name, []).append(line)
    return found


def option_counts(entry, answers):
    """(number of answers for each option in the order of the file, answers that are none)."""
    counts = Counter(answers)
    known = [counts.pop(str(number), 0) for number in range(1, len(entry["options"]) + 1)]
    return known, counts.total()


def numbers_given(entry, answers):
    """Guessed numbers in the prediction's unit; answers that are no such number are left out."""
    values, unit = [], entry["unit"]
    for answer in answers:
        try:
            reading = read(answer)
            value = convert(reading.number, reading.unit or unit, unit)
        except Unreadable:
            continue
        if value is not None and math.isfinite(value):
            values.append(value)
    return values


class Failure(NamedTuple):
    """A question or exercise: learners whose first answer was wrong, all who answered, and the
    hints used before.
    """

    name: str
    lesson: int
    wrong: int
    all: int
    hints: int


def failures(learners):
    """Failures that somebody had, the greatest share first."""
    found = [
        Failure(
            name,
            lines[0]["lesson"],
            sum(line.get("right") is not True for line in lines),
            len(lines),
            sum(line.get("hints", 0) for line in lines),
        )
        for name, lines in first_answers(learners, CHECKED).items()
    ]
    found = [one for one in found if one.wrong]
    return sorted(found, key=lambda one: (-one.wrong / one.all, -one.wrong, one.name))


def asked(name):
    """What a question or an exercise is about, in at most 90 letters."""
    if name in questions():
        return questions()[name]["ask"][:90]
    known = all_exercises().get(name)
    return f"exercise {name}{f', {known.title}' if known else ''}"[:90]


def hints_used(lines):
    """How often a learner opened a hint."""
    return sum(line["kind"] == "help" and "hint" in line["answer"] for line in lines)
