"""Exercises with the numbers of a person's own car: which of an exercise's numbers a car has."""

import hashlib
from dataclasses import replace

from tractionlab.catalogue import entries as catalogue
from tractionlab.textbook.formulas import inertia_at_wheel
from tractionlab.textbook.longitudinal import GRAVITY


def _push(car):
    return {
        "mass": round(car["mass_kg"]),
        "axle": (car["drive"], round(car["driven_axle_load_share"], 2)),
        "height": round(car["centre_of_mass_height_m"], 2),
        "wheelbase": round(car["wheelbase_m"], 2),
    }


def _wheel_load(car):
    return round(car["mass_kg"] * GRAVITY * car["driven_axle_load_share"] / 2)


def _one_wheel(car):
    return {
        "load": _wheel_load(car),
        "per_bar": _short(car["driven_brake_Nm_per_bar"]),
        "radius": round(car["tyre_radius_m"], 3),
    }


def _hill(car):
    gears = round(car["gear_ratio"] * car["driveline_efficiency"], 2)
    return _one_wheel(car) | {"mass": round(car["mass_kg"]), "gears": gears}


def _ring(car):
    return {"radius": round(car["tyre_radius_m"], 3), "teeth": int(car["teeth"])}


def _cylinders(car):
    friction = _short(car["engine_friction_Nm"])
    return {"friction": friction, "indicated": _short(car["max_torque_Nm"] + friction)}


def _spinning(car):
    torque = car["max_torque_Nm"] * car["gear_ratio"] * car["driveline_efficiency"] / 2
    turning = inertia_at_wheel(
        car["wheel_inertia_kg_m2"],
        car["gear_inertia_kg_m2"] + car["engine_inertia_kg_m2"],
        car["gear_ratio"],
    )
    return {
        "torque": round(torque, 1),
        "load": _wheel_load(car),
        "radius": round(car["tyre_radius_m"], 3),
        "inertia": round(turning, 2),
    }


def _disc(car):
    return {"radius": round(car["tyre_radius_m"], 3), "disc": _short(car["disc_mass_kg"])}


def _clearance(car):
    first, per_bar = round(car["driven_gap_cm3"], 2), round(car["driven_cm3_per_bar"], 3)
    return {"first": first, "per_bar": per_bar}


#: Exercise -> what it takes from a car, in the figures that the exercise shows; and the kinds of
#: car that it is about, as {key: value}.
_TAKES = {
    "1.1": (_push, {}),
    "2.1": (_one_wheel, {}),
    "2.2": (_hill, {}),
    "3.1": (_ring, {}),
    "5.1": (_cylinders, {"motor": "combustion"}),
    "5.2": (_spinning, {"motor": "combustion"}),
    "7.1": (_clearance, {"layout": "B"}),
    "7.2": (lambda car: {"per_bar": round(car["driven_cm3_per_bar"], 3)}, {"layout": "B"}),
    "8.1": (_disc, {}),
    "8.2": (lambda car: {"track": round(car["track_m"], 2)}, {}),
}


def _short(value):
    """A value in the few digits that an exercise shows."""
    return round(value) if value == round(value) else round(value, 1)


def stamp(key, car, exercise):
    """What a record's line says of an own car: its key, and a word that changes with the numbers it
    gives to an exercise, so that an answer to other numbers is not taken for one to these.
    """
    takes, _ = _TAKES[exercise.id]
    return f"{key} {hashlib.sha256(repr(takes(car)).encode()).hexdigest()[:8]}"


def of_car(exercise, car):
    """The exercise with the numbers of a car where it has them, the rest drawn as before; None if
    it is not about such a car, or if the car's numbers leave no two tasks of a kind to draw from.
    """
    takes, kinds = _TAKES.get(exercise.id, (None, {}))
    driven = car["drive"] != "all" or exercise.id != "1.1"
    if takes is None or not driven or any(car[key] != kind for key, kind in kinds.items()):
        return None
    fixed = {name: (value,) for name, value in takes(car).items()}
    narrowed = replace(exercise, draws=exercise.draws | fixed)
    cases = [narrowed.build(**numbers).case for numbers in narrowed.numbers()]
    enough = cases and all(cases.count(case) >= 2 for case in cases)
    return narrowed if enough else None


def with_own_cars(exercise):
    """{key: (Entry of the car, Exercise)} of the own cars that have numbers for an exercise."""
    own = catalogue.own_cars(catalogue.in_use())
    made = {key: (car, of_car(exercise, car)) for key, car in own.items()}
    return {key: pair for key, pair in made.items() if pair[1] is not None}
