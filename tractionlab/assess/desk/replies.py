"""What the desk says to a candidate: what was not saved, what is odd about the form of a number,
what to know before the start.
"""

import inspect
from datetime import date, datetime

from tractionlab import __version__
from tractionlab.written.numbers import Unreadable, read

#: Codes of `Strange` for what a person may type; a desk in a browser sends nothing else that is
#: refused.
TYPED = {"too_long", "too_many", "too_big", "control_character", "full"}


def odd(words, ask=0):
    """The answer to what no desk sends by itself; the server of an exam room notes it."""
    return {"kind": "refused", "ask": ask, "words": words, "odd": True}


def closed(phase, ask):
    """The answer to what comes after the time or in a break; before the start and after handing in
    a desk sends nothing.
    """
    if phase not in ("over", "break"):
        return odd("Not saved: the paper is not open.", ask)
    why = "the time is over" if phase == "over" else "the paper is closed for the break"
    return {"kind": "refused", "ask": ask, "words": f"Not saved: {why}."}


def takes(work, values):
    """True if a method takes values of these names."""
    try:
        inspect.signature(work).bind(**values)
    except TypeError:
        return False
    return True


def not_saved(problem):
    """That the answer file cannot be written, from the OSError."""
    return (
        f"NOT saved: the answer file cannot be written ({problem.strerror}). Stop typing and tell"
        " the supervisor; what was saved before is safe."
    )


def form_note(field, value):
    """What is wrong with the form of a number, never whether it is right."""
    if field["kind"] != "number" or not str(value).strip():
        return ""
    try:
        reading = read(str(value))
    except Unreadable as problem:
        return str(problem)
    return (
        "This question asks for a unit too." if field.get("unit_asked") and not reading.unit else ""
    )


def pause(line):
    """What to say in a break that a line of the answer file began; "" in none."""
    if line is None:
        return ""
    since = datetime.fromisoformat(line["time"]).astimezone().strftime("%H:%M")
    return (
        f"Break since {since}, entered by {line['by']}: {line['reason']}. The clock stands, and the"
        " paper is closed. Your answers are saved."
    )


def notice(sheet, reading):
    """That the paper is of another edition or for another day, or that a damaged end of the answer
    file was set aside; "" if all is well.
    """
    if sheet["package"] != __version__:
        return (
            f"This paper was made with edition {sheet['package']} of the course, this is"
            f" edition {__version__}. "
            + (
                "Draw a new one if something does not fit."
                if "practice" in sheet
                else "Tell the supervisor."
            )
        )
    today = date.today().isoformat()
    if "practice" not in sheet and not reading.lines and sheet["date"] != today:
        return (
            f"This paper is for {sheet['date']}, and the clock of this machine says {today}. Tell"
            " the supervisor before you start: work of another day is held."
        )
    mended = [line for line in reading.lines if line["kind"] == "mended"]
    return (
        f"A damaged end of your answer file was set aside ({mended[-1]['aside']}). Look through"
        " your last answers, and tell the supervisor."
        if mended
        else ""
    )
