"""An appeal: the frozen evidence is marked again, and nothing is changed."""

from tractionlab.assess.markbook.history import Entry, note
from tractionlab.assess.markbook.mark_file import judge_runs, mark_file
from tractionlab.assess.markbook.wanted_runs import run_batch
from tractionlab.errors import UserError


def mark_again(book, number):
    """Marks of a candidate's frozen evidence, worked out again: {item: [marks, out of, [reasons],
    gate, exact]}.
    """
    marked = mark_file(book.sitting, "evidence", book.evidence(book.records[number].digest))
    if marked.wanted:
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
