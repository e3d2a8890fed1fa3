"""Time that persons give to candidates, by name and with a reason: lost time, and breaks that were
entered at the desk. The kept answers are marked again with it, and so is every file that comes
later.
"""

from tractionlab.assess.answers.reading import MOST_BREAK, MOST_LOST, given_minutes
from tractionlab.assess.markbook.history import Entry, note
from tractionlab.assess.markbook.marking import mark_kept
from tractionlab.assess.markbook.store import GIVEN

_ALLOWED = {"time": (MOST_LOST, "Lost minutes"), "break": (MOST_BREAK, "Minutes of breaks")}


def give(book, kind, numbers, text, by, reason):
    """Let candidates have so many minutes in all, and mark their kept files again.

    Parameters
    ----------
    kind : "time", lost minutes that are given back, or "break", minutes up to which the breaks that
        were entered at the desk stop the clock
    numbers : candidate numbers
    text : minutes as typed; 0 takes them back

    Returns
    -------
    {number: minutes before}, and the minutes now
    """
    book.must_be_open()
    before = {book.candidate(number): book.minutes(number, GIVEN[kind]) for number in numbers}
    minutes = given_minutes(text, *_ALLOWED[kind])
    with book.store.begin() as db:
        for number, old in before.items():
            note(db, book.row.id, Entry(kind, by, number, "", f"{old}", f"{minutes}", reason))
    given = {number: {**book.given.get(number, {}), GIVEN[kind]: minutes} for number in before}
    mark_kept(book.store, book.sitting.with_given(given), list(before))
    return before, minutes
