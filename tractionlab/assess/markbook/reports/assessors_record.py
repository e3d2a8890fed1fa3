"""The assessor's record for signature: what was issued, what came in, every result, every
change.
"""

import json

from tractionlab.assess.markbook.joined import joined, resits
from tractionlab.assess.markbook.moderate import compare
from tractionlab.assess.markbook.record import BY_HAND
from tractionlab.assess.markbook.reports.phrases import (
    agreement,
    given_time,
    total,
    who,
    worked_from_to,
)
from tractionlab.paint.blocks import Heading, Rows, Signature, Text
from tractionlab.paint.document import Document
from tractionlab.paint.safety_words import safety_words


def record(book):
    """Document for signature: what was issued, what came in, every result, every change."""
    sitting = book.sitting
    rows = tuple(
        (
            who(book, number),
            _conditions(book, number),
            worked_from_to(book, number) or "-",
            _files(book, number),
            " / ".join(total(book.results[number])) if number in book.results else "no marks",
        )
        for number in book.roll
    )
    changes = tuple(
        (
            row.time[:16].replace("T", " "),
            row.by,
            row.kind,
            " ".join(filter(None, (row.candidate, row.item))),
            f"{_short(row.old)} > {_short(row.new)}" if row.old else _short(row.new),
            row.reason,
        )
        for row in book.changes()
    )
    versions = ", ".join(f"{name} v{version}" for name, version in sitting.versions.items())
    blocks = [
        Text(
            f"Sitting {sitting.id}. Paper {sitting.paper['id']}, {sitting.minutes:g} minutes. Date"
            f" and place: {', '.join(filter(None, (sitting.date, sitting.place)))}. Edition of the"
            f" course: {sitting.package}. Marks are {book.row.state}."
        ),
        Text(f"Items as issued: {versions}."),
        Rows(
            "Candidates",
            ("Candidate", "Conditions", "Clock", "Answer file", "Result"),
            rows,
            (2.4, 2, 2, 3.4, 3),
        ),
        *_with_resits(book),
        Rows(
            "History",
            ("Time (UTC)", "By", "What", "Whom", "Change", "Reason"),
            changes,
            (2.4, 1.6, 1.1, 2, 2, 3),
        ),
        Text(_by_whom(book)),
        *_rejected(book),
        Heading("Second marking"),
        *_second_marks(book),
        safety_words(),
        Signature("Assessor: name, date, signature"),
        Signature("Second marker or moderator: name, date, signature"),
    ]
    return Document(f"Assessor's record: {sitting.paper['title']}", blocks, sitting.about)


def _with_resits(book):
    """What first sitting and resits give together, if somebody sat one."""
    after, names = joined(book), ", ".join(one.row.id for one in resits(book))
    if not after:
        return []
    rows = tuple(
        (who(book, number), " / ".join(total(found)), "\n".join(found.lacking))
        for number, found in after.items()
    )
    return [
        Rows("With the resits", ("Candidate", "Result", "What is missing"), rows, (3, 3.4, 6)),
        Text(
            f"Resits: {names}. For each outcome the better try counts, its share applied to the"
            " marks of this paper."
        ),
    ]


def _by_whom(book):
    """Who set the marks: the course, but for those that persons set."""
    words = (
        "Each mark was worked out by the course from the answer file and the sitting key, and can"
        " be worked out again from both"
    )
    hand = {(row.candidate, row.item) for row in book.changes() if row.kind in BY_HAND}
    if not hand:
        return f"{words}."
    rows = [
        f"{number} {item}"
        for number in book.roll
        for item in book.marks.get(number, {})
        if (number, item) in hand
    ]
    shown = ", ".join(rows[:40]) + (f" and {len(rows) - 40} more" if len(rows) > 40 else "")
    return (
        f"{words}, but for {len(rows)} that persons entered or changed, see the history: {shown}."
    )


def _rejected(book):
    numbers = [number for number in book.roll if book.status(number) == "rejected"]
    return (
        [
            Text(
                "A person rejected the answer file, so that it gives no marks, of candidate "
                f"{', '.join(numbers)}: see the history."
            )
        ]
        if numbers
        else []
    )


def _conditions(book, number):
    one = book.sitting.candidates[number]
    words = [f"extra time {one['extra_percent']} %"] if one["extra_percent"] else []
    words += [given_time(book, number)] if given_time(book, number) else []
    return ", ".join(words + (["larger print"] if one["larger_print"] else [])) or "standard"


def _second_marks(book):
    """How far second markers agree, or that there are no second marks."""
    compared = compare(book)
    rows = [
        Text(f"{who(book, number)}: {words}")
        for number in book.roll
        for words in agreement(compared, number)
    ]
    return rows or [Text("No second marks were entered.")]


def _files(book, number):
    """The files of a candidate with what was found in them; of many of one kind the first and how
    many more.
    """
    found = {}
    for row in book.files(number):
        words = "".join(f" ({words})" for _, _, words in json.loads(row.findings))
        found.setdefault(row.status, []).append(f"{row.check_number} {row.status}{words}")
    return (
        "; ".join(words for status, rows in found.items() for words in _first(rows, status))
        or "none"
    )


def _first(rows, status, most=3):
    return rows[:most] + [f"{len(rows) - most} more {status}"] * (len(rows) > most)


def _short(text):
    return text if len(text) <= 14 else text[:8] + "..."
