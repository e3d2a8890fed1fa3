"""Surfaces as tyres follow them: laws of the curves, order of the tyres, gravel, the rolling
radius, and tyres of one's own on the way from the file to the panel."""

import dataclasses
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab import Scenario, simulate
from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.ranges import TYRE_RANGES
from tractionlab.errors import UserError
from tractionlab.figures.best_stop import best_deceleration
from tractionlab.panels.delay import delay_panel
from tractionlab.panels.drive import drive_panel
from tractionlab.panels.friction import friction_panel
from tractionlab.panels.heat import heat_panel
from tractionlab.panels.hill import hill_panel
from tractionlab.panels.launch import launch_panel
from tractionlab.panels.reference import reference_panel
from tractionlab.panels.stop import stop_panel
from tractionlab.panels.throttle import throttle_panel
from tractionlab.physics.tyre import PEAK, adhesion, rolling_radius
from tractionlab.run.scenario_file import read_scenario
from tractionlab.run.simulation import simulate_many
from tractionlab.run.surfaces import row_of, surface_row

SURFACES = catalogue.shipped().surfaces()
CURVES = [curve for surface in SURFACES.values() for curve in surface.curves.values()]
SLIPS = np.linspace(0.0, 1.0, 2001)
factors = {name: st.floats(*limits) for name, limits in TYRE_RANGES.items()}


def grips(row, speed=0.0):
    return np.array([adhesion(slip, speed, row) for slip in SLIPS])


# --- Laws of the curves
# ----------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(CURVES), factors["adhesion"], factors["slip"], st.floats(0.0, 60.0))
def test_a_curve_rises_to_its_top_falls_after_it_and_keeps_the_friction_limit(
    curve, more, later, speed
):
    row = surface_row(curve, more, later)
    grip = grips(row, speed)
    top = int(grip.argmax())
    assert grip[0] == 0.0 and grip[1:].min() > 0.0
    assert (np.diff(grip[: top + 1]) > -1e-12).all() and (np.diff(grip[top:]) < 1e-12).all()
    assert grip.max() <= row[PEAK] * (1.0 + 1e-9)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(CURVES), factors["adhesion"], factors["slip"])
def test_a_curve_is_smooth(curve, more, later):
    """No step and no corner: halving the interval halves the change of the slope."""
    row = surface_row(curve, more, later)
    coarse, fine = (
        np.abs(np.diff(np.array([adhesion(s, 5.0, row) for s in np.linspace(0.002, 1.0, n)]), 2))
        for n in (4001, 8001)
    )
    assert fine.max() < 0.3 * coarse.max() + 1e-12


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(CURVES), factors["adhesion"], factors["slip"], st.floats(0.0, 0.6))
def test_a_tyre_stretches_a_curve_and_does_nothing_else(curve, more, later, slip):
    plain, stretched = surface_row(curve), surface_row(curve, more, later)
    assert adhesion(slip * later, 0.0, stretched) == pytest.approx(
        more * adhesion(slip, 0.0, plain), rel=1e-9, abs=1e-12
    )


# --- Order of the tyres, gravel
# ----------------------------------------------------------------


@pytest.mark.parametrize(
    "surface, order",
    [
        ("packed_snow", ["winter", "all_season", "summer"]),
        ("ice", ["winter", "all_season", "summer"]),
        ("wet_asphalt", ["summer", "all_season", "winter"]),
        ("dry_asphalt", ["summer", "all_season", "winter"]),
    ],
)
def test_tyres_keep_their_order_on_a_launch(surface, order):
    runs = simulate_many(
        Scenario(vehicle="front_petrol", left=surface, tyre=tyre, control="off", duration_s=4.0)
        for tyre in order
    )
    assert all(a.x[-1] > b.x[-1] for a, b in pairwise(runs))


def test_snow_has_its_top_at_20_to_30_percent_and_beside_it_a_curve_with_an_early_one():
    def top(name):
        return SLIPS[grips(row_of(name, Scenario.tyre)).argmax()]

    assert 0.2 <= top("packed_snow") <= 0.3
    assert top("packed_snow:early_top") == pytest.approx(0.06, abs=0.005)


def test_anti_lock_loses_on_loose_gravel_and_wins_on_wet_asphalt():
    def ways(surface):
        stop = Scenario(
            vehicle="front_petrol",
            left=surface,
            initial_speed_kmh=50.0,
            control="off",
            pedal_percent=0.0,
            brake_bar=120.0,
            brake_from_s=0.2,
            brake_until_s=100.0,
            duration_s=6.0,
        )
        return [
            t.x[-1] - t.x[0]
            for t in simulate_many([stop, dataclasses.replace(stop, antilock=False)])
        ]

    held, locked = ways("loose_gravel")
    assert 1.05 < held / locked < 1.5
    held, locked = ways("wet_asphalt")
    assert held < locked


def test_the_best_stop_on_gravel_is_with_locked_wheels():
    scenario = Scenario(left="loose_gravel")
    locked = adhesion(1.0, 10.0, row_of("loose_gravel", Scenario.tyre)) * 9.81
    assert best_deceleration(scenario, 10.0) == pytest.approx(locked, rel=0.05)


# --- Rolling radius
# ----------------------------------------------------------------


@given(st.floats(0.0, 9000.0), st.floats(0.0, 0.05))
def test_more_load_never_makes_a_wheel_larger(load, loss):
    assert rolling_radius(load + 10.0, 0.307, loss, 4000.0) <= rolling_radius(
        load, 0.307, loss, 4000.0
    )


def test_the_loaded_axle_turns_faster_on_a_rolling_car():
    """The front wheels carry 60 %; radius and wheel speed follow the load, slip stays nothing."""
    trace = simulate(
        Scenario(
            vehicle="front_electric",
            left="dry_asphalt",
            initial_speed_kmh=60.0,
            pedal_percent=0.0,
            control="off",
            antilock=False,
            duration_s=1.0,
            vehicle_values={"recuperation_Nm": 0.0},
        )
    )
    front, rear = trace.wheel_speed[-1, 0], trace.wheel_speed[-1, 2]
    share = 0.0065 * 1700.0 * 9.81 * (0.55 - 0.45) / 2.0 / 4000.0
    assert front / rear - 1.0 == pytest.approx(share, abs=6e-4)
    assert np.abs(trace.slip[50:]).max() < 0.002


# --- From the file to the panel
# ----------------------------------------------------------------

WORN = """
[worn]
name = "Worn tyre"
like = "summer"
[worn.ice]
adhesion = { value = 0.5, source = "for a test" }
slip = { value = 1.2, source = "for a test" }
"""


def test_a_tyre_of_ones_own_drives_and_stands_in_the_menu(tmp_path, monkeypatch):
    (tmp_path / "my_tyres.toml").write_text(WORN, encoding="utf-8")
    (tmp_path / "run.toml").write_text('left = "ice"\ntyre = "worn"\n', encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    scenario = read_scenario("run.toml")
    tyre = catalogue.in_use().tyres()["worn"]
    assert tyre.on["ice"]["adhesion"] == 0.5
    assert tyre.on["wet_asphalt"] == catalogue.shipped().tyres()["summer"].on["wet_asphalt"]
    assert row_of("ice", "worn")[PEAK] == pytest.approx(0.5 * row_of("ice", "winter")[PEAK])
    assert "worn" in dict(_options(launch_panel(), "tyre"))
    worn, winter = simulate_many([scenario, dataclasses.replace(scenario, tyre="winter")])
    assert worn.x[-1] < winter.x[-1]


@pytest.mark.parametrize(
    "text, words",
    [
        (WORN.replace("0.5", "5"), ["my_tyres.toml", "worn.ice", "adhesion", "0.2 to 2"]),
        (WORN.replace("[worn.ice]", "[worn.mud]"), ["my_tyres.toml", "worn.mud", "packed_snow"]),
        (WORN.replace('"summer"', '"sumer"'), ["my_tyres.toml", "sumer", "summer"]),
        (WORN.replace("slip =", "slp ="), ["worn.ice", "slp", "slip"]),
        ('[worn]\nname = "Worn"\nadhesion = 0.5\n', ["worn", "[worn.packed_snow]"]),
        ('[worn]\nlike = "summer"\n', ["name is missing"]),
    ],
)
def test_a_mistake_in_a_tyre_file_is_named(tmp_path, monkeypatch, text, words):
    (tmp_path / "my_tyres.toml").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(UserError) as fault:
        catalogue.in_use().tyres()
    for word in words:
        assert word in str(fault.value)


def test_an_unknown_tyre_is_answered_with_those_there_are():
    with pytest.raises(UserError, match=r"no tyre is called 'sommer'.*summer"):
        Scenario(tyre="sommer")


PANELS = {
    "grip": (friction_panel, ["surface"]),
    "throttle": (throttle_panel, ["surface"]),
    "launch": (launch_panel, ["left", "right"]),
    "reference": (reference_panel, ["surface"]),
    "delay": (delay_panel, ["surface"]),
    "stop": (stop_panel, ["left", "right"]),
    "drive": (lambda: drive_panel("A"), ["left", "right", "stop_left", "stop_right"]),
    "hill": (hill_panel, []),
    "heat": (heat_panel, []),
}


@pytest.mark.parametrize("name", PANELS)
def test_every_panel_offers_every_tyre_and_every_road(name):
    make, roads = PANELS[name]
    panel = make()
    assert [key for key, _ in _options(panel, "tyre")] == list(catalogue.shipped().tyres())
    for road in roads:
        keys = [key for key, _ in _options(panel, road)]
        assert keys[: len(SURFACES)] == list(SURFACES)
        assert len(keys) == len(CURVES) and "packed_snow:burckhardt" in keys
        assert len({words for _, words in _options(panel, road)}) == len(keys)


def _options(panel, name):
    return next(spec["options"] for spec in panel.controls if spec["name"] == name)


def test_the_panel_shows_what_the_tyre_does():
    panel = friction_panel()
    values = {**panel.values, "surface": "ice", "slip": 8.0}
    pushes = [
        panel.drawn({**values, "tyre": tyre}).figures[0].value for tyre in ("winter", "summer")
    ]
    assert float(pushes[1]) == pytest.approx(0.66 * float(pushes[0]), abs=1.0)
    road = panel.drawn({**values, "surface": "packed_snow:early_top"})
    assert "Packed snow (Top at 6 %)" in road.sentence
