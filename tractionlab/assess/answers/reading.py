"""Reads an answer file by strict rules.

It never raises for what is in a file: it returns what can be trusted, and findings.
"""

from dataclasses import dataclass, field

from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers.look_over import look_over
from tractionlab.assess.answers.worked import GRACE, late_work
from tractionlab.errors import UserError
from tractionlab.written.line_file import Strange

LONGEST_FILE = 8_000_000  # bytes
MOST_LINES = 20_000
MOST_LOST = 240  # minutes of lost time that can be given back
MOST_BREAK = 7 * 24 * 60  # minutes of breaks that can count
#: Findings that only inform; any other one means that a file does not count until the assessor has
#: looked at it.
NOTES = {
    "time_entered",
    "break_entered",
    "torn_tail",
    "not_handed_in",
    "late",
    "clock_back",
    "mended",
    "formula",
}


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
    item -> {field: kind of the lines that answer it}; `breaks`: minutes of breaks that count."""

    sitting: str
    paper: str
    candidate: str
    seal: str
    minutes: float
    fields: dict
    breaks: float = float("inf")


def line_kind(field_kind):
    """Kind of the lines that answer a field: "case" for a repair case, else "answer"."""
    return "case" if field_kind == "case" else "answer"


@dataclass
class AnswerReading:
    """What was found in a file: trusted lines, findings, `good` = number of bytes that the trusted
    lines fill, hash of the last one, and the line that began a break which has not ended.
    """

    lines: list = field(default_factory=list)
    findings: list = field(default_factory=list)
    good: int = 0
    last: str = ""
    break_line: dict | None = None

    def add(self, line, size, digest):
        """Trust one more line of so many bytes."""
        self.lines.append(line)
        self.good += size
        self.last = digest
        if line["kind"] in ("break", "resume"):
            self.break_line = line if line["kind"] == "break" else None

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

    @property
    def on_break(self):
        """True in a break."""
        return self.break_line is not None

    def answers(self, without=()):
        """{item: {field: newest value, or the list of a case's steps}}.

        without : places of lines that do not count, as `late_work` gives them. A case counts up to
            its first late step: without a step from its middle it would be another case.
        """
        found, ended = {}, set()
        for place, line in enumerate(self.lines):
            if line["kind"] not in answer_line.WORK:
                continue
            late, where = place in without, (line["item"], line["field"])
            if line["kind"] == "answer":
                if not late:
                    found.setdefault(line["item"], {})[line["field"]] = line["value"]
            elif late or where in ended:
                ended.add(where)
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
        reading.add(line, len(raw) + whole, digest)
    if reading.lines:
        look_over(reading, len(late_work(reading, sheet, grace)))
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
    if reading.on_break and line["kind"] in (*answer_line.WORK, "hand_in"):
        raise Strange("in_break", "was written in a break")
    if line["kind"] in ("break", "resume") and reading.on_break != (line["kind"] == "resume"):
        raise Strange("out_of_order", "begins a break in a break, or ends one that did not begin")
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


def given_minutes(text, most=MOST_LOST, what="Lost minutes"):
    """Whole minutes as typed; UserError if they are none from 0 to `most`."""
    text = str(text).strip()
    if not (text.isascii() and text.isdigit() and int(text[:6]) <= most):
        raise UserError(f"{what} must be a whole number from 0 to {most}, got {text[:40]!r}")
    return int(text)


def lost_at_desk(reading):
    """Minutes of lost time that were entered at the desk."""
    return sum(line["minutes"] for line in reading.lines if line["kind"] == "time")
