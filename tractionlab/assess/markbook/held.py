"""What persons do to an answer file that is held: count it, or end the hold without marks."""

from tractionlab.assess.markbook.history import Entry, note
from tractionlab.assess.markbook.record import settle
from tractionlab.errors import UserError


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
        files = book.files(number)
        if not files:
            raise UserError(f"Candidate {number} has no answer file: there is nothing to accept")
        known = ", ".join(f"{row.check_number} ({row.status}, {row.lines} lines)" for row in files)
        raise UserError(
            f"Name one file of candidate {number} with --check-number; there are {known}"
        )
    with book.store.begin() as db:
        note(
            db,
            book.row.id,
            Entry("accept", by, number, "", book.status(number), held[0].digest, reason),
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
            note(db, book.row.id, Entry("reject", by, number, "", row.status, row.digest, reason))
        settle(db, book.sitting, [number])
    return chosen
