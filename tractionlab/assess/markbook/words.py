"""`tractionlab markbook`: reads the words, calls what does the work, prints it."""

import json
import sys
from pathlib import Path

from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.markbook import amend, lost_time, moderate, traces
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.store import Store
from tractionlab.errors import UserError


def main(args):
    """Run one word; returns the exit code."""
    if "://" not in args.store and not Path(args.store).is_file():
        raise UserError(
            f"{args.store}: there is no such markbook. `python3 -m tractionlab mark` makes one;"
            " --store names it"
        )
    store, code = Store(args.store), None
    try:
        if args.word != "second":
            amend.check_words(args)
        if args.word == "forget":
            _forget(store, args)
        else:
            code = _WORDS[args.word](open_book(store, args.sitting), args)
    finally:
        store.close()
    return code or 0


def _list(book, args):
    print(f"{book.row.id}: {book.row.title}, marks are {book.row.state}")
    print(f"{'candidate':14s} {'status':8s} {'marks':>12s} {'%':>6s}  result")
    for number, name in book.roll.items():
        found = book.results.get(number)
        shown = f"{found.got:g} of {found.out_of:g}" if found else "-"
        print(
            f"{number:14s} {book.status(number):8s} {shown:>12s}"
            f" {f'{found.percent:.1f}' if found else '-':>6s} "
            f" {found.grade if found else ''}{'' if not found or found.safe else ', safety gate failed'}"
            f"  {name}" + (f"  ({_open(found)})" if found and found.open else "")
        )


def _open(found):
    return f"{len(found.open)} item{'s' if len(found.open) > 1 else ''} not marked yet"


def _show(book, args):
    number = book.candidate(args.candidate)
    print(f"Candidate {number} {book.roll[number]}: {book.status(number)}, sitting {book.row.id}")
    if lost := book.lost.get(number):
        print(f"  {lost} minutes of lost time given back")
    for row in book.files(number):
        print(
            f"  file {row.check_number} ({row.status}, {row.lines} lines, SHA-256"
            f" {row.digest[:16]}...)"
        )
        for _, _, words in json.loads(row.findings):
            print(f"    {words}")
    found, given = book.results.get(number), moderate.answers_of(book, number)
    if found:
        print(f"  {found.got:g} of {found.out_of:g}, {found.percent:.1f} %: {found.grade}")
        if found.open:
            print(f"  {_open(found)}: {', '.join(found.open)}")
        for sentence in found.lacking:
            print(f"  {sentence}")
    for item, row in book.marks.get(number, {}).items():
        print(f"  {item}: {row.marks:g} of {row.out_of:g}")
        for field, value in given.get(item, {}).items():
            print(
                f"      {field}:"
                f" {value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)}"
            )
        for reason in json.loads(row.reasons):
            print(f"    {reason}")
    for row in book.changes(number):
        print(f"  {row.time} {row.by}: {row.kind} {row.item} {row.old} -> {row.new}. {row.reason}")
    if args.replay:
        _replay(book, number)
    if args.evidence:
        if number not in book.records:
            raise UserError(f"There is no answer file of candidate {number}.")
        with open(args.evidence, "xb") as file:
            file.write(book.evidence(book.records[number].digest))
        print(f"  evidence: {args.evidence}")


def _replay(book, number):
    """Print every saved step of the file that counts, with its time."""
    content = book.evidence(book.records[number].digest) if number in book.records else b""
    for line in read_answers(content, book.sitting.sheet(number)).lines:
        what = " ".join(str(line[name]) for name in ("item", "field") if name in line)
        said = line.get("value", line.get("entry", ""))
        print(
            f"  {line['time'][11:19]} {line['kind']:8s} {what}"
            f" {said if isinstance(said, str) else json.dumps(said, ensure_ascii=False)}".rstrip()
        )


def _change(book, args):
    old, new = amend.change(book, args.candidate, args.item, args.marks, args.by, args.reason)
    print(
        f"Candidate {args.candidate}, {args.item}: {old:g} -> {new:g}. The old marks stay in the"
        " history."
    )


def _accept(book, args):
    row = amend.accept(book, args.candidate, args.by, args.reason, args.check_number)
    print(
        f"Candidate {args.candidate}: the file {row.check_number} counts, with the {row.lines}"
        " lines that can be trusted."
    )


def _reject(book, args):
    rows = amend.reject(book, args.candidate, args.by, args.reason, args.check_number)
    files = ", ".join(row.check_number for row in rows)
    now = open_book(book.store, book.row.id).status(args.candidate)
    print(
        f"Candidate {args.candidate}: {files} rejected. "
        + {
            "rejected": (
                "No file of this candidate gives marks; one that comes later is marked as usual."
            ),
            "held": "Other files are still held.",
        }.get(now, "Another file counts.")
    )


def _time(book, args):
    before, now = lost_time.give(book, args.candidate, args.minutes, args.by, args.reason)
    found = open_book(book.store, book.row.id).results.get(args.candidate)
    print(
        f"Candidate {args.candidate}: {now} minutes of lost time given back (before: {before}). "
        + (
            f"Marked again: {found.got:g} of {found.out_of:g}."
            if found
            else "There is no answer file yet; it counts as soon as one is marked."
        )
    )


def _observe(book, args):
    if args.done is None:
        raise UserError(
            "Say which steps were done: --done STEP STEP. --done alone means that none was."
        )
    found = amend.observe(book, args.candidate, args.item, args.done, args.by)
    print(
        f"Candidate {args.candidate} {book.roll[args.candidate]}, {args.item}: {found.marks:g} of"
        f" {found.out_of:g}. {' '.join(found.reasons)}"
    )


def _appeal(book, args):
    differ = amend.appeal(book, args.candidate, args.by, args.reason)
    print("Marked again from the frozen evidence: " + ("the same marks." if not differ else ""))
    for item, old, new in differ:
        print(f"  {item}: holds {old:g}, worked out now {new:g}")
    if differ:
        print("Nothing was changed. Decide, and use markbook change.")


def _sample(book, args):
    chosen = moderate.sample(book)
    print(f"{len(chosen)} of {len(book.results)} records for a second person:")
    for number, reasons in chosen.items():
        print(f"  {number}: {'; '.join(reasons)}")


def _second(book, args):
    if bool(args.out) == bool(args.enter):
        raise UserError(
            "markbook second needs either --out FOLDER (write the sheets) or --enter FILE (read the"
            " marks)"
        )
    if args.enter:
        print(f"{moderate.enter(book, args.enter, args.by)} second marks entered.")
    else:
        for path in moderate.sheets(book, args.out):
            print(path)


def _compare(book, args):
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


def _release(book, args):
    amend.release(book, args.by, args.unfinished)
    print(f"The marks of {book.row.id} are released.")


def _reopen(book, args):
    amend.reopen(book, args.by, args.reason)
    print(f"The marks of {book.row.id} are open again.")


def _lock(book, args):
    amend.lock(book, args.by)
    print(f"The marks of {book.row.id} are locked.")


def _statistics(book, args):
    from tractionlab.assess.markbook.item_statistics import by_outcome, figures

    print(f"{'item':24s} {'outcome':8s} {'tries':>5s} {'facility':>8s} {'discr.':>7s}  remark")
    for row in figures(book):
        print(
            f"{row.item:24s} {row.outcome:8s} {row.tries:5d} {_two(row.facility):>8s}"
            f" {_two(row.discrimination):>7s}  {row.remark}"
        )
    for outcome, shares in by_outcome(book).items():
        print(
            f"{outcome}: mean {100 * sum(shares) / len(shares):.0f} % of the marks, {len(shares)}"
            " candidates"
        )


def _two(value):
    return "-" if value != value else f"{value:.2f}"


def _resit(book, args):
    from tractionlab.assess.markbook.resit import plan, write_papers

    rows = plan(book)
    if not rows:
        print("Nobody needs a resit.")
    for number, outcomes, chosen in rows:
        print(f"  {number}: {', '.join(outcomes)}   items {', '.join(chosen)}")
    if args.out:
        for path in write_papers(book, args.out):
            print(path)


def _similar(book, args):
    from tractionlab.assess.markbook.similarity import questions

    found = questions(book)
    print(
        "Questions, not verdicts. Each has harmless explanations; ask before you conclude."
        if found
        else "Nothing that raises a question."
    )
    for question in found:
        print(f"  {' and '.join(question.candidates)}: {question.words}")


def _report(book, args):
    from tractionlab.assess.markbook.report import write

    written = write(book, args.out, args.candidate)
    for path in written.paths:
        print(path)
    if book.row.state == "open":
        print("Feedback for candidates is written when the marks are released.")
    for sentence in written.failed:
        print(sentence, file=sys.stderr)
    return 1 if written.failed else 0


def _export(book, args):
    from tractionlab.assess.markbook import export

    if args.form == "csv":
        for path in export.write_csv(book, args.out):
            print(path)
    elif args.form == "json":
        print(export.write_json(book, args.out))
    else:
        path, written, left = export.write_qti(book, args.out)
        print(
            f"{path}: {len(written)} items"
            + (f"; without a plain form in QTI and left out: {', '.join(left)}" if left else "")
        )


def _forget(store, args):
    if bool(args.candidate) == bool(args.before):
        raise UserError("markbook forget needs either --candidate NUMBER or --before DAY")
    if args.candidate:
        book = open_book(store, args.sitting)
        whom = [(book.row.id, book.candidate(args.candidate))]
    else:
        whom = [
            (name, number)
            for name in amend.older_than(store, args.before)
            for number in open_book(store, name).roll
        ]
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
            amend.forget(store, sitting, number, args.by, args.reason)
    print(
        "Deleted. The roll, prints, mails and safety copies are yours to delete; a copy of an"
        " answer file that is marked again brings the answers back."
    )


_WORDS = {
    "list": _list,
    "show": _show,
    "change": _change,
    "accept": _accept,
    "reject": _reject,
    "time": _time,
    "observe": _observe,
    "appeal": _appeal,
    "sample": _sample,
    "second": _second,
    "compare": _compare,
    "release": _release,
    "reopen": _reopen,
    "lock": _lock,
    "statistics": _statistics,
    "resit": _resit,
    "similar": _similar,
    "report": _report,
    "export": _export,
}
