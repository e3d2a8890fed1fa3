"""Random scenarios over the ranges of the panels' controls and beyond, for tests of laws."""

import random

from hypothesis import strategies as st

from tractionlab.catalogue import entries as catalogue
from tractionlab.run.scenario import Scenario
from tractionlab.run.scenario_fields import CENTRES, CONTROLS, DIFFERENTIALS

SURFACES = [
    f"{key}:{curve}"
    for key, surface in catalogue.in_use().surfaces().items()
    for curve in surface.curves
]
VEHICLES = list(catalogue.in_use().vehicles())


def random_scenario(seed, duration_s=6.0, **fixed):
    """A scenario drawn by a seed from what learners can set, and beyond: other drives, patches that
    come and go, bends, rolling starts, gears, feet that lift and change over.
    """
    draw = random.Random(seed)
    left = draw.choice(SURFACES)
    settings = dict(
        vehicle=draw.choice(VEHICLES),
        left=left,
        right=draw.choice([left, draw.choice(SURFACES)]),
        control=draw.choice(list(CONTROLS)),
        drive=draw.choice(["", "", "", "rear", "front", "all"]),
        differential=draw.choice(["open", "open", *DIFFERENTIALS]),
        pedal_percent=draw.uniform(0, 100),
        pedal_from_s=draw.choice([0.0, 0.2]),
        pedal_rise_s=draw.uniform(0.05, 2.0),
        slope_percent=draw.choice([0.0, 0.0, draw.uniform(-5, 20)]),
        steer_deg=draw.choice([0.0, 0.0, draw.uniform(-8, 8)]),
        keep_lane=draw.random() < 0.8,
        bend_allowance=draw.random() < 0.8,
        switched_off=draw.random() < 0.1,
        duration_s=duration_s,
    )
    settings["vehicle"] = fixed.get("vehicle", settings["vehicle"])
    if settings["slope_percent"]:
        settings.update(brake_bar=draw.uniform(20, 80), brake_until_s=draw.uniform(0.1, 1.5))
    if draw.random() < 0.2:
        settings["patches"] = (
            {
                "surface": draw.choice(SURFACES),
                "x_from": draw.uniform(0, 5),
                "x_to": draw.uniform(5, 30),
            },
        )
    if settings["drive"] == "all":
        settings["centre"] = draw.choice(CENTRES)
    if draw.random() < 0.4:
        settings.update(
            initial_speed_kmh=draw.uniform(5, 100),
            pedal_until_s=draw.uniform(0.3, 2.0),
            pedal_fall_s=draw.uniform(0.05, 0.5),
            brake_bar=draw.choice([0.0, draw.uniform(20, 140)]),
            brake_from_s=draw.uniform(0.0, 2.0),
            brake_until_s=draw.uniform(1.0, 6.0),
            brake_rise_s=draw.uniform(0.1, 0.4),
            both_feet=draw.random() < 0.2,
        )
    if settings["vehicle"] != "front_electric":
        settings["clutch"] = draw.choice(["driver", "driver", "shut", "open"])
        settings["gear"] = draw.choice(["auto", "auto", "auto", 5])
    settings.update(fixed)
    return Scenario(**settings)


def scenarios(**fixed):
    """Hypothesis strategy for `random_scenario`."""
    return st.integers(0, 2**32 - 1).map(lambda seed: random_scenario(seed, **fixed))
