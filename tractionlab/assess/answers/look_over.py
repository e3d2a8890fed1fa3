"""What is odd in the lines of an answer file that can be trusted: clocks, late answers, formulas,
lost time, a damaged end.
"""

import re

from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers.worked import breaks

#: Seconds by which a machine's clock may go back in all without a question.
LARGEST_STEP_BACK = 300
_FORMULA = re.compile(r"\s*([=@\uff1d\uff20]|[+-]\s*[^\W\d])")


def look_over(reading, late):
    """Note in an AnswerReading with lines what the assessor should know; `late`: how many answers
    came after the end of the time.
    """
    times = [answer_line.seconds(line["time"]) for line in reading.lines]
    _look_at_clock(reading, times)
    if late:
        reading.note(
            "late",
            0,
            f"{late} answer{'s' if late > 1 else ''} came after the end of the time and did not"
            " count.",
        )
    formulas = [
        n
        for n, line in enumerate(reading.lines, 1)
        if isinstance(line.get("value"), str) and _FORMULA.match(line["value"])
    ]
    if formulas:
        reading.note(
            "formula",
            formulas[0],
            f"{_lines(formulas)}: the answer begins like a spreadsheet "
            "formula. It is kept as text and never run.",
        )
    entered = {n: line for n, line in enumerate(reading.lines, 1) if line["kind"] == "time"}
    if entered:
        rows = [
            f"{line['by'][:80]} entered {line['minutes']} minutes of lost time at the desk "
            f"({line['reason'][:200]})"
            for line in list(entered.values())[:3]
        ]
        rows += [f"{len(entered) - 3} more such entries"] * (len(entered) > 3)
        reading.note(
            "time_entered",
            min(entered),
            f"{_lines(entered)}: {'; '.join(rows)}. "
            "They count as far as the markbook gives them (markbook time).",
        )
    if entered := breaks(reading.lines):
        rows = [
            f"{by[:80]} entered a break of {minutes} min at the desk ({reason[:200]})"
            for _, minutes, by, reason in entered[:3]
        ]
        rows += [f"{len(entered) - 3} more breaks"] * (len(entered) > 3)
        reading.note(
            "break_entered",
            entered[0][0],
            f"{_lines([n for n, *_ in entered])}: {'; '.join(rows)}. "
            "Breaks count as far as the markbook gives them (markbook break).",
        )
    mended = {n: line for n, line in enumerate(reading.lines, 1) if line["kind"] == "mended"}
    if mended:
        newest = mended[max(mended)]
        reading.note(
            "mended",
            min(mended),
            f"{_lines(mended)}: a damaged end of {newest['bytes']} bytes "
            f"was set aside as {newest['aside']}.",
        )
    if not reading.handed_in and not reading.grave:
        reading.note("not_handed_in", 0, "The work was not handed in.")


def _look_at_clock(reading, times):
    """Note where the machine's clock went back; by more than some minutes a person has to look."""
    back = {
        place + 1: times[place - 1] - times[place]
        for place in range(1, len(times))
        if times[place] < times[place - 1]
    }
    if not back:
        return
    total, several = sum(back.values()), " in all" if len(back) > 1 else ""
    if total <= LARGEST_STEP_BACK:
        words = f"{_lines(back)}: the clock of the machine went back by {total} s{several}."
        return reading.note("clock_back", min(back), words)
    clocks = [line["time"][11:19] for line in reading.lines]
    steps = [f"line {n} from {clocks[n - 2]} to {clocks[n - 1]}" for n in list(back)[:3]]
    steps += [f"{len(back) - 3} more"] * (len(back) > 3)
    given = dict.fromkeys(
        line["item"] for line in reading.lines[min(back) - 1 :] if line["kind"] in answer_line.WORK
    )
    answered = ", ".join(list(given)[:6]) + (
        f" and {len(given) - 6} more" if len(given) > 6 else ""
    )
    reading.note(
        "clock_set_back",
        min(back),
        f"The clock of the machine was set back by {total // 60} min {total % 60} s{several}"
        f" ({'; '.join(steps)}, UTC). Answered after that: {answered or 'nothing'}.",
    )


def _lines(numbers, most=5):
    """Which lines, in words; of many the first ones and how many more."""
    first = [str(number) for number in list(numbers)[:most]]
    rest = f" and {len(numbers) - most} more" if len(numbers) > most else ""
    return f"Line{'s' if len(numbers) > 1 else ''} {', '.join(first)}{rest}"
