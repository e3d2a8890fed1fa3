"""A second person's answers: the sheet with the questions, the answers read back, and what they
say of the keys.
"""

import csv
from io import StringIO

from tractionlab.assess.bank.draw import variant
from tractionlab.assess.bank.item import items
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.proof.finding import Finding
from tractionlab.errors import UserError

#: The variant that `paper preview` shows, and that a second person's answers belong to.
PREVIEW = ("preview", "preview")
#: Kinds of fields whose key a second person's answer is compared with.
COMPARED = ("choice", "number")
NEEDS_PERSON = "no computation can tell: a second person has to answer it"
_COLUMNS = ("item", "field", "question", "options", "answer")


def by_person(item, part, second, by):
    answer = second.get((item.id, part.name))
    if answer is None:
        return Finding(item.id, part.name, "seen", NEEDS_PERSON, asked=True)
    marks = judge(item, variant(item, *PREVIEW), {part.name: answer}).by_field[part.name]
    if marks < part.marks:
        return Finding(
            item.id,
            part.name,
            "fails",
            f"{by} answers {answer!r}, and that is not the key",
            asked=True,
        )
    return Finding(item.id, part.name, "shown", f"{by} gives the same answer", asked=True)


def told_of(findings, second, by):
    """Sentences: how many fields a second person answered, and which answers were not used."""
    asked = {(finding.item, finding.field) for finding in findings if finding.asked}
    there = {(finding.item, finding.field) for finding in findings}
    unused = [
        f"{item}, {field} (not in this paper)"
        for item, field in second
        if (item, field) not in there
    ]
    unused += [
        f"{item}, {field} (no letter or number)"
        for item, field in second
        if (item, field) in there - asked and _part(item, field).kind not in COMPARED
    ]
    compared = len(second) - len(asked & set(second)) - len(unused)
    used = len(asked & set(second)) + compared
    if not second:
        return [
            f"A second person answered 0 of {len(there)} fields; {len(asked)} are questions that"
            " only a person can answer."
        ]
    said = [
        f"A second person ({by}) answered {used} of {len(there)} fields: {len(asked & set(second))}"
        f" of the {len(asked)} questions for a person; {compared} more answers were compared with"
        " computed keys."
    ]
    return said + ([f"Not used: {'; '.join(unused)}"] if unused else [])


def _part(item, field):
    return next(part for part in items()[item].fields if part.name == field)


def write_sheet(path, findings):
    """Write a CSV file with every question that a second person has to answer; the column `answer`
    is empty. Returns how many there are.
    """
    rows = []
    for finding in findings:
        if finding.kind == "seen" and finding.words == NEEDS_PERSON:
            drawn = variant(items()[finding.item], *PREVIEW)
            field = next(field for field in drawn.fields if field.name == finding.field)
            rows.append(
                (
                    finding.item,
                    finding.field,
                    f"{drawn.text} {field.label}",
                    "   ".join(f"{letter}) {words}" for letter, words in field.choices),
                    "",
                )
            )
    with open(path, "x", newline="", encoding="utf-8-sig") as file:
        csv.writer(file).writerows([_COLUMNS, *rows])
    return len(rows)


def read_second_key(path):
    """A second person's answers to the preview variants, from a CSV file with the columns item,
    field, answer; rows without an answer are passed over.
    """
    try:
        with open(path, newline="", encoding="utf-8-sig") as file:
            text = file.read()
            rows = list(
                csv.DictReader(
                    StringIO(text), delimiter=";" if ";" in text.split("\n", 1)[0] else ","
                )
            )
    except FileNotFoundError:
        raise UserError(f"{path}: there is no such file") from None
    except (OSError, UnicodeDecodeError, csv.Error):
        raise UserError(
            f"{path}: cannot be read as a table; save it as CSV in UTF-8, with the columns item,"
            " field, answer"
        ) from None
    found = {}
    for number, row in enumerate(rows, 2):
        if None in row or not {"item", "field", "answer"} <= set(row) or None in row.values():
            raise UserError(f"{path}, line {number}: needs the columns item, field, answer")
        if row["item"] not in items():
            raise UserError(f"{path}, line {number}: item {row['item']!r} is not in the item bank")
        if row["field"] not in [part.name for part in items()[row["item"]].fields]:
            raise UserError(
                f"{path}, line {number}: item {row['item']} has no field {row['field']!r}"
            )
        if row["answer"].strip():
            text = row["answer"].strip()
            found[row["item"], row["field"]] = (
                text.upper() if _part(row["item"], row["field"]).kind == "choice" else text
            )
    return found
