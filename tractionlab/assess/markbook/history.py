"""The history of a markbook: everything that a person did, never altered."""

from dataclasses import asdict, dataclass

import sqlalchemy as sa

from tractionlab.assess.answers.line import now
from tractionlab.assess.markbook.tables import changes


@dataclass(frozen=True)
class Entry:
    """One line of history: `kind` as the table of changes lists them, who did it, to whose marks of
    which item, what stood there before and after, and why.
    """

    kind: str
    by: str
    candidate: str = ""
    item: str = ""
    old: str = ""
    new: str = ""
    reason: str = ""


def note(db: sa.Connection, sitting: str, entry: Entry) -> None:
    """Write an Entry into the history of the sitting with this id, with the time."""
    db.execute(changes.insert().values(sitting=sitting, time=now(), **asdict(entry)))
