"""Technicians who know the bench and no answers: one guesses, at once or after a first look, one
goes an average way, one takes the test that tells most in its time. Each works a whole repair case.
"""

from functools import cache

from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.score import score
from tractionlab.workshop.case.suspects import (
    AFTER_REPAIR,
    BASE,
    predicted,
    still_possible,
    worth_per_minute,
)
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.faults import fault
from tractionlab.workshop.reading import shown
from tractionlab.workshop.tests.base import tests


def average_route(name, symptom, vehicle):
    """General tests first, then each time the middle one of all tests that tell anything."""
    possible, taken = Case(name, vehicle, symptom).candidates(), []
    for test in BASE:
        taken.append(test)
        possible = still_possible(possible, test, predicted(test, name, vehicle), vehicle)
    while len(possible) > 1:
        useful = [test for test, bits in worth_per_minute(possible, vehicle, taken) if bits > 1e-9]
        if not useful:
            break
        test = useful[len(useful) // 2]
        taken.append(test)
        possible = still_possible(possible, test, predicted(test, name, vehicle), vehicle)
    return tuple(taken), possible


def worked(name, vehicle, symptom, route, named, careful):
    """A whole case: the tests of a route, a repair of the fault named, and what follows it.

    careful: every preparation, the telling tests once more, notes; else the small preparations are
    left out, and only drive and memory follow.
    """
    case = Case(name, vehicle, symptom, mode="graded")
    case.acknowledge()

    def take(test, condition=""):
        entry = tests()[test]
        minor = entry.minor if careful else ()
        case.take(test, (*entry.critical_on(vehicle), *minor), condition)

    for test in route:
        take(test)
    if careful and route:
        case.note(last_reading(case))
    case.repair(fault(named).place, fault(named).kind, fault(named).why)
    if careful:
        for test in dict.fromkeys((*route, "T04")):
            if test not in AFTER_REPAIR:
                take(test)
    case.clear_memory()
    take("T28", symptom)
    take("T04")
    if careful:
        case.note(last_reading(case))
    case.finish()
    return score(case.log, name, vehicle)


def last_reading(case):
    """The last number read in the log, as a person writes it down."""
    for entry in reversed(case.log):
        for reading in entry.get("readings", ()):
            if not isinstance(reading["value"], str):
                return f"{reading['name']} {shown(reading['value'], reading['unit'])}"
    return "read"


def best(name, vehicle, symptom):
    """Score of the one who takes the best next test, and whether one fault was left."""
    route = route_to(name, symptom, vehicle)
    return worked(name, vehicle, symptom, route.tests, name, True), route.left == (name,)


def average(name, vehicle, symptom):
    """Score of the one in between; names the first fault that is left."""
    route, left = average_route(name, symptom, vehicle)
    return worked(name, vehicle, symptom, route, left[0], False)


@cache
def guesses(name, vehicle, symptom, first=()):
    """Scores of the one who guesses, one for each fault that still fits after the tests `first`;
    nothing else is read before the repair. () where one fault is left: that is no guess.
    """
    left = Case(name, vehicle, symptom).candidates()
    for test in first:
        left = still_possible(left, test, predicted(test, name, vehicle), vehicle)
    if len(left) == 1:
        return ()
    return tuple(worked(name, vehicle, symptom, first, other, False) for other in left)


def points(name, vehicle, symptom):
    """(guessing, average, best) points of a case; guessing: the mean over all guesses."""
    guessed = [result.total for result in guesses(name, vehicle, symptom)]
    return (
        sum(guessed) / len(guessed),
        average(name, vehicle, symptom).total,
        best(name, vehicle, symptom)[0].total,
    )
