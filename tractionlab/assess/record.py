"""Which of a candidate's files counts, and the marks that follow from it and from what persons changed."""
import json

import sqlalchemy as sa

from tractionlab.assess import store as t
from tractionlab.assess.answer_reading import NOTES, read_answers
from tractionlab.assess.item import items

#: Kinds of change that set a mark of their own.
BY_HAND = ("mark", "observe")


def settle(db, sitting, number):
    """Bring a candidate's record up to date inside an open transaction.

    The longest clean file counts; files that it begins with are older copies; one that says something else makes both wait for a person.
    A file that a person accepted counts before all others. Marks that a person set stay.
    """
    of_candidate = (t.files.c.sitting == sitting.id) & (t.files.c.candidate == number)
    found = db.execute(sa.select(t.files).where(of_candidate).order_by(t.files.c.lines.desc(), t.files.c.digest)).all()
    if not found:
        return
    accepted = accepted_digest(db, sitting.id, number)
    chosen, status = _choose(sitting, number, found, accepted)
    for row in found:
        if row.status != status[row.digest]:
            db.execute(t.files.update().where(of_candidate, t.files.c.digest == row.digest).values(status=status[row.digest]))
    mine = (t.records.c.sitting == sitting.id) & (t.records.c.candidate == number)
    db.execute(t.records.delete().where(mine))
    db.execute(t.records.insert().values(sitting=sitting.id, candidate=number, digest=chosen.digest,
                                         status="marked" if status[chosen.digest] == "counted" else "held"))
    _write_marks(db, sitting, number, json.loads(chosen.result), status[chosen.digest] == "counted")


def accepted_digest(db, sitting, number):
    """Digest of the file that a person accepted last for a candidate, or None."""
    return db.execute(sa.select(t.changes.c.new).where(
        t.changes.c.sitting == sitting, t.changes.c.candidate == number, t.changes.c.kind == "accept").order_by(t.changes.c.id.desc())).scalar()


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
    longest, texts = clean[0], {row.digest: _trusted(sitting, number, row) for row in clean}
    others = [row for row in clean[1:] if not texts[longest.digest].startswith(texts[row.digest])]
    if others:
        return longest, status
    status |= {row.digest: "older" for row in clean}
    status[longest.digest] = "counted"
    return longest, status


def _grave(row):
    return any(code not in NOTES for code, _, _ in json.loads(row.findings))


def _trusted(sitting, number, row):
    content = t.unpacked(row.evidence)
    return content[:read_answers(content, sitting.sheet(number)).good].rstrip(b"\n")


def _write_marks(db, sitting, number, result, counts):
    mine = (t.marks.c.sitting == sitting.id) & (t.marks.c.candidate == number)
    by_hand = {row.item: row for row in db.execute(sa.select(t.changes).where(
        t.changes.c.sitting == sitting.id, t.changes.c.candidate == number, t.changes.c.kind.in_(BY_HAND)).order_by(t.changes.c.id)).all()}
    kept = {row.item: row for row in db.execute(sa.select(t.marks).where(mine)).all() if row.item in by_hand}
    db.execute(t.marks.delete().where(mine))
    rows = []
    for item in sitting.paper["items"]:
        if item in kept:
            old = kept[item]
            rows.append(_mark(sitting, number, item, old.marks, old.out_of, json.loads(old.reasons), old.gate, old.exact))
        elif item in result:
            got, out_of, reasons, gate, exact = result[item]
            rows.append(_mark(sitting, number, item, got if counts else 0.0, out_of,
                              reasons if counts else ["Held: the file has to be looked at first.", *reasons], gate, exact if counts else 0))
    if rows:
        db.execute(t.marks.insert(), rows)


def _mark(sitting, number, item, got, out_of, reasons, gate, exact):
    return {"sitting": sitting.id, "candidate": number, "item": item, "outcome": items()[item].outcome, "marks": got, "out_of": out_of,
            "reasons": t.as_text(reasons), "gate": gate, "exact": exact}
