"""Answers and times that raise a question.

A question is no verdict: every one of them has harmless explanations too.
"""

from collections import Counter
from contextlib import suppress
from dataclasses import dataclass
from itertools import combinations

from tractionlab.assess.answers.line import WORK, seconds
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.bank.answer_key import keys, tolerance
from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook.moderate import answers_of
from tractionlab.written.numbers import Unreadable, read

#: A pair is named from so many rare wrong answers in common on.
RARE_IN_COMMON = 3
#: A wrong answer is rare if at most this share of the candidates gave it (and never more than 3
#: besides the pair).
RARE = 0.10
#: An item answered in less than this share of its expert's time is quick.
QUICK = 0.15


@dataclass(frozen=True)
class Question:
    """Whom it concerns, what was seen, and what to ask."""

    candidates: tuple
    words: str


def questions(book):
    """All questions of a sitting, [Question]."""
    numbers = [number for number in book.results if book.records.get(number) is not None]
    given = {number: answers_of(book, number) for number in numbers}
    return [*_alike(book, given), *_other_numbers(book, given), *_times(book, numbers)]


def _alike(book, given):
    """Pairs who gave the same rare wrong answers: choices as words, numbers as typed."""
    wrong = {number: _wrong(book, number, answers) for number, answers in given.items()}
    how_many = Counter(answer for answers in wrong.values() for answer in answers)
    most = min(5, max(2, int(RARE * len(given))))
    holders = {}
    for number, answers in wrong.items():
        for answer in answers:
            if 2 <= how_many[answer] <= most:
                holders.setdefault(answer, []).append(number)
    pairs = Counter(
        pair for numbers in holders.values() for pair in combinations(sorted(numbers), 2)
    )
    for pair, common in sorted(pairs.items(), key=lambda entry: (-entry[1], entry[0])):
        if common >= RARE_IN_COMMON:
            yield Question(
                pair,
                f"gave {common} equal wrong answers that hardly anybody else gave. Did they sit"
                " side by side, or learn the same wrong idea together?",
            )


def _wrong(book, number, answers):
    """Wrong answers of a candidate as (item, field, text), in words that mean the same for every
    variant.
    """
    found = set()
    for item, fields in answers.items():
        row = book.marks[number].get(item)
        if row is None or row.marks >= row.out_of:
            continue
        drawn = book.sitting.variant(items()[item], number)
        for field in drawn.fields:
            value = fields.get(field.name)
            if field.kind == "choice" and isinstance(value, str) and value in dict(field.choices):
                found.add((item, field.name, dict(field.choices)[value]))
            elif field.kind == "number" and isinstance(value, str) and value.strip():
                found.add((item, field.name, value.strip().replace(",", ".")))
    return found


def _other_numbers(book, given):
    """Wrong numbers that are right for another candidate's numbers."""
    numeric = [
        items()[name]
        for name in book.sitting.paper["items"]
        if any(part.kind == "number" for part in items()[name].fields)
    ]
    right = {number: {item.id: _right(book, item, number) for item in numeric} for number in given}
    hits = Counter()
    for number, answers in given.items():
        for item in numeric:
            row, typed = book.marks[number].get(item.id), _typed(item, answers.get(item.id, {}))
            if (
                row is None
                or row.marks >= row.out_of
                or not typed
                or _hit(typed, right[number][item.id])
            ):
                continue
            hits.update(
                (number, other)
                for other in given
                if other != number and _hit(typed, right[other][item.id])
            )
    for (number, other), times in sorted(hits.items(), key=lambda entry: (-entry[1], entry[0])):
        if times >= RARE_IN_COMMON:
            yield Question(
                (number, other),
                f"{number} gave {times} wrong numbers that are right for the numbers of {other}."
                " Were sheets mixed up, or answers passed on?",
            )


def _right(book, item, number):
    """{field: (key, tolerance)} of a candidate's number fields."""
    values = keys(item, book.sitting.variant(item, number).params)
    return {
        part.name: (values[part.name], tolerance(part, values[part.name]))
        for part in item.fields
        if part.kind == "number"
    }


def _typed(item, fields):
    """{field: number} of what was typed and can be read."""
    found = {}
    for part in item.fields:
        if part.kind == "number" and isinstance(fields.get(part.name), str):
            with suppress(Unreadable):
                found[part.name] = read(fields[part.name]).number
    return found


def _hit(typed, right):
    return any(abs(value - right[name][0]) <= right[name][1] for name, value in typed.items())


def _times(book, numbers):
    """Work that went very quickly, clocks that went back, long gaps."""
    for number in numbers:
        content, sheet = book.evidence(book.records[number].digest), book.sitting.sheet(number)
        if not content:
            continue
        reading = read_answers(content, sheet)
        for finding in reading.findings:
            if finding.code == "clock_back":
                yield Question(
                    (number,),
                    f"{finding.words} Was the machine's clock set, or did it come back from sleep?",
                )
        spent = _spent(reading.lines)
        right = [
            item
            for item, time in spent.items()
            if item in book.marks[number]
            and book.marks[number][item].marks >= book.marks[number][item].out_of
            and time < QUICK * 60 * items()[item].minutes / 3
            and items()[item].kind != "choice"
        ]
        if len(right) >= RARE_IN_COMMON:
            yield Question(
                (number,),
                f"has {len(right)} items right in less than {QUICK:.0%} of an expert's time"
                f" ({', '.join(right[:6])}). Was it worked out on paper first and typed in at"
                " one go?",
            )


def _spent(lines):
    """{item: seconds between its first and last saved answer and the line before}."""
    spent = {}
    for before, line in zip(lines, lines[1:]):
        if line["kind"] in WORK:
            spent[line["item"]] = spent.get(line["item"], 0) + max(
                0, seconds(line["time"]) - seconds(before["time"])
            )
    return spent
