"""Brake balance: how much grip each axle uses at a braking rate, after the definitions of UN R13-H,
Annex 5 (from memory; the rule for front and rear axle was seen in 71/320/EEC, Annex II App. 3.1.1).
"""

import numpy as np

#: Braking rates between which the front axle has to use more grip than the rear axle.
FROM_RATE, TO_RATE = 0.15, 0.80


def axle_torques(car):
    """(front, rear) torque of one brake for each bar [N m/bar] of a vehicle's table: its keys name
    driven and other axle, and of a car that drives all wheels the rear axle counts as driven.
    """
    driven, other = car["driven_brake_Nm_per_bar"], car["other_brake_Nm_per_bar"]
    return (driven, other) if car["drive"] == "front" else (other, driven)


def front_load_share(car):
    """Share of the weight on the front axle at rest."""
    share = car["driven_axle_load_share"]
    return 1.0 - share if car["drive"] == "rear" else share


def load_moved(car):
    """Share of the weight that moves from the rear to the front axle at a braking rate of 1: height
    of the centre of mass over wheelbase.
    """
    return car["centre_of_mass_height_m"] / car["wheelbase_m"]


def adhesion_utilisation(rate, car):
    """(front, rear) grip that each axle uses, brake force over load, at a braking rate.

    Parameters
    ----------
    rate : float or array, deceleration over gravity
    car : mapping with the keys of a vehicle, as `run.scenario.vehicle_values` gives them for the
        axle that the car was built to drive

    Half the weight in front, three quarters of the brake force there, height a fifth of the
    wheelbase: at a rate of 0.5 the front axle carries 0.5 + 0.1 and gives 0.375 of the weight, the
    rear axle 0.4 and 0.125.

    >>> car = {"drive": "front", "driven_axle_load_share": 0.5, "wheelbase_m": 2.5,
    ...     "centre_of_mass_height_m": 0.5, "driven_brake_Nm_per_bar": 24.0,
    ...     "other_brake_Nm_per_bar": 8.0}
    >>> [round(float(f), 4) for f in adhesion_utilisation(0.5, car)]
    [0.625, 0.3125]
    """
    front, rear = axle_torques(car)
    share = front / (front + rear)
    load = front_load_share(car) + np.asarray(rate) * load_moved(car)
    return share * rate / load, (1.0 - share) * rate / (1.0 - load)


def rear_locks_first_from(car):
    """Braking rate above which the rear axle uses more grip than the front one: it locks first on a
    road that is good enough for that. Zero or less: it always does.
    """
    front, rear = axle_torques(car)
    return (front / (front + rear) - front_load_share(car)) / load_moved(car)


def lock_pressures(grip, car, gravity=9.81):
    """(front, rear) pressure [bar] at which each axle locks on a road with this grip, and both
    brake: the load is that of the braking rate `grip`.
    """
    weight = car["mass_kg"] * gravity
    front_load = front_load_share(car) + grip * load_moved(car)
    loads = (front_load, 1.0 - front_load)
    return tuple(
        0.5 * grip * weight * load * car["tyre_radius_m"] / torque
        for load, torque in zip(loads, axle_torques(car))
    )
