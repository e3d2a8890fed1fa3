"""Which faults are still possible after the readings taken, and how much a test can be expected to
tell, in bits. All from computed readings.
"""

from functools import lru_cache
from math import log2

from tractionlab.workshop.faults import fault, with_symptom
from tractionlab.workshop.part_values import changed, part_values
from tractionlab.workshop.tests.base import History, all_agree, minutes_of, run, tests

#: The general tests that the method puts first: cheap, and never wrong.
BASE = ("T01", "T02", "T03", "T04", "T05")
#: Not offered as a next test: it belongs after the repair.
AFTER_REPAIR = ("T28",)


@lru_cache(maxsize=512)
def car_with(fault_id, vehicle):
    """Part values of a vehicle with a fault of the catalogue."""
    return changed(part_values(vehicle), fault(fault_id).on(vehicle))


def story_of(fault_id):
    """What the customer of this fault can tell."""
    entry = fault(fault_id)
    return History(entry.story, entry.work, entry.weather)


@lru_cache(maxsize=8192)
def predicted(test, fault_id, vehicle):
    """Readings that a test, or a Setup, would give if this were the fault."""
    return run(test, vehicle, car_with(fault_id, vehicle), story_of(fault_id))


def candidates(symptom, vehicle):
    """Faults of the catalogue that fit a symptom on a vehicle, before any test."""
    return with_symptom(symptom, vehicle)


def still_possible(possible, test, readings, vehicle):
    """Those of `possible` whose predicted readings of a test agree with what was read."""
    return tuple(name for name in possible if all_agree(readings, predicted(test, name, vehicle)))


def expected_bits(possible, test, vehicle):
    """Mean of log2(possible before / possible after) over all that may be the fault, with equal
    chances.
    """
    return _expected_bits(tuple(possible), test, vehicle)


@lru_cache(maxsize=8192)
def _expected_bits(possible, test, vehicle):
    if len(possible) < 2:
        return 0.0
    left = [
        len(still_possible(possible, test, predicted(test, name, vehicle), vehicle))
        for name in possible
    ]
    return sum(log2(len(possible) / max(1, n)) for n in left) / len(possible)


def worth_of(step, possible, vehicle):
    """Expected bits per minute of a test or a Setup."""
    return expected_bits(possible, step, vehicle) / minutes_of(step)


def worth_per_minute(possible, vehicle, taken=()):
    """Expected bits per minute of every test not yet taken, best first, as pairs (test, bits per
    minute).
    """
    open_tests = [
        test for test in tests().values() if test.id not in taken and test.id not in AFTER_REPAIR
    ]
    found = [
        (test.id, expected_bits(possible, test.id, vehicle) / test.minutes) for test in open_tests
    ]
    return sorted(found, key=lambda pair: -pair[1])


def looking_ahead(fault_id, symptom, vehicle, steps=()):
    """Compute piece by piece what the next steps of a case need: what each test gives if this or
    that were the fault. `steps`: those only, all tests if left out.
    """
    for name in (fault_id, *candidates(symptom, vehicle)):
        for step in steps or tests():
            yield predicted(step, name, vehicle)


def separating_tests(first, second, vehicle):
    """Tests in which two faults give different readings, by number."""
    return tuple(
        test
        for test in tests()
        if test not in AFTER_REPAIR
        and not all_agree(predicted(test, first, vehicle), predicted(test, second, vehicle))
    )
