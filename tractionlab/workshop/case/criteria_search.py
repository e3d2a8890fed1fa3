"""Points for the search in a repair case: safety, complaint, evidence, order, economy."""

from tractionlab.workshop.case.criteria_result import found_it, repairs
from tractionlab.workshop.case.replay import measured, step_of
from tractionlab.workshop.case.suspects import (
    BASE,
    still_possible,
    worth_of,
    worth_per_minute,
)
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.tests.base import minutes_of, tests

MINOR = 3  #: points for a preparation that was left out and is not critical
SUPERFLUOUS = 1  #: points for one that the test does not need: who ticks all has not thought
#: Own protection and care for others are never wrong.
NEVER_WRONG = ("eyes", "hands")
PAR_FACTOR, INTERMITTENT = 1.5, 2.0
GOOD_ENOUGH = 0.5  #: of the best test's bits per minute
#: Tests in which the complaint is looked at on the car.
CONFIRMING = ("T03", "T04", "T05", "T07", "T29")
_COMES_AND_GOES = ("erratic",)


def evidence_points(fitting, excluded):
    """Points for faults excluded by readings, of `fitting` ones with the first symptom."""
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


def safety(case, log):
    stopped = next((entry for entry in log if entry["do"] == "stopped"), None)
    if stopped is not None:
        return 0.0, f"The case was stopped here: {stopped['why']}"
    if not measured(log):
        return 0.0, "Nothing was done that had to be prepared."
    taken = [(entry, tests()[entry["test"]]) for entry in log if entry["do"] == "test"]
    minor = [
        (test.id, key)
        for entry, test in taken
        for key in test.minor
        if key not in entry["prepared"]
    ]
    superfluous = [
        (test.id, key)
        for entry, test in taken
        for key in entry["prepared"]
        if key not in (*test.critical_on(case.vehicle), *test.minor, *NEVER_WRONG)
    ]
    words = [
        f"{len(rows)} preparation{'s' if len(rows) > 1 else ''} {what}, first before {rows[0][0]}"
        for rows, what in ((minor, "left out"), (superfluous, "that the test does not need"))
        if rows
    ]
    if not words:
        return 15.0, "Every preparation was made."
    lost = MINOR * len(minor) + SUPERFLUOUS * len(superfluous)
    return max(0.0, 15.0 - lost), f"{'; '.join(words)}."


def complaint(before):
    taken = [step_of(entry) for entry in before]
    asked, confirmed = (
        3.0 * ("T01" in taken),
        3.0 * bool(set(CONFIRMING) & set(taken)),
    )
    base = sum(test in taken for test in BASE[1:])
    return (
        asked + confirmed + base,
        (
            f"Customer {'asked' if asked else 'not asked'}; complaint"
            f" {'looked at on the car' if confirmed else 'not confirmed'}; {base} of 4 general"
            " tests before parts were touched."
        ),
    )


def evidence(fitting, left, read):
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


def told(case, before):
    """[(share, faults left)] of each step: what it told per minute as a share of the best one open
    then, None for a step that was taken before, and how many faults still fit after it.
    """
    possible, taken, found = case.candidates(), [], []
    for entry in before:
        step = step_of(entry)
        worth = dict(worth_per_minute(possible, case.vehicle, taken))
        best = max(worth.values(), default=0.0)
        share = None
        if step not in taken:
            own = (
                worth.get(step, 0.0)
                if isinstance(step, str)
                else worth_of(step, possible, case.vehicle)
                if step in case.readings
                else 0.0
            )
            share = 1.0 if step in BASE or best <= 0.0 else own / best
            possible = (
                still_possible(possible, step, case.readings[step], case.vehicle)
                if step in case.readings
                else possible
            )
        taken.append(step)
        found.append((share, len(possible)))
    return found


def order(case, before):
    ratios = [
        1.0 if share >= GOOD_ENOUGH else share
        for share, _ in told(case, before)
        if share is not None
    ]
    if not ratios:
        return 0.0, "No test was taken before parts were touched."
    return (
        10.0 * sum(ratios) / len(ratios),
        (
            "Mean of what each test told per minute, against the best one open then:"
            f" {sum(ratios) / len(ratios):.0%}."
        ),
    )


def economy(case, log, share, proven):
    """Few minutes count as far as they excluded faults (`share`), and for a repair only if they
    proved the fault: a quick guess is no economy.
    """
    used = sum(minutes_of(step_of(entry)) for entry in measured(log[: case.first_repair]))
    par = par_minutes(case.fault.id, case.symptom, case.vehicle, case.fault.kind)
    if not used or not found_it(case, log):
        return 0.0, (
            "No test was taken."
            if not used
            else f"{used} minutes of tests, but the fault was not found."
        )
    if not proven and repairs(case, log):
        return 0.0, f"{used} minutes of tests, but a part fitted without proof saves no time."
    return share * economy_points(par, used), f"{used} minutes of tests, par {par:.0f}" + (
        "." if share == 1.0 else f"; counted by the {share:.0%} of the faults they excluded."
    )
