"""Resits: only the outcomes that the rules of the paper miss, with spare items.

One paper for all who miss the same outcomes.
"""

import csv
from dataclasses import replace
from pathlib import Path

from tractionlab.assess.bank.blueprint import blueprint, new_paper
from tractionlab.assess.bank.paper import read_paper
from tractionlab.assess.markbook.export import harmless
from tractionlab.assess.markbook.joined import belongs, joined, resits
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.errors import UserError

ABSENT = "absent: no marks; the whole paper on another day, or answers on paper (markbook change)"
HELD = "a file is held: decide on it first"


PLAN = "resit_plan.csv"


def plan(book):
    """[(candidate, outcomes, item ids of the resit)] of those who have not passed, after the resits
    that they sat; who is absent or held is named by `left_out`.
    """
    rows, after = [], joined(book)
    for number, found in book.results.items():
        outcomes = after.get(number, found).missing
        if outcomes and book.status(number) != "held":
            rows.append((number, outcomes, paper_for(book, outcomes).items))
    return rows


def left_out(book):
    """[(candidate, why)] of those for whom no resit can be planned yet."""
    return [
        (number, HELD if book.status(number) == "held" else ABSENT)
        for number in book.roll
        if number not in book.results or book.status(number) == "held"
    ]


def paper_for(book, outcomes):
    """The resit Paper for a set of outcomes after this sitting: the same for all who need it, and
    another one after each resit. Its id tells which sitting it belongs to.
    """
    turn = len(resits(book))
    seed = f"{book.row.id} resit {turn}" if turn else f"{book.row.id} resit"
    paper = new_paper(blueprint(), outcomes, seed=seed, kind="resit")
    return replace(paper, id=f"{belongs(book)}-{paper.id.removeprefix('resit-')}")


def write_papers(book, folder):
    """Write one paper file for each set of outcomes, and resit_plan.csv that says who takes which,
    and for whom none can be planned.

    Returns the paths.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise UserError(
            f"{folder} is not empty. A resit that was planned is never written over: give another"
            " folder with --out."
        )
    rows, written, after = [["candidate", "name", "paper", "outcomes", "first"]], {}, joined(book)
    for number, outcomes, _ in plan(book):
        if outcomes not in written:
            paper = paper_for(book, outcomes)
            written[outcomes] = folder / f"{paper.id}.toml"
            written[outcomes].write_text(paper.to_toml(), encoding="utf-8")
        safe = after.get(number, book.results[number]).safe
        first = "" if safe else "safety briefing, and the failed task shown again"
        rows.append([number, book.roll[number], written[outcomes].name, " ".join(outcomes), first])
    rows += [[number, book.roll[number], "", "", why] for number, why in left_out(book)]
    table = folder / PLAN
    with open(table, "x", newline="", encoding="utf-8-sig") as file:
        csv.writer(file).writerows([harmless(cell) for cell in row] for row in rows)
    return [table, *written.values()]


def papers_in(folder):
    """[(paper, folder of its sitting)] of the resits that were planned in a folder."""
    folder = Path(folder)
    if not (folder / PLAN).is_file():
        raise UserError(f"{folder} holds no {PLAN}. Write the papers of the resits first.")
    return [(path, folder / path.stem) for path in sorted(folder.glob("*.toml"))]


def issue_papers(book, folder, day="", place=""):
    """Issue every paper that was planned in a folder to those who take it, with their numbers,
    names and conditions.

    Returns [(Sitting, its folder)].
    """
    found, issued = papers_in(folder), []
    with open(Path(folder) / PLAN, newline="", encoding="utf-8-sig") as file:
        takes = {row["candidate"].removeprefix("'"): row["paper"] for row in csv.DictReader(file)}
    for path, out in found:
        roll = [
            Candidate(number, book.roll[number], one["extra_percent"], one["larger_print"])
            for number, one in book.sitting.candidates.items()
            if takes.get(number) == path.name
        ]
        issued.append((issue(read_paper(path), roll, out, day=day, place=place), out))
    return issued
