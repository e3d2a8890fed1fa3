"""Checks of the adhesion of roads: curves of our surfaces, and what speed, wear and water do to it.

Expected values and sources: data/checks/outside.toml.
"""

from tractionlab.catalogue import entries as catalogue
from tractionlab.checks.row import published_table
from tractionlab.physics import tyre
from tractionlab.textbook import published
from tractionlab.textbook.quarter_car import QuarterCar, friction_slope
from tractionlab.units import KMH

MPH = 0.44704
PSI = 6894.757
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


CHECKS = {
    "T01": burckhardt_peaks,
    "T02": burckhardt_fixed_slips,
    "T03": burckhardt_slopes,
    "T04": burckhardt_speed,
    "T06": four_surfaces,
    "T23": handbook_speed,
    "T24": sliding_friction,
    "T25": older_friction_table,
    "T26": aquaplaning,
}
