"""Which of a candidate's files counts, and the marks that follow from it and from what persons
changed.
"""

import json

import sqlalchemy as sa

from tractionlab.assess.answers.reading import NOTES, read_answers
from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import tables as t

_HELD = "Held: the file has to be looked at first."
#: Kinds of change that set a mark of their own.
BY_HAND = ("mark", "observe")


def settle(db, sitting, numbers):
    """Bring the records of candidates up to date inside an open transaction.

    The longest clean file counts; files that it begins with are older copies; one that says
    something else makes both wait for a person. A file that a person accepted counts before all
    others, one that a person rejected never: whoever has no other gets no marks. Marks that a
    person set stay."""
    of_these = (t.files.c.sitting == sitting.id) & t.files.c.candidate.in_(numbers)
    found, accepted, rejected, by_hand = {}, {}, {}, {}
    for row in db.execute(
        sa.select(t.files).where(of_these).order_by(t.files.c.lines.desc(), t.files.c.digest)
    ):
        found.setdefault(row.candidate, []).append(row)
    for row in db.execute(
        sa.select(t.changes)
        .where(
            t.changes.c.sitting == sitting.id,
            t.changes.c.candidate.in_(numbers),
            t.changes.c.kind.in_(("accept", "reject", *BY_HAND)),
        )
        .order_by(t.changes.c.id)
    ):
        if row.kind == "accept":
            accepted[row.candidate] = row.new
            rejected.get(row.candidate, {}).pop(row.new, None)
        elif row.kind == "reject":
            rejected.setdefault(row.candidate, {})[row.new] = f"Rejected by {row.by}: {row.reason}"
            if accepted.get(row.candidate) == row.new:
                del accepted[row.candidate]
        else:
            by_hand.setdefault(row.candidate, set()).add(row.item)
    records, marks = [], []
    for number, files in found.items():
        out = rejected.get(number, {})
        left = [row for row in files if row.digest not in out]
        chosen, status = files[0], {}
        if left:
            chosen, status = _choose(sitting, number, left, accepted.get(number))
        status |= dict.fromkeys(out, "rejected")
        for row in files:
            if row.status != status[row.digest]:
                db.execute(
                    t.files.update()
                    .where(t.files.c.sitting == sitting.id, t.files.c.digest == row.digest)
                    .values(status=status[row.digest])
                )
        stands = "marked" if status[chosen.digest] == "counted" else status[chosen.digest]
        records.append(
            {"sitting": sitting.id, "candidate": number, "digest": chosen.digest, "status": stands}
        )
        kept = _kept(db, sitting, number, by_hand[number]) if number in by_hand else {}
        result = json.loads(chosen.result)
        if stands == "rejected":
            result = {
                item: [0.0, row[1], [out[chosen.digest]], 1, 0] for item, row in result.items()
            }
        elif stands == "held":
            result = {
                item: [0.0, out_of, [_HELD, *reasons], gate, 0]
                for item, (_, out_of, reasons, gate, _) in result.items()
            }
        marks += _marks(sitting, number, result, kept)
    for table, rows in ((t.records, records), (t.marks, marks)):
        db.execute(
            table.delete().where(table.c.sitting == sitting.id, table.c.candidate.in_(list(found)))
        )
        if rows:
            db.execute(table.insert(), rows)


def _choose(sitting, number, found, accepted):
    """(row that makes the record, {digest: status})."""
    status = {row.digest: "held" for row in found}
    picked = next((row for row in found if row.digest == accepted), None)
    if picked is not None:
        status |= {row.digest: "older" for row in found}
        status[picked.digest] = "counted"
        return picked, status
    graves = {row.digest for row in found if _grave(row)}
    clean = [row for row in found if row.digest not in graves]
    if not clean:
        return found[0], status
    longest = clean[0]
    if len(clean) > 1:
        whole = _trusted(sitting, number, longest)
        if not all(whole.startswith(_trusted(sitting, number, row)) for row in clean[1:]):
            return longest, status
    status |= {row.digest: "older" for row in clean}
    status[longest.digest] = "counted"
    return longest, status


def _grave(row):
    return any(code not in NOTES for code, _, _ in json.loads(row.findings))


def _trusted(sitting, number, row):
    content = t.unpacked(row.evidence)
    return content[: read_answers(content, sitting.sheet(number)).good].rstrip(b"\n")


def _kept(db, sitting, number, by_hand):
    """{item: row} of the marks that a person set."""
    mine = (t.marks.c.sitting == sitting.id) & (t.marks.c.candidate == number)
    return {
        row.item: row for row in db.execute(sa.select(t.marks).where(mine)) if row.item in by_hand
    }


def _marks(sitting, number, result, kept):
    """Rows for the marks of a candidate: those a person set, and for the others what the file
    gives.
    """
    rows = []
    for item in sitting.paper["items"]:
        if item in kept:
            old = kept[item]
            rows.append(
                _mark(
                    sitting, number, item, old.marks, old.out_of, old.reasons, old.gate, old.exact
                )
            )
        elif item in result:
            got, out_of, reasons, gate, exact = result[item]
            rows.append(_mark(sitting, number, item, got, out_of, t.as_text(reasons), gate, exact))
    return rows


def _mark(sitting, number, item, got, out_of, reasons, gate, exact):
    return {
        "sitting": sitting.id,
        "candidate": number,
        "item": item,
        "outcome": items()[item].outcome,
        "marks": got,
        "out_of": out_of,
        "reasons": reasons,
        "gate": gate,
        "exact": exact,
    }
