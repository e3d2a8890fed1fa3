"""Reading the markbook: one sitting with its roll, marks and results."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import sqlalchemy as sa

from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.result import Result, result
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.sitting.sitting import Sitting
from tractionlab.errors import UserError


@dataclass
class Book:
    """One sitting of a Store. What it reads it keeps; make a new one after a change."""

    store: Store
    row: Any

    @cached_property
    def sitting(self) -> Sitting:
        """The Sitting as it was issued, with lost time and breaks that were given since."""
        table = json.loads(self.row.sealed)
        table.pop("format")
        return Sitting(**table).with_given(self.given)

    @cached_property
    def given(self) -> dict[str, dict[str, int]]:
        """{number: {"lost": minutes given back, "breaks": minutes that count}}."""
        return self.store.given(self.row.id)

    def minutes(self, number: str, what: str) -> int:
        """Minutes of "lost" time or of "breaks" that a candidate was given."""
        return self.given.get(number, {}).get(what, 0)

    @cached_property
    def roll(self) -> dict[str, str]:
        """{number: name} in the order of the roll; names that were deleted are empty."""
        found = {
            row.candidate: row.name
            for row in self.store.rows(
                sa.select(t.candidates).where(t.candidates.c.sitting == self.row.id)
            )
        }
        return {number: found[number] for number in self.sitting.candidates if number in found}

    @cached_property
    def records(self) -> dict[str, Any]:
        """{number: row} of candidates with a file that counts, is held or was rejected."""
        return {
            row.candidate: row
            for row in self.store.rows(
                sa.select(t.records).where(t.records.c.sitting == self.row.id)
            )
        }

    @cached_property
    def marks(self) -> dict[str, dict[str, Any]]:
        """{number: {item: row}}, the items in the order of the paper."""
        found: dict[str, dict[str, Any]] = {}
        place = {item: k for k, item in enumerate(self.sitting.paper["items"])}
        for row in sorted(
            self.store.rows(sa.select(t.marks).where(t.marks.c.sitting == self.row.id)),
            key=lambda row: place[row.item],
        ):
            found.setdefault(row.candidate, {})[row.item] = row
        return found

    @cached_property
    def results(self) -> dict[str, Result]:
        """{number: Result} of all candidates with marks."""
        return {
            number: result(
                self.sitting.paper,
                {
                    item: (row.marks, row.gate, row.exact)
                    for item, row in self.marks[number].items()
                },
            )
            for number in self.roll
            if number in self.marks
        }

    def changes(self, number: str | None = None) -> Sequence[Any]:
        """Rows of history, oldest first."""
        query = (
            sa.select(t.changes).where(t.changes.c.sitting == self.row.id).order_by(t.changes.c.id)
        )
        return self.store.rows(
            query if number is None else query.where(t.changes.c.candidate == number)
        )

    def files(self, number: str | None = None) -> Sequence[Any]:
        """Rows of files, without their bytes."""
        columns = [column for column in t.files.c if column.name not in ("evidence", "result")]
        query = (
            sa.select(*columns)
            .where(t.files.c.sitting == self.row.id)
            .order_by(t.files.c.candidate, t.files.c.lines.desc())
        )
        return self.store.rows(
            query if number is None else query.where(t.files.c.candidate == number)
        )

    def evidence(self, digest: str) -> bytes:
        """Frozen bytes of a file."""
        kept = self.store.rows(
            sa.select(t.files.c.evidence).where(
                t.files.c.sitting == self.row.id, t.files.c.digest == digest
            )
        )
        return t.unpacked(kept[0].evidence)

    def status(self, number: str) -> str:
        """marked, held, rejected; without a file by hand (a person entered marks for answers on
        paper) or absent.
        """
        if number in self.records:
            return self.records[number].status
        written = (items()[name].kind != "checklist" for name in self.marks.get(number, {}))
        return "by hand" if any(written) else "absent"

    def candidate(self, number: str) -> str:
        """The number, if it is on the roll; else a UserError."""
        if number not in self.roll:
            shown = ", ".join(list(self.roll)[:12]) + (" ..." if len(self.roll) > 12 else "")
            raise UserError(
                f"Candidate {number!r} is not on the roll of {self.row.id}; there are {shown}"
            )
        return number

    def item(self, number: str, item: str) -> Any:
        """Row of a candidate's marks for an item; else a UserError."""
        found = self.marks.get(number, {})
        if item not in found:
            raise UserError(
                f"Candidate {number} has no marks for {item!r}; there are"
                f" {', '.join(found) or 'none'}"
            )
        return found[item]

    def must_be_open(self) -> None:
        """Raise UserError if marks are released or locked."""
        if self.row.state != "open":
            raise UserError(
                f"The marks of {self.row.id} are {self.row.state}. Open them first: python3 -m"
                " tractionlab markbook reopen --by NAME --reason ..."
            )


def open_book(store: Store, wanted: str = "") -> Book:
    """Book of the sitting with this id, or of the only one."""
    return Book(store, store.sitting(wanted))
