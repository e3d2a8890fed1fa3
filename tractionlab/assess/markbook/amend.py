"""What persons do to single marks: change them, and enter an observed practical.

Nothing is ever written over without its history.
"""

from typing import NamedTuple

from tractionlab.assess.bank.item import items
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.history import Entry, note
from tractionlab.errors import UserError


def check_words(args):
    """Raise UserError if a name or reason that a command asks for is empty or endless."""
    for name in ("by", "reason"):
        text = getattr(args, name, None)
        if text is not None and not 1 <= len(text.strip()) <= 500:
            raise UserError(f"--{name} must say something, in at most 500 characters")


def change(book, number, item, text, by, reason):
    """Set the marks of an item; returns (old, new), old None where there were none, as for answers
    on paper.
    """
    book.must_be_open()
    row = _row(book, book.candidate(number), item)
    try:
        new = float(text.strip().replace(",", "."))
    except ValueError:
        new = -1.0
    if not 0 <= new <= row.out_of:
        raise UserError(f"marks for {item} must be a number from 0 to {row.out_of:g}, got {text!r}")
    new = round(new, 2)
    reasons = t.as_text([f"Set by {by.strip()}, reason: {reason.strip()}"])
    old = "" if row.marks is None else f"{row.marks:g}"
    with book.store.begin() as db:
        _put(db, book, number, row._replace(marks=new, reasons=reasons))
        note(db, book.row.id, Entry("mark", by, number, item, old, f"{new:g}", reason))
    return row.marks, new


class _Row(NamedTuple):
    item: str
    outcome: str
    marks: float | None
    out_of: float
    reasons: str
    gate: int
    exact: int


def _row(book, number, item):
    """What the markbook has for an item of a candidate; marks None if there are none yet, as for
    answers on paper. UserError if the item cannot be marked so.
    """
    if item not in book.sitting.paper["items"]:
        book.item(number, item)
    found, entry = book.marks.get(number, {}).get(item), items()[item]
    if found is not None:
        return _Row(*(getattr(found, name) for name in _Row._fields))
    if entry.kind == "checklist":
        raise UserError(f"{item} is an observed practical: enter its steps (markbook observe)")
    return _Row(item, entry.outcome, None, float(entry.marks), "[]", 1, 0)


def _put(db, book, number, row):
    """Let a _Row stand for its item."""
    key = {"sitting": book.row.id, "candidate": number, "item": row.item}
    db.execute(t.marks.delete().where(*(t.marks.c[name] == value for name, value in key.items())))
    db.execute(t.marks.insert().values(**row._asdict() | key))


def practical(book, item):
    """The observed practical of the paper with this id; else a UserError."""
    there = [name for name in book.sitting.paper["items"] if items()[name].kind == "checklist"]
    if item not in there:
        raise UserError(
            f"{item!r} is no observed practical of this paper; there are"
            f" {', '.join(there) or 'none'}"
        )
    return items()[item]


def observe(book, number, item, done, by, reason=""):
    """Fill in the list of an observed practical: the steps that were done; once more only for a
    reason.

    Returns the Judgement.
    """
    book.must_be_open()
    book.candidate(number)
    entry = practical(book, item)
    variant = book.sitting.variant(entry, number)
    answer = {}
    for field in variant.fields:
        steps = [step["id"] for step in field.steps]
        answer[field.name] = {step: "done" if step in done else "not done" for step in steps}
        if unknown := [step for step in done if step not in steps]:
            raise UserError(f"{item} has no step {unknown[0]!r}; its steps are {', '.join(steps)}")
    found = judge(entry, variant, answer)
    old = book.marks.get(number, {}).get(item)
    if old is not None and not reason.strip():
        raise UserError(
            f"{item} of candidate {number} is entered already, with {old.marks:g} of"
            f" {old.out_of:g}. To enter it again, give a reason."
        )
    with book.store.begin() as db:
        gate = 0 if found.safe is False else 1
        reasons = t.as_text(list(found.reasons))
        row = _Row(item, entry.outcome, found.marks, float(found.out_of), reasons, gate, 0)
        _put(db, book, number, row)
        note(
            db,
            book.row.id,
            Entry(
                "observe",
                by,
                number,
                item,
                "" if old is None else f"{old.marks:g}",
                f"{found.marks:g}",
                "; ".join(filter(None, ("done: " + " ".join(done), reason.strip()))),
            ),
        )
    return found
