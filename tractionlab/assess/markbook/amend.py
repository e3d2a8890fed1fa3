"""What persons do to marks: change, accept, reject, observe, appeal, release, reopen, lock, forget.

Nothing is ever written over without its history.
"""

import json
from datetime import date

import sqlalchemy as sa

from tractionlab.assess.bank.item import items
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.markbook import store as t
from tractionlab.assess.markbook.mark_file import judge_runs, mark_file
from tractionlab.assess.markbook.record import settle
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
        t.note(db, book.row.id, "mark", by, number, item, f"{row.marks:g}", f"{new:g}", reason)
    return row.marks, new


def _set(db, book, number, item, **values):
    db.execute(
        t.marks.update()
        .where(
            t.marks.c.sitting == book.row.id, t.marks.c.candidate == number, t.marks.c.item == item
        )
        .values(**values)
    )


def accept(book, number, by, reason, wanted=""):
    """Count a held file of a candidate as far as it can be trusted.

    `wanted` is its check number, if there are several.
    """
    book.must_be_open()
    held = [
        row
        for row in book.files(book.candidate(number))
        if row.status in ("held", "counted", "older", "rejected")
        and wanted in ("", row.check_number)
    ]
    if len(held) != 1:
        known = (
            ", ".join(
                f"{row.check_number} ({row.status}, {row.lines} lines)"
                for row in book.files(number)
            )
            or "none"
        )
        raise UserError(
            f"Name one file of candidate {number} with --check-number; there are {known}"
        )
    with book.store.begin() as db:
        t.note(
            db, book.row.id, "accept", by, number, "", book.status(number), held[0].digest, reason
        )
        settle(db, book.sitting, [number])
    return held[0]


def reject(book, number, by, reason, wanted=""):
    """End the hold of a candidate's files without marks; what a person entered by hand stays.

    wanted : check number of the one file to reject, held or not; every held one if left out. A file
        that comes later is marked as usual. Returns the rows of the files.
    """
    book.must_be_open()
    files = book.files(book.candidate(number))
    chosen = [
        row for row in files if (row.check_number == wanted if wanted else row.status == "held")
    ]
    chosen = [row for row in chosen if row.status != "rejected"]
    if not chosen:
        known = ", ".join(f"{row.check_number} ({row.status})" for row in files) or "none"
        raise UserError(
            f"Candidate {number} has no held file{f' {wanted}' if wanted else ''}; there are"
            f" {known}"
        )
    with book.store.begin() as db:
        for row in chosen:
            t.note(db, book.row.id, "reject", by, number, "", row.status, row.digest, reason)
        settle(db, book.sitting, [number])
    return chosen


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
        t.note(
            db,
            book.row.id,
            "observe",
            by,
            number,
            item,
            "" if old is None else f"{old.marks:g}",
            f"{found.marks:g}",
            "done: " + " ".join(done),
        )
    return found


def mark_again(book, number):
    """Marks of a candidate's frozen evidence, worked out anew: {item: [marks, out of, [reasons],
    gate, exact]}.
    """
    marked = mark_file(book.sitting, "evidence", book.evidence(book.records[number].digest))
    if marked.wanted:
        from tractionlab.assess.markbook.marking import run_batch

        needed = {
            scenario.key: scenario for wanted in marked.wanted.values() for scenario in wanted
        }
        judge_runs(book.sitting, marked, dict(zip(needed, run_batch(list(needed.values())))))
    return marked.result


def appeal(book, number, by, reason):
    """Note an appeal and mark the frozen evidence again.

    Returns [(item, marks that hold, marks worked out now)] where they differ.
    """
    record = book.records.get(book.candidate(number))
    if record is None:
        raise UserError(
            f"There is no answer file of candidate {number}: nothing can be marked again."
        )
    if not book.evidence(record.digest):
        raise UserError(
            f"The answers of candidate {number} were deleted (markbook forget): nothing can be"
            " marked again, and the appeal was not noted."
        )
    again = mark_again(book, number)
    holds = book.marks.get(number, {})
    differ = [
        (item, holds[item].marks, row[0])
        for item, row in again.items()
        if item in holds and holds[item].marks != row[0]
    ]
    with book.store.begin() as db:
        t.note(
            db,
            book.row.id,
            "appeal",
            by,
            number,
            "",
            "",
            "; ".join(f"{item} {old:g} -> {new:g}" for item, old, new in differ) or "same marks",
            reason,
        )
    return differ


def release(book, by, unfinished=False):
    """Let the marks out; every held file must have been looked at, and every practical entered,
    unless `unfinished` says that it is meant so: what is missing gives no marks."""
    if book.row.state != "open":
        raise UserError(f"The marks of {book.row.id} are {book.row.state} already.")
    held = [number for number, row in book.records.items() if row.status == "held"]
    if held:
        raise UserError(
            f"Files are held for candidate {', '.join(sorted(held))}. Look at them (markbook show),"
            " then count them (markbook accept) or end the hold without marks (markbook reject)."
        )
    missing = {
        number: [name for name in found.open if items()[name].kind == "checklist"]
        for number, found in book.results.items()
    }
    missing = {number: names for number, names in missing.items() if names}
    if missing and not unfinished:
        shown = "; ".join(
            f"{number}: {', '.join(names)}" for number, names in list(missing.items())[:6]
        )
        raise UserError(
            f"Practicals are not entered for {len(missing)}"
            f" candidate{'s' if len(missing) > 1 else ''}"
            f" ({shown}{'; ...' if len(missing) > 6 else ''}). Enter them (markbook observe), or"
            " release with --unfinished: then they give no marks."
        )
    count = sum(len(names) for names in missing.values())
    _state(
        book,
        "released",
        by,
        f"practicals not entered: {count} (candidate {', '.join(missing)})" if missing else "",
    )


def reopen(book, by, reason):
    """Take released or locked marks back."""
    if book.row.state == "open":
        raise UserError(f"The marks of {book.row.id} are open.")
    _state(book, "open", by, reason)


def lock(book, by):
    """Close released marks."""
    if book.row.state != "released":
        raise UserError(
            f"The marks of {book.row.id} are {book.row.state}; only released marks are locked."
        )
    _state(book, "locked", by, "")


def _state(book, state, by, reason):
    with book.store.begin() as db:
        db.execute(t.sittings.update().where(t.sittings.c.id == book.row.id).values(state=state))
        t.note(
            db,
            book.row.id,
            {"open": "reopen", "released": "release", "locked": "lock"}[state],
            by,
            old=book.row.state,
            new=state,
            reason=reason,
        )


def forget(store, sitting, number, by, reason):
    """Delete name, conditions, answers and files of one candidate; marks stay under the number for
    statistics.
    """
    with store.begin() as db:
        mine = (t.candidates.c.sitting == sitting) & (t.candidates.c.candidate == number)
        db.execute(t.candidates.update().where(mine).values(name="", conditions="{}"))
        digests = [
            row.digest
            for row in db.execute(
                sa.select(t.files.c.digest).where(
                    t.files.c.sitting == sitting, t.files.c.candidate == number
                )
            )
        ]
        db.execute(
            t.names.delete().where(t.names.c.sitting == sitting, t.names.c.digest.in_(digests))
        )
        db.execute(
            t.files.update()
            .where(t.files.c.sitting == sitting, t.files.c.candidate == number)
            .values(evidence=t.packed(b""), result="{}", findings="[]")
        )
        db.execute(
            t.marks.update()
            .where(t.marks.c.sitting == sitting, t.marks.c.candidate == number)
            .values(reasons="[]")
        )
        sealed = json.loads(
            db.execute(sa.select(t.sittings.c.sealed).where(t.sittings.c.id == sitting)).scalar()
        )
        sealed["candidates"][number] |= {"name": "", "extra_percent": 0, "larger_print": False}
        db.execute(
            t.sittings.update()
            .where(t.sittings.c.id == sitting)
            .values(sealed=json.dumps(sealed, ensure_ascii=False, indent=1))
        )
        t.note(db, sitting, "forget", by, number, reason=reason)


def older_than(store, day):
    """Ids of sittings before a day."""
    try:
        limit = date.fromisoformat(day).isoformat()
    except ValueError:
        raise UserError(f"--before must be written like 2024-09-01, got {day!r}") from None
    return [
        row.id for row in store.rows(sa.select(t.sittings.c.id).where(t.sittings.c.date < limit))
    ]
