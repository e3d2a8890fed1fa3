"""An appeal: the frozen evidence is marked again, and nothing is changed."""

from tractionlab.assess.markbook.history import Entry, note
from tractionlab.assess.markbook.worked_once import mark_alone
from tractionlab.errors import UserError


def mark_again(book, number):
    """Marks of a candidate's frozen evidence, worked out again: {item: [marks, out of, [reasons],
    gate, exact]}.
    """
    content = book.evidence(book.records[number].digest)
    return mark_alone(book.sitting, "evidence", content).result


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
        note(
            db,
            book.row.id,
            Entry(
                "appeal",
                by,
                number,
                "",
                "",
                "; ".join(f"{item} {old:g} -> {new:g}" for item, old, new in differ)
                or "same marks",
                reason,
            ),
        )
    return differ
