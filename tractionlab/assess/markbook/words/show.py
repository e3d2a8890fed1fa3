"""Words of `tractionlab markbook` that only look: list, show."""

import json

from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import moderate
from tractionlab.assess.markbook.case_line import time_line
from tractionlab.assess.markbook.joined import joined
from tractionlab.assess.markbook.reports.phrases import given_time, still_open, total
from tractionlab.errors import UserError


def list_all(book, args):
    print(f"{book.row.id}: {book.row.title}, marks are {book.row.state}")
    after = joined(book)
    print(f"{'candidate':14s} {'status':8s} {'marks':>12s} {'%':>6s}  result")
    for number, name in book.roll.items():
        found = book.results.get(number)
        shown = f"{found.got:g} of {found.out_of:g}" if found else "-"
        print(
            f"{number:14s} {book.status(number):8s} {shown:>12s}"
            f" {f'{found.percent:.1f}' if found else '-':>6s} "
            f" {found.grade if found else ''}"
            f"{'' if not found or found.safe else ', safety gate failed'}"
            f"  {name}" + (f"  ({still_open(found)})" if found and found.open else "")
        )
        if number in after:
            print(f"{'':14s} with the resit: {' / '.join(total(after[number]))}")


def show(book, args):
    number = book.candidate(args.candidate)
    print(f"Candidate {number} {book.roll[number]}: {book.status(number)}, sitting {book.row.id}")
    if words := given_time(book, number):
        print(f"  {words}")
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
            print(f"  {still_open(found)}: {', '.join(found.open)}")
        for sentence in found.lacking:
            print(f"  {sentence}")
    if after := joined(book).get(number):
        print(f"  with the resit: {' / '.join(total(after))}")
        for sentence in after.lacking:
            print(f"    {sentence}")
    for item, row in book.marks.get(number, {}).items():
        print(f"  {item}: {row.marks:g} of {row.out_of:g}")
        for words in _answers(book, number, item, given.get(item, {})):
            print(f"      {words}")
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


def _answers(book, number, item, given):
    """The answers to an item, a line for each field; a case stands in its reasons and in the
    replay.
    """
    for field in book.sitting.variant(items()[item], number).fields:
        if field.kind not in ("case", "checklist") and field.name in given:
            yield f"{field.label}: {moderate.shown_answer(field, given[field.name])}"


def _replay(book, number):
    """Print every saved step of the file that counts, with its time; a repair case as it went."""
    content = book.evidence(book.records[number].digest) if number in book.records else b""
    lines = read_answers(content, book.sitting.sheet(number)).lines
    told = {}
    for line in lines:
        if line["kind"] == "case":
            told.setdefault((line["item"], line["field"]), []).append(line["entry"])
    told = {place: iter(_case(book, number, *place, log)) for place, log in told.items()}
    for line in lines:
        said = [line.get("value", "")]
        if line["kind"] == "case":
            said = next(told[line["item"], line["field"]])
        elif line["kind"] == "answer":
            said = [moderate.shown_answer(_field(book, number, line), line["value"])]
        what = " ".join(str(line[name]) for name in ("item", "field") if name in line)
        print(f"  {line['time'][11:19]} {line['kind']:8s} {what} {said[0]}".rstrip())
        for words in said[1:]:
            print(f"             {words}")


def _field(book, number, line):
    fields = book.sitting.variant(items()[line["item"]], number).fields
    return next(field for field in fields if field.name == line["field"])


def _case(book, number, item, name, log):
    """For each entry of a case's log the lines that tell it."""
    drawn = book.sitting.variant(items()[item], number)
    field = _field(book, number, {"item": item, "field": name})
    for minutes, what, readings in time_line(drawn, field, log):
        first, *more = what.splitlines()
        yield [f"{minutes}: {first}", *more, *readings.splitlines()]
