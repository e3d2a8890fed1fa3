"""Personal data deleted from the markbook; marks stay under the number."""

import json
from datetime import date

import sqlalchemy as sa

from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.history import Entry, note
from tractionlab.errors import UserError


def forget(store, sitting, number, by, reason):
    """Delete name, conditions, answers and files of one candidate; marks stay under the number for
    statistics.
    """
    with store.begin() as db:
        mine = (t.candidates.c.sitting == sitting) & (t.candidates.c.candidate == number)
        db.execute(t.candidates.update().where(mine).values(name="", conditions="{}"))
        digests = [
            row.digest
            for row in db.execute(
                sa.select(t.files.c.digest).where(
                    t.files.c.sitting == sitting, t.files.c.candidate == number
                )
            )
        ]
        db.execute(
            t.names.delete().where(t.names.c.sitting == sitting, t.names.c.digest.in_(digests))
        )
        db.execute(
            t.files.update()
            .where(t.files.c.sitting == sitting, t.files.c.candidate == number)
            .values(evidence=t.packed(b""), result="{}", findings="[]")
        )
        db.execute(
            t.marks.update()
            .where(t.marks.c.sitting == sitting, t.marks.c.candidate == number)
            .values(reasons="[]")
        )
        sealed = json.loads(
            db.execute(sa.select(t.sittings.c.sealed).where(t.sittings.c.id == sitting)).scalar()
        )
        sealed["candidates"][number] |= {"name": "", "extra_percent": 0, "larger_print": False}
        db.execute(
            t.sittings.update()
            .where(t.sittings.c.id == sitting)
            .values(sealed=json.dumps(sealed, ensure_ascii=False, indent=1))
        )
        note(db, sitting, Entry("forget", by, number, reason=reason))


def older_than(store, day):
    """Ids of sittings before a day."""
    try:
        limit = date.fromisoformat(day).isoformat()
    except ValueError:
        raise UserError(f"--before must be written like 2024-09-01, got {day!r}") from None
    return [
        row.id for row in store.rows(sa.select(t.sittings.c.id).where(t.sittings.c.date < limit))
    ]
