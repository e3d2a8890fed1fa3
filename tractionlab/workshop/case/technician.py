"""A scripted technician: knows the published method and no answers. General tests first, then what
tells most per minute, until one fault is left and a reading shows it."""

from dataclasses import dataclass
from functools import lru_cache

from tractionlab.workshop.case.suspects import (
    AFTER_REPAIR,
    BASE,
    candidates,
    predicted,
    still_possible,
    worth_per_minute,
)
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.tests.base import run, telling, tests

_NO_MORE = 1e-9


@dataclass(frozen=True)
class Route:
    """Tests in order, the minutes they took, and the faults still possible after the last."""

    tests: tuple
    minutes: int
    left: tuple


def find(symptom, vehicle, measure):
    """Route of the technician.

    Parameters
    ----------
    symptom : key of a symptom; all that the customer's first sentence tells
    measure : callable, measure(test) -> readings of the car in the bay
    """
    possible, taken, shown = candidates(symptom, vehicle), [], []

    def take(test):
        readings = measure(test)
        taken.append(test)
        if test != "T01" and telling(readings, run(test, vehicle, part_values(vehicle))):
            shown.append(test)
        return still_possible(possible, test, readings, vehicle)

    for test in BASE:
        possible = take(test)
    while len(possible) > 1:
        test, worth = worth_per_minute(possible, vehicle, taken)[0]
        if worth <= _NO_MORE:
            break
        possible = take(test)
    if len(possible) == 1 and not shown:
        possible = take(_proving(possible[0], vehicle, taken))
    return Route(tuple(taken), sum(tests()[test].minutes for test in taken), possible)


def _proving(suspect, vehicle, taken):
    """The shortest further test in which the suspected fault would show; the last one taken again
    if there is none.
    """
    healthy = part_values(vehicle)
    showing = [
        test
        for test in tests()
        if test not in taken
        and test not in AFTER_REPAIR
        and telling(predicted(test, suspect, vehicle), run(test, vehicle, healthy))
    ]
    return min(showing, key=lambda test: tests()[test].minutes, default=taken[-1])


@lru_cache(maxsize=512)
def route_to(fault_id, symptom, vehicle):
    """The technician's route when this is the fault."""
    return find(symptom, vehicle, lambda test: predicted(test, fault_id, vehicle))
