"""The learner's own file `my_record.jsonl`: what was answered, when, with how much help.

Lines are only ever added.
"""

import json
import secrets
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path

from tractionlab.written.line_file import append

FILE_NAME = "my_record.jsonl"
#: Folder beside the lessons in which a learner's practice papers stand, one folder each.
PAPERS = "my_papers"
#: What every line must say, with its type; a line without these is left in the file and not used.
_FIELDS = {"time": str, "kind": str, "lesson": int, "question": str, "answer": str}

_MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()


class Record:
    """The learner's file in `folder`. Nothing here raises for a damaged or read-only file: `note`
    says what is wrong.

    Lines have: time (UTC, ISO 8601), kind (key, prediction, came_out, look_back, parts, question,
    exercise, new_numbers, case, run, run_removed), lesson, question, answer, for a prediction that
    was drawn drawn (list of numbers and None), and for checked answers right (bool), hints (int),
    draw (int) and counts (bool: shown without the working). Of a run `question` is the panel and
    `answer` what panels/kept.py keeps."""

    def __init__(self, folder):
        self.path = Path(folder) / FILE_NAME
        self.note = ""
        self.heard = []  #: functions that are called after each new line
        self._kept = []
        self._fallback_key = secrets.token_hex(8)

    def lines(self):
        """All readable lines as dicts, oldest first; damaged ones are counted in `note` and stay in
        the file.
        """
        try:
            raw = self.path.read_bytes()
        except FileNotFoundError:
            raw = b""
        except OSError as error:
            self.note = (
                f"Your record {self.path.name} cannot be read ({error.strerror}). The lesson still"
                " works."
            )
            raw = b""
        found, damaged = read_lines(raw)
        if damaged:
            self.note = (
                f"{damaged} damaged line{'s' if damaged > 1 else ''} in {self.path.name} "
                "could not be read and stayed as found. All other answers are there."
            )
        return found + self._kept

    def key(self):
        """The learner's random key (16 hex digits): the numbers of the exercises follow from it."""
        keys = (line["answer"] for line in self.lines() if line["kind"] == "key")
        return next(keys, self._fallback_key)

    def add(self, kind, lesson, question, answer, **more):
        """Append one line; the first one also stores the learner's key.

        If the file cannot be written, keep it in memory.
        """
        new = [_entry(kind, lesson, question, answer, more)]
        if not any(line["kind"] == "key" for line in self.lines()):
            new.insert(0, _entry("key", 0, "", self._fallback_key, {}))
        try:
            append(
                self.path,
                "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in new).encode(
                    "utf-8"
                ),
            )
            if len(new) > 1:
                self._fallback_key = secrets.token_hex(
                    8
                )  # for whoever comes after this record has been put aside
        except OSError as error:
            self._kept += new
            self.note = (
                f"Your answers cannot be saved in {self.path.parent} ({error.strerror}). "
                "The lesson still works, but this answer is gone when you close it."
            )
        for tell in self.heard:
            tell()

    def last(self, question, kind):
        """The newest line of this kind for a question, or None."""
        return next(
            (
                line
                for line in reversed(self.lines())
                if line["question"] == question and line["kind"] == kind
            ),
            None,
        )


def today():
    """Date in UTC, as the lines have it."""
    return datetime.now(UTC).date().isoformat()


def day_of(line):
    """The day of a line where the learner lives, in words: "29 Nov"."""
    try:
        day = datetime.fromisoformat(line["time"]).astimezone()
    except (ValueError, OverflowError):
        return "an earlier day"
    return f"{day.day} {_MONTHS[day.month - 1]}"


def _entry(kind, lesson, question, answer, more):
    now = datetime.now(UTC).isoformat(timespec="seconds")
    return {
        "time": now,
        "kind": kind,
        "lesson": lesson,
        "question": question,
        "answer": str(answer),
        **more,
    }


def read_lines(raw):
    """(readable lines of a record's bytes as dicts, number of damaged ones)."""
    found = [_line(piece) for piece in raw.split(b"\n") if piece.strip()]
    return [line for line in found if line is not None], found.count(None)


def _line(piece):
    try:
        line = json.loads(piece.decode("utf-8"))
    except (ValueError, RecursionError):
        return None
    good = isinstance(line, dict) and all(
        type(line.get(name)) is kind for name, kind in _FIELDS.items()
    )
    return line if good else None


STATES = ("not tried", "tried", "shown once", "shown twice")


def progress(lines, shown_by):
    """How far an outcome is that the questions in `shown_by` show: one of STATES.

    An exercise shows it once per set of numbers, any other question once per day.
    """
    mine = [
        line
        for line in lines
        if line["question"] in shown_by and line["kind"] in ("question", "exercise")
    ]
    shown = {
        (line["question"], line.get("draw", line["time"][:10]))
        for line in mine
        if line.get("counts") is True
    }
    return STATES[min(len(shown), 2) + 1] if mine else STATES[0]


@lru_cache(1)
def _record_of(folder):
    return Record(folder)


def my_record():
    """The record in the working folder."""
    return _record_of(Path.cwd())
