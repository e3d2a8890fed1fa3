"""What a supervisor enters for a candidate, by name, at the desk or on the supervisor's own page:
lost time that is given back, and breaks that stop the clock. Each writes a line into the answer
file at a phase of the sitting (`clock.py`) and returns what to say.
"""

from tractionlab.assess.answers.reading import given_minutes
from tractionlab.errors import UserError


def give_time(file, phase, minutes, by, reason):
    """Let the clock run longer. Marking names it for the markbook."""
    if phase not in ("working", "over"):
        raise UserError("Lost time is given back while the paper is open.")
    by, reason = _named(by), _said(reason)
    given = given_minutes(minutes)
    if not given:
        raise UserError("Lost minutes must be 1 or more.")
    file.add("time", minutes=given, by=by, reason=reason)
    return f"{given} minutes given back by {by}. They count once the assessor has entered them too."


def begin_break(file, phase, by, reason):
    """Stop the clock and close the paper."""
    if phase != "working":
        raise UserError("A break begins while the time runs.")
    file.add("break", by=_named(by), reason=_said(reason))
    return ""


def end_break(file, phase, by):
    """Let the clock run again."""
    if phase != "break":
        raise UserError("There is no break to end.")
    file.add("resume", by=_named(by))
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
