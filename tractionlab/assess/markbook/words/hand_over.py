"""Words of `tractionlab markbook` that write files or delete data: report, export, resit,
forget.
"""

import sys
from pathlib import Path

from tractionlab.assess.markbook import personal_data, traces
from tractionlab.assess.markbook.book import open_book
from tractionlab.errors import UserError


def resit(book, args):
    from tractionlab.assess.markbook.resit import left_out, plan, write_papers

    rows, others = plan(book), left_out(book)
    if not rows and not others:
        print("Nobody needs a resit.")
    for number, outcomes, chosen in rows:
        print(f"  {number}: {', '.join(outcomes)}   items {', '.join(chosen)}")
    for number, why in others:
        print(f"  {number} {book.roll[number]}: {why}")
    if args.out:
        for path in write_papers(book, args.out):
            print(path)


def report(book, args):
    from tractionlab.assess.markbook.reports.write import write

    written = write(book, args.out, args.candidate)
    for path in written.paths:
        print(path)
    if book.row.state == "open":
        print("Feedback for candidates is written when the marks are released.")
    for sentence in written.failed:
        print(sentence, file=sys.stderr)
    return 1 if written.failed else 0


def export_as(book, args):
    from tractionlab.assess.markbook import export

    out = Path(args.out) / book.row.id
    if args.form == "csv":
        for path in export.write_csv(book, out):
            print(path)
    elif args.form == "json":
        print(export.write_json(book, out))
    else:
        path, written, left = export.write_qti(book, out)
        print(
            f"{path}: {len(written)} items"
            + (f"; without a plain form in QTI and left out: {', '.join(left)}" if left else "")
        )


def forget(store, args):
    if bool(args.candidate) == bool(args.before):
        raise UserError("markbook forget needs either --candidate NUMBER or --before DAY")
    if args.candidate:
        book = open_book(store, args.sitting)
        whom = [(book.row.id, book.candidate(args.candidate))]
    else:
        whom = [
            (name, number)
            for name in personal_data.older_than(store, args.before)
            for number in open_book(store, name).roll
        ]
        if not whom:
            return print(f"The markbook has no sitting before {args.before}: nothing to delete.")
    sittings = {sitting: [number for one, number in whom if one == sitting] for sitting, _ in whom}
    found = {
        sitting: traces.find(args.folder, sitting, numbers) for sitting, numbers in sittings.items()
    }
    print(
        f"Of {len(whom)} candidate{'s' if len(whom) != 1 else ''}, in the markbook: names,"
        " conditions, answers and reasons. Marks stay under the number."
    )
    print(
        "\n".join(line for one in found.values() for line in traces.listed(one))
        or "  No folder was named with --folder, or nothing was found there."
    )
    if not args.yes:
        print("Nothing was deleted. Look through the list, then give the same command with --yes.")
        return
    for sitting, numbers in sittings.items():
        traces.wipe(found[sitting], numbers)
        for number in numbers:
            personal_data.forget(store, sitting, number, args.by, args.reason)
    print(
        "Deleted. The roll, prints, mails and safety copies are yours to delete; a copy of an"
        " answer file that is marked again brings the answers back."
    )
