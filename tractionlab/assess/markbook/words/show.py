"""Words of `tractionlab markbook` that only look: list, show."""

import json

from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.markbook import moderate
from tractionlab.assess.markbook.reports.phrases import still_open
from tractionlab.errors import UserError


def list_all(book, args):
    print(f"{book.row.id}: {book.row.title}, marks are {book.row.state}")
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


def show(book, args):
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
            print(f"  {still_open(found)}: {', '.join(found.open)}")
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
