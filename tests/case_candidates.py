"""Candidates with a repair case: logs by conduct, right answers to the rest, files of both."""

from functools import cache

from assess_answers import perfect_rows
from sittings import clock, lines_of

from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers.case_log import case_for, stored
from tractionlab.assess.bank.item import items
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.tests.base import tests

CASE = "11-case-lead"
FIELD = "answer"
#: What an honest file holds in its repair case: worked by the book; ended at an unsafe test;
#: repaired without a test; measured, and nothing repaired; nothing at all.
BASES = ("by_the_book", "unsafe", "guess", "measured_only", "nothing")
#: Honest files here have no settings: each would take simulations.
UNANSWERED = ("tuning", "checklist", "case")


@cache
def worked(fault, vehicle, how):
    """Log of a repair case of that car, as plain entries."""
    case = Case(fault, vehicle, mode="graded")

    def take(test, condition=""):
        case.take(test, (*tests()[test].critical, *tests()[test].minor), condition)

    if how == "nothing":
        return ()
    case.acknowledge()
    if how == "unsafe":
        take("T01")
        case.take("T06", ())
        return tuple(case.log)
    route = route_to(fault, case.symptom, vehicle).tests if how != "guess" else ()
    for test in route:
        take(test)
    if how == "measured_only":
        return tuple(case.log)
    case.note("Pin of the sensor 5.00 V")
    case.repair(case.fault.place, case.fault.kind, case.fault.why)
    if how == "by_the_book":
        case.clear_memory()
        for test in dict.fromkeys((*route, "T04")):
            take(test)
        take("T28", case.symptom)
        take("T04")
        case.note("Now 0.55 V")
    case.finish()
    return tuple(case.log)


class Candidate:
    """One candidate of a sitting: the car in the bay, right answers, and logs to start from."""

    def __init__(self, sitting, number):
        self.sitting, self.number = sitting, number
        self.field = sitting.variant(items()[CASE], number).fields[0]
        self.case = case_for(self.field)
        self.fault, self.places = self.case.fault, self.case.places()

    def log(self, how):
        """A log as the desk stores it."""
        return [
            stored(entry, self.field.car) for entry in worked(self.fault.id, self.case.vehicle, how)
        ]

    def answers(self):
        """[(item, field, value)] with right answers to all that is neither case nor settings."""
        asked = self.sitting.paper["items"]
        ids = [name for name in asked if items()[name].kind not in UNANSWERED]
        return perfect_rows(self.sitting, self.number, ids)

    def repair(self, **other):
        return {
            "do": "repair",
            "place": self.fault.place,
            "kind": self.fault.kind,
            "why": self.fault.why,
            **other,
        }

    def file(self, steps, answers=None, extra=(), step=2, times=None):
        """Bytes of a file: answers, steps of the case, `extra` lines (kind, entries), hand in.

        times : callable(number of the line) -> seconds after the start"""
        head, *middle, end = lines_of(
            self.sitting, self.number, self.answers() if answers is None else answers
        )
        lines = [head, *middle, *(case_line(entry) for entry in steps), *extra, end]
        raw, last = [], self.sitting.seal(self.number)
        for n, (kind, entries) in enumerate(lines):
            line, last = answer_line.make(
                n, kind, last, time=clock(times(n) if times else step * n), **entries
            )
            raw.append(line)
        return b"".join(raw)


def case_line(entry, item=CASE, field=FIELD):
    return "case", {"item": item, "field": field, "entry": entry}


def answer(value, item=CASE, field=FIELD):
    return "answer", {"item": item, "field": field, "value": value}
