"""Reads an answer file by strict rules.

It never raises for what is in a file: it returns what can be trusted, and findings.
"""

import re
from dataclasses import dataclass, field

from tractionlab.assess.answers import line as answer_line
from tractionlab.errors import UserError
from tractionlab.written.line_file import Strange

LONGEST_FILE = 8_000_000  # bytes
MOST_LINES = 20_000
GRACE = 30  # seconds after the end in which an answer still counts
MOST_LOST = 240  # minutes of lost time that can be given back
#: Kinds of lines that answer something.
WORK = ("answer", "case")
#: Findings that only inform; any other one means that a file does not count until the assessor has
#: looked at it.
NOTES = {"time_entered", "torn_tail", "not_handed_in", "late", "clock_back", "mended", "formula"}
_FORMULA = re.compile(r"\s*([=@\uff1d\uff20]|[+-]\s*[^\W\d])")


@dataclass(frozen=True)
class Finding:
    """Something the assessor should know: a code, the number of the line (0 = the whole file), and
    a sentence.
    """

    code: str
    line: int
    words: str

    @property
    def grave(self):
        """True if the file does not count until a person has looked at it."""
        return self.code not in NOTES


@dataclass(frozen=True)
class Sheet:
    """What a true file of one candidate must agree with. `seal` starts the chain; `fields` maps
    item -> {field: kind of the lines that answer it}."""

    sitting: str
    paper: str
    candidate: str
    seal: str
    minutes: float
    fields: dict


def line_kind(field_kind):
    """Kind of the lines that answer a field: "case" for a repair case, else "answer"."""
    return "case" if field_kind == "case" else "answer"


@dataclass
class AnswerReading:
    """What was found in a file: trusted lines, findings, `good` = number of bytes that the trusted
    lines fill, hash of the last one.
    """

    lines: list = field(default_factory=list)
    findings: list = field(default_factory=list)
    good: int = 0
    last: str = ""

    def note(self, code, line, words):
        self.findings.append(Finding(code, line, words))

    @property
    def grave(self):
        """True if a finding forbids to count the file."""
        return any(finding.grave for finding in self.findings)

    @property
    def handed_in(self):
        """True if the last trusted line hands the work in."""
        return bool(self.lines) and self.lines[-1]["kind"] == "hand_in"

    def answers(self, until=None):
        """{item: {field: newest value, or the list of a case's steps}}.

        until : time [s since 1970] after which an answer no longer counts. A case counts up to its
            first late step: without a step from its middle it would be another case.
        """
        found, ended = {}, set()
        for line in self.lines:
            if line["kind"] not in WORK:
                continue
            late = until is not None and answer_line.seconds(line["time"]) > until
            place = line["item"], line["field"]
            if line["kind"] == "answer":
                if not late:
                    found.setdefault(line["item"], {})[line["field"]] = line["value"]
            elif late or place in ended:
                ended.add(place)
            else:
                fields = found.setdefault(line["item"], {})
                fields.setdefault(line["field"], []).append(line["entry"])
        return found


def claimed(content):
    """(sitting, candidate) that the first line of a file claims, or None; nothing is checked but
    its form.
    """
    try:
        line, _ = answer_line.read(content[: answer_line.LONGEST_LINE + 1].split(b"\n", 1)[0])
    except Strange:
        return None
    return (line["sitting"], line["candidate"]) if line["kind"] == "start" else None


def read_answers(content, sheet, grace=GRACE):
    """Read a file's bytes by the rules of `sheet`.

    Returns an AnswerReading, whatever the content is.
    """
    reading = AnswerReading(last=sheet.seal)
    if not content.strip():
        reading.note("empty", 0, "The file is empty.")
        return reading
    if len(content) > LONGEST_FILE:
        reading.note("too_large", 0, f"The file has more than {LONGEST_FILE} bytes.")
        return reading
    pieces = content.split(b"\n")
    if len(pieces) > MOST_LINES:
        reading.note("too_many_lines", 0, f"The file has more than {MOST_LINES} lines.")
        return reading
    for place, raw in enumerate(pieces):
        whole = place < len(pieces) - 1
        if not whole and not raw:
            break
        try:
            line, digest = answer_line.read(raw)
            check_place(line, place, reading, sheet)
        except Strange as problem:
            torn = place and not whole
            code, words = (
                ("torn_tail", "was not written to its end and is left out")
                if torn
                else (problem.code, str(problem))
            )
            reading.note(
                code,
                place + 1,
                f"Line {place + 1} {words}." + ("" if torn else " Nothing from there on counts."),
            )
            break
        reading.lines.append(line)
        reading.good += len(raw) + whole
        reading.last = digest
    _look_over(reading, sheet, grace)
    return reading


def check_place(line, place, reading, sheet):
    """Raise Strange if a line cannot stand at this place (0 = the first) after those of
    `reading`.
    """
    if reading.handed_in:
        raise Strange("after_hand_in", "was written after the work had been handed in")
    if (line["kind"] == "start") != (place == 0):
        raise Strange("out_of_order", "stands where it cannot stand")
    if place == 0:
        for name in ("sitting", "paper", "candidate"):
            if line[name] != getattr(sheet, name):
                raise Strange(f"foreign_{name}", f"belongs to another {name}")
        if line["format"] != answer_line.FORMAT:
            raise Strange("other_format", "is of another format")
    if line["n"] != place or line["before"] != reading.last:
        raise Strange(
            "wrong_seal" if place == 0 else "out_of_order",
            (
                "does not carry this candidate's seal"
                if place == 0
                else "does not follow from the line before it"
            ),
        )
    if line["kind"] in WORK:
        if line["item"] not in sheet.fields:
            raise Strange("unknown_item", "answers an item that is not in this paper")
        if line["field"] not in sheet.fields[line["item"]]:
            raise Strange("unknown_field", "answers a question that its item does not ask")
        if line["kind"] != sheet.fields[line["item"]][line["field"]]:
            raise Strange(
                "wrong_kind",
                (
                    "is a step of a repair case where there is none"
                    if line["kind"] == "case"
                    else "is for a repair case, of which only the steps at its bench are kept"
                ),
            )
    if line["kind"] == "hand_in" and not line["own_work"]:
        raise Strange("not_own_work", "hands in without the declaration of own work")


def _look_over(reading, sheet, grace):
    if not reading.lines:
        return
    times = [answer_line.seconds(line["time"]) for line in reading.lines]
    back = {
        place + 1: times[place - 1] - times[place]
        for place in range(1, len(times))
        if times[place] < times[place - 1]
    }
    if back:
        reading.note(
            "clock_back",
            min(back),
            f"{_lines(back)}: the clock of the machine went back by "
            f"{sum(back.values())} s{' in all' if len(back) > 1 else ''}.",
        )
    end = end_of(reading, sheet, grace)
    late = sum(time > end for time, line in zip(times, reading.lines) if line["kind"] in WORK)
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


def _lines(numbers, most=5):
    """Which lines, in words; of many the first ones and how many more."""
    first = [str(number) for number in list(numbers)[:most]]
    rest = f" and {len(numbers) - most} more" if len(numbers) > most else ""
    return f"Line{'s' if len(numbers) > 1 else ''} {', '.join(first)}{rest}"


def lost_minutes(text):
    """Whole minutes as typed; UserError if they are none from 0 to MOST_LOST."""
    text = str(text).strip()
    if not (text.isascii() and text.isdigit() and int(text[:6]) <= MOST_LOST):
        raise UserError(
            f"Lost minutes must be a whole number from 0 to {MOST_LOST}, got {text[:40]!r}"
        )
    return int(text)


def lost_at_desk(reading):
    """Minutes of lost time that were entered at the desk."""
    return sum(line["minutes"] for line in reading.lines if line["kind"] == "time")


def end_of(reading, sheet, grace=GRACE):
    """The time [s since 1970] until which answers count."""
    return answer_line.seconds(reading.lines[0]["time"]) + 60 * sheet.minutes + grace
