"""Points for a repair case, worked out from its log alone: 100 in ten criteria, the same for
everybody who replays it.
"""

from dataclasses import dataclass
from types import MappingProxyType

from tractionlab.workshop.case.case import Case, measured, step_of
from tractionlab.workshop.case.notes import holds_a_reading
from tractionlab.workshop.case.suspects import (
    BASE,
    still_possible,
    story_of,
    worth_of,
    worth_per_minute,
)
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.tests.base import minutes_of, run, telling, tests

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
MINOR, HINT, PART_ON_HOPE, UNPROVEN = 3, 5, 5, 7
#: A second try can be a mistake that was seen; who tries on has not found the fault.
MOST_OTHER_REPAIRS = 1
PAR_FACTOR, INTERMITTENT = 1.5, 2.0
GOOD_ENOUGH = 0.5  #: of the best test's bits per minute
#: What earns nothing in a case without a result: to prepare well, to go in good order and to be
#: quick is worth something on the way to one. Else nine careful
#: minutes and a car handed over as it came would earn a quarter of the points. What was asked,
#: excluded and written down helps whoever goes on.
CARE = ("safety", "order", "economy")
_COMES_AND_GOES = ("erratic",)


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


def evidence_points(fitting, excluded):
    """Points for faults that readings have excluded, of `fitting` ones that show the first symptom."""
    return 15.0 if fitting <= 1 else 15.0 * min(1.0, excluded / (fitting - 1))


def economy_points(par, used):
    """Points for `used` minutes: 10 up to par, falling to 0 at twice par."""
    return 10.0 * min(1.0, max(0.0, 2.0 - used / par))


def par_minutes(fault_id, symptom, vehicle, kind=""):
    """Minutes in which a good route finds the fault, and half as much again; doubled for a fault
    that comes and goes.
    """
    return (
        PAR_FACTOR
        * route_to(fault_id, symptom, vehicle).minutes
        * (INTERMITTENT if kind in _COMES_AND_GOES else 1.0)
    )


def score(log, fault_id="", vehicle=""):
    """Score of a case's log. The readings are computed anew; what the log says of them is not
    believed.

    fault_id, vehicle : what was really on the car, if the log is not to be believed in that either
    """
    case = Case.replay(log, fault_id, vehicle)
    log = case.log
    first = case.first_repair if case.first_repair is not None else len(log)
    before, after = measured(log[:first]), measured(log[first:])
    left, fitting = case.possible(), case.candidates()
    read = any(len(fitting) > 1 or step != BASE[0] for step in case.readings)
    proven = read and left == (case.fault.id,)
    marks = {
        "safety": _safety(log),
        "complaint": _complaint(before),
        "evidence": _evidence(fitting, left, read),
        "order": _order(case, before),
        "economy": _economy(case, log, _evidence(fitting, left, read)[0] / 15.0),
        "fault": _fault(case, log, proven, left),
        "proof": _proof(case, proven, left, log),
        "repair": _repair(case, log),
        "verification": _verification(case, log, first, after),
        "record": _record(log, first),
    }
    if not _has_result(case, log):
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
    *others, last = _repairs(case, log) or [None]
    return (
        last is not None
        and (last["place"], last["kind"]) == (case.fault.place, case.fault.kind)
        and len(others) <= MOST_OTHER_REPAIRS
        and not case.stopped
        and not any(entry["do"] == "honest_stop" for entry in log)
    )


def _safety(log):
    stopped = next((entry for entry in log if entry["do"] == "stopped"), None)
    if stopped is not None:
        return 0.0, f"The case was stopped here: {stopped['why']}"
    if not measured(log):
        return 0.0, "Nothing was done that had to be prepared."
    minor = [
        (entry["test"], key)
        for entry in log
        if entry["do"] == "test"
        for key in tests()[entry["test"]].minor
        if key not in entry["prepared"]
    ]
    if not minor:
        return 15.0, "Every preparation was made."
    return (
        max(0.0, 15.0 - MINOR * len(minor)),
        (
            f"{len(minor)} preparation{'s' if len(minor) > 1 else ''} left out, first before"
            f" {minor[0][0]}."
        ),
    )


def _complaint(before):
    taken = [step_of(entry) for entry in before]
    asked, confirmed = 3.0 * ("T01" in taken), 3.0 * bool({"T03", "T04", "T05", "T07"} & set(taken))
    base = sum(test in taken for test in BASE[1:])
    return (
        asked + confirmed + base,
        (
            f"Customer {'asked' if asked else 'not asked'}; complaint"
            f" {'looked at on the car' if confirmed else 'not confirmed'}; {base} of 4 general"
            " tests before parts were touched."
        ),
    )


def _evidence(fitting, left, read):
    if not read:
        return 0.0, "Nothing was read on the car before parts were touched."
    excluded = len(fitting) - max(1, len(left))
    return (
        evidence_points(len(fitting), excluded),
        (
            f"{len(fitting)} fault{'s fit' if len(fitting) != 1 else ' fits'} the first symptom,"
            f" readings excluded {excluded}."
        ),
    )


def _order(case, before):
    possible, taken, ratios = case.candidates(), [], []
    for entry in before:
        step = step_of(entry)
        worth = dict(worth_per_minute(possible, case.vehicle, taken))
        best = max(worth.values(), default=0.0)
        if step not in taken:
            own = (
                worth.get(step, 0.0)
                if isinstance(step, str)
                else worth_of(step, possible, case.vehicle)
                if step in case.readings
                else 0.0
            )
            share = 1.0 if step in BASE or best <= 0.0 else own / best
            ratios.append(1.0 if share >= GOOD_ENOUGH else share)
            possible = (
                still_possible(possible, step, case.readings[step], case.vehicle)
                if step in case.readings
                else possible
            )
        taken.append(step)
    if not ratios:
        return 0.0, "No test was taken before parts were touched."
    return (
        10.0 * sum(ratios) / len(ratios),
        (
            "Mean of what each test told per minute, against the best one open then:"
            f" {sum(ratios) / len(ratios):.0%}."
        ),
    )


def _economy(case, log, share):
    """Few minutes count only as far as they excluded faults (`share`): a quick guess is no economy."""
    used = sum(minutes_of(step_of(entry)) for entry in measured(log[: case.first_repair]))
    par = par_minutes(case.fault.id, case.symptom, case.vehicle, case.fault.kind)
    if not used or not _found(case, log):
        return 0.0, (
            "No test was taken."
            if not used
            else f"{used} minutes of tests, but the fault was not found."
        )
    return share * economy_points(par, used), f"{used} minutes of tests, par {par:.0f}" + (
        "." if share == 1.0 else f"; counted by the {share:.0%} of the faults they excluded."
    )


def _fault(case, log, proven, left):
    last = next(reversed(_repairs(case, log)), None)
    stop = next((entry for entry in log if entry["do"] == "honest_stop"), None)
    if stop is not None:
        found = case.fault.id in stop["suspected"] and case.fault.id in left and len(left) <= 2
        return (
            (7.5, "Honest stop: the fault is among the two that are left.")
            if found
            else (
                0.0,
                "Honest stop, but the fault is not among those named, or more than two are left.",
            )
        )
    if last is None:
        return 0.0, "No fault was named."
    same_circuit = any(
        entry.place == last["place"] and entry.circuit == case.fault.circuit
        for entry in _of_vehicle(case)
    )
    points, words = (
        (15.0, "Right place and right kind.")
        if last["place"] == case.fault.place and last["kind"] == case.fault.kind
        else (
            (8.0, "Right place, but the kind of fault is another.")
            if last["place"] == case.fault.place
            else (5.0, "Right circuit, wrong place.")
            if same_circuit
            else (0.0, "Not the fault.")
        )
    )
    if points > UNPROVEN and not proven:
        return float(UNPROVEN), f"{words} But the readings did not prove it: at most {UNPROVEN}."
    return points, words


def _of_vehicle(case):
    from tractionlab.workshop.faults import faults

    return [entry for entry in faults().values() if case.vehicle in entry.vehicles]


def _repairs(case, log):
    """Entries of the log that repair something, or rightly call the car normal; to call a faulty
    one normal repairs nothing, whatever place is named.
    """
    return [
        entry
        for entry in log
        if entry["do"] == "repair" and (entry["kind"] != "normal" or case.fault.is_normal)
    ]


def _has_result(case, log):
    """Was something repaired, or stopped honestly?"""
    return bool(_repairs(case, log)) or any(entry["do"] == "honest_stop" for entry in log)


def _found(case, log):
    """Was the faulty place repaired, or the fault named in an honest stop? Quick and proven
    readings are worth nothing to whom they did not tell it.
    """
    repaired = any(entry["place"] == case.fault.place for entry in _repairs(case, log))
    return repaired or any(
        entry["do"] == "honest_stop" and case.fault.id in entry["suspected"] for entry in log
    )


def _proof(case, proven, left, log):
    if not _found(case, log):
        return 0.0, "The fault was neither repaired nor named."
    return (
        (5.0, "No other fault with this symptom agrees with all readings.")
        if proven
        else (
            0.0,
            (
                f"{len(left)} fault{'s agree' if len(left) != 1 else ' agrees'} with the readings"
                " taken."
            ),
        )
    )


def _repair(case, log):
    right = [entry for entry in _repairs(case, log) if entry["place"] == case.fault.place]
    if not right:
        return 0.0, "The faulty place was not repaired."
    cause = right[-1]["why"] == case.fault.why
    return (
        3.0 + 2.0 * cause,
        f"Repaired{'' if cause else ', but the cause would make it come back'}.",
    )


def _verification(case, log, first, after):
    if not case.repaired:
        return 0.0, "There was nothing to verify yet."
    healthy = part_values(case.vehicle)
    tell = {
        step
        for step, readings in case.readings.items()
        if telling(readings, run(step, case.vehicle, healthy, story_of(case.fault.id)))
    }
    taken = [step_of(entry) for entry in after]
    repeated = 4.0 * bool(tell & set(taken))
    function = 3.0 * any(
        entry.get("test") == "T28" and entry.get("condition") in case.fault.symptoms
        for entry in after
    )
    steps = [
        entry["do"] if entry["do"] == "clear" else entry["test"]
        for entry in log
        if entry["do"] in ("clear", "test")
    ]
    cleared = next((i for i, entry in enumerate(log) if entry["do"] == "clear" and i > first), None)
    memory = 3.0 * (
        "clear" in steps
        and cleared is not None
        and "T04" in steps[: steps.index("clear")]
        and "T04" in [e["test"] for e in log[cleared:] if e["do"] == "test"]
    )
    return (
        repeated + function + memory,
        (
            f"Telling test {'repeated' if repeated else 'not repeated'}; drive under the"
            " conditions of"
            f" the complaint {'made' if function else 'missing'}; "
            "memory"
            f" {'read, cleared and read again' if memory else 'not read before, cleared after the repair and read again'}."
        ),
    )


def _record(log, first):
    notes = [(i, entry["text"]) for i, entry in enumerate(log) if entry["do"] == "note"]
    before = any(holds_a_reading(text, log[:i]) for i, text in notes if i < first)
    after = any(holds_a_reading(text, log[first:i]) for i, text in notes if i > first)
    where = (
        " and ".join(word for word, there in (("before", before), ("after", after)) if there)
        or "none"
    )
    return (
        1.0 * bool(notes) + 2.0 * before + 2.0 * after,
        f"Notes with a value that was read, and its unit: {where}.",
    )


def _deductions(case, log):
    found = [("Hint", float(HINT)) for entry in log if entry["do"] == "hint"]
    places = [entry["place"] for entry in _repairs(case, log) if entry["kind"] != "normal"]
    wrong = [place for place in places if place != case.fault.place]
    again = [place for place in places if place == case.fault.place][1:]
    found += [(f"Part on hope: {place}", float(PART_ON_HOPE)) for place in wrong]
    return tuple(found + [(f"Repaired once more: {place}", float(PART_ON_HOPE)) for place in again])
