"""Some test tells apart every two faults with the same symptom, and a technician who knows only the
method finds every fault.
"""

from itertools import combinations

import pytest

from tractionlab.workshop.case.suspects import (
    AFTER_REPAIR,
    BASE,
    expected_bits,
    predicted,
    separating_tests,
)
from tractionlab.workshop.case.technician import find, route_to
from tractionlab.workshop.faults import faults, symptoms, with_symptom
from tractionlab.workshop.tests.base import all_agree
from tractionlab.workshop.tests.base import tests as bench_tests
from tractionlab.workshop.wiring.netlist import VEHICLES

#: Pairs that no test of the bench can tell apart, with the reason.
INSEPARABLE = {}
PLACES = [
    (symptom, vehicle)
    for symptom in symptoms()
    for vehicle in VEHICLES
    if with_symptom(symptom, vehicle)
]


@pytest.mark.parametrize("symptom, vehicle", PLACES)
def test_every_pair_with_the_same_symptom_is_separable(symptom, vehicle):
    cheap_first = sorted(
        (test for test in bench_tests() if test not in AFTER_REPAIR),
        key=lambda test: (test not in BASE, bench_tests()[test].minutes),
    )
    for first, second in combinations(with_symptom(symptom, vehicle), 2):
        apart = any(
            not all_agree(predicted(test, first, vehicle), predicted(test, second, vehicle))
            for test in cheap_first
        )
        assert apart or frozenset((first, second)) in INSEPARABLE, (first, second)


@pytest.mark.parametrize("name", faults())
def test_the_scripted_technician_finds_it(name):
    for vehicle in faults()[name].vehicles:
        for symptom in faults()[name].symptoms:
            route = route_to(name, symptom, vehicle)
            assert route.left == (name,) and route.tests[:5] == BASE
            assert (
                route.minutes == sum(bench_tests()[test].minutes for test in route.tests)
                and len(set(route.tests)) >= len(route.tests) - 1
            )


def test_the_technician_asks_only_the_car():
    """The same readings make the same route: nothing else goes in."""
    asked = []
    name, vehicle, symptom = "outlet-valve-leaks", "front_petrol", "soft_pedal"

    def measure(test):
        asked.append(test)
        return predicted(test, name, vehicle)

    assert (
        find(symptom, vehicle, measure) == route_to(name, symptom, vehicle)
        and tuple(asked) == route_to(name, symptom, vehicle).tests
    )


def test_bits_are_those_of_equal_chances():
    """Four faults that a test tells apart wholly are worth two bits; one that shows nothing is
    worth none.
    """
    four = (
        "passive-sensor-open-circuit",
        "passive-sensor-shorted-turns",
        "passive-sensor-lead-chafed-to-body",
        "passive-sensor-corroded-connector",
    )
    assert expected_bits(four, "T10", "rear_petrol") == pytest.approx(2.0)
    assert (
        expected_bits(four, "T18", "rear_petrol") == 0.0
        and expected_bits(four[:1], "T10", "rear_petrol") == 0.0
    )


def test_separating_tests_name_what_tells():
    found = separating_tests(
        "passive-sensor-open-circuit", "passive-sensor-corroded-connector", "rear_petrol"
    )
    assert "T09" in found and "T18" not in found and "T28" not in found
