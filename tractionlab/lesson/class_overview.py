"""`tractionlab class overview FOLDER`: what a class did, counted from the learners' records, which
came by mail or stick or lie in the folder of a class server.
"""

from collections import Counter
from pathlib import Path
from statistics import median

from tractionlab.errors import UserError
from tractionlab.lesson.ask import shown_unit
from tractionlab.lesson.class_counts import (
    CHECKED,
    asked,
    failures,
    first_answers,
    hints_used,
    numbers_given,
    option_counts,
)
from tractionlab.lesson.class_records import read_class
from tractionlab.lesson.questions import questions
from tractionlab.lesson.start import lessons


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


def _guesses(learners):
    """What the class guessed before a panel opened."""
    found = first_answers(learners, ("prediction",))
    for name in (name for name in questions() if name in found):
        entry, answers = questions()[name], [line["answer"] for line in found[name]]
        yield f"\nGuesses, lesson {entry['lesson']}: {entry['ask']}"
        yield from _options(entry, answers) if "options" in entry else _numbers(entry, answers)


def _options(entry, answers):
    counts, others = option_counts(entry, answers)
    for words, count in zip(entry["options"], counts):
        yield f"  {count:3}  {'#' * count} {words}"
    if others:
        yield f"  {others:3}  none of these"


def _numbers(entry, answers):
    values, unit = numbers_given(entry, answers), entry["unit"]
    if values:
        low, middle, high = min(values), median(values), max(values)
        words = f"from {low:g} to {high:g}, half of them below {middle:g}"
        yield f"  {len(values):3}  {words} {shown_unit(unit)}".rstrip()
    if len(values) < len(answers):
        yield f"  {len(answers) - len(values):3}  no number of this unit"


def _failures(learners):
    """Questions and exercises, those first that most learners got wrong at their first answer."""
    found = failures(learners)
    if found:
        yield "\nWrong at the first answer, most first (wrong of all; hints used before it)"
    for one in found:
        where = f"lesson {one.lesson}: {asked(one.name)}"
        yield f"  {one.wrong:3} of {one.all:3}; {one.hints:2}  {where}"


def _people(learners):
    yield "\nEach learner: last lesson, time of the last answer (UTC), answers, hints"
    for one in learners:
        last = one.lines[-1]
        checked = [line for line in one.lines if line["kind"] in CHECKED]
        time = "".join(letter for letter in last["time"][:16] if letter.isprintable())
        hints = hints_used(one.lines)
        yield f"  {one.name}: lesson {last['lesson']}, {time}, {len(checked)}, {hints}"
