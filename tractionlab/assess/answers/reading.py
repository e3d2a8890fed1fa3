"""Reads an answer file by strict rules.

It never raises for what is in a file: it returns what can be trusted, and findings.
"""

from dataclasses import dataclass, field

from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers.look_over import look_over
from tractionlab.errors import UserError
from tractionlab.written.line_file import Strange

LONGEST_FILE = 8_000_000  # bytes
MOST_LINES = 20_000
GRACE = 30  # seconds after the end in which an answer still counts
MOST_LOST = 240  # minutes of lost time that can be given back
#: Findings that only inform; any other one means that a file does not count until the assessor has
#: looked at it.
NOTES = {"time_entered", "torn_tail", "not_handed_in", "late", "clock_back", "mended", "formula"}


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
            if line["kind"] not in answer_line.WORK:
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
    if reading.lines:
        look_over(reading, end_of(reading, sheet, grace))
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
    if line["kind"] in answer_line.WORK:
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
