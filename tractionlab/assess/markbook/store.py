"""A markbook in any database that SQLAlchemy reaches; SQLite in one file unless another address is
given.
"""

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote

import sqlalchemy as sa

from tractionlab.assess.markbook.tables import METADATA, SCHEMA, about, changes, sittings
from tractionlab.errors import UserError

DEFAULT = "sqlite:///markbook.sqlite"
#: Kinds of changes that give minutes to a candidate, and of what.
GIVEN = {"time": "lost", "break": "breaks"}
#: What SQLite says of a file -> what a person can do about it.
_OF_SQLITE = {
    "unable to open database file": "its folder is not there, or may not be used",
    "file is not a database": "that file is no markbook",
}


class Store:
    """A markbook at an SQLAlchemy address such as `sqlite:///markbook.sqlite` or
    `postgresql+psycopg://...`. A plain path means an SQLite file.
    """

    def __init__(self, address: str = DEFAULT) -> None:
        address = address if "://" in address else f"sqlite:///{address}"
        try:
            self.address, self.only_read = _without_password(address), _only_read(address)
            self.engine = sa.create_engine(self.only_read or address)
            if self.engine.dialect.name == "sqlite" and not self.only_read:
                sa.event.listen(self.engine, "connect", _safe_sqlite)
            if not self.only_read:
                _make(address, self.engine)
            self._check_schema()
        except sa.exc.ArgumentError:
            raise UserError(
                f"--store {address!r} is no address of a database; write sqlite:///markbook.sqlite"
                " or a file name"
            ) from None
        except (sa.exc.SQLAlchemyError, ModuleNotFoundError) as problem:
            shown = str(getattr(problem, "orig", None) or problem).splitlines()[0]
            place = _without_password(address).removeprefix("sqlite:///")
            raise UserError(
                f"The markbook {place} cannot be opened: {_OF_SQLITE.get(shown, shown)}"
            ) from None

    def _check_schema(self) -> None:
        found = self.rows(sa.select(about.c.schema))
        if not found or found[0].schema != SCHEMA:
            edition = found[0].schema if found else "none"
            raise UserError(
                f"The markbook has tables of edition {edition}, this course of edition {SCHEMA}."
                " Use the edition of the course that made it."
            )

    @contextmanager
    def begin(self) -> Iterator[sa.Connection]:
        """A connection in one transaction: all of it is kept, or nothing.

        A database that cannot be written is a UserError.
        """
        if self.only_read:
            raise UserError(
                f"The markbook {self.address} can only be read here. Copy it to a folder of your"
                " own to change it."
            )
        try:
            with self.engine.begin() as db:
                yield db
        except sa.exc.OperationalError as problem:
            shown = str(problem.orig).splitlines()[0]
            raise UserError(
                f"The markbook {self.address} cannot be written ({shown}). What was written before"
                " is safe; mend that, and start the same command again."
            ) from None

    def rows(self, query: sa.Select) -> Sequence[Any]:
        """All rows of a query."""
        with self.engine.connect() as db:
            return db.execute(query).all()

    def sitting(self, wanted: str = "") -> Any:
        """Row of the sitting with this id, or of the only one; UserError names those there are."""
        found = self.rows(sa.select(sittings).order_by(sittings.c.date, sittings.c.id))
        chosen = [row for row in found if row.id == wanted] if wanted else found
        if len(chosen) != 1:
            known = (
                ", ".join(row.id for row in found)
                or "none yet; run `python3 -m tractionlab mark` first"
            )
            raise UserError(f"Name one sitting with --sitting. The markbook has: {known}")
        return chosen[0]

    def given(self, sitting: str) -> dict[str, dict[str, int]]:
        """{number: {"lost": minutes, "breaks": minutes}} that persons gave in the sitting with this
        id, as far as they did; the last word on a candidate counts.
        """
        found: dict[str, dict[str, int]] = {}
        for row in self.rows(
            sa.select(changes.c.candidate, changes.c.kind, changes.c.new)
            .where(changes.c.sitting == sitting, changes.c.kind.in_(GIVEN))
            .order_by(changes.c.id)
        ):
            found.setdefault(row.candidate, {})[GIVEN[row.kind]] = int(row.new)
        return found

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()


def _make(address: str, engine: sa.Engine) -> None:
    """Tables and their edition, where there are none yet; a new SQLite file is for no other account
    of the machine. Of several who begin at once, one makes the tables and the others wait.
    """
    url = sa.make_url(address)
    if url.get_backend_name() == "sqlite" and url.database and Path(url.database).parent.is_dir():
        Path(url.database).touch(mode=0o600)
    with engine.connect() as db:
        if engine.dialect.name == "sqlite":
            db.exec_driver_sql("BEGIN IMMEDIATE")
        METADATA.create_all(db)
        if db.execute(sa.select(about.c.schema)).first() is None:
            db.execute(about.insert().values(schema=SCHEMA))
        db.commit()


def _only_read(address: str) -> str:
    """Address under which an SQLite file that may not be written can be read, as on a disc; ""
    where writing is possible.
    """
    url = sa.make_url(address)
    path = Path(url.database) if url.get_backend_name() == "sqlite" and url.database else None
    if (
        path is None
        or not path.is_file()
        or (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK))
    ):
        return ""
    waiting = path.with_name(f"{path.name}-wal")
    how = "mode=ro" if waiting.is_file() and waiting.stat().st_size else "mode=ro&immutable=1"
    return f"sqlite:///file:{quote(str(path.absolute()))}?{how}&uri=true"


def _safe_sqlite(connection: Any, _: object) -> None:
    connection.execute("PRAGMA busy_timeout=20000")
    connection.execute("PRAGMA journal_mode=WAL")
    connection.execute("PRAGMA synchronous=FULL")
    connection.execute("PRAGMA foreign_keys=ON")
    connection.execute("PRAGMA secure_delete=ON")


def _without_password(address: str) -> str:
    try:
        return sa.make_url(address).render_as_string(hide_password=True)
    except sa.exc.ArgumentError:
        return address
