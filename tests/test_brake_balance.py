"""Brake balance of the course's cars: front axle first, as the braking rules ask, and what a
learner's rear-heavy choice does.
"""

import numpy as np
import pytest

from tractionlab import Scenario, simulate
from tractionlab.catalogue import entries as catalogue
from tractionlab.textbook.brake_balance import (
    FROM_RATE,
    TO_RATE,
    adhesion_utilisation,
    axle_torques,
    lock_pressures,
    rear_locks_first_from,
)

CARS = sorted(catalogue.shipped().vehicles())
RATES = np.linspace(FROM_RATE, TO_RATE, 66)
DRY = 1.17  # peak of dry asphalt, data/surfaces.toml


def car(name, **changed):
    return {**catalogue.shipped().vehicles()[name].values, **changed}


@pytest.mark.parametrize("name", CARS)
def test_front_axle_uses_more_grip_than_the_rear(name):
    front, rear = adhesion_utilisation(RATES, car(name))
    assert (front > rear).all()
    assert TO_RATE < rear_locks_first_from(car(name)) < 1.0


@pytest.mark.parametrize("name", CARS)
def test_no_axle_uses_much_more_grip_than_the_braking_rate(name):
    """71/320/EEC, Annex II, Appendix, 3.1.1: z at least 0.1 + 0.85 (k - 0.2) for grip k from 0.2 to
    0.8 (the inequality from memory).
    """
    rates = np.linspace(0.1, 0.9, 81)
    used = adhesion_utilisation(rates, car(name))[0]
    asked = (used >= 0.2) & (used <= 0.8)
    assert asked.sum() > 20
    assert (rates[asked] >= 0.1 + 0.85 * (used[asked] - 0.2)).all()


@pytest.mark.parametrize("name", CARS)
def test_both_axles_together_give_the_braking_rate(name):
    one = car(name)
    front, rear = adhesion_utilisation(RATES, one)
    moved = one["centre_of_mass_height_m"] / one["wheelbase_m"]
    share = one["driven_axle_load_share"]
    load = (1.0 - share if one["drive"] == "rear" else share) + RATES * moved
    assert front * load + rear * (1.0 - load) == pytest.approx(RATES)


@pytest.mark.parametrize("name", CARS)
def test_lock_pressure_on_a_dry_road(name):
    """50 to 110 bar: a published car with discs of 57 and 38 mm takes 60 bar for 1 g (second-hand);
    the range is common practice, no source.
    """
    assert all(50.0 < bar < 110.0 for bar in lock_pressures(DRY, car(name)))


def stop(name, **changed):
    return simulate(
        Scenario(
            vehicle=name,
            left="wet_asphalt",
            initial_speed_kmh=80.0,
            pedal_percent=0.0,
            brake_bar=62.0,
            brake_until_s=5.0,
            antilock=False,
            keep_lane=False,
            steer_deg=0.5,
            duration_s=3.0,
            vehicle_values=changed,
        )
    )


@pytest.mark.parametrize("name", CARS)
def test_rear_heavy_balance_turns_the_car_round(name):
    """Of two cars that brake equally hard without anti-lock, the one with locked rear wheels turns
    round, the one with locked front wheels goes on straight.
    """
    front, rear = axle_torques(car(name))
    heavy = (
        {"driven": rear, "other": front}
        if car(name)["drive"] == "front"
        else {
            "driven": front,
            "other": rear,
        }
    )
    heavy = {f"{axle}_brake_Nm_per_bar": torque for axle, torque in heavy.items()}
    assert rear_locks_first_from(car(name, **heavy)) < 0.1
    sound, turned = stop(name), stop(name, **heavy)
    assert abs(np.degrees(sound.yaw)).max() < 5.0
    assert abs(np.degrees(turned.yaw)).max() > 90.0
