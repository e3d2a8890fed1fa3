"""The roll of a sitting: a CSV file with one row per candidate, read strictly."""

import csv
import re
from dataclasses import dataclass
from pathlib import Path

from tractionlab.errors import UserError

MOST = 200_000
_NEEDED = ("candidate", "name")
_MAY = ("extra_time_percent", "larger_print")
NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]{0,15}")
_YES = {"yes": True, "no": False, "": None}


@dataclass(frozen=True)
class Candidate:
    """One row: candidate number, name, extra time in per cent, larger print."""

    number: str
    name: str
    extra_percent: int = 0
    larger_print: bool = False


def read_roll(path, extra_percent=0, larger_print=False):
    """Candidates of a roll in the order of the file.

    The first line names the columns: candidate, name, and if wanted extra_time_percent (0 to 200)
    and larger_print (yes or no). Comma or semicolon between cells. `extra_percent` and
    `larger_print` hold for rows that do not say. A mistake is a UserError with line and column."""
    path = Path(path)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise UserError(
            f"{path}: there is no such roll. It is a CSV file with the columns candidate, name"
        ) from None
    except UnicodeDecodeError:
        raise UserError(
            f"{path}: the roll is not UTF-8 text. Save it as 'CSV UTF-8' in the spreadsheet"
        ) from None
    lines = text.splitlines()
    try:
        head, *rows = (
            csv.reader(lines, delimiter=";" if lines and ";" in lines[0] else ",", strict=True)
            if lines
            else ([],)
        )
    except csv.Error as problem:
        raise UserError(f"{path}: not a readable CSV file: {problem}") from None
    head = [cell.strip().lower() for cell in head]
    for column in head:
        if column not in (*_NEEDED, *_MAY) or head.count(column) > 1:
            raise UserError(
                f"{path}, line 1: the column {column!r} is unknown or appears twice; allowed"
                f" are {', '.join((*_NEEDED, *_MAY))}"
            )
    for column in _NEEDED:
        if column not in head:
            raise UserError(f"{path}, line 1: the column {column} is missing")
    filled = [
        (place, row) for place, row in enumerate(rows, 2) if any(cell.strip() for cell in row)
    ]
    if not 1 <= len(filled) <= MOST:
        raise UserError(f"{path}: a roll has 1 to {MOST} candidates, got {len(filled)}")
    found, seen = [], {}
    for place, row in filled:
        if len(row) != len(head):
            raise UserError(
                f"{path}, line {place}: needs {len(head)} cells, one for each column, got"
                f" {len(row)}"
            )
        candidate = _candidate(
            path,
            place,
            dict(zip(head, (cell.strip() for cell in row))),
            extra_percent,
            larger_print,
        )
        before = seen.setdefault(candidate.number.lower(), place)
        if before != place:
            raise UserError(
                f"{path}, line {place}, candidate: the number {candidate.number} stands in line"
                f" {before} already"
            )
        found.append(candidate)
    return found


def _candidate(path, place, cells, extra_percent, larger_print):
    if not NUMBER.fullmatch(cells["candidate"]):
        raise UserError(
            f"{path}, line {place}, candidate: must be 1 to 16 letters, digits and hyphens, got"
            f" {cells['candidate'][:40]!r}"
        )
    if not 1 <= len(cells["name"]) <= 80 or not cells["name"].isprintable():
        raise UserError(
            f"{path}, line {place}, name: must be 1 to 80 printable characters, got"
            f" {cells['name'][:100]!r}"
        )
    extra = cells.get("extra_time_percent", "")
    if extra and (not extra.isascii() or not extra.isdigit() or not int(extra[:4]) <= 200):
        raise UserError(
            f"{path}, line {place}, extra_time_percent: must be a whole number from 0 to 200, got"
            f" {extra[:40]!r}"
        )
    larger = cells.get("larger_print", "").lower()
    if larger not in _YES:
        raise UserError(
            f"{path}, line {place}, larger_print: must be yes or no, got {larger[:40]!r}"
        )
    return Candidate(
        cells["candidate"],
        cells["name"],
        int(extra) if extra else extra_percent,
        larger_print if _YES[larger] is None else _YES[larger],
    )
