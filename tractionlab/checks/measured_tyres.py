"""Checks of measured tyres: force along, across and combined at several loads.

Expected values and sources: data/checks/outside.toml.
"""

from tractionlab.checks.row import published_table
from tractionlab.physics import tyre
from tractionlab.textbook import published
from tractionlab.textbook.published import load_tyre
from tractionlab.textbook.tyre_combined import (
    combined_force,
    longitudinal_weight,
    pure_lateral,
    pure_longitudinal,
)

MEASURED_TYRE = "car_205_60_15"


def _bakker(force):
    return [row for row in published_table("bakker_1987.csv") if row["force"] == force]


def _stiffness(row):
    """Slope at no slip by the formula itself, over a small step."""
    return tyre.magic_formula(1e-7, row["B"], row["C"], row["D"], row["E"]) / 1e-7


def bakker_table():
    values = {}
    for row in _bakker("Fx"):
        load = f"{row['load_kN']:g} kN"
        slip, force = published.magic_peak(
            published.MagicSet(row["B"], row["C"], row["D"], row["E"])
        )
        values[f"{load}: slope at no slip"] = _stiffness(row)
        values[f"{load}: slip at the peak"] = slip
        values[f"{load}: peak friction"] = force / (1000.0 * row["load_kN"])
    return values


def bakker_side_table():
    return {f"{row['load_kN']:g} kN: slope at no slip": _stiffness(row) for row in _bakker("Fy")}


def _polynomial(curve_of, loads=(2, 4, 6, 8)):
    values = {}
    for load in loads:
        curve = curve_of(1000.0 * load)
        values[f"{load} kN: peak force"] = curve.d
        values[f"{load} kN: slope at no slip"] = tyre.magic_formula(1e-7, *curve) / 1e-7
    return values


def bakker_polynomials():
    values = _polynomial(published.bakker_longitudinal)
    for load in (2, 4, 6, 8):
        curve = published.bakker_longitudinal(1000.0 * load)
        values[f"{load} kN: slip at the peak"] = published.magic_peak(curve)[0]
        values[f"{load} kN: force at 10 %"] = tyre.magic_formula(10.0, *curve)
    return values


def bakker_side_polynomials():
    return _polynomial(published.bakker_lateral)


def load_sensitivity():
    peak = {load: published.bakker_longitudinal(1000.0 * load).d for load in (2, 4, 6, 8)}
    values = {f"{load} kN: peak friction": peak[load] / (1000.0 * load) for load in peak}
    return values | {
        "tyres at 2 and 6 kN together": peak[2] + peak[6],
        "two tyres at 4 kN": 2.0 * peak[4],
    }


def measured_pure():
    tyre_set = load_tyre(MEASURED_TYRE)
    values = {
        f"4 kN, slip {slip:g}": pure_longitudinal(slip, 4000.0, tyre_set)
        for slip in (-1.0, -0.2, -0.1, -0.05, 0.0, 0.05, 0.1, 0.2, 1.0)
    }
    for load in (2, 4, 6):
        slip, force = published.longitudinal_peak(1000.0 * load, tyre_set)
        values[f"{load} kN: slip at the peak"] = slip
        values[f"{load} kN: peak force"] = force
    return values | _largest_difference("Fx_pure", tyre_set)


def _largest_difference(case, tyre_set):
    away = []
    for row in published_table("pacejka_reference_forces.csv"):
        if row["case"] == case:
            fx, fy = forces_of(row, tyre_set)
            away += [
                abs(got - row[key]) for key, got in (("fx", fx), ("fy", fy)) if row[key] is not None
            ]
    return {f"largest difference over {len(away)} forces": max(away)}


def forces_of(row, tyre_set):
    """(fx, fy) for a row of pacejka_reference_forces.csv, pure or combined as the row says."""
    if row["case"] == "combined":
        return combined_force(row["slip"], row["angle"], row["load"], tyre_set)
    return pure_longitudinal(row["slip"], row["load"], tyre_set), pure_lateral(
        row["angle"], row["load"], tyre_set
    )


def measured_combined():
    tyre_set = load_tyre(MEASURED_TYRE)
    values = {}
    for angle in (0.05, 0.1):
        values[f"share of force along left at {angle:g} rad"] = longitudinal_weight(
            0.1, angle, 4000.0, tyre_set
        )
        values[f"force along at {angle:g} rad"] = combined_force(0.1, angle, 4000.0, tyre_set)[0]
    return values | _largest_difference("combined", tyre_set)


def measured_side():
    tyre_set = load_tyre(MEASURED_TYRE)
    values = {
        f"no slip, {angle:g} rad": pure_lateral(angle, 4000.0, tyre_set)
        for angle in (0.0, 0.05, 0.1)
    }
    values |= {
        f"slip 0.1, {angle:g} rad": combined_force(0.1, angle, 4000.0, tyre_set)[1]
        for angle in (0.05, 0.1)
    }
    return values | _largest_difference("Fy_pure", tyre_set)


CHECKS = {
    "T07": bakker_table,
    "T08": bakker_side_table,
    "T09": bakker_polynomials,
    "T10": bakker_side_polynomials,
    "T12": load_sensitivity,
    "T13": measured_pure,
    "T14": measured_combined,
    "T15": measured_side,
}
