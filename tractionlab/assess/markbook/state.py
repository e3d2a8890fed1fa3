"""The state of a sitting's marks: let out, taken back, locked."""

from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.history import Entry, note
from tractionlab.errors import UserError


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
        note(
            db,
            book.row.id,
            Entry(
                {"open": "reopen", "released": "release", "locked": "lock"}[state],
                by,
                old=book.row.state,
                new=state,
                reason=reason,
            ),
        )
