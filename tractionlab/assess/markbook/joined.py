"""The result that a first sitting and its resits in the same markbook give together."""

from hashlib import sha256

import sqlalchemy as sa

from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.book import Book
from tractionlab.assess.markbook.result import OUTCOME_PERCENT, by_rules, tallies


def belongs(book):
    """How the id of each resit paper of this sitting begins."""
    return f"resit-{sha256(book.row.id.encode()).hexdigest()[:8]}"


def resits(book):
    """Books of the resits of this sitting that are in the same markbook, oldest first."""
    query = sa.select(t.sittings).where(t.sittings.c.paper.startswith(f"{belongs(book)}-"))
    rows = book.store.rows(query.order_by(t.sittings.c.date, t.sittings.c.id))
    return [Book(book.store, row) for row in rows]


def joined(book):
    """{number: Result} of those who sat a resit: for each outcome the better one of all tries
    counts as a whole, its share applied to the marks of the first paper. Better is a try
    that achieved the outcome, safety gate included; then one with the exact fault; then the larger
    share. A gate counts as passed only where its practical was seen.

    A candidate whose name differs from the first roll's is another person and is not joined."""
    rules, found = book.sitting.paper["rules"], {}
    for resit in resits(book):
        for number in resit.results:
            if number not in book.results or "held" in (book.status(number), resit.status(number)):
                continue
            if book.roll[number] and resit.roll[number] not in ("", book.roll[number]):
                continue
            best = found.setdefault(number, _tallies(book, number))
            for name, again in _tallies(resit, number).items():
                least = rules.get("outcome_percent", {}).get(name, OUTCOME_PERCENT)
                scaled = again._replace(
                    got=again.share / 100.0 * best[name].out_of, out_of=best[name].out_of
                )
                best[name] = max(
                    best[name],
                    scaled,
                    key=lambda one, least=least: (
                        one.gate and one.share >= least,
                        one.exact,
                        one.share,
                    ),
                )
    return {number: by_rules(rules, best) for number, best in found.items()}


def _tallies(book, number):
    """Tallies of one try; a practical that was not entered was not seen, so its gate is open."""
    unseen = [name for name in book.sitting.paper["items"] if items()[name].kind == "checklist"]
    marks = dict.fromkeys(unseen, (0.0, 0, 0))
    marks |= {item: (row.marks, row.gate, row.exact) for item, row in book.marks[number].items()}
    return tallies(book.sitting.paper, marks)
