"""How far a candidate's sitting is: its phase, and the seconds that are left of its time."""

from tractionlab.assess.answers.reading import lost_at_desk
from tractionlab.assess.answers.worked import seconds_worked


def phase(reading, sheet, now):
    """ready, working, break, over or handed_in, from the answer file as it was read and the sheet,
    at a time [s since 1970].
    """
    if reading.handed_in:
        return "handed_in"
    if not reading.lines:
        return "ready"
    if reading.on_break:
        return "break"
    return "working" if "practice" in sheet or seconds_left(reading, sheet, now) > 0 else "over"


def seconds_left(reading, sheet, now):
    """Seconds until the time is over; all of them before the start, and standing in a break."""
    whole = 60 * (sheet["minutes"] + lost_at_desk(reading))
    return whole - seconds_worked(reading, now) if reading.lines else whole
