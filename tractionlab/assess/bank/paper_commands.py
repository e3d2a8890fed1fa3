"""`tractionlab paper new`, `preview` and `proof`: a paper from the blueprint, a page to look at it,
and the proof of its keys.
"""

from pathlib import Path

from tractionlab.assess.bank.blueprint import blueprint, new_paper
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.bank.preview import preview
from tractionlab.assess.proof.prove import prove
from tractionlab.assess.proof.second_person import read_second_key, told_of, write_sheet
from tractionlab.errors import UserError
from tractionlab.paint.blocks import Rows, Text
from tractionlab.paint.document import Document

_KINDS = {"shown": "shown", "seen": "needs a person", "fails": "FAILS"}


def main(args):
    """Run one of the three; returns the exit code: 1 if a proof fails."""
    return {"new": _new, "preview": _preview, "proof": _proof}[args.word](args)


def _new(args):
    plan = blueprint(args.blueprint or None)
    outcomes = (
        [name.strip().upper() for name in args.outcomes.split(",") if name.strip()]
        if args.outcomes
        else list(plan.marks)
    )
    paper = new_paper(plan, outcomes, args.minutes, args.seed, args.kind, args.title)
    out = Path(args.out or f"{paper.id}.toml")
    if out.exists():
        raise UserError(f"{out} is there already; choose another name with --out")
    _write(out, paper.to_toml())
    parts = ", ".join(
        f"{name} {minutes:g} min" for name, minutes in paper.minutes_by_part().items()
    )
    print(
        f"{out}: {len(paper.items)} items, {paper.marks} marks, {paper.minutes:g} minutes ({parts})"
    )
    print(f"Look at it:  python3 -m tractionlab paper preview {out}")
    return 0


def _write(path, text):
    if not path.parent.is_dir() or path.is_dir():
        raise UserError(
            f"{path} cannot be written:"
            f" {'it is a folder' if path.is_dir() else f'there is no folder {path.parent}'}; choose"
            " another place"
        )
    path.write_text(text, encoding="utf-8")


def _preview(args):
    paper = find_paper(args.paper)
    out = Path(args.out or f"{paper.id}_preview.html")
    _write(out, preview(paper, args.answers).html())
    print(
        f"{out}: {len(paper.items)} items as a candidate sees them, with numbers of one"
        f" draw{' and the right answers' if args.answers else ''}"
    )
    return 0


def _proof(args):
    chosen = (
        [items()[name] for name in find_paper(args.paper).items]
        if args.paper
        else list(items().values())
    )
    second = read_second_key(args.key) if args.key else {}
    findings = prove(chosen, second, not args.quick, args.by)
    for finding in findings:
        if finding.kind == "fails" or args.all:
            print(f"{_KINDS[finding.kind]:15} {finding.item}, {finding.field}: {finding.words}")
    count = {kind: sum(finding.kind == kind for finding in findings) for kind in _KINDS}
    print(
        f"{len(chosen)} items, {len(findings)} fields: {count['shown']} shown, {count['seen']} need"
        f" a person, {count['fails']} fail"
    )
    for sentence in told_of(findings, second, args.by) if args.key else ():
        print(sentence)
    if args.sheet:
        try:
            print(
                f"{args.sheet}: {write_sheet(args.sheet, findings)} questions for a second person."
                f" Fill in the letters, then: paper proof --key {args.sheet} --by NAME"
            )
        except FileExistsError:
            raise UserError(
                f"{args.sheet} is there already; what was filled in is never written over. Choose"
                " another name"
            ) from None
    if args.html:
        _write(Path(args.html), report(chosen, findings).html())
        print(args.html)
    return 1 if count["fails"] or (args.key and not second) else 0


def report(chosen, findings):
    """Document with the findings of a proof."""
    rows = tuple(
        (f"{finding.item}, {finding.field}", _KINDS[finding.kind], finding.words)
        for finding in findings
    )
    words = (
        "Each computed key was found by a second route that does not call the first, in several"
        " draws. Numbers were worked out again with every step rounded to three digits. Wrong ideas"
        " must lie outside the tolerance, keys inside the physical limits."
    )
    return Document(
        "Proof of the keys",
        [
            Text(words),
            Rows(
                f"{len(chosen)} items", ("Item, field", "Proof", "What was shown"), rows, (3, 2, 7)
            ),
        ],
    )
