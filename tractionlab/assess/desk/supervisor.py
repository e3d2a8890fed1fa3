"""What a supervisor enters at a candidate's desk, by name: lost time that is given back, and breaks
that stop the clock.
"""

from tractionlab.assess.answers.reading import given_minutes
from tractionlab.errors import UserError


def give_time(desk, minutes, by, reason):
    """Let the clock run longer; returns what to say. Marking names it for the markbook."""
    if desk.phase() not in ("working", "over"):
        raise UserError("Lost time is given back while the paper is open.")
    by, reason = _named(by), _said(reason)
    given = given_minutes(minutes)
    if not given:
        raise UserError("Lost minutes must be 1 or more.")
    desk.file.add("time", minutes=given, by=by, reason=reason)
    return f"{given} minutes given back by {by}. They count once the assessor has entered them too."


def begin_break(desk, by, reason):
    """Stop the clock and close the paper; returns what to say."""
    if desk.phase() != "working":
        raise UserError("A break begins while the time runs.")
    desk.file.add("break", by=_named(by), reason=_said(reason))
    desk.bench.children = ()
    return ""


def end_break(desk, by):
    """Let the clock run again; returns what to say."""
    if desk.phase() != "break":
        raise UserError("There is no break to end.")
    desk.file.add("resume", by=_named(by))
    return "The break has ended, and the clock runs."


ENTERED = {"lost_time": give_time, "break": begin_break, "resume": end_break}


def _named(by):
    return _text(by, "name")


def _said(reason):
    return _text(reason, "reason")


def _text(text, what):
    if not isinstance(text, str) or not 1 <= len(text.strip()) <= 200:
        raise UserError(f"The supervisor writes the {what}, in at most 200 characters.")
    return text.strip()
