"""Random scenarios with the hydraulic circuit, for tests of laws: sound, or with a fault of a part
or a sensor.
"""

import random

from hypothesis import strategies as st
from random_scenarios import VEHICLES, random_scenario

from tractionlab.catalogue import entries as catalogue
from tractionlab.wheels import WHEELS

_BOTH = {f"wheel_{w}": [("air", 1.0)] for w in WHEELS} | {
    "return_pump": [("weak", 0.3)],
    "reservoir": [("low", 0.2)],
}
_SENSORS = {
    f"sensor_{w}": [
        "open",
        ("teeth", 44),
        ("missing", 3),
        ("crack", 0.4),
        ("gap", 1.2),
        ("runout", 0.3),
    ]
    for w in WHEELS
}
FAULTS = {
    "A": (
        _BOTH
        | _SENSORS
        | {
            "cut_off_valve": ["stuck_open", "stuck_closed", "coil_open"],
            "feed_valve": ["stuck_closed", "stuck_open", ("leak", 0.1)],
            "drain_valve": ["stuck_closed"],
            "accumulator": [("precharge", 30.0)],
            "pressure_switch": ["stuck_on", "open"],
            "charge_pump": [("weak", 0.0)],
        }
        | {
            f"wheel_valve_{w}": [
                "stuck_increase",
                "stuck_hold",
                "stuck_reduce",
                ("extra_resistance", 1.5),
                ("leak", 0.1),
                ("blocked", 0.2),
            ]
            for w in WHEELS
        }
    ),
    "B": (
        _BOTH
        | _SENSORS
        | {
            f"{name}_{k}": ["stuck_open", "stuck_closed", "coil_open"]
            for name in ("isolating_valve", "priming_valve")
            for k in (1, 2)
        }
        | {"line_1": [("air", 1.0)]}
        | {
            f"{name}_{w}": ["stuck_open", "stuck_closed", ("leak", 0.1), ("blocked", 0.2)]
            for name in ("inlet", "outlet")
            for w in WHEELS
        }
    ),
}


def random_circuit(seed, **fixed):
    """A scenario with a circuit drawn by a seed: a launch or a stop, half of them with one
    fault.
    """
    draw = random.Random(seed)
    vehicle = fixed.pop("vehicle", draw.choice(VEHICLES))
    faults = {}
    if draw.random() < 0.5:
        part = draw.choice(list(FAULTS[catalogue.in_use().vehicles()[vehicle]["layout"]]))
        faults[part] = draw.choice(FAULTS[catalogue.in_use().vehicles()[vehicle]["layout"]][part])
    more = dict(vehicle=vehicle, faults=faults)
    if draw.random() < 0.5:
        more |= dict(
            initial_speed_kmh=draw.uniform(5, 80),
            pedal_percent=0.0,
            brake_bar=draw.uniform(5, 150),
            brake_from_s=draw.choice([0.0, 0.2]),
            brake_until_s=draw.uniform(0.5, 3.0),
            slope_percent=0.0,
        )
    return random_scenario(seed, **{**more, **fixed})


def circuits(**fixed):
    """Hypothesis strategy for `random_circuit`."""
    return st.integers(0, 2**32 - 1).map(lambda seed: random_circuit(seed, **fixed))
