"""Published tables compared whole, independent routes to the same numbers, and laws beside the
tables.
"""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, minimize_scalar

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.places import data_folder
from tractionlab.checks.measured import axle_ratio_over_acceleration, drive, reference_speeds
from tractionlab.checks.row import published_table
from tractionlab.physics import tyre
from tractionlab.textbook import longitudinal as line
from tractionlab.textbook import published, quarter_car, tyre_lugre
from tractionlab.textbook.published import MagicSet, load_tyre

QUARTER = quarter_car.QuarterCar(225.0, 1.0, 0.3, 1.2801, 23.99, 0.52)
POLES = published_table("slip_dynamics_poles.csv")
FINE = {"xatol": 1e-10}  # for scipy's search


# --- Burckhardt
# ----------------------------------------------------------------


@pytest.mark.parametrize("row", published_table("burckhardt.csv"), ids=lambda row: row["surface"])
def test_burckhardt_table(row):
    curve = row["c1"], row["c2"], row["c3"]
    slip, peak = tyre.burckhardt_peak(*curve)
    assert slip == pytest.approx(row["slip_at_peak"], abs=1e-6)
    assert peak == pytest.approx(row["mu_peak"], abs=1e-6)
    assert tyre.burckhardt(1.0, *curve) == pytest.approx(row["mu_locked"], abs=1e-6)
    car = quarter_car.QuarterCar(1.0, 1.0, 1.0, *curve)
    assert quarter_car.friction_slope(0.0, car) == pytest.approx(row["initial_slope"], abs=1e-6)
    assert tyre.burckhardt(1e-6, *curve) / 1e-6 == pytest.approx(row["initial_slope"], rel=0.01)
    for key in row:
        if key.startswith("mu_s"):
            assert tyre.burckhardt(float(key[4:]), *curve) == pytest.approx(row[key], abs=1e-6)
    found = minimize_scalar(
        lambda s: -tyre.burckhardt(s, *curve), bounds=(0.0, 1.0), method="bounded", options=FINE
    )
    assert -found.fun == pytest.approx(peak, abs=1e-6)
    if row["c3"] > 0.0:
        assert found.x == pytest.approx(slip, abs=1e-6)


def test_surfaces_of_the_course_carry_the_published_coefficients():
    found = catalogue.shipped().surfaces()
    for row in published_table("burckhardt.csv"):
        values = (
            found[{"snow": "packed_snow"}.get(row["surface"], row["surface"])]
            .curves["burckhardt"]
            .values
        )
        assert [values[key] for key in ("c1", "c2", "c3")] == [
            row[key] for key in ("c1", "c2", "c3")
        ]
    for row in published_table("magic_formula_surfaces.csv"):
        if row["axle"] == "front":
            key = {"snow": "packed_snow", "smooth_ice": "ice"}.get(row["surface"], row["surface"])
            values = found[key].curves["magic_formula"].values
            assert [values[part] for part in "bcde"] == [row[part] for part in "BCDE"]


# --- Magic formula
# ----------------------------------------------------------------


def magic(row):
    return MagicSet(row["B"], row["C"], row["D"], row["E"])


def searched_peak(curve, far):
    found = minimize_scalar(
        lambda x: -tyre.magic_formula(x, *curve), bounds=(0.0, far), method="bounded", options=FINE
    )
    return found.x, -found.fun


@pytest.mark.parametrize(
    "row",
    published_table("magic_formula_surfaces.csv"),
    ids=lambda row: f"{row['surface']} {row['axle']}",
)
def test_four_surface_table(row):
    curve = magic(row)
    slip, peak = published.magic_peak(curve)
    assert (slip, peak) == pytest.approx((row["slip_at_peak"], row["mu_peak"]), abs=1e-6)
    assert (slip, peak) == pytest.approx(searched_peak(curve, 0.5), abs=1e-5)
    assert tyre.magic_formula(1e-8, *curve) / 1e-8 == pytest.approx(row["slope_BCD"], rel=1e-6)
    for key in ("mu_0.05", "mu_0.10", "mu_0.20", "mu_1.00"):
        assert tyre.magic_formula(float(key[3:]), *curve) == pytest.approx(row[key], abs=1e-6)


@pytest.mark.parametrize(
    "row",
    published_table("bakker_1987.csv"),
    ids=lambda row: f"{row['force']} {row['load_kN']:g} kN",
)
def test_bakker_table(row):
    along, load = row["force"] == "Fx", 1000.0 * row["load_kN"]
    table_curve = magic(row)
    polynomial = (published.bakker_longitudinal if along else published.bakker_lateral)(load)
    assert row["B"] * row["C"] * row["D"] == pytest.approx(row["bcd"], abs=0.006)
    for curve, x_peak, mu_peak in (
        (table_curve, "x_peak", "mu_peak"),
        (polynomial, "x_peak_poly", "mu_peak_poly"),
    ):
        x, force = published.magic_peak(curve)
        assert x == pytest.approx(row[x_peak], abs=1e-3)
        assert (x, force) == pytest.approx(searched_peak(curve, 40.0), abs=1e-3)
        assert force / load == pytest.approx(row[mu_peak], abs=6e-5)
    assert tyre.magic_formula(100.0 if along else 20.0, *table_curve) == pytest.approx(
        row["force_far"], abs=0.06
    )
    assert tyre.magic_formula(10.0 if along else 5.0, *polynomial) == pytest.approx(
        row["force_near_poly"], abs=0.06
    )
    assert polynomial.d == pytest.approx(row["d_poly"], abs=0.06)
    assert polynomial.b * polynomial.c * polynomial.d == pytest.approx(row["bcd_poly"], abs=0.06)
    assert polynomial.e == pytest.approx(row["e_poly"], abs=6e-4)
    assert polynomial.b == pytest.approx(row["b_poly"], abs=6e-5)
    assert polynomial.d == pytest.approx(row["D"], rel=0.0115)
    assert polynomial.b * polynomial.c * polynomial.d == pytest.approx(row["bcd"], rel=0.065)


def test_bakker_printed_slope_and_its_misprint():
    off = {
        (row["force"], row["load_kN"]): row["bcd"] / row["bcd_printed"] - 1.0
        for row in published_table("bakker_1987.csv")
    }
    misprint = off.pop(("Fy", 2.0))
    assert max(map(abs, off.values())) < 3e-4
    assert misprint == pytest.approx(-0.092, abs=1e-3)


def test_magic_peak_needs_a_falling_curve():
    with pytest.raises(ValueError, match="c > 1"):
        published.magic_peak(MagicSet(10.0, 0.9, 1.0, 0.0))


# --- Bristle tyre
# ----------------------------------------------------------------


@pytest.mark.parametrize("name", ["bristles_2003", "bristles_1999"])
@pytest.mark.parametrize("speed", [8.0, 20.0])
@pytest.mark.parametrize("slip", [0.02, 0.1, 0.5, 0.9])
def test_bristle_formula_against_bristles_along_the_patch(name, speed, slip):
    """Each bristle bends from the front edge on, dz/dx = (vr - k vr z / g) / (w r), and carries k
    z.
    """
    bristles = load_tyre(name, tyre_lugre.Bristles)
    vr = slip * speed
    rim = speed - vr
    held = tyre_lugre.sliding_friction(vr, bristles)
    bend = solve_ivp(
        lambda x, y: [
            (vr - bristles.stiffness * vr * y[0] / held) / rim,
            bristles.stiffness * y[0],
        ],
        (0.0, bristles.patch_length),
        [0.0, 0.0],
        rtol=1e-10,
        atol=1e-14,
    )
    force = bend.y[1, -1] / bristles.patch_length + bristles.viscous * vr
    assert tyre_lugre.steady_friction(slip, speed, bristles) == pytest.approx(force, abs=1e-6)


@settings(deadline=None)
@given(st.floats(0.0, 1.0), st.floats(0.1, 60.0))
def test_bristle_friction_stays_between_nothing_and_static(slip, speed):
    bristles = load_tyre("bristles_2003", tyre_lugre.Bristles)
    assert (
        0.0
        <= tyre_lugre.steady_friction(slip, speed, bristles)
        <= bristles.static + bristles.viscous * speed
    )


def test_bristle_friction_is_smooth_at_its_ends():
    bristles = load_tyre("bristles_2003", tyre_lugre.Bristles)
    for middle, span in ((1e-7, 5e-8), (1.0, 1e-9)):
        near, far = (
            tyre_lugre.steady_friction(min(s, 1.0), 20.0, bristles)
            for s in (middle - span, middle + span)
        )
        assert near == pytest.approx(far, abs=3e-6)


# --- Braked wheel
# ----------------------------------------------------------------


@pytest.mark.parametrize("row", POLES, ids=lambda row: f"{row['speed']:g} m/s slip {row['slip']}")
def test_pole_table(row):
    slip, speed = row["slip"], row["speed"]
    assert quarter_car.friction(slip, QUARTER) == pytest.approx(row["mu"], abs=1e-6)
    assert quarter_car.friction_slope(slip, QUARTER) == pytest.approx(row["mu_slope"], abs=1e-6)
    assert quarter_car.trim_torque(slip, QUARTER) == pytest.approx(row["trim_torque"], abs=6e-4)
    assert quarter_car.pole(slip, speed, QUARTER) == pytest.approx(row["pole"], abs=1e-5)
    assert quarter_car.pole(slip, speed, QUARTER) == pytest.approx(row["pole_linearised"], abs=0.01)
    assert (quarter_car.pole(slip, speed, QUARTER) < 0.0) == (row["kind"] == "stable")
    wheel = 9.81 / speed * ((1.0 - slip) + 225.0 * 0.09 / 1.0) * row["mu_slope"]
    assert -wheel == pytest.approx(row["pole_simplified"], abs=1e-4)
    assert quarter_car.pole(slip, speed, QUARTER) == pytest.approx(
        row["pole_simplified"], abs=0.7 * 20.0 / speed
    )


@pytest.mark.parametrize("row", POLES, ids=lambda row: f"{row['speed']:g} m/s slip {row['slip']}")
def test_pole_against_python_control(row):
    control = pytest.importorskip("control")
    slip, speed = row["slip"], row["speed"]
    system = control.NonlinearIOSystem(
        lambda t, x, u, params: [quarter_car.slip_rate(float(x[0]), speed, float(u[0]), QUARTER)],
        None,
        inputs=1,
        outputs=1,
        states=1,
    )
    torque = quarter_car.trim_torque(slip, QUARTER)
    assert quarter_car.slip_rate(slip, speed, torque, QUARTER) == pytest.approx(0.0, abs=1e-9)
    assert system.linearize([slip], [torque]).poles()[0].real == pytest.approx(
        quarter_car.pole(slip, speed, QUARTER), abs=0.01
    )


def test_greatest_trim_and_equilibria_against_scipy():
    found = minimize_scalar(
        lambda s: -quarter_car.trim_torque(s, QUARTER),
        bounds=(0.0, 1.0),
        method="bounded",
        options=FINE,
    )
    slip, torque = quarter_car.greatest_trim(QUARTER)
    assert (slip, torque) == pytest.approx((found.x, -found.fun), abs=1e-6)
    for which, bounds in zip(quarter_car.equilibria(750.0, QUARTER), ((1e-6, slip), (slip, 1.0))):
        assert which == pytest.approx(
            brentq(lambda s: quarter_car.trim_torque(s, QUARTER) - 750.0, *bounds), abs=1e-9
        )
    with pytest.raises(ValueError, match="must lie between"):
        quarter_car.equilibria(900.0, QUARTER)


@pytest.mark.parametrize("torque", [300.0, 600.0, 790.0])
def test_braking_history_against_solve_ivp(torque):
    """Two seconds of braking from 30 m/s: RK4 at 1 ms against an adaptive method of high order."""
    ours = np.array(quarter_car.stop_history(30.0, torque, QUARTER, 1e-3, 2000))
    other = solve_ivp(
        lambda t, y: quarter_car.rates(y[0], y[1], torque, QUARTER),
        (0.0, 2.0),
        ours[0],
        method="DOP853",
        rtol=1e-11,
        atol=1e-11,
        t_eval=np.linspace(0.0, 2.0, 2001),
    )
    np.testing.assert_allclose(ours, other.y.T, atol=1e-6)
    assert np.all(np.diff(ours[:, 0]) <= 0.0)


@pytest.mark.parametrize("torque", [900.0, 1000.0, 2000.0])
def test_braking_history_ends_where_the_wheel_stands(torque):
    """With more torque than the road gives the wheel locks; it never turns backwards, and the car
    never gains speed.
    """
    car = quarter_car.QuarterCar(225.0, 1.0, 0.3, 1.2801, 23.99, 0.52)
    speed, wheel = np.array(quarter_car.stop_history(25.0, torque, car, 1e-3, 1000)).T
    assert len(wheel) < 500 and wheel[-1] == 0.0 and np.all(wheel[:-1] > 0.0)
    assert np.all(np.diff(speed) < 0.0)


@given(st.floats(0.01, 0.9), st.floats(2.0, 60.0))
def test_pole_grows_as_the_car_slows(slip, speed):
    assert quarter_car.pole(slip, speed / 2.0, QUARTER) == pytest.approx(
        2.0 * quarter_car.pole(slip, speed, QUARTER)
    )


# --- Straight line
# ----------------------------------------------------------------

layouts = st.builds(line.Layout, st.floats(2.0, 4.0), st.floats(0.3, 0.9), st.floats(0.7, 1.3))
grips = st.floats(0.02, 1.2)


@given(layouts, grips)
def test_driven_axle_carries_what_it_pulls(layout, friction):
    """At the limit the driven axle's own load, shifted by that very acceleration, gives that very
    force.
    """
    for driven in ("front", "rear"):
        acceleration = line.best_acceleration(friction, layout, driven)
        loads = line.axle_loads(1000.0, acceleration, layout)
        assert loads.front + loads.rear == pytest.approx(1000.0 * line.GRAVITY)
        if min(loads) >= 0.0:
            assert friction * getattr(loads, driven) == pytest.approx(1000.0 * acceleration)
            assert acceleration <= line.best_acceleration(friction, layout, "all") + 1e-9
    with pytest.raises(ValueError, match="driven must be"):
        line.grip_share(friction, layout, "left")


@given(layouts, st.floats(0.0, 1.0))
def test_braking_is_driving_backwards(layout, rate):
    static = line.axle_loads(1000.0, 0.0, layout)
    braked = line.braked_axle_loads(static, rate, layout.height, layout.wheelbase)
    assert braked == pytest.approx(line.axle_loads(1000.0, -rate * line.GRAVITY, layout))


@given(grips, grips, st.floats(500.0, 5000.0), st.floats(0.0, 5000.0))
def test_open_axle_never_beats_a_locked_one(one, other, load, torque):
    low, high = sorted((one, other))
    force = line.open_axle_force(low, high, load, torque, 0.3)
    assert 2.0 * low * load - 1e-9 <= force <= (low + high) * load + 1e-9
    enough = line.brake_torque_for_full_grip(low, high, load, 0.3)
    assert line.open_axle_force(low, high, load, enough, 0.3) == pytest.approx((low + high) * load)


@given(st.floats(-100.0, 100.0), st.floats(-100.0, 100.0))
def test_differential_speeds_add_up(left, right):
    assert line.other_wheel_speed(line.case_speed(left, right), left) == pytest.approx(
        right, abs=1e-9
    )


@pytest.mark.parametrize(
    "row",
    published_table("stopping_distances.csv"),
    ids=lambda row: f"{row['table']} {row['speed']:g} mph",
)
def test_stopping_distance_table(row):
    speed, foot = row["speed"] * 0.44704, 0.3048
    if row["table"] == "road design":
        assert line.sight_distance_ft(row["speed"]) == pytest.approx(row["total"], abs=0.1)
        assert row["reaction"] + row["braking"] == pytest.approx(row["total"], abs=0.11)
        assert math.ceil(row["total"] / 5.0) * 5.0 == row["design_ft"]
        assert line.stopping_distance(speed, 2.5, 11.2 * foot) / foot == pytest.approx(
            row["total"], rel=0.003
        )
    elif row["table"] == "Highway Code":
        assert speed * 0.6818 == pytest.approx(row["reaction"], abs=0.5)
        assert line.braking_distance(speed, 6.5563) == pytest.approx(row["braking"], abs=0.5)
        assert row["reaction"] + row["braking"] == row["total"]
    else:
        assert line.braking_distance(speed, 20.0 * foot) / foot == pytest.approx(
            row["total"], abs=0.5
        )


@given(st.floats(1.0, 60.0), st.floats(0.1, 12.0))
def test_friction_of_a_stop_is_its_deceleration(speed, deceleration):
    distance = line.braking_distance(speed, deceleration)
    assert line.friction_from_distance(speed, distance) == pytest.approx(
        deceleration / line.GRAVITY
    )


# --- Friction tables
# ----------------------------------------------------------------


def test_friction_tables_are_ordered():
    """Handbook: more speed or more water never gives more grip.

    All: printed ranges are ranges; peak is not below sliding.
    """
    rows = published_table("friction_tables.csv")
    assert all(0.0 <= row["mu_low"] <= row["mu_high"] <= 1.0 for row in rows)
    grip = {
        (row["tyre"], row["condition"], row["speed"]): row["mu_low"]
        for row in rows
        if row["table"] == "handbook"
    }
    water = (
        "dry",
        "wet, water about 0.2 mm",
        "heavy rain, water about 1 mm",
        "puddles, water about 2 mm",
    )
    for worn in ("new", "worn"):
        for speed in (50.0, 90.0, 130.0):
            depth = [grip[worn, state, speed] for state in water if (worn, state, speed) in grip]
            assert depth == sorted(depth, reverse=True)
        for state in water:
            over_speed = [
                grip[worn, state, speed]
                for speed in (50.0, 90.0, 130.0)
                if (worn, state, speed) in grip
            ]
            assert over_speed == sorted(over_speed, reverse=True)
    older = {
        (row["surface"], row["kind"]): row["mu_high"] for row in rows if row["table"] == "Taborek"
    }
    assert all(older[name, "peak"] >= older[name, "sliding"] for name, kind in older)


def test_surfaces_of_the_course_lie_in_the_order_of_the_accident_handbook():
    found = catalogue.shipped().surfaces()
    sliding = {
        name: tyre.burckhardt(
            1.0, *(found[name].curves["burckhardt"].values[c] for c in ("c1", "c2", "c3"))
        )
        for name in ("dry_asphalt", "wet_asphalt", "packed_snow", "ice")
    }
    assert list(sliding.values()) == sorted(sliding.values(), reverse=True)


@given(st.floats(0.0, 1.0), st.floats(0.0, 70.0), st.floats(0.02, 0.04))
def test_speed_only_takes_friction(slip, speed, c4):
    assert 0.0 < published.speed_factor(slip, speed, c4) <= 1.0


@given(grips, st.floats(0.0, 10_000.0), st.floats(-20_000.0, 20_000.0))
def test_friction_circle_closes(friction, load, used):
    left = published.force_left(friction, load, used)
    if abs(used) <= friction * load:
        assert math.hypot(left, used) == pytest.approx(friction * load, abs=1e-6)
    else:
        assert left == 0.0


# --- Measured drive
# ----------------------------------------------------------------


def test_measured_drive_is_whole():
    times, wheels, reference, satellite = drive()
    assert wheels.shape == (2476, 4) and reference.shape == satellite.shape == times.shape
    assert np.all(np.diff(times) > 0.0) and 8.0 < wheels.min() and wheels.max() < 20.1
    steps = np.diff(np.unique(np.round(wheels * 360.0)))
    assert steps.min() == 1.0, "the finest step of the recorded wheel speeds is 0.01 km/h"
    for part in ("README.md", "LICENSE-wheel_speed.txt"):
        assert (data_folder() / "measured" / part).exists()


def test_driven_axle_runs_faster_under_drive():
    acceleration, excess = axle_ratio_over_acceleration()
    assert np.corrcoef(acceleration, excess)[0, 1] > 0.8
    assert abs(excess).max() < 0.012, "slip stays near 1 % in ordinary driving"


@pytest.mark.parametrize(
    "driven", [(True, True, False, False), (False, False, True, True), (True,) * 4]
)
def test_reference_speed_follows_the_recorded_speed(driven):
    """Smoothed over 0.5 s the control's reference speed stays within 3 % of the independent speed,
    and never far above it.
    """
    _, _, reference, _ = drive()
    error = np.convolve(
        reference_speeds(driven) / reference - 1.0, np.full(21, 1.0 / 21.0), "valid"
    )
    assert -0.03 < error.min() and error.max() < 0.01
