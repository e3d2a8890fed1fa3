"""Checks of braking: formulas of the braking rules, and their procedures driven by our own cars.

The computed side.
"""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.figures.rule_stops import antilock_rate, service_stop, utilisation
from tractionlab.textbook import brake_balance as balance
from tractionlab.textbook import brake_rules as rules
from tractionlab.textbook.longitudinal import (
    LoadedAxles,
    braked_axle_loads,
    braking_distance,
)
from tractionlab.units import KMH

HIGH, LOW = "wet_asphalt", "packed_snow"


def rate_from_time():
    return {
        f"{fast} to {slow} km/h in 1 s": rules.braking_rate(fast * KMH, slow * KMH, 1.0)
        for fast, slow in ((40, 20), (45, 15))
    }


def adhesion_example():
    static, height, base = LoadedAxles(8829.0, 5886.0), 0.55, 2.7
    front_rate, rear_rate = (
        rules.braking_rate(40 * KMH, 20 * KMH, time) for time in (0.9748, 2.0191)
    )
    front = rules.axle_adhesion(front_rate, "front", static, height, base, unbraked_driven=True)
    rear = rules.axle_adhesion(rear_rate, "rear", static, height, base, unbraked_driven=False)
    values = {
        "front axle: rate": front_rate,
        "front axle: adhesion": front,
        "rear axle: rate": rear_rate,
        "rear axle: adhesion": rear,
    }
    unbraked = {True: "driven", False: "not driven"}
    for driven, words in unbraked.items():
        credited = (
            front_rate * (static.front + static.rear)
            - rules.axle_adhesion(front_rate, "front", static, height, base, unbraked_driven=driven)
            * braked_axle_loads(static, front_rate, height, base).front
        )
        values[f"unbraked axle, {words}: resistance over its load"] = credited / static.rear
    for time in (1.2485, 1.4638):
        rate = rules.braking_rate(45 * KMH, 15 * KMH, time)
        values[f"utilisation, {time:g} s with anti-lock"] = rate / rules.mean_adhesion(
            front, rear, rate, static, height, base
        )
    return values


def own_cars():
    values = {}
    for key in catalogue.in_use().vehicles():
        for surface in (HIGH, LOW):
            values[f"{key}, {surface}"] = utilisation(key, surface).share
    return values


def own_cars_on_split_grip():
    """Braking rate over the greatest the rule asks for."""
    return {
        key: (
            antilock_rate(key, LOW, HIGH)
            / rules.split_rate(utilisation(key, LOW).car, utilisation(key, HIGH).car)
        )
        for key in catalogue.in_use().vehicles()
    }


def own_brake_balance():
    """Grip that the rear axle uses over that of the front axle, at its greatest."""
    rates = np.linspace(balance.FROM_RATE, balance.TO_RATE, 66)
    values = {}
    for key, car in catalogue.in_use().vehicles().items():
        front, rear = balance.adhesion_utilisation(rates, car)
        values[key] = float(np.max(rear / front))
    return values


def rear_over_ideal():
    """Adhesion that the rear axle uses over the most that the rule allows it, at its greatest."""
    rates = np.linspace(0.3, 0.45, 16)
    most = rates + 0.05
    return {
        key: float(np.max(balance.adhesion_utilisation(rates, car)[1] / most))
        for key, car in catalogue.shipped().vehicles().items()
    }


def split_requirement():
    return {
        f"adhesion {high:g} and {low:g}": rules.split_rate(low, high)
        for high, low in ((0.8, 0.3), (0.8, 0.2), (0.6, 0.3), (0.5, 0.1))
    }


def endurance():
    return {f"top speed {speed} km/h": rules.endurance_time(speed) for speed in (90, 120, 160, 200)}


def developed_deceleration():
    return {
        "100 km/h, 21.6001 m and 59.4004 m": rules.mean_developed_deceleration(
            100.0, 21.6001, 59.4004
        )
    }


def service_distance():
    return {
        "100 km/h": rules.longest_stop(100.0),
        "braking part at 6.43 m/s2 and 100 km/h": braking_distance(100 * KMH, 6.43),
        "braking part of the formula at 100 km/h": rules.longest_stop(100.0) - 10.0,
    }


def own_service_stops():
    values = {}
    for key in catalogue.in_use().vehicles():
        values[f"{key}: stop"], values[f"{key}: mean deceleration"] = service_stop(key)
        values[f"{key}: booster failed"] = service_stop(key, booster=False)[1]
    return values


CHECKS = {
    "S01": rate_from_time,
    "S02": adhesion_example,
    "S02 own cars": own_cars,
    "S03": split_requirement,
    "S03 own cars": own_cars_on_split_grip,
    "S05": endurance,
    "S09 own cars": own_brake_balance,
    "S09 rear axle": rear_over_ideal,
    "S07": developed_deceleration,
    "S08": service_distance,
    "S08 own cars": own_service_stops,
}
