"""`tractionlab paper new`, `preview` and `proof`: a paper from the blueprint, a page to look at it,
and the proof of its keys.
"""

from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path

from tractionlab.assess.bank.blueprint import blueprint, new_paper
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.own_car import numbers_for
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.bank.preview import preview
from tractionlab.assess.proof.challenge import challenge
from tractionlab.assess.proof.finding import KINDS
from tractionlab.assess.proof.prove import prove
from tractionlab.assess.proof.report import heading, report
from tractionlab.assess.proof.second_person import read_second_key, told_of, write_sheet
from tractionlab.catalogue.entries import with_one_car
from tractionlab.errors import UserError


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
    if args.car:
        car = with_one_car(args.folder, args.car).car
        numbers = numbers_for(car, paper.items)
        title = f"{paper.title}, with the numbers of {car.name}"
        paper = replace(paper, title=title, numbers=numbers)
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
    _ask_for_place(path)
    path.write_text(text, encoding="utf-8")


def _ask_for_place(path):
    """Error if nothing can be written at `path`; asked before a long computation as well."""
    if not path.parent.is_dir() or path.is_dir():
        raise UserError(
            f"{path} cannot be written:"
            f" {'it is a folder' if path.is_dir() else f'there is no folder {path.parent}'}; choose"
            " another place"
        )


def _preview(args):
    paper = find_paper(args.paper)
    out = Path(args.out or f"{paper.id}_{'answers' if args.answers else 'preview'}.html")
    _write(out, preview(paper, args.answers).html())
    print(
        f"{out}: {len(paper.items)} items as a candidate sees them, with numbers of one"
        f" draw{' and the right answers' if args.answers else ''}"
    )
    return 0


def _proof(args):
    paper = find_paper(args.paper) if args.paper else None
    chosen = [items()[name] for name in paper.items] if paper else list(items().values())
    for place in filter(None, (args.sheet, args.html)):
        _ask_for_place(Path(place))
    if args.sheet and Path(args.sheet).exists():
        raise UserError(
            f"{args.sheet} is there already; what was filled in is never written over. Choose"
            " another name"
        )
    second = read_second_key(args.key) if args.key else {}
    findings = prove(chosen, second, not args.quick, args.by)
    told = [_count(chosen, findings), *told_of(findings, second, args.by)]
    challenged = _challenge(chosen) if args.mutants else None
    told += challenged.sentences() if challenged else []
    print(heading(paper))
    for finding in findings:
        if finding.kind == "fails" or args.all:
            route = f" [{finding.route}]" if finding.route else ""
            print(
                f"{KINDS[finding.kind]:15} {finding.item}, {finding.field}: {finding.words}{route}"
            )
    for idea in challenged.missed if challenged else ():
        print(f"{'not found':15} {idea}")
    print(*told, sep="\n")
    if args.sheet:
        _write_sheet(args.sheet, findings, paper)
    if args.html:
        _write(Path(args.html), report(paper, findings, told).html())
        print(args.html)
    fails = any(finding.kind == "fails" for finding in findings)
    fails = fails or (challenged is not None and not challenged.passed)
    return 1 if fails or (args.key and not second) else 0


def _count(chosen, findings):
    count = {kind: sum(finding.kind == kind for finding in findings) for kind in KINDS}
    return (
        f"{len(chosen)} items, {len(findings)} fields: {count['shown']} shown, {count['seen']} need"
        f" a person, {count['fails']} fail."
    )


def _challenge(chosen):
    if find_spec("pint") is None:
        raise UserError(
            "--mutants follows the dimensions of each key with the library pint, which is not"
            " installed here; in the folder of the course: .venv/bin/python -m pip install pint"
        )
    return challenge(chosen)


def _write_sheet(path, findings, paper):
    count = write_sheet(path, findings)
    print(
        f"{path}: {count} questions for a second person."
        " Fill in the letters, then:"
        f" python3 -m tractionlab paper proof {paper.id if paper else ''} --key {path} --by NAME"
    )
