"""Repair cases of equal weight: three scripted technicians work every draw of every case item."""

import pytest
from technicians import average, best, guesses, points

from tractionlab.assess.bank.draw import fair_draws
from tractionlab.assess.bank.item import items
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.workshop.case.criteria_search import par_minutes
from tractionlab.workshop.case.suspects import candidates, predicted, still_possible
from tractionlab.workshop.faults import fault

CASES = [item for item in items().values() if item.kind == "case"]
BAND = 0.15


def cars(item):
    """(fault, vehicle, symptom) of each draw."""
    return [
        (draw["fault"], draw["vehicle"], fault(draw["fault"]).symptoms[0])
        for draw in fair_draws(item)
    ]


def test_every_case_has_eight_draws_and_no_car_comes_twice():
    """In what counts: whoever practised with the mock paper may meet a car of a resit."""
    mock = read_toml(data_folder() / "papers" / "mock.toml")["items"]
    graded = [car for item in CASES if item.id not in mock for car in cars(item)]
    assert all(len(set(cars(item))) >= 8 for item in CASES)
    assert len(set(graded)) == len(graded) >= 56
    practised = {car for item in CASES if item.id in mock for car in cars(item)}
    spare = {car for item in CASES if item.spare for car in cars(item)}
    assert practised & set(graded) <= spare


def test_no_car_is_told_by_one_question():
    for item in CASES:
        for name, vehicle, symptom in cars(item):
            fitting = candidates(symptom, vehicle)
            left = still_possible(fitting, "T01", predicted("T01", name, vehicle), vehicle)
            assert len(left) > 1, (item.id, name)


@pytest.mark.parametrize("item", CASES, ids=lambda item: item.id)
def test_draws_are_alike_in_difficulty(item):
    """Mean points of the three, and minutes of a good search, within 15 % of their means."""
    worth = [sum(points(*car)) / 3.0 for car in cars(item)]
    minutes = [
        par_minutes(name, symptom, vehicle, fault(name).kind)
        for name, vehicle, symptom in cars(item)
    ]
    for found in (worth, minutes):
        mean = sum(found) / len(found)
        assert max(abs(value / mean - 1.0) for value in found) <= BAND, dict(zip(cars(item), found))


@pytest.mark.parametrize("item", CASES, ids=lambda item: item.id)
def test_the_best_next_test_solves_and_who_guesses_does_not_pass(item):
    for car in cars(item):
        result, sure = best(*car)
        assert sure and result.exact and result.total >= 95.0, (car, dict(result.reasons))
        assert result.total > average(*car).total > 60.0
        guessed = guesses(*car)
        totals = [other.total for other in guessed]
        assert sum(totals) / len(totals) < 40.0 and max(totals) < 60.0
        assert all(other.points["evidence"] == 0.0 for other in guessed)


@pytest.mark.parametrize(
    "first", [("T01",), ("T04",), ("T01", "T04")], ids=["customer", "codes", "both"]
)
def test_who_guesses_after_a_first_look_does_not_pass(first):
    """Asks the customer, or reads all codes, then guesses among what still fits. Where the codes
    leave one fault there is nothing to guess.
    """
    found = [guesses(*car, first) for item in CASES for car in cars(item)]
    totals = [[one.total for one in tried] for tried in found if tried]
    assert len(totals) == len(found) if first == ("T01",) else len(totals) >= 5
    means = [sum(one) / len(one) for one in totals]
    assert sum(means) / len(means) < 40.0 and max(map(max, totals)) < 60.0, (max(means), totals)
