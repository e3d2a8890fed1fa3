"""Resits: only the outcomes that a candidate has not achieved yet, with spare items.

One paper for all who miss the same outcomes.
"""

import csv
from pathlib import Path

from tractionlab.assess.bank.blueprint import blueprint, new_paper
from tractionlab.assess.markbook.export import harmless
from tractionlab.errors import UserError


def plan(book):
    """[(candidate, outcomes, item ids of the resit)] of those who have not passed; candidates
    without any file are left out.
    """
    rows = []
    for number, found in book.results.items():
        outcomes = outcomes_of(book, found)
        if outcomes:
            rows.append((number, outcomes, paper_for(book, outcomes).items))
    return rows


def outcomes_of(book, found):
    """Outcomes that a Result sends to a resit: those not achieved; if only the total is short,
    those below the line for the total.
    """
    if found.passed:
        return ()
    line = book.sitting.paper["rules"].get("overall_percent", 60.0)
    return found.failed or tuple(
        name for name, (got, out_of, _) in found.outcomes.items() if 100.0 * got / out_of < line
    )


def paper_for(book, outcomes):
    """The resit Paper for a set of outcomes after this sitting: the same for all who need it."""
    return new_paper(blueprint(), outcomes, seed=f"{book.row.id} resit", kind="resit")


def write_papers(book, folder):
    """Write one paper file for each set of outcomes, and resit_plan.csv that says who takes which.

    Returns the paths.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise UserError(
            f"{folder} is not empty. A resit that was planned is never written over: give another"
            " folder with --out."
        )
    rows, written = [["candidate", "name", "paper", "outcomes", "first"]], {}
    for number, outcomes, _ in plan(book):
        if outcomes not in written:
            paper = paper_for(book, outcomes)
            written[outcomes] = folder / f"{paper.id}.toml"
            written[outcomes].write_text(paper.to_toml(), encoding="utf-8")
        safety = (
            "" if book.results[number].safe else "safety briefing, and the failed task shown again"
        )
        rows.append([number, book.roll[number], written[outcomes].name, " ".join(outcomes), safety])
    table = folder / "resit_plan.csv"
    with open(table, "x", newline="", encoding="utf-8-sig") as file:
        csv.writer(file).writerows([harmless(cell) for cell in row] for row in rows)
    return [table, *written.values()]
