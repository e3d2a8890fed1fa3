"""The clock of a sitting by the lines of its answer file: a break that a supervisor enters stops
it.
"""

from tractionlab.assess.answers import line as answer_line

GRACE = 30  #: seconds after the end in which an answer still counts


def paused(lines, most=float("inf")):
    """Seconds of break before each of the lines, and in the last place after all of them; a break
    that goes on counts up to the line.

    most : seconds of break that count in all
    """
    found, whole, since = [], 0, None
    for line in lines:
        time = answer_line.seconds(line["time"])
        on = max(0, time - since) if since is not None else 0
        found.append(min(whole + on, most))
        if line["kind"] == "break":
            since = time
        elif line["kind"] == "resume":
            whole, since = whole + on, None
    return [*found, min(whole, most)]


def seconds_worked(reading, now):
    """Seconds of the clock at the desk at a time [s since 1970], in a break those when it began."""
    begun = answer_line.seconds(reading.lines[0]["time"])
    if reading.on_break:
        now = answer_line.seconds(reading.break_line["time"])
    return now - begun - paused(reading.lines)[-1]


def late_work(reading, sheet, grace=GRACE):
    """Places of the lines that answer something after the end of the time, a set."""
    if not reading.lines:
        return set()
    begun = answer_line.seconds(reading.lines[0]["time"])
    pauses = paused(reading.lines, 60 * sheet.breaks)
    return {
        place
        for place, line in enumerate(reading.lines)
        if line["kind"] in answer_line.WORK
        and answer_line.seconds(line["time"]) - begun - pauses[place] > 60 * sheet.minutes + grace
    }


def breaks(lines):
    """[(number of the line, minutes, who entered it, why)] of the breaks; one that was not ended
    lasts to the last line.
    """
    found, begun = [], None
    for n, line in enumerate(lines, 1):
        if line["kind"] == "break":
            begun = (n, line)
        if begun and (line["kind"] == "resume" or n == len(lines)):
            first, entry = begun
            spent = answer_line.seconds(line["time"]) - answer_line.seconds(entry["time"])
            found.append((first, max(0, -(-spent // 60)), entry["by"], entry["reason"]))
            begun = None
    return found
