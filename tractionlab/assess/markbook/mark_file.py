"""Marks one answer file: bytes in, marks and findings out.

Pure; nothing in a file is ever run, unpacked or used as a name.
"""

import hashlib
from dataclasses import dataclass, field

from tractionlab.assess.answers.case_log import open_answer
from tractionlab.assess.answers.line import seconds
from tractionlab.assess.answers.reading import (
    LONGEST_FILE,
    Finding,
    Sheet,
    claimed,
    read_answers,
)
from tractionlab.assess.answers.sent import what_it_is
from tractionlab.assess.answers.worked import late_work
from tractionlab.assess.bank.item import items
from tractionlab.assess.judge.answers import case_logs, judge, simulations


@dataclass
class Marked:
    """One file as it was marked.

    status : counted, held (a person has to look first), refused (belongs to nobody here)
    result : {item: [marks, out of, [reasons], gate, exact]} of what can be trusted; gate is 0 where
        a safety gate was failed, exact is 1 where a
        case's fault was named exactly
    wanted : {item: scenarios} still to be run; logs : {key: log} of repair cases still to be
        replayed; waiting : {item: answer} to be judged by them
    evidence : the bytes to keep
    """

    name: str
    digest: str
    candidate: str = ""
    status: str = "refused"
    findings: list = field(default_factory=list)
    lines: int = 0
    result: dict = field(default_factory=dict)
    wanted: dict = field(default_factory=dict)
    logs: dict = field(default_factory=dict)
    waiting: dict = field(default_factory=dict)
    evidence: bytes = b""


def mark_file(sitting, name, content):
    """Marked for one file of a Sitting. Items judged by simulation or replay are left `waiting`."""
    marked = Marked(name, hashlib.sha256(content).hexdigest())
    try:
        return _mark(sitting, marked, content)
    except Exception as problem:
        marked.status = "held" if marked.candidate else "refused"
        marked.findings = [
            Finding(
                "fault",
                0,
                f"Marking itself failed on this file ({type(problem).__name__}). Report it to the"
                " makers of the course.",
            )
        ]
        marked.result, marked.wanted, marked.logs, marked.waiting = {}, {}, {}, {}
        return marked


def _mark(sitting, marked, content):
    claim = claimed(content) if len(content) <= LONGEST_FILE else None
    known = claim is not None and claim[0] == sitting.id and claim[1] in sitting.candidates
    reading = read_answers(content, sitting.sheet(claim[1]) if known else _nobody(sitting))
    marked.findings = reading.findings
    if claim is not None and claim[0] == sitting.id and not known:
        marked.findings = [
            Finding("unknown_candidate", 1, "Line 1 names a candidate who is not on the roll.")
        ]
    elif claim is not None and claim[0] != sitting.id:
        words = f"It claims to be of candidate {claim[1]} in the sitting {claim[0]}: mark it there."
        marked.findings.append(Finding("other_sitting", 1, words))
    elif words := what_it_is(content) if claim is None else "":
        marked.findings = [Finding("no_answers", 0, words)]
    if not known or not reading.lines:
        return marked
    marked.candidate, marked.lines, marked.evidence = claim[1], len(reading.lines), content
    _look_at_day(sitting, reading)
    marked.status = "held" if reading.grave else "counted"
    answers = reading.answers(late_work(reading, sitting.sheet(claim[1])))
    for item in paper_items(sitting):
        variant = sitting.variant(item, claim[1])
        answer = open_answer(variant, answers.get(item.id, {}))
        wanted, logs = simulations(item, variant, answer), case_logs(item, variant, answer)
        marked.logs |= logs
        if wanted:
            marked.wanted[item.id] = wanted
        if wanted or logs:
            marked.waiting[item.id] = answer
        else:
            _enter(marked, item, judge(item, variant, answer))
    return marked


def _enter(marked, item, judgement):
    """Put a Judgement into the result; a log that the bench does not write holds the file."""
    marked.result[item.id] = _row(judgement)
    if judgement.strange:
        words = f"{item.id}: {judgement.strange} The bench does not write such a log."
        marked.findings.append(Finding("strange_case", 0, words))
        marked.status = "held"


def _look_at_day(sitting, reading):
    """Note a file that was begun on another day than the sitting's."""
    begun = sitting.day_of(seconds(reading.lines[0]["time"]))
    if begun != sitting.date:
        reading.note(
            "other_day",
            1,
            f"The work was begun on {begun}; the sitting is of {sitting.date}.",
        )


def judge_waiting(sitting, marked, runs, cases):
    """Judge the items of `marked` that waited, for runs (mapping Scenario.key -> Merit) or replays
    of cases (mapping key of a log -> Replayed).
    """
    bank = items()
    for name, answer in marked.waiting.items():
        variant = sitting.variant(bank[name], marked.candidate)
        _enter(marked, bank[name], judge(bank[name], variant, answer, runs=runs, cases=cases))
    marked.result = {item.id: marked.result[item.id] for item in paper_items(sitting)}
    marked.wanted, marked.logs, marked.waiting = {}, {}, {}


def paper_items(sitting):
    """Items of the paper that a candidate answers; observed practicals are filled in by the
    assessor.
    """
    bank = items()
    return [bank[name] for name in sitting.paper["items"] if bank[name].kind != "checklist"]


def _row(judgement):
    return [
        judgement.marks,
        float(judgement.out_of),
        list(judgement.reasons),
        0 if judgement.safe is False else 1,
        int(judgement.exact),
    ]


def _nobody(sitting):
    """A sheet that no file agrees with, for a file that names nobody of this sitting: reading it
    still says what is wrong.
    """
    return Sheet(sitting.id, sitting.paper["id"], "", "", 0.0, sitting.fields)
