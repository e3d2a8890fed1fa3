"""Phrases that several reports and words of `tractionlab markbook` use."""

from tractionlab.assess.answers.line import seconds
from tractionlab.assess.answers.reading import read_answers


def who(book, number):
    """Number and, unless it was deleted, name of a candidate."""
    return f"{number}, {book.roll[number]}" if book.roll[number] else number


def total(found):
    """(marks, per cent, grade) of a Result."""
    return (
        f"{found.got:g} of {found.out_of:g}",
        f"{found.percent:.1f}",
        found.grade + ("" if found.safe else ", safety gate failed"),
    )


def still_open(found):
    """How many items of a Result nobody has marked yet."""
    return f"{len(found.open)} item{'s' if len(found.open) > 1 else ''} not marked yet"


def two_places(value):
    """A figure with two decimals, "-" for nan."""
    return "-" if value != value else f"{value:.2f}"


def worked_from_to(book, number):
    """When a candidate started and handed in, by the clock of the place; "" without a file."""
    record = book.records.get(number)
    content = book.evidence(record.digest) if record else b""
    lines = read_answers(content, book.sitting.sheet(number)).lines if content else []
    if not lines:
        return ""
    first, last = (book.sitting.clock_of(seconds(lines[k]["time"])) for k in (0, -1))
    handed_in = lines[-1]["kind"] == "hand_in"
    end = f"handed in {last}" if handed_in else f"not handed in, last saved {last}"
    return f"started {first}, {end}"


def given_time(book, number):
    """The lost time that was given back to a candidate and the breaks that count, in words, or
    "".
    """
    lost, breaks = (book.minutes(number, what) for what in ("lost", "breaks"))
    words = [f"{lost} min of lost time given back"] * bool(lost)
    return ", ".join(words + [f"breaks of up to {breaks} min not counted as time"] * bool(breaks))


def agreement(compared, number):
    """How far a second marker agrees on a candidate, a sentence each; `compared`: rows of
    moderate.compare.
    """
    return [
        f"{by} marked {count} item{'s' if count > 1 else ''} once more: {second:g} against"
        f" {first:g} marks"
        + (f"; they differ in {', '.join(item for item, _, _ in differ)}." if differ else ".")
        for one, by, count, first, second, differ in compared
        if one == number
    ]
