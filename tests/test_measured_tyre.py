"""The measured tyre: published forces whole, an independent library, laws, and how near the
course's simple tyre comes.
"""

import math
import types

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.places import data_folder
from tractionlab.checks.measured_tyres import forces_of
from tractionlab.checks.row import published_table
from tractionlab.errors import UserError
from tractionlab.physics import tyre
from tractionlab.textbook import published, tyre_combined
from tractionlab.textbook.published import load_tyre

MEASURED = load_tyre("car_205_60_15")


@pytest.mark.parametrize(
    "row",
    published_table("pacejka_reference_forces.csv"),
    ids=lambda row: f"{row['case']} {row['load']:g} {row['slip']} {row['angle']}",
)
def test_measured_tyre_table(row):
    for got, want in zip(forces_of(row, MEASURED), (row["fx"], row["fy"])):
        assert want is None or got == pytest.approx(want, abs=1e-3)


def reference_parameters(load):
    """Our measured set for the routines of the reference library, which know no load dependence:
    folded in beforehand.
    """
    t, dfz = MEASURED, (load - MEASURED.nominal_load) / MEASURED.nominal_load
    stiffness = (
        t.p_ky1
        * t.nominal_load
        / load
        * math.sin(2.0 * math.atan(load / (t.p_ky2 * t.nominal_load)))
    )
    return types.SimpleNamespace(
        p_cx1=t.p_cx1,
        p_dx1=t.p_dx1 + t.p_dx2 * dfz,
        p_dx3=0.0,
        p_ex1=t.p_ex1 + t.p_ex2 * dfz + t.p_ex3 * dfz**2,
        p_kx1=(t.p_kx1 + t.p_kx2 * dfz) * math.exp(t.p_kx3 * dfz),
        p_hx1=t.p_hx1 + t.p_hx2 * dfz,
        p_vx1=0.0,
        r_bx1=t.r_bx1,
        r_bx2=t.r_bx2,
        r_cx1=t.r_cx1,
        r_ex1=t.r_ex1,
        r_hx1=t.r_hx1,
        p_cy1=t.p_cy1,
        p_dy1=t.p_dy1 + t.p_dy2 * dfz,
        p_dy3=0.0,
        p_ky1=stiffness,
        p_hy1=t.p_hy1 + t.p_hy2 * dfz,
        p_hy3=0.0,
        p_vy1=t.p_vy1 + t.p_vy2 * dfz,
        p_vy3=0.0,
        r_by1=t.r_by1,
        r_by2=t.r_by2,
        r_by3=t.r_by3,
        r_cy1=t.r_cy1,
        r_ey1=t.r_ey1,
        r_hy1=t.r_hy1 + t.r_hy2 * dfz,
        r_vy1=t.r_vy1 + t.r_vy2 * dfz,
        r_vy3=0.0,
        r_vy4=t.r_vy4,
        r_vy5=t.r_vy5,
        r_vy6=t.r_vy6,
    )


@pytest.mark.parametrize("load", [1500.0, 4000.0, 7000.0])
@pytest.mark.parametrize("slip", [-0.9, -0.12, 0.03, 0.1, 0.6])
@pytest.mark.parametrize("angle", [-0.15, -0.04, 0.02, 0.1])
def test_measured_tyre_against_the_reference_library(load, slip, angle):
    """commonroad-vehicle-models fed with our set. It flips the sign of slip in one routine only
    (its slip is braking-positive), and adds its shifts with the sign of the camber, so shifts are
    added here by hand."""
    model = pytest.importorskip("vehiclemodels.utils.tire_model")
    p, dfz = reference_parameters(load), (load - 4000.0) / 4000.0
    fx0 = model.formula_longitudinal(-slip, 0.0, load, p)
    fx = model.formula_longitudinal_comb(slip, angle, fx0, p)
    shifted = angle + p.p_hy1
    p.p_ey1 = (MEASURED.p_ey1 + MEASURED.p_ey2 * dfz) * (
        1.0 - math.copysign(MEASURED.p_ey3, MEASURED.p_ey3 * shifted)
    )
    fy0, mu = model.formula_lateral(shifted, 0.0, load, p)
    fy = model.formula_lateral_comb(slip, angle, 0.0, mu, load, fy0 + load * p.p_vy1, p)
    assert tyre_combined.combined_force(slip, angle, load, MEASURED) == pytest.approx(
        (fx, fy), abs=1e-9
    )


def test_reference_library_set_and_its_vertical_shift():
    """The library adds a force (vertical shift, N) inside the sine; the published formula adds it
    outside.
    """
    model = pytest.importorskip("vehiclemodels.utils.tire_model")
    parameters = pytest.importorskip("vehiclemodels.parameters_vehicle2").parameters_vehicle2()
    p = parameters.tire
    ours = MEASURED._replace(
        p_cx1=p.p_cx1,
        p_dx1=p.p_dx1,
        p_dx2=0.0,
        p_ex1=p.p_ex1,
        p_ex2=0.0,
        p_ex3=0.0,
        p_ex4=0.0,
        p_kx1=p.p_kx1,
        p_kx2=0.0,
        p_kx3=0.0,
        p_hx1=p.p_hx1,
        p_hx2=0.0,
        p_vx1=p.p_vx1,
        p_vx2=0.0,
    )
    worst = {}
    for row in published_table("reference_set_2020.csv"):
        formula = tyre_combined.pure_longitudinal(row["slip"], row["load"], ours)
        coded = model.formula_longitudinal(-row["slip"], 0.0, row["load"], p)
        assert (formula if row["case"] == "per_formula" else coded) == pytest.approx(
            row["fx"], abs=1e-3
        )
        worst[row["load"]] = max(
            worst.get(row["load"], 0.0), abs(formula - coded) / (p.p_dx1 * row["load"])
        )
    assert (
        worst[6000.0] == pytest.approx(0.053, abs=1e-3)
        and worst[2000.0] < worst[4000.0] < worst[6000.0]
    )
    slip, peak = published.longitudinal_peak(4000.0, ours)
    assert (slip, peak) == pytest.approx((0.149111, 4695.565), abs=0.01)


slips = st.floats(-1.0, 99.0)
angles = st.floats(-1.5, 1.5)
loads = st.floats(0.0, 12_000.0)


@settings(deadline=None, max_examples=500)
@given(slips, angles, loads)
def test_measured_tyre_never_pulls_more_than_its_grip(slip, angle, load):
    fx, fy = tyre_combined.combined_force(slip, angle, load, MEASURED)
    assert math.isfinite(fx) and math.isfinite(fy)
    along = (MEASURED.p_dx1 + MEASURED.p_dx2 * tyre_combined.load_change(load, MEASURED)) * load
    across = abs(MEASURED.p_dy1 + MEASURED.p_dy2 * tyre_combined.load_change(load, MEASURED)) * load
    assert abs(fx) <= along + 1e-9
    assert (
        math.hypot(fx, fy) <= 1.035 * max(along, across) + 1e-9
    )  # the published weights overshoot by up to 3 %


@settings(deadline=None, max_examples=300)
@given(slips, st.floats(-0.3, 0.3), st.floats(500.0, 8000.0), st.floats(1.05, 1.5))
def test_more_load_gives_more_force_but_less_per_newton(slip, angle, load, factor):
    few, many = (published.longitudinal_peak(w, MEASURED)[1] for w in (load, factor * load))
    assert few < many < factor * few
    assert tyre_combined.combined_force(slip, angle, 0.0, MEASURED) == (0.0, 0.0)


@given(st.floats(-1.0, 98.0))
def test_slip_definitions_turn_into_each_other(practical):
    assert tyre_combined.practical_slip(tyre_combined.faster_slip(practical)) == pytest.approx(
        practical, rel=1e-9, abs=1e-12
    )
    assert tyre_combined.faster_slip(practical) == pytest.approx(
        tyre.rest_slip(1.0 + practical, 1.0), rel=1e-9, abs=1e-12
    )


def test_measured_tyre_compiles_to_the_same_bits():
    numba = pytest.importorskip("numba")
    compiled = {}
    for function in (tyre.magic_formula, *vars(tyre_combined).values()):
        if isinstance(function, types.FunctionType) and function.__name__ not in compiled:
            copy = types.FunctionType(
                function.__code__, {**function.__globals__, **compiled}, function.__name__
            )
            compiled[function.__name__] = numba.njit(error_model="numpy")(copy)
    draw = np.random.default_rng(4)
    for slip, angle, load in zip(
        draw.uniform(-1, 3, 200), draw.uniform(-0.5, 0.5, 200), draw.uniform(-100, 9000, 200)
    ):
        arguments = float(slip), float(angle), float(load), MEASURED
        assert compiled["combined_force"](*arguments) == tyre_combined.combined_force(*arguments)


@pytest.mark.parametrize(
    "old, new, message",
    [
        (
            "p_cx1        = { value = 1.685",
            "p_cx1        = { value = 5.0",
            "p_cx1 must be a number from 1 to 2",
        ),
        ("p_cx1        =", "p_cz1        =", "unknown key 'p_cz1'"),
        ('unit = "N", source = "A31"', 'unit = "N"', "nominal_load needs value, unit and source"),
        ('source = "A31"', 'source = "A32"', "does not stand under"),
        ("value = 4000", "value = 'heavy'", "must be a number from 500 to 50000"),
        ("[car_205_60_15]", "[van]", "no tyre 'car_205_60_15'; there are: van"),
        ("[car_205_60_15]", "[car_205_60_15", "not readable as TOML"),
    ],
)
def test_wrong_tyre_file_is_named(tmp_path, old, new, message):
    text = (data_folder() / "published_tyres.toml").read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "published_tyres.toml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(UserError, match=message) as caught:
        load_tyre("car_205_60_15", path=path)
    assert str(path) in str(caught.value)


def stiffness_ratio():
    """Side stiffness over drive stiffness of the measured tyre at its nominal load."""
    small, load = 1e-6, MEASURED.nominal_load
    along = tyre_combined.pure_longitudinal(
        small, load, MEASURED
    ) - tyre_combined.pure_longitudinal(0.0, load, MEASURED)
    across = tyre_combined.pure_lateral(small, load, MEASURED) - tyre_combined.pure_lateral(
        0.0, load, MEASURED
    )
    return -across / along


def test_side_stiffness_of_the_vehicles_is_that_of_the_measured_tyre_or_stiffer():
    """At small slip the measured tyre is about half as stiff across as along; sliding, both
    directions count alike (1.0).
    """
    assert stiffness_ratio() == pytest.approx(0.535, abs=1e-3)
    for vehicle in catalogue.shipped().vehicles().values():
        assert stiffness_ratio() - 0.01 <= vehicle["side_stiffness_ratio"] <= 1.0


@pytest.mark.parametrize("slip", [0.05, 0.1, 0.2])
@pytest.mark.parametrize("angle", [0.05, 0.1])
def test_course_tyre_comes_near_the_measured_one_under_both_slips(slip, angle):
    """The course merges both slips into one. Against the measured tyre it keeps up to a quarter too
    much of the drive force, and misses up to a quarter of the grip across. Shares of the own peak
    are compared, as the two tyres differ in grip."""
    surface = (tyre.MAGIC_FORMULA, 11.7, 1.69, 1.2, 0.377, 0.0, 1.2)
    for vehicle in catalogue.shipped().vehicles().values():
        ratio = vehicle["side_stiffness_ratio"]
        plain = tyre.combined_force(
            tyre_combined.faster_slip(slip), 0.0, 4000.0, 20.0, surface, ratio, 0.0, 4000.0
        )
        fx, fy = tyre.combined_force(
            tyre_combined.faster_slip(slip),
            -math.tan(angle) / (1.0 + slip),
            4000.0,
            20.0,
            surface,
            ratio,
            0.0,
            4000.0,
        )
        measured_fx, measured_fy = tyre_combined.combined_force(slip, angle, 4000.0, MEASURED)
        share = measured_fx / tyre_combined.pure_longitudinal(slip, 4000.0, MEASURED)
        assert fx / plain[0] == pytest.approx(share, abs=0.25)
        assert fy / (1.2 * 4000.0) == pytest.approx(measured_fy / (0.99 * 4000.0), abs=0.25)
