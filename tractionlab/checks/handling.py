"""Checks of the course's cars as they roll freely: how they answer steering, how they coast down.

The computed side.
"""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.run.assembly import AIR_DENSITY
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.textbook.coasting import coasting_time
from tractionlab.textbook.longitudinal import GRAVITY
from tractionlab.units import KMH

STEER_DEG, STEER_KMH = 0.2, 60.0
COAST_FROM, COAST_TO, LOAD_KMH = 80.0, 60.0, 80.0
#: Force law A + C V^2 [N, V in km/h] of the published table, by flywheel mass [kg].
_TABLE = {
    100: (0.0, 0.0224),
    110: (0.82, 0.0227),
    120: (1.70, 0.0230),
    130: (2.57, 0.0233),
    150: (4.32, 0.0238),
    200: (8.69, 0.0252),
    220: (10.43, 0.0257),
    250: (13.06, 0.0266),
    260: (13.93, 0.0268),
    300: (17.43, 0.0279),
    320: (19.17, 0.0285),
    340: (20.92, 0.0290),
}


def rolling_free(vehicle, **more):
    """Run of a car with nothing at its pedals: clutch open, or a motor that does not brake."""
    car = catalogue.shipped().vehicles()[vehicle]
    clutch = "driver" if car["motor"] == "electric" else "open"
    return simulate(
        Scenario(
            vehicle=vehicle,
            left="dry_asphalt",
            pedal_percent=0.0,
            control="off",
            clutch=clutch,
            vehicle_values={"recuperation_Nm": 0.0},
            **more,
        )
    )


def turned_a_little(vehicle):
    """Run of a car at 60 km/h whose front wheels are turned by 0.2 degrees at once."""
    return rolling_free(
        vehicle,
        initial_speed_kmh=STEER_KMH,
        steer_deg=STEER_DEG,
        keep_lane=False,
        duration_s=1.5,
    )


def yaw_response():
    values = {}
    for key in catalogue.shipped().vehicles():
        run = turned_a_little(key)
        for at in (0.3, 1.0):
            rate = np.interp(at, run.time, run.yaw_rate)
            values[f"{key}: yaw rate after {at:g} s"] = float(np.degrees(rate)) / STEER_DEG
    return values


def motorcycle_table():
    per_kmh = 1.0 / KMH**2
    return {
        f"{mass} kg": coasting_time(mass, constant, square * per_kmh, 70 * KMH, 60 * KMH)
        for mass, (constant, square) in _TABLE.items()
    }


def coast_down():
    """Own cars from 80 to 60 km/h."""
    values = {}
    for key in catalogue.shipped().vehicles():
        run = rolling_free(key, initial_speed_kmh=COAST_FROM + 2.0, duration_s=40.0)
        at = np.interp([-COAST_FROM * KMH, -COAST_TO * KMH], -run.speed, run.time)
        values[f"{key}: time"] = float(at[1] - at[0])
    return values


def road_load():
    """Air and rolling resistance of own cars at 80 km/h."""
    values = {}
    for key, car in catalogue.shipped().vehicles().items():
        air = 0.5 * AIR_DENSITY * car["drag_area_m2"] * (LOAD_KMH * KMH) ** 2
        values[f"{key}, {car['mass_kg']:g} kg"] = (
            air + car["rolling_coefficient"] * car["mass_kg"] * GRAVITY
        )
    return values


CHECKS = {
    "V18": motorcycle_table,
    "V18 own cars": coast_down,
    "V19": road_load,
    "V20 own cars": yaw_response,
}
