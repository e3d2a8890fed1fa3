"""The markbook for other programs: CSV tables whose cells no spreadsheet runs, JSON, and questions
as QTI 3.0.
"""

import csv
import json
from pathlib import Path

from tractionlab.assess.bank.item import OUTCOMES, items
from tractionlab.assess.markbook.joined import joined

_RUN_BY_SPREADSHEETS = (
    "=",
    "+",
    "-",
    "@",
    "\t",
    "\r",
    "\n",
    "\uff1d",
    "\uff0b",
    "\uff0d",
    "\uff20",
)


def harmless(cell):
    """A cell that a spreadsheet shows and does not run: text that could begin a formula gets an
    apostrophe in front. Numbers stay numbers.
    """
    if isinstance(cell, str) and cell.lstrip(" ").startswith(_RUN_BY_SPREADSHEETS):
        return "'" + cell
    return cell


def write_csv(book, folder):
    """Write results.csv, marks.csv, changes.csv and files.csv. Returns the paths."""
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    outcomes = list(dict.fromkeys(items()[name].outcome for name in book.sitting.paper["items"]))
    results = [
        [
            "candidate",
            "name",
            "status",
            "lost_minutes",
            "break_minutes",
            "marks",
            "out_of",
            "percent",
            "grade",
            "safety",
            *(f"{name} {OUTCOMES[name]}" for name in outcomes),
            "lacking",
            "with_resit_percent",
            "with_resit_grade",
        ]
    ]
    after = joined(book)
    for number, name in book.roll.items():
        found = book.results.get(number)
        results.append(
            [
                number,
                name,
                book.status(number),
                book.minutes(number, "lost"),
                book.minutes(number, "breaks"),
                *(
                    [""] * (6 + len(outcomes))
                    if found is None
                    else [
                        found.got,
                        found.out_of,
                        round(found.percent, 2),
                        found.grade,
                        "passed" if found.safe else "failed",
                        *(found.outcomes[name][0] for name in outcomes),
                        " ".join(found.lacking),
                    ]
                ),
                *(
                    [round(after[number].percent, 2), after[number].grade]
                    if number in after
                    else ["", ""]
                ),
            ]
        )
    marks = [
        ["candidate", "item", "outcome", "marks", "out_of", "reasons"],
        *(
            [number, item, row.outcome, row.marks, row.out_of, " ".join(json.loads(row.reasons))]
            for number in book.roll
            for item, row in book.marks.get(number, {}).items()
        ),
    ]
    changes = [
        ["time", "by", "kind", "candidate", "item", "old", "new", "reason"],
        *(
            [row.time, row.by, row.kind, row.candidate, row.item, row.old, row.new, row.reason]
            for row in book.changes()
        ),
    ]
    files = [
        ["candidate", "status", "lines", "check_number", "digest", "findings"],
        *(
            [
                row.candidate,
                row.status,
                row.lines,
                row.check_number,
                row.digest,
                " ".join(words for _, _, words in json.loads(row.findings)),
            ]
            for row in book.files()
        ),
    ]
    return [
        _table(folder / f"{name}.csv", rows)
        for name, rows in (
            ("results", results),
            ("marks", marks),
            ("changes", changes),
            ("files", files),
        )
    ]


def _table(path, rows):
    with open(
        path, "w", newline="", encoding="utf-8-sig"
    ) as file:  # the mark at the begin lets a spreadsheet read letters with accents
        csv.writer(file).writerows([harmless(cell) for cell in row] for row in rows)
    return path


def write_json(book, folder):
    """Write markbook.json with all of it but the key and the answer files. Returns the path."""
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    sitting = book.sitting
    table = {
        "sitting": {
            "id": sitting.id,
            "paper": sitting.paper,
            "versions": sitting.versions,
            "date": sitting.date,
            "place": sitting.place,
            "minutes": sitting.minutes,
            "package": sitting.package,
            "state": book.row.state,
        },
        "candidates": [_candidate(book, number) for number in book.roll],
        "changes": [
            {
                name: getattr(row, name)
                for name in ("time", "by", "kind", "candidate", "item", "old", "new", "reason")
            }
            for row in book.changes()
        ],
        "files": [
            {
                "candidate": row.candidate,
                "status": row.status,
                "lines": row.lines,
                "check_number": row.check_number,
                "digest": row.digest,
                "findings": json.loads(row.findings),
            }
            for row in book.files()
        ],
    }
    path = folder / "markbook.json"
    path.write_text(json.dumps(table, ensure_ascii=False, indent=1), encoding="utf-8")
    return path


def _candidate(book, number):
    found = book.results.get(number)
    entry = {
        "candidate": number,
        "name": book.roll[number],
        "status": book.status(number),
        "lost_minutes": book.minutes(number, "lost"),
        "break_minutes": book.minutes(number, "breaks"),
    }
    if found is not None:
        entry |= {
            "marks": found.got,
            "out_of": found.out_of,
            "percent": found.percent,
            "grade": found.grade,
            "safe": found.safe,
            "outcomes": {
                name: {"marks": got, "out_of": most, "achieved": achieved}
                for name, (got, most, achieved) in found.outcomes.items()
            },
            "lacking": list(found.lacking),
            "items": {
                item: {"marks": row.marks, "out_of": row.out_of, "reasons": json.loads(row.reasons)}
                for item, row in book.marks[number].items()
            },
        }
    return entry


def write_qti(book, folder):
    """Write the paper's questions, with the numbers of the first candidate, as questions.zip.

    Returns (path, ids written, ids left out).
    """
    from tractionlab.assess.markbook.qti import package

    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    number = next(iter(book.sitting.candidates))
    chosen = [items()[name] for name in book.sitting.paper["items"]]
    path = folder / "questions.zip"
    written, left = package(path, [(item, book.sitting.variant(item, number)) for item in chosen])
    return path, written, left
