"""Words of `tractionlab markbook` for moderation: sample, second marks, item statistics,
similar answers.
"""

from tractionlab.assess.markbook import moderate, second_sheets
from tractionlab.assess.markbook.reports.phrases import two_places
from tractionlab.errors import UserError


def sample(book, args):
    chosen = moderate.sample(book)
    print(f"{len(chosen)} of {len(book.results)} records for a second person:")
    for number, reasons in chosen.items():
        print(f"  {number}: {'; '.join(reasons)}")


def second(book, args):
    if bool(args.out) == bool(args.enter):
        raise UserError(
            "markbook second needs either --out FOLDER (write the sheets) or --enter FILE (read the"
            " marks)"
        )
    if args.enter:
        print(f"{moderate.enter(book, args.enter, args.by)} second marks entered.")
    else:
        for path in second_sheets.sheets(book, args.out):
            print(path)


def compare(book, args):
    rows = moderate.compare(book)
    if not rows:
        print("There are no second marks yet.")
    for number, by, count, first, second, differ in rows:
        talk = (
            f"  more than {moderate.TALK_OVER:g} apart: talk it over; look at the rule before the"
            " mark"
            if abs(first - second) > moderate.TALK_OVER
            else ""
        )
        print(f"  {number}: first {first:g}, {by} {second:g} over {count} items{talk}")
        for item, a, b in differ:
            print(f"      {item}: {a:g} against {b:g}")


def statistics(book, args):
    from tractionlab.assess.markbook.item_statistics import by_outcome, figures

    print(f"{'item':24s} {'outcome':8s} {'tries':>5s} {'facility':>8s} {'discr.':>7s}  remark")
    for row in figures(book):
        print(
            f"{row.item:24s} {row.outcome:8s} {row.tries:5d} {two_places(row.facility):>8s}"
            f" {two_places(row.discrimination):>7s}  {row.remark}"
        )
    for outcome, shares in by_outcome(book).items():
        print(
            f"{outcome}: mean {100 * sum(shares) / len(shares):.0f} % of the marks, {len(shares)}"
            " candidates"
        )


def similar(book, args):
    from tractionlab.assess.markbook.similarity import questions

    found = questions(book)
    print(
        "Questions, not verdicts. Each has harmless explanations; ask before you conclude."
        if found
        else "Nothing that raises a question."
    )
    for question in found:
        print(f"  {' and '.join(question.candidates)}: {question.words}")
