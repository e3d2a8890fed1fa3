"""Checks of tyre friction: the computed side.

Expected values and sources: data/checks/outside.toml.
"""

from tractionlab.catalogue import entries as catalogue
from tractionlab.checks.row import published_table
from tractionlab.physics import tyre
from tractionlab.textbook import published
from tractionlab.textbook.published import load_tyre
from tractionlab.textbook.quarter_car import QuarterCar, friction_slope
from tractionlab.textbook.tyre_combined import (
    combined_force,
    faster_slip,
    longitudinal_weight,
    pure_lateral,
    pure_longitudinal,
)
from tractionlab.textbook.tyre_lugre import Bristles, steady_friction, steady_peak

KMH = 1.0 / 3.6
MPH = 0.44704
PSI = 6894.757
INCH = 0.0254
MEASURED_TYRE = "car_205_60_15"
COURSE_NAME = {
    "snow": "packed_snow",
    "smooth_ice": "ice",
}  # published name -> key in data/surfaces.toml


def _burckhardt():
    """Coefficients (c1, c2, c3) by surface, from the surfaces of the course, under the names of the
    published table.
    """
    found = catalogue.shipped().surfaces()
    curves = {}
    for row in published_table("burckhardt.csv"):
        values = found[COURSE_NAME.get(row["surface"], row["surface"])].curves["burckhardt"].values
        curves[row["surface"]] = values["c1"], values["c2"], values["c3"]
    return curves


def _words(surface):
    return surface.replace("_", " ")


def burckhardt_peaks():
    values = {}
    for surface, curve in _burckhardt().items():
        slip, peak = tyre.burckhardt_peak(*curve)
        values[f"{_words(surface)}: slip at the peak"] = slip
        values[f"{_words(surface)}: peak friction"] = peak
        values[f"{_words(surface)}: friction of a locked wheel"] = tyre.burckhardt(1.0, *curve)
    return values


def burckhardt_fixed_slips():
    curves = _burckhardt()
    values = {
        f"dry asphalt at slip {slip:g}": tyre.burckhardt(slip, *curves["dry_asphalt"])
        for slip in (0.01, 0.02, 0.05, 0.10, 0.20, 0.50)
    }
    away = [
        abs(tyre.burckhardt(float(key[4:]), *curves[row["surface"]]) - row[key])
        for row in published_table("burckhardt.csv")
        for key in row
        if key.startswith("mu_s")
    ]
    return values | {f"largest difference over {len(away)} values": max(away)}


def burckhardt_slopes():
    curves = _burckhardt()
    return {
        _words(surface): friction_slope(0.0, QuarterCar(1.0, 1.0, 1.0, *curves[surface]))
        for surface in ("dry_asphalt", "wet_asphalt", "snow", "ice")
    }


def burckhardt_speed():
    return {
        "share of friction left at 100 km/h, slip 0.17": published.speed_factor(
            0.17, 100.0 * KMH, 0.03
        )
    }


def four_surfaces():
    values, away = {}, []
    found = catalogue.shipped().surfaces()
    for row in published_table("magic_formula_surfaces.csv"):
        curve = published.MagicSet(row["B"], row["C"], row["D"], row["E"])
        if row["axle"] == "front":
            of_course = (
                found[COURSE_NAME.get(row["surface"], row["surface"])]
                .curves["magic_formula"]
                .values
            )
            curve = published.MagicSet(*(of_course[key] for key in "bcde"))
        slip, peak = published.magic_peak(curve)
        at = {
            key: tyre.magic_formula(float(key[3:]), *curve)
            for key in ("mu_0.05", "mu_0.10", "mu_0.20", "mu_1.00")
        }
        away += [abs(slip - row["slip_at_peak"]), abs(peak - row["mu_peak"])] + [
            abs(at[key] - row[key]) for key in at
        ]
        if row["axle"] == "front":
            name = _words(row["surface"])
            values |= {
                f"{name}: slip at the peak": slip,
                f"{name}: friction at slip 0.05": at["mu_0.05"],
                f"{name}: friction at slip 0.2": at["mu_0.20"],
                f"{name}: friction at slip 1": at["mu_1.00"],
            }
    return values | {f"both axles: largest difference over {len(away)} values": max(away)}


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


def friction_circle():
    return {
        "side force left beside 2000 N": published.force_left(0.9, 4000.0, 2000.0),
        "share left across when 60 % is used along": (
            published.force_left(0.9, 4000.0, 0.6 * 3600.0) / 3600.0
        ),
    }


def _bristles(name, speed):
    bristles = load_tyre(name, Bristles)
    return {
        f"{speed:g} m/s, slip {slip:g}": steady_friction(slip, speed, bristles)
        for slip in (0.02, 0.05, 0.1, 0.2, 0.5, 1.0)
    }


def bristles_2003():
    values = _bristles("bristles_2003", 20.0)
    for speed in (8.0, 20.0, 30.0):
        slip, peak = steady_peak(speed, load_tyre("bristles_2003", Bristles))
        values[f"{speed:g} m/s: slip at the peak"] = slip
        values[f"{speed:g} m/s: peak"] = peak
    return values


def bristles_1999():
    slip, _ = steady_peak(20.0, load_tyre("bristles_1999", Bristles))
    return _bristles("bristles_1999", 20.0) | {"20 m/s: slip of the highest friction": slip}


def relaxation():
    values = {
        f"share of force after {distance:g} m": published.relaxation_share(distance, 0.3)
        for distance in (0.1, 0.3, 0.9)
    }
    return values | {
        f"time constant at {speed:g} m/s": published.relaxation_time(speed, 0.3)
        for speed in (20.0, 1.0)
    }


def slip_definitions():
    values = {
        f"practical slip {slip:g} referred to the wheel": faster_slip(slip)
        for slip in (0.1, 0.5, 1.0)
    }
    return values | {
        "locked wheel": tyre.rest_slip(0.0, 13.5),
        "wheel spins on the spot": tyre.rest_slip(13.5, 0.0),
        "wheel 49.5 rad/s, car as fast as 40.5 rad/s": tyre.rest_slip(49.5, 40.5),
    }


def handbook_speed():
    left = published.speed_factor(0.17, 130.0 * KMH, 0.03) / published.speed_factor(
        0.17, 50.0 * KMH, 0.03
    )
    return {
        "new tyre, dry: share left from 50 to 130 km/h": left,
        "worn tyre, dry: share left from 50 to 130 km/h": left,
        "black ice": tyre.burckhardt_peak(*_burckhardt()["ice"])[1],
    }


def sliding_friction():
    curves = _burckhardt()
    return {
        _words(surface): tyre.burckhardt(1.0, *curves[surface])
        for surface in ("dry_asphalt", "wet_asphalt", "dry_concrete", "snow", "ice")
    }


def older_friction_table():
    curves = _burckhardt()
    values = {
        f"{_words(surface)}: sliding": tyre.burckhardt(1.0, *curves[surface])
        for surface in ("dry_asphalt", "wet_asphalt", "snow", "ice")
    }
    return values | {
        f"{surface}: peak": tyre.burckhardt_peak(*curves[surface])[1] for surface in ("snow", "ice")
    }


def aquaplaning():
    return {
        f"{pressure} psi": published.aquaplaning_speed(pressure * PSI) / MPH
        for pressure in (24, 32, 36, 40)
    } | {"100 kPa": published.aquaplaning_speed(100e3) / KMH}


def tyre_size():
    return {"205/60 R15": 1000.0 * published.unloaded_radius(0.205, 0.60, 15 * INCH)}


CHECKS = {
    "T01": burckhardt_peaks,
    "T02": burckhardt_fixed_slips,
    "T03": burckhardt_slopes,
    "T04": burckhardt_speed,
    "T06": four_surfaces,
    "T07": bakker_table,
    "T08": bakker_side_table,
    "T09": bakker_polynomials,
    "T10": bakker_side_polynomials,
    "T12": load_sensitivity,
    "T13": measured_pure,
    "T14": measured_combined,
    "T15": measured_side,
    "T18": friction_circle,
    "T19": bristles_2003,
    "T20": bristles_1999,
    "T21": relaxation,
    "T22": slip_definitions,
    "T23": handbook_speed,
    "T24": sliding_friction,
    "T25": older_friction_table,
    "T26": aquaplaning,
    "V15": tyre_size,
}
