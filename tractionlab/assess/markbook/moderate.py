"""Moderation: whom a second person looks at and why, what second marks say, and how far the two
agree.
"""

import csv
import hashlib
import json
from pathlib import Path

import sqlalchemy as sa

from tractionlab.assess.answers.line import now
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.answers.worked import late_work
from tractionlab.assess.judge.sketch import as_shown
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.history import Entry, note
from tractionlab.errors import UserError

#: At least this share of the records, and at least this many.
SHARE, LEAST = 0.20, 6
#: A total so near to a line (in per cent of all marks) is a border case.
BORDER = 5.0
#: A difference of more than this many points is talked over, and the rule is looked at before the
#: mark.
TALK_OVER = 5.0


def sample(book):
    """{number: [reasons]} of the records for a second person: border cases, failed safety gates,
    appeals, held files, then chosen by lot.

    The lot is drawn from the sitting key, so that anybody gets the same sample and nobody can
    choose it."""
    chosen = {}
    lines = [
        book.sitting.paper["rules"].get("overall_percent", 60.0),
        *(least for _, least in book.sitting.paper["rules"].get("grades", [])),
    ]
    appeals = {row.candidate for row in book.changes() if row.kind == "appeal"}
    for number, found in book.results.items():
        why = []
        near = [line for line in lines if abs(found.percent - line) <= BORDER]
        if near:
            why.append(f"{found.percent:.1f} % is within {BORDER:g} of the line at {near[0]:g} %")
        if not found.safe:
            why.append("a safety gate was failed")
        if number in appeals:
            why.append("appeal")
        if book.status(number) == "held":
            why.append("a file is held")
        if why:
            chosen[number] = why
    wanted = max(LEAST, -(-len(book.results) * SHARE // 1))
    lot = sorted(
        book.results,
        key=lambda number: hashlib.sha256(f"{book.sitting.key} lot {number}".encode()).digest(),
    )
    by_lot = [number for number in lot if number not in chosen]
    for number in by_lot[: max(0, int(wanted) - len(chosen))]:
        chosen[number] = ["by lot"]
    return {number: chosen[number] for number in book.results if number in chosen}


def answers_of(book, number):
    """{item: {field: value}} that counted for a candidate; {} without evidence."""
    record = book.records.get(number)
    content = book.evidence(record.digest) if record else b""
    if not content:
        return {}
    sheet = book.sitting.sheet(number)
    reading = read_answers(content, sheet)
    return reading.answers(late_work(reading, sheet))


def shown_answer(field, value):
    """An answer as a person reads it."""
    if value is None or value == "":
        return "(no answer)"
    if field.kind == "choice":
        words = dict(field.choices).get(value, "") if isinstance(value, str) else ""
        return f"{value}  {words}".strip()
    if field.kind == "path" and isinstance(value, list):
        words = dict(field.choices)
        return " > ".join(
            str(words.get(place, place)) if isinstance(place, str) else str(place)
            for place in value
        )
    if field.kind == "sketch" and isinstance(value, list):
        return "; ".join(f"at {at:g}: {_short(one)}" for at, one in zip(field.points, value))
    if field.kind in ("states", "tuning") and isinstance(value, dict):
        words = dict(field.choices) if field.kind == "states" else {}
        words |= {row["name"]: row["label"] for row in getattr(field, "settings", None) or ()}
        return "; ".join(f"{words.get(name, name)}: {one}" for name, one in value.items())
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _short(value):
    return f"{as_shown(value):g}" if isinstance(value, float) else value


def enter(book, path, by):
    """Read second marks from a CSV file (candidate, item, marks; empty marks are passed over).

    Returns how many were entered.
    """
    if not 1 <= len(by.strip()) <= 80:
        raise UserError("--by must name the second marker")
    path = Path(path)
    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
        rows = list(csv.reader(lines, delimiter=";" if lines and ";" in lines[0] else ","))
    except FileNotFoundError:
        raise UserError(f"{path}: there is no such file") from None
    except (OSError, UnicodeDecodeError, csv.Error):
        raise UserError(
            f"{path} cannot be read as a CSV file with the columns candidate, item, marks"
        ) from None
    if not rows or [cell.strip() for cell in rows[0]] != ["candidate", "item", "marks"]:
        raise UserError(f"{path}, line 1: the columns must be candidate, item, marks")
    found = []
    for place, row in enumerate(rows[1:], 2):
        if len(row) != 3:
            raise UserError(f"{path}, line {place}: needs 3 cells, got {len(row)}")
        number, item, text = (cell.strip() for cell in row)
        if not text:
            continue
        number = _on_roll(book, number)
        most = book.item(number, item).out_of
        try:
            value = float(text.replace(",", "."))
        except ValueError:
            value = -1.0
        if not 0 <= value <= most:
            raise UserError(
                f"{path}, line {place}, marks: must be a number from 0 to {most:g}, got {text!r}"
            )
        found.append((number, item, value))
    with book.store.begin() as db:
        for number, item, value in found:
            mine = (
                (t.seconds.c.sitting == book.row.id)
                & (t.seconds.c.candidate == number)
                & (t.seconds.c.item == item)
                & (t.seconds.c.by == by)
            )
            db.execute(t.seconds.delete().where(mine))
            db.execute(
                t.seconds.insert().values(
                    sitting=book.row.id,
                    candidate=number,
                    item=item,
                    by=by,
                    marks=value,
                    time=now(),
                )
            )
            note(db, book.row.id, Entry("second", by, number, item, "", f"{value:g}"))
    return len(found)


def _on_roll(book, number):
    """The candidate's number; 7 stands for 007, as a spreadsheet writes it, where only one on the
    roll can be meant.
    """
    same = [known for known in book.roll if known.lstrip("0") == number.lstrip("0")]
    return same[0] if number not in book.roll and len(same) == 1 else book.candidate(number)


def compare(book):
    """[(candidate, second marker, items, first total, second total, [(item, first, second)] that
    differ)], largest difference first.
    """
    found = {}
    for row in book.store.rows(
        sa.select(t.seconds)
        .where(t.seconds.c.sitting == book.row.id)
        .order_by(t.seconds.c.candidate, t.seconds.c.item)
    ):
        first = book.marks.get(row.candidate, {}).get(row.item)
        if first is not None:
            found.setdefault((row.candidate, row.by), []).append((row.item, first.marks, row.marks))
    rows = [
        (
            number,
            by,
            len(pairs),
            sum(a for _, a, _ in pairs),
            sum(b for _, _, b in pairs),
            [pair for pair in pairs if abs(pair[1] - pair[2]) > 1e-9],
        )
        for (number, by), pairs in found.items()
    ]
    return sorted(rows, key=lambda row: -abs(row[3] - row[4]))
