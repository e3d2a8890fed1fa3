"""What marking has to say: counts by status, odd files by name, candidates without a file."""

import json
from collections import Counter
from dataclasses import dataclass, field

import sqlalchemy as sa

from tractionlab.assess.answers.reading import Finding
from tractionlab.assess.markbook import tables as t


@dataclass
class Told:
    """What marking has to say: counts by status, a line for every file that a person should know
    of, candidates without a file.
    """

    counts: Counter = field(default_factory=Counter)
    named: list = field(default_factory=list)
    absent: list = field(default_factory=list)

    def name(self, name, words):
        self.named.append((name, words))


def tell(store, sitting, told):
    """Count the files by status and name every one that a person should know of."""
    query = (
        sa.select(
            t.names.c.name,
            t.names.c.digest,
            t.names.c.problem,
            t.files.c.status,
            t.files.c.candidate,
            t.files.c.findings,
        )
        .select_from(
            t.names.outerjoin(
                t.files,
                (t.files.c.sitting == t.names.c.sitting) & (t.files.c.digest == t.names.c.digest),
            )
        )
        .where(t.names.c.sitting == sitting.id)
        .order_by(t.names.c.name)
    )
    first_name = {}
    for name, digest, problem, status, candidate, findings in store.rows(query):
        if problem:
            told.counts["not read"] += 1
            told.name(name, problem)
            continue
        if digest in first_name:
            told.counts["duplicates"] += 1
            told.name(name, f"It is the same file as {first_name[digest]} and counts once.")
            continue
        first_name[digest] = name
        told.counts[status] += 1
        found = [Finding(*one) for one in json.loads(findings)]
        words = " ".join(one.words for one in found)
        if status != "counted" or found:
            told.name(name, f"{_STATUS[status].format(candidate=candidate)} {words}".strip())
    there = {
        number
        for (number,) in store.rows(
            sa.select(t.records.c.candidate).where(t.records.c.sitting == sitting.id)
        )
    }
    told.absent = [number for number in sitting.candidates if number not in there]


_STATUS = {
    "counted": "Candidate {candidate}, counted.",
    "older": "Candidate {candidate}: an older copy of a file that counted.",
    "held": "Candidate {candidate}: HELD, gives no mark until you have looked at it.",
    "rejected": "Candidate {candidate}: rejected by a person, gives no mark.",
    "refused": "REFUSED, gives no mark.",
}
