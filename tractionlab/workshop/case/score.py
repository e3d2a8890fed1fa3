"""Points for a repair case, worked out from its log alone: 100 in ten criteria, the same for
everybody who replays it.
"""

from dataclasses import dataclass
from types import MappingProxyType

from tractionlab.workshop.case.criteria_result import (
    fault_found,
    has_result,
    proof,
    record,
    repair,
    repairs,
    verification,
)
from tractionlab.workshop.case.criteria_search import (
    complaint,
    economy,
    evidence,
    order,
    safety,
)
from tractionlab.workshop.case.replay import measured, replay
from tractionlab.workshop.case.suspects import (
    BASE,
)

#: Criterion -> most points. The scheme is the course's own.
CRITERIA = MappingProxyType(
    {
        "safety": 15,
        "complaint": 10,
        "evidence": 15,
        "order": 10,
        "economy": 10,
        "fault": 15,
        "proof": 5,
        "repair": 5,
        "verification": 10,
        "record": 5,
    }
)
HINT, PART_ON_HOPE = 5, 5  #: points taken off
#: A second try can be a mistake that was seen; who tries on has not found the fault.
MOST_OTHER_REPAIRS = 1
#: What earns nothing in a case without a result: to prepare well, to go in good order and to be
#: quick is worth something on the way to one. Else nine careful
#: minutes and a car handed over as it came would earn a quarter of the points. What was asked,
#: excluded and written down helps whoever goes on.
CARE = ("safety", "order", "economy")


@dataclass(frozen=True)
class Score:
    """Points by criterion, a reason for each, deductions as (words, points), and the total from 0
    to 100. `critical` names an unsafe step. `exact` is True if the last repair was the right place
    and kind, after at most `MOST_OTHER_REPAIRS` others, and the case ended neither unsafely nor
    with an honest stop."""

    points: MappingProxyType
    reasons: MappingProxyType
    deductions: tuple
    critical: str
    total: float
    exact: bool


def score(log, fault_id="", vehicle=""):
    """Score of a case's log. The readings are computed afresh; what the log says of them is not
    believed.

    fault_id, vehicle : what was really on the car, if the log is not to be believed in that either
    """
    case = replay(log, fault_id, vehicle)
    log = case.log
    first = case.first_repair if case.first_repair is not None else len(log)
    before, after = measured(log[:first]), measured(log[first:])
    left, fitting = case.possible(), case.candidates()
    read = any(len(fitting) > 1 or step != BASE[0] for step in case.readings)
    proven = read and left == (case.fault.id,)
    marks = {
        "safety": safety(case, log),
        "complaint": complaint(before),
        "evidence": evidence(fitting, left, read),
        "order": order(case, before),
        "economy": economy(case, log, evidence(fitting, left, read)[0] / 15.0, proven),
        "fault": fault_found(case, log, proven, left),
        "proof": proof(case, proven, left, log),
        "repair": repair(case, log),
        "verification": verification(case, log, first, after),
        "record": record(log, first),
    }
    if not has_result(case, log):
        marks |= {
            key: (
                0.0,
                (
                    f"{marks[key][1]} Counts only once a fault was repaired or the case was stopped"
                    " honestly."
                ),
            )
            for key in CARE
            if marks[key][0]
        }
    deductions = _deductions(case, log)
    total = (
        0.0
        if case.stopped
        else max(
            0.0,
            sum(points for points, _ in marks.values()) - sum(points for _, points in deductions),
        )
    )
    return Score(
        MappingProxyType({key: round(points, 1) for key, (points, _) in marks.items()}),
        MappingProxyType({key: why for key, (_, why) in marks.items()}),
        deductions,
        case.stopped,
        round(total, 1),
        _exact(case, log),
    )


def _exact(case, log):
    *others, last = repairs(case, log) or [None]
    return (
        last is not None
        and (last["place"], last["kind"]) == (case.fault.place, case.fault.kind)
        and len(others) <= MOST_OTHER_REPAIRS
        and not case.stopped
        and not any(entry["do"] == "honest_stop" for entry in log)
    )


def _deductions(case, log):
    found = [("Hint", float(HINT)) for entry in log if entry["do"] == "hint"]
    places = [entry["place"] for entry in repairs(case, log) if entry["kind"] != "normal"]
    wrong = [place for place in places if place != case.fault.place]
    again = [place for place in places if place == case.fault.place][1:]
    found += [(f"Part on hope: {place}", float(PART_ON_HOPE)) for place in wrong]
    return tuple(found + [(f"Repaired once more: {place}", float(PART_ON_HOPE)) for place in again])
