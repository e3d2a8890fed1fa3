"""Files a sitting, its answer files and their names in the markbook."""

import json

import sqlalchemy as sa

from tractionlab.assess.answers.check_number import check_number
from tractionlab.assess.answers.worked import GRACE
from tractionlab.assess.markbook import tables as t
from tractionlab.errors import UserError


def open_sitting(store, sitting):
    """Enter the sitting and its roll, unless they are there; UserError if its marks are not open or
    it is another one under the same name.
    """
    try:
        _enter(store, sitting)
    except sa.exc.IntegrityError:  # somebody else entered it at the same moment
        _enter(store, sitting)


def _enter(store, sitting):
    with store.begin() as db:
        row = db.execute(sa.select(t.sittings).where(t.sittings.c.id == sitting.id)).first()
        if row is None:
            db.execute(
                t.sittings.insert().values(
                    id=sitting.id,
                    paper=sitting.paper["id"],
                    title=sitting.paper["title"],
                    date=sitting.date,
                    sealed=sitting.to_json(),
                    state="open",
                    package=sitting.package,
                )
            )
            for first in range(0, len(sitting.candidates), 500):
                db.execute(
                    t.candidates.insert(),
                    [
                        {
                            "sitting": sitting.id,
                            "candidate": number,
                            "name": one["name"],
                            "conditions": t.as_text(
                                {
                                    "extra_percent": one["extra_percent"],
                                    "larger_print": one["larger_print"],
                                }
                            ),
                        }
                        for number, one in list(sitting.candidates.items())[first : first + 500]
                    ],
                )
        elif json.loads(row.sealed)["key"] != sitting.key:
            raise UserError(
                f"The markbook knows the sitting {sitting.id} with another key. Use the key file it"
                " was marked with before."
            )
        elif row.state != "open":
            raise UserError(
                f"The marks of {sitting.id} are {row.state}. Open them first: python3 -m"
                " tractionlab markbook reopen --by NAME --reason ..."
            )


def grace(sitting, number):
    """Seconds after the issued end in which answers of a candidate count at the most."""
    one = sitting.candidates.get(number, {})
    return GRACE + 60.0 * (one.get("lost", 0) + one.get("breaks", 0))


def keep(db, sitting, batch):
    different = {marked.digest: marked for marked in batch}
    there = set(
        db.execute(
            sa.select(t.files.c.digest).where(
                t.files.c.sitting == sitting.id, t.files.c.digest.in_(list(different))
            )
        ).scalars()
    )
    new = []
    for digest, marked in different.items():
        found = {
            "candidate": marked.candidate,
            "status": marked.status,
            "lines": marked.lines,
            "grace": grace(sitting, marked.candidate),
            "result": t.as_text(marked.result),
            "findings": t.as_text([[one.code, one.line, one.words] for one in marked.findings]),
        }
        if digest in there:
            db.execute(
                t.files.update()
                .where(t.files.c.sitting == sitting.id, t.files.c.digest == digest)
                .values(found)
            )
        else:
            new.append(
                found
                | {
                    "sitting": sitting.id,
                    "digest": digest,
                    "evidence": t.packed(marked.evidence),
                    "check_number": check_number(marked.evidence) if marked.evidence else "",
                }
            )
    if new:
        db.execute(t.files.insert(), new)


def enter_names(db, sitting, named):
    """Enter [(name, digest, problem), ...]."""
    db.execute(
        t.names.delete().where(
            t.names.c.sitting == sitting.id, t.names.c.name.in_([name for name, _, _ in named])
        )
    )
    db.execute(
        t.names.insert(),
        [
            {"sitting": sitting.id, "name": name, "digest": digest, "problem": problem}
            for name, digest, problem in named
        ],
    )
