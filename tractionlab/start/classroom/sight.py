"""The class in sight: what the learners' folders say now about where everybody is, read on as the
records grow. What a learner's code wrote there may be anything; it is counted or left out.
"""

import json
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from tractionlab.lesson.class_counts import CHECKED, asked, failures, first_answers, hints_used
from tractionlab.lesson.class_records import GrowingRecord, opened
from tractionlab.lesson.exercises import all_exercises
from tractionlab.lesson.questions import questions
from tractionlab.lesson.start import lessons
from tractionlab.start.classroom.whereabouts import PLACE
from tractionlab.start.opening import START_PAGE
from tractionlab.written.record import FILE_NAME

#: Folder in a learner's home where the course is.
COURSE = "tractionlab-course"
#: Whoever has moved nothing and answered nothing for so long may be stuck.
STILL = timedelta(minutes=10)
_LONGEST = 1000  #: bytes of the file with the whereabouts; a longer one is not the course's
_CARDS = ("prediction", *CHECKED)


class Seen(NamedTuple):
    """One learner now: readable `lines` of the record, number of the `lesson` in front (0 is the
    start page, None is none of the course), time of the last movement or None; how often a page was
    closed that flooded the server.
    """

    name: str
    lines: list
    lesson: int | None
    moved: datetime | None
    floods: int


class Sight:
    """Looks at the folders of all learners, again and again."""

    def __init__(self, learners):
        """`learners` is the folder with a home for each."""
        self._learners, self._records = Path(learners), {}

    def look(self):
        """All learners who have a folder, as Seen, in the order of the alphabet."""
        homes = sorted(home for home in self._learners.iterdir() if not home.is_symlink())
        return [self._seen(home) for home in homes if home.is_dir()]

    def _seen(self, home):
        course = home / COURSE
        lines = self._records.setdefault(home.name, GrowingRecord(course / FILE_NAME)).look()
        answered = _moment(lines[-1]["time"]) if lines else None
        here = lines[-1]["lesson"] if lines else None
        lesson, moved, floods = _noted(course) or (here, None, 0)
        times = [time for time in (answered, moved) if time]
        return Seen(home.name, lines, lesson, max(times, default=None), floods)

    def forget(self, name):
        """Let go of what was read of a learner."""
        self._records.pop(name, None)


def _noted(course):
    """(lesson, time of the last movement, floods) from a learner's folder, or None."""
    try:
        descriptor, _ = opened(course / PLACE)
        with open(descriptor, "rb") as file:
            said = json.loads(file.read(_LONGEST))
        floods = said.get("floods", 0)
        floods = floods if type(floods) is int and 0 < floods < 10**6 else 0
        return _numbers().get(said["notebook"]), _moment(said["moved"]), floods
    except (OSError, ValueError, RecursionError, KeyError, TypeError, AttributeError):
        return None


def _moment(text):
    """A time as the course writes it, with its zone; None for another text, and for one that lies
    ahead.
    """
    try:
        time = datetime.fromisoformat(text)
    except (ValueError, TypeError):
        return None
    return time if time.tzinfo and time < datetime.now(UTC) + timedelta(minutes=1) else None


@lru_cache(1)
def _numbers():
    known = {entry["notebook"]: entry["number"] for entry in lessons() if "notebook" in entry}
    return {START_PAGE: 0} | known


@lru_cache(1)
def _cards():
    """{lesson: names of its predictions, questions and exercises}."""
    found = {}
    for name, lesson in (
        *((name, entry["lesson"]) for name, entry in questions().items()),
        *((name, exercise.lesson) for name, exercise in all_exercises().items()),
    ):
        found.setdefault(lesson, set()).add(name)
    return found


def overview(seen, present, now, names):
    """What the instructor's page shows, as data for JSON.

    `seen` are all learners, `present` those whose server is at work, {name: when it was started},
    `now` the time; names are in it only if `names`.
    """
    rows = [_row(one, present.get(one.name), now) for one in seen]
    if names:
        rows = [{"name": one.name} | row for one, row in zip(seen, rows)]
    here = [row for row in rows if row["present"]]
    return {
        "learners": len(rows),
        "present": len(here),
        "still": sum(row["still"] for row in here),
        "hints": sum(row["hints"] for row in rows),
        "places": _places(here),
        "guesses": _guesses(seen),
        "failures": [one._asdict() | {"asked": asked(one.name)} for one in failures(seen)],
        # Without names in an order that does not tell them either.
        "rows": rows if names else sorted(rows, key=_in_lesson),
    }


def _in_lesson(row):
    return not row["present"], -1 if row["lesson"] is None else row["lesson"], row["done"]


def _row(one, started, now):
    mine = [line for line in one.lines if line["lesson"] == one.lesson]
    cards = _cards().get(one.lesson, set())
    last = next((line for line in reversed(mine) if line["kind"] in (*_CARDS, "help")), None)
    answered = {line["question"] for line in mine if line["kind"] in _CARDS}
    # Who has just signed in does not stand still since yesterday.
    moved = max((time for time in (one.moved, started) if time), default=None)
    minutes = max(0, int((now - moved).total_seconds() // 60)) if moved else None
    return {
        "present": started is not None,
        "lesson": one.lesson,
        "card": asked(last["question"]) if last else "",
        "done": len(cards & answered),
        "cards": len(cards),
        "minutes": minutes,
        "floods": one.floods,
        "still": started is not None and now - moved >= STILL,
        "hints": hints_used(one.lines),
    }


def _places(rows):
    titles = {0: "Start page"} | {entry["number"]: entry["title"] for entry in lessons()}
    counts = [(number, sum(row["lesson"] == number for row in rows)) for number in titles]
    found = [
        {"lesson": number, "title": titles[number], "count": count}
        for number, count in counts
        if count
    ]
    elsewhere = len(rows) - sum(count for _, count in counts)
    if elsewhere:
        found.append({"lesson": None, "title": "Elsewhere", "count": elsewhere})
    return found


def _guesses(seen):
    """Predictions that somebody wrote down, with how many did."""
    found = first_answers(seen, ("prediction",))
    return [
        {"name": name, "lesson": entry["lesson"], "asked": entry["ask"], "count": len(found[name])}
        for name, entry in questions().items()
        if name in found
    ]
