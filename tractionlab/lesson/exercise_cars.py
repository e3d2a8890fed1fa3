"""Exercises with the numbers of a person's own car: which of an exercise's numbers a car has."""

import hashlib
from dataclasses import replace

from tractionlab.catalogue import entries as catalogue
from tractionlab.textbook.car_numbers import car_numbers, suits

_WHEEL = {"load": "load", "per_bar": "Nm_per_bar", "radius": "radius"}
#: Exercise -> {its number: name in `car_numbers`}.
_TAKES = {
    "1.1": {"mass": "mass", "axle": "axle", "height": "height", "wheelbase": "wheelbase"},
    "2.1": _WHEEL,
    "2.2": {**_WHEEL, "mass": "mass", "gears": "gears"},
    "3.1": {"radius": "radius", "teeth": "teeth"},
    "5.1": {"friction": "friction", "indicated": "burning"},
    "5.2": {
        "torque": "wheel_torque",
        "load": "load",
        "radius": "radius",
        "inertia": "inertia",
    },
    "7.1": {"first": "gap", "per_bar": "cm3_per_bar"},
    "7.2": {"per_bar": "cm3_per_bar"},
    "8.1": {"radius": "radius", "disc": "disc"},
    "8.2": {"track": "track"},
}
#: What an exercise is about, where it is not any car with one driven axle: {key: value}.
_ABOUT = {
    "5.1": {"motor": "combustion"},
    "5.2": {"motor": "combustion"},
    "7.1": {"layout": "B"},
    "7.2": {"layout": "B"},
}


def _taken(exercise, car):
    numbers = car_numbers(car)
    return {name: numbers[of] for name, of in _TAKES[exercise.id].items()}


def stamp(key, car, exercise):
    """What a record's line says of an own car: its key, and a word that changes with the numbers it
    gives to an exercise, so that an answer to other numbers is not taken for one to these.
    """
    return f"{key} {hashlib.sha256(repr(_taken(exercise, car)).encode()).hexdigest()[:8]}"


def of_car(exercise, car):
    """The exercise with the numbers of a car where it has them, the rest drawn as before; None if
    it is not about such a car, or if the car's numbers leave no two tasks of a kind to draw from.
    """
    if exercise.id not in _TAKES or not suits(car, _ABOUT.get(exercise.id, {})):
        return None
    fixed = {name: (value,) for name, value in _taken(exercise, car).items()}
    narrowed = replace(exercise, draws=exercise.draws | fixed)
    cases = [narrowed.build(**numbers).case for numbers in narrowed.numbers()]
    enough = cases and all(cases.count(case) >= 2 for case in cases)
    return narrowed if enough else None


def with_own_cars(exercise):
    """{key: (Entry of the car, Exercise)} of the own cars that have numbers for an exercise."""
    own = catalogue.own_cars(catalogue.in_use())
    made = {key: (car, of_car(exercise, car)) for key, car in own.items()}
    return {key: pair for key, pair in made.items() if pair[1] is not None}
