"""Checks of roads and tyres as they are driven: default curves inside measured bands, the order of
the tyres, the traction grade on wet asphalt, and the rolling radius by size.
"""

import math

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.checks.roads import MPH
from tractionlab.physics.tyre import adhesion, rolling_radius
from tractionlab.run.scenario import Scenario
from tractionlab.run.surfaces import row_of
from tractionlab.units import KMH

_TEST_SPEED = 40.0 * MPH
#: Outer radius of the course cars' size 205/55 R16, by the marking rule of tyres [m].
_FREE_RADIUS = 0.5 * 16.0 * 0.0254 + 0.205 * 0.55
_SLIPS = np.linspace(0.0, 1.0, 1001)


def _top(surface, tyre, speed):
    """(slip at the top, adhesion there) of a surface under a tyre at a speed [m/s]."""
    row = row_of(surface, tyre)
    grip = [adhesion(slip, speed, row) for slip in _SLIPS]
    best = int(np.argmax(grip))
    return float(_SLIPS[best]), grip[best]


def _locked(surface, tyre, speed):
    return adhesion(1.0, speed, row_of(surface, tyre))


def roads_in_bands():
    values = {
        f"{words}, locked at 40 mph": _locked(surface, Scenario.tyre, _TEST_SPEED)
        for surface, words in (
            ("dry_asphalt", "dry asphalt"),
            ("wet_asphalt", "wet asphalt"),
            ("packed_snow", "packed snow"),
            ("ice", "ice"),
        )
    }
    for surface, words in (("packed_snow", "packed snow"), ("ice", "ice")):
        values[f"{words}, top"] = _top(surface, Scenario.tyre, 0.0)[1]
    values["packed snow: slip at the top"] = _top("packed_snow", Scenario.tyre, 0.0)[0]
    return values


def slide_over_peak():
    return {
        surface.name.lower(): _locked(key, Scenario.tyre, _TEST_SPEED)
        / _top(key, Scenario.tyre, _TEST_SPEED)[1]
        for key, surface in catalogue.shipped().surfaces().items()
        if key in ("dry_asphalt", "dry_concrete", "wet_asphalt", "packed_snow", "ice")
    }


def low_grip_tracks():
    """Slippery roads of the course by the rule for tracks of the endurance test."""
    speed, values = 40.0 * KMH, {}
    for key, words in (("packed_snow", "packed snow"), ("ice", "ice")):
        peak = _top(key, Scenario.tyre, speed)[1]
        values[f"{words}: top over locked wheel"] = peak / _locked(key, Scenario.tyre, speed)
    return values | {"ice: adhesion": peak}


def gravel():
    held = _top("loose_gravel", Scenario.tyre, 50.0 * KMH)[1]
    row = row_of("loose_gravel", Scenario.tyre)
    return {
        "locked wheel": adhesion(1.0, 50.0 * KMH, row),
        "slip at the top": _top("loose_gravel", Scenario.tyre, 50.0 * KMH)[0],
        "stop at 17 % slip longer by": held / adhesion(0.17, 50.0 * KMH, row) - 1.0,
    }


def tyres_against_winter():
    def longer(surface, tyre):
        return _top(surface, "winter", 0.0)[1] / _top(surface, tyre, 0.0)[1]

    return {
        "summer on ice": longer("ice", "summer"),
        "all-season on ice": longer("ice", "all_season"),
        "all-season on snow": longer("packed_snow", "all_season"),
        "summer on snow": longer("packed_snow", "summer"),
    }


def traction_grade():
    return {"summer tyre": _locked("wet_asphalt", "summer", _TEST_SPEED)}


def rolling_radii():
    values = {}
    for car in catalogue.shipped().vehicles().values():
        values[f"{car.name}: circumference over diameter"] = (
            math.pi * car["tyre_radius_m"] / _FREE_RADIUS
        )
    car = catalogue.shipped().vehicles()["rear_petrol"]
    loads = [
        rolling_radius(
            load, car["tyre_radius_m"], car["rolling_radius_loss"], car["reference_load_N"]
        )
        for load in (3000.0, 5000.0)
    ]
    return values | {"change from 3000 to 5000 N": 1e3 * (loads[1] - loads[0])}


CHECKS = {
    "T27": roads_in_bands,
    "T28": slide_over_peak,
    "T29": gravel,
    "T30": tyres_against_winter,
    "T31": traction_grade,
    "T32": rolling_radii,
    "S17": low_grip_tracks,
}
