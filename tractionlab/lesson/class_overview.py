"""`tractionlab class overview FOLDER`: what a class did, counted from the learners' records, which
came by mail or stick or lie in the folder of a class server.
"""

import math
import re
from collections import Counter
from pathlib import Path
from statistics import median
from typing import NamedTuple

from tractionlab.errors import UserError
from tractionlab.lesson.ask import shown_unit
from tractionlab.lesson.exercises import all_exercises
from tractionlab.lesson.next_group import EARLIER
from tractionlab.lesson.questions import questions
from tractionlab.lesson.start import lessons
from tractionlab.written.numbers import Unreadable, convert, read
from tractionlab.written.record import FILE_NAME, read_lines

#: A larger file is no record: a year of lessons makes some hundred kilobytes.
LARGEST = 5_000_000


class Learner(NamedTuple):
    """One record: where it lies in the folder, and its readable lines in order."""

    name: str
    lines: list


def main(args):
    """Print the overview of the folder `args.overview`."""
    folder = Path(args.overview)
    if not folder.is_dir():
        raise UserError(f"{folder} is not a folder. Give the one that holds the learners' records.")
    learners, remarks = read_class(folder)
    if not learners:
        raise UserError(
            "\n".join([f"No record was found in {folder}: files that end in .jsonl.", *remarks])
        )
    print("\n".join(overview(learners, args.names)))
    if remarks:
        print("\nLooked at and not, or not wholly, counted:")
        print("\n".join(f"  {remark}" for remark in remarks))


def read_class(folder):
    """(Learners, remarks on files that are damaged or no record) of all `.jsonl` files below a
    folder. Of two records of one learner the longer one counts.
    """
    found, remarks = {}, []
    for path in sorted(folder.rglob("*.jsonl")):
        place = path.relative_to(folder)
        if EARLIER in place.parts:
            continue
        name, (lines, damaged, problem) = _plain(place), _read(path)
        if problem:
            remarks.append(f"{name}: {problem}")
            continue
        if damaged:
            remarks.append(f"{name}: {damaged} damaged of {damaged + len(lines)} lines left out")
        key = next((line["answer"] for line in lines if line["kind"] == "key"), name)
        if key in found:
            shorter, longer = sorted(
                [found[key], Learner(name, lines)], key=lambda one: len(one[1])
            )
            remarks.append(f"{shorter.name}: the same learner as {longer.name}, which has more")
            found[key] = longer
        else:
            found[key] = Learner(name, lines)
    return sorted(found.values()), remarks


def _read(path):
    """(lines, number of damaged ones, what is wrong with the file or an empty text)."""
    try:
        if path.is_symlink() or not path.is_file():
            return [], 0, "not an ordinary file"
        if path.stat().st_size > LARGEST:
            return [], 0, f"larger than {LARGEST // 1_000_000} MB, so no record"
        lines, damaged = read_lines(path.read_bytes())
    except OSError as error:
        return [], 0, f"cannot be read ({error.strerror})"
    known = [line for line in lines if _belongs(line)]
    if not known:
        return [], 0, "no line of a learner's record in it"
    return known, damaged + len(lines) - len(known), ""


def _belongs(line):
    """Could the course have written this line?"""
    hints = line.get("hints", 0)
    return (
        0 <= line["lesson"] <= len(lessons())
        and type(hints) is int
        and 0 <= hints <= 3
        and type(line.get("right", False)) is bool
        and (
            line["question"] in questions()
            if line["kind"] in ("prediction", "question")
            else line["kind"] != "exercise" or re.fullmatch(r"[\w.-]{1,80}", line["question"])
        )
    )


def _plain(path):
    """A path in words that a window prints as they are."""
    words = path.parent if path.name == FILE_NAME and path.parent.name else path
    return "".join(letter if letter.isprintable() else "?" for letter in str(words))


def overview(learners, names):
    """The lines to print; learners by name only if `names`."""
    yield f"{len(learners)} record{'s' if len(learners) != 1 else ''}"
    yield from _places(learners)
    yield from _guesses(learners)
    yield from _failures(learners)
    if names:
        yield from _people(learners)


def _places(learners):
    """How many learners worked last in which lesson."""
    yield "\nWhere learners are: the lesson of their last answer"
    last = Counter(one.lines[-1]["lesson"] for one in learners)
    for entry in lessons():
        if count := last[entry["number"]]:
            yield f"  {count:3}  lesson {entry['number']}, {entry['title']}"
    if last[0]:
        yield f"  {last[0]:3}  start page"


def _first_answers(learners, kinds):
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


def _guesses(learners):
    """What the class guessed before a panel opened."""
    found = _first_answers(learners, ("prediction",))
    for name in (name for name in questions() if name in found):
        entry, answers = questions()[name], [line["answer"] for line in found[name]]
        yield f"\nGuesses, lesson {entry['lesson']}: {entry['ask']}"
        yield from _options(entry, answers) if "options" in entry else _numbers(entry, answers)


def _options(entry, answers):
    counts = Counter(answers)
    for number, words in enumerate(entry["options"], 1):
        count = counts.pop(str(number), 0)
        yield f"  {count:3}  {'#' * count} {words}"
    if counts:
        yield f"  {counts.total():3}  none of these"


def _numbers(entry, answers):
    values, unit = [], entry["unit"]
    for answer in answers:
        try:
            reading = read(answer)
            value = convert(reading.number, reading.unit or unit, unit)
        except Unreadable:
            continue
        if value is not None and math.isfinite(value):
            values.append(value)
    if values:
        low, middle, high = min(values), median(values), max(values)
        words = f"from {low:g} to {high:g}, half of them below {middle:g}"
        yield f"  {len(values):3}  {words} {shown_unit(unit)}".rstrip()
    if len(values) < len(answers):
        yield f"  {len(answers) - len(values):3}  no number of this unit"


def _failures(learners):
    """Questions and exercises, those first that most learners got wrong at their first answer."""
    found = _first_answers(learners, ("question", "exercise"))
    shares = {}
    for name, lines in found.items():
        wrong = sum(line.get("right") is not True for line in lines)
        if wrong:
            shares[name] = (wrong / len(lines), wrong, lines)
    if shares:
        yield "\nWrong at the first answer, most first (wrong of all; hints used before it)"
    for name, (_, wrong, lines) in sorted(shares.items(), key=lambda one: (-one[1][0], one[0])):
        hints = sum(line.get("hints", 0) for line in lines)
        where = f"lesson {lines[0]['lesson']}: {_asked(name)}"
        yield f"  {wrong:3} of {len(lines):3}; {hints:2}  {where}"


def _asked(name):
    """What a question or an exercise is about, in at most 90 letters."""
    if name in questions():
        return questions()[name]["ask"][:90]
    known = all_exercises().get(name)
    return f"exercise {name}{f', {known.title}' if known else ''}"[:90]


def _people(learners):
    yield "\nEach learner: last lesson, time of the last answer (UTC), answers, hints"
    for one in learners:
        last = one.lines[-1]
        checked = [line for line in one.lines if line["kind"] in ("question", "exercise")]
        hints = sum(line["kind"] == "help" and "hint" in line["answer"] for line in one.lines)
        time = "".join(letter for letter in last["time"][:16] if letter.isprintable())
        yield f"  {one.name}: lesson {last['lesson']}, {time}, {len(checked)}, {hints}"
