"""What persons do to single marks: change them, and enter an observed practical.

Nothing is ever written over without its history.
"""

from tractionlab.assess.bank.item import items
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.history import Entry, note
from tractionlab.errors import UserError


def check_words(args):
    """Raise UserError if a name or reason that a command asks for is empty or endless."""
    for name in ("by", "reason"):
        if hasattr(args, name) and not 1 <= len(getattr(args, name).strip()) <= 500:
            raise UserError(f"--{name} must say something, in at most 500 characters")


def change(book, number, item, text, by, reason):
    """Set the marks of an item; returns (old, new)."""
    book.must_be_open()
    row = book.item(book.candidate(number), item)
    try:
        new = float(text.strip().replace(",", "."))
    except ValueError:
        new = -1.0
    if not 0 <= new <= row.out_of:
        raise UserError(f"marks for {item} must be a number from 0 to {row.out_of:g}, got {text!r}")
    new = round(new, 2)
    with book.store.begin() as db:
        _set(
            db,
            book,
            number,
            item,
            marks=new,
            reasons=t.as_text([f"Set by {by.strip()}, reason: {reason.strip()}"]),
        )
        note(db, book.row.id, Entry("mark", by, number, item, f"{row.marks:g}", f"{new:g}", reason))
    return row.marks, new


def _set(db, book, number, item, **values):
    db.execute(
        t.marks.update()
        .where(
            t.marks.c.sitting == book.row.id, t.marks.c.candidate == number, t.marks.c.item == item
        )
        .values(**values)
    )


def observe(book, number, item, done, by):
    """Fill in the list of an observed practical: the steps that were done.

    Returns the Judgement.
    """
    book.must_be_open()
    book.candidate(number)
    practicals = {
        name: items()[name]
        for name in book.sitting.paper["items"]
        if items()[name].kind == "checklist"
    }
    if item not in practicals:
        raise UserError(
            f"{item!r} is no observed practical of this paper; there are"
            f" {', '.join(practicals) or 'none'}"
        )
    variant = book.sitting.variant(practicals[item], number)
    answer = {}
    for field in variant.fields:
        steps = [step["id"] for step in field.steps]
        answer[field.name] = {step: "done" if step in done else "not done" for step in steps}
        if unknown := [step for step in done if step not in steps]:
            raise UserError(f"{item} has no step {unknown[0]!r}; its steps are {', '.join(steps)}")
    found = judge(practicals[item], variant, answer)
    old = book.marks.get(number, {}).get(item)
    with book.store.begin() as db:
        db.execute(
            t.marks.delete().where(
                t.marks.c.sitting == book.row.id,
                t.marks.c.candidate == number,
                t.marks.c.item == item,
            )
        )
        db.execute(
            t.marks.insert().values(
                sitting=book.row.id,
                candidate=number,
                item=item,
                outcome=practicals[item].outcome,
                marks=found.marks,
                out_of=float(found.out_of),
                reasons=t.as_text(list(found.reasons)),
                gate=0 if found.safe is False else 1,
                exact=0,
            )
        )
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
                "done: " + " ".join(done),
            ),
        )
    return found
