"""Lost time that is given back to one candidate, by name and with a reason: the kept answers are
marked again with it, and so is every file that comes later.
"""

from tractionlab.assess.answers.reading import lost_minutes
from tractionlab.assess.markbook.history import Entry, note
from tractionlab.assess.markbook.marking import mark_kept


def give(book, number, text, by, reason):
    """Let a candidate have so many lost minutes in all (0 takes them back), and mark the kept files
    again.

    Returns (minutes before, minutes now).
    """
    book.must_be_open()
    before, minutes = book.lost.get(book.candidate(number), 0), lost_minutes(text)
    with book.store.begin() as db:
        note(db, book.row.id, Entry("time", by, number, "", f"{before}", f"{minutes}", reason))
    mark_kept(book.store, book.sitting.with_lost({number: minutes}), number)
    return before, minutes
