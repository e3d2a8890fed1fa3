"""Panels of the lessons: the sentence follows the run, every corner of the sliders gives a picture,
wrong ideas make wrong numbers.
"""

import random
import re

import numpy as np
import pytest
from random_scenarios import VEHICLES

from tractionlab import lesson
from tractionlab.catalogue import entries as catalogue
from tractionlab.control.speeds import limit_of
from tractionlab.panels import heat, hill, launch, throttle
from tractionlab.panels.current import current_panel
from tractionlab.panels.delay import delay_panel
from tractionlab.panels.drive import FAULTS, drive_panel
from tractionlab.panels.feet import lift_panel, spin_panel
from tractionlab.panels.friction import friction_panel
from tractionlab.panels.gauge import gauge_panel
from tractionlab.panels.heat import heat_panel
from tractionlab.panels.hill import hill_panel
from tractionlab.panels.launch import launch_panel, outcome
from tractionlab.panels.runs import PICTURE_STEP
from tractionlab.panels.stop import stop_panel
from tractionlab.panels.throttle import throttle_panel
from tractionlab.run.assembly import settings_of
from tractionlab.run.scenario import Scenario
from tractionlab.run.scenario_fields import CONTROLS
from tractionlab.run.simulation import simulate, simulate_many
from tractionlab.textbook.formulas import bend_speeds, slip_threshold

MAKERS = {
    "friction": friction_panel,
    "throttle": throttle_panel,
    "launch": lambda: launch_panel(thresholds=True),
    "delay": delay_panel,
    "hill": hill_panel,
    "heat": heat_panel,
    "current": current_panel,
    "gauge": gauge_panel,
    "stop": stop_panel,
    "lift": lift_panel,
    "spin": spin_panel,
    "drive A": lambda: drive_panel("A"),
    "drive B": lambda: drive_panel("B", drive="stop"),
}


def number(pattern, sentence):
    return float(re.search(pattern, sentence).group(1))


def speed(control, **values):
    return outcome(control, **values).final_speed_kmh


@pytest.mark.parametrize("name", MAKERS)
def test_every_end_of_every_control_gives_a_picture(name):
    panel = MAKERS[name]()
    for control in panel.controls:
        ends = {
            "Slider": lambda c: (c["low"], c["high"]),
            "Choice": lambda c: [key for key, _ in c["options"]],
            "Switch": lambda c: (True, False),
        }
        for value in ends[control["kind"]](control):
            panel.set(**{control["name"]: value})
            assert panel.error == "", (control["name"], value, panel.error)
            assert "nan" not in panel.view.sentence.lower() and panel.view.sentence.endswith(".")
            assert all(
                np.isfinite(line.y).all() for chart in panel.view.charts for line in chart.lines
            )
            assert 2 <= len(panel.view.charts) <= 3 and all(
                chart.x.endswith("]") and chart.y.endswith("]") for chart in panel.view.charts
            )
        panel.set(**{control["name"]: control["value"]})


def test_more_throttle_is_not_more_push_on_snow():
    """The electric car loses a fifth; the petrol car less, since its engine speed sets an end."""
    full = {}
    for vehicle in ("front_electric", "rear_petrol"):
        speeds = throttle.sweep(vehicle, "packed_snow")
        assert 0 < speeds.argmax() < len(speeds) - 6
        full[vehicle] = speeds[-1] / speeds.max()
    assert full["front_electric"] < 0.82 and full["front_electric"] + 0.1 < full["rear_petrol"] < 1
    panel = throttle_panel()
    panel.set(pedal=100, sweep=True)
    assert "Less throttle is better" in panel.view.sentence
    for surface in ("dry_asphalt", "loose_gravel"):
        panel.set(surface=surface)
        assert "No other throttle position" in panel.view.sentence


def test_friction_sentence_knows_the_side_of_the_top():
    panel = friction_panel()
    for slip, words in ((1, "before the top"), (25, "near the top"), (90, "beyond the top")):
        panel.set(slip=slip)
        assert words in panel.view.sentence
    panel.set(slip=100, angle=4)
    assert "which is 0 % of a freely rolling tyre" in panel.view.sentence
    panel.set(sources=True)
    assert len(panel.view.charts[1].lines) >= 3


def test_launch_says_the_gain():
    panel = launch_panel(left="ice", right="dry_asphalt", control="both")
    gain = number(r"Control gains ([\d.]+) km/h", panel.view.sentence)
    assert gain == pytest.approx(
        speed("both", left="ice", right="dry_asphalt")
        - speed("off", left="ice", right="dry_asphalt"),
        abs=0.1,
    )
    assert len(panel.view.scenes) == 2


def test_the_picture_of_a_moving_slider_compares_on_the_same_road_only():
    values = {**launch_panel(left="wet_asphalt", control="both").values}
    moved = launch.first_view({**values, "pedal": 50.0})
    assert moved.sentence.startswith(
        launch.launch_view({**values, "pedal": 50.0}).sentence.split(" Without")[0]
    )
    assert launch.first_view({**values, "right": "ice", "left": "wet_cobblestone"}) is None


def test_the_step_of_the_pictures_changes_no_figure_by_more_than_a_hundredth():
    """Of 60 launches: share of grip used, speed and way reached, against the usual step.

    With counted teeth a tooth that falls into the next cycle can send a run another way, as in a
    car: then one launch in five may differ, but not the mean of them all."""
    draw = random.Random(11)
    cases = [
        dict(
            vehicle=draw.choice(VEHICLES),
            left=draw.choice(list(catalogue.in_use().surfaces())),
            right=draw.choice(list(catalogue.in_use().surfaces())),
            pedal_percent=draw.choice([20, 50, 100]),
            slope_percent=draw.choice([0, 0, 8, 20]),
            control=draw.choice(list(CONTROLS)),
            duration_s=8.0,
        )
        for _ in range(60)
    ]
    usual, coarse = (
        [trace.merit() for trace in simulate_many([Scenario(**case, **step) for case in cases])]
        for step in ({}, {"step_s": PICTURE_STEP})
    )
    same = [
        b.grip_share == pytest.approx(a.grip_share, abs=0.01)
        and b.final_speed_kmh == pytest.approx(a.final_speed_kmh, rel=0.01, abs=0.1)
        and b.distance_m == pytest.approx(a.distance_m, rel=0.01, abs=0.1)
        for a, b in zip(usual, coarse)
    ]
    means = [
        [np.mean([getattr(merit, name) for merit in merits]) for merits in (usual, coarse)]
        for name in ("grip_share", "distance_m")
    ]
    assert np.mean(same) >= 0.8
    assert all(mean == pytest.approx(fine, rel=0.01) for fine, mean in means)


def test_open_differential_pushes_alike_on_both_sides():
    panel = launch_panel(left="ice", right="dry_asphalt")
    left, right = panel.view.charts[1].lines
    late = left.x > 4.0
    assert right.y[late].mean() == pytest.approx(left.y[late].mean(), abs=30.0)
    panel.set(control="brake")
    left, right = panel.view.charts[1].lines
    assert right.y[late].mean() > 3 * left.y[late].mean()


def test_brake_alone_is_wrong_on_snow_and_right_on_split():
    brake, torque = outcome("brake"), outcome("torque")
    assert (
        brake.final_speed_kmh < torque.final_speed_kmh
        and brake.brake_heat_kJ > 50
        and torque.brake_heat_kJ < 1
    )
    split = {"left": "ice", "right": "dry_asphalt"}
    assert (
        outcome("brake", **split).final_speed_kmh > 3 * outcome("torque", **split).final_speed_kmh
    )


@pytest.mark.parametrize(
    "road", [{}, {"left": "ice", "right": "ice"}, {"left": "ice", "right": "dry_asphalt"}]
)
def test_both_together_are_about_as_good_as_the_better_one(road):
    assert speed("both", **road) > 0.97 * max(speed("brake", **road), speed("torque", **road))


@pytest.mark.parametrize(
    "fields, words",
    [
        (
            dict(drive="front"),
            "cannot brake the driven front wheels by themselves: only torque reduction acts",
        ),
        (dict(drive="all"), "the driven front wheels"),
        (
            dict(drive="front", control="brake"),
            "front wheels by themselves: no control acts on them",
        ),
        (dict(), ""),
        (dict(drive="front", control="torque"), ""),
        (dict(drive="all", vehicle="front_petrol"), ""),
        (dict(drive="rear", vehicle="front_petrol"), ""),
    ],
)
def test_a_run_says_which_driven_wheels_its_hydraulics_cannot_brake(fields, words):
    """Layout A brakes the axle that its drawing feeds, whatever axle the scenario drives; layout B
    any wheel.
    """
    trace = simulate(
        Scenario(**{**dict(left="ice", right="wet_asphalt", duration_s=3.0), **fields})
    )
    sentence = launch.run_view(trace).sentence
    assert words in sentence if words else "hydraulics" not in sentence
    told = [
        i
        for i in range(4)
        if trace.driven[i] and f"driven {('front', 'rear')[i // 2]} wheels" in sentence
    ]
    assert all(trace.pressure[:, i].max() < 0.8e5 for i in told)


def test_tc_off_ends_torque_reduction_and_leaves_the_brake():
    on, off = (outcome("torque", switched_off=switch, brake_until=40) for switch in (False, True))
    assert off.final_speed_kmh == pytest.approx(speed("off"), abs=0.01)
    assert on.final_speed_kmh > off.final_speed_kmh + 1
    assert on.spin_energy_kJ < 0.2 * off.spin_energy_kJ
    brake = {"left": "ice", "right": "dry_asphalt", "brake_until": 40}
    assert speed("brake", switched_off=True, **brake) > 20


def test_no_control_of_the_strategy_panel_is_dead():
    panel = launch_panel(thresholds=True, left="ice", right="dry_asphalt", control="both")
    for control in panel.controls:
        moved = set()
        options = [key for key, _ in control.get("options", ())] or [
            control.get("low", True),
            control.get("high", False),
        ]
        for value in options:
            panel.set(**{control["name"]: value})
            moved.add((panel.view.sentence, panel.view.figures))
        assert len(moved) > 1, control["label"]
        panel.set(**{control["name"]: control["value"]})


def test_delay_costs_wheel_speed():
    panel = delay_panel()
    run_up = []
    for extra in (0, 100, 200):
        panel.set(extra=extra)
        run_up.append(number(r"up to ([\d.]+) km/h", panel.view.sentence))
    assert run_up[0] < run_up[1] < run_up[2]
    panel.set(paths="all", extra=0)
    assert (
        "Nothing on this car acts sooner" in panel.view.sentence
        and number(r"up to ([\d.]+) km/h", panel.view.sentence) < run_up[0]
    )


def test_the_sweep_shows_how_narrow_the_good_place_of_the_electric_car_is():
    speeds = throttle.sweep("front_electric", "packed_snow")
    best = int(speeds.argmax())
    assert (
        throttle.PEDALS[best + 1] - throttle.PEDALS[best] == 2
        and speeds[best + 1] < 0.9 * speeds[best]
    )


def test_ways_that_end_alike_are_called_so():
    panel = delay_panel()
    panel.set(paths="ignition", surface="wet_asphalt")
    assert re.search(r"all three at once it is [\d.]+ km/h, about the same", panel.view.sentence)
    panel.set(paths="throttle", surface="packed_snow")
    assert re.search(r"all three at once it is [\d.]+ km/h, [\d.]+ km/h less", panel.view.sentence)


def test_the_lines_of_the_hill_cross_between_holding_and_climbing():
    panel, way = hill_panel(), {}
    enough = next(
        figure for figure in panel.view.figures if figure.label == "Enough by hand formula"
    )
    push, needed = hill.pull(panel.values)
    crossing = hill.enough_bar(push, needed)
    assert enough.value == f"{crossing:.0f}" and np.interp(
        crossing, hill.PRESSURES, push
    ) == pytest.approx(needed)
    for bar in (crossing - 7, crossing, crossing + 7):
        way[bar], _ = hill.climbs(bar)
    rolls, hangs, climbs = way.values()
    assert rolls < -0.2 and abs(hangs) < 0.1 and climbs > 0.2


def test_there_is_a_hill_that_no_car_climbs():
    panel = hill_panel()
    for vehicle in VEHICLES:
        panel.set(vehicle=vehicle, slope=30, pedal=100)
        for by in ("hand", "control"):
            panel.set(by=by, pressure=100)
            assert "rolls back" in panel.view.sentence


def test_very_little_throttle_gives_both_sides_more_and_still_the_same():
    full, little = launch.split_pushes(100), launch.split_pushes(5)
    assert min(little) > 1.05 * max(full)
    assert all(abs(a - b) < 10 for a, b in (full, little))


def test_hill_by_hand_agrees_with_the_hand_formula():
    values = {"vehicle": "rear_petrol", "slope": 8, "pedal": 60, "by": "hand"}
    push, needed = hill.pull(values)
    enough = hill.PRESSURES[np.flatnonzero(push >= needed)[0]]
    panel = hill_panel()
    panel.set(pressure=float(round(enough - 8)))
    assert "rolls back" in panel.view.sentence
    panel.set(pressure=float(round(enough + 8)))
    assert "climbs" in panel.view.sentence


def test_heat_rests_the_brake_and_long_pauses_save_it():
    panel = heat_panel()
    assert "°C and rests the brake" in panel.view.sentence
    panel.set(rest=600)
    assert "never rests the brake" in panel.view.sentence


def test_the_brake_rests_where_the_control_counts_it_hot():
    """Its count may be there while the disc itself is still below the limit."""
    view = heat.heat_view({**heat_panel().values, "rest": 240})
    hottest, launch = (float(figure.value) for figure in view.figures[1:])
    (mark,) = view.charts[0].marks
    assert hottest < 480 and mark.label == "brake rests"
    assert 0.0 < mark.x - 250.0 * (launch - 1.0) < 10.0


def test_panel_stays_locked_until_the_guess(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    guess = lesson.predict("1.throttle")
    panel = lesson.friction_panel(locked_by=guess)
    assert panel.locked
    guess.on_command("keep", {"guess": "1"})
    assert not panel.locked


def test_the_limit_of_the_lessons_is_that_of_the_unit():
    settings = settings_of(Scenario())
    for speed in (0.0, 5.0, 20.0):
        assert slip_threshold(speed) == pytest.approx(limit_of(speed, settings))


def test_bend_speeds_by_geometry():
    inner, outer = bend_speeds(20.0, 10.0, 1.50)
    assert (inner, outer) == pytest.approx((18.5, 21.5))


@pytest.mark.parametrize("layout", "AB")
def test_car_and_circuit_share_one_clock_and_a_fault_shows_in_both(layout):
    panel = drive_panel(layout)
    sound = panel.view
    (scene,) = sound.scenes
    np.testing.assert_array_equal(scene.time, sound.circuit.time)
    wheel = [name for name, _, _ in sound.circuit.nodes].index("W_RL" if layout == "A" else "W_FL")
    np.testing.assert_allclose(
        sound.circuit.pressure[:, wheel], scene.pressure[:, 2 if layout == "A" else 0], atol=1e-9
    )
    assert "All parts are sound" in sound.sentence and scene.lamp.max() == 1.0
    panel.set(fault="feed" if layout == "A" else "priming")
    assert "stuck closed" in panel.view.sentence and "it braked no wheel" in panel.view.sentence
    assert (
        panel.view.circuit.pressure[:, wheel].max() < 1.0 < sound.circuit.pressure[:, wheel].max()
    )
    panel.set(drive="stop", fault="none")
    assert "From 50 km/h, anti-lock on" in panel.view.sentence


@pytest.mark.parametrize("layout, drive", [("A", "launch"), ("B", "stop")])
def test_a_stop_begins_on_an_even_road_where_no_fault_shortens_it(layout, drive):
    panel = drive_panel(layout, drive=drive)
    panel.set(drive="stop")
    way = {}
    for fault in FAULTS[layout]:
        panel.set(fault=fault)
        way[fault] = number(r"stands after ([\d.]+) m", panel.view.sentence)
        assert "select low" not in panel.view.sentence
    # A step of anti-lock sooner or later moves the way by centimetres.
    assert min(way.values()) > 0.985 * way["none"] and way["air"] > way["none"]


def test_on_a_split_road_the_panel_says_why_a_fault_may_shorten_the_stop():
    panel = drive_panel("A", drive="stop")
    panel.set(stop_left="ice")
    sound = number(r"stands after ([\d.]+) m", panel.view.sentence)
    panel.set(fault="air")
    assert (
        number(r"stands after ([\d.]+) m", panel.view.sentence) < sound
        and "select low" in panel.view.sentence
    )


@pytest.mark.parametrize("layout", "AB")
def test_every_fault_of_the_drive_panel_changes_a_drive(layout):
    panel = drive_panel(layout, left="ice", right="wet_asphalt")
    sound = {}
    said = lambda: panel.view.sentence.split(". ", 1)[1]  # what follows the name of the fault
    for drive in ("launch", "stop"):
        panel.set(drive=drive, fault="none")
        sound[drive] = said()
    for fault in [key for key in FAULTS[layout] if key != "none"]:
        changed = False
        for drive in ("launch", "stop"):
            panel.set(drive=drive, fault=fault)
            changed = changed or said() != sound[drive]
        assert changed and not panel.error, fault


def test_valves_that_work_in_pulses_say_so():
    circuit = drive_panel("B").view.circuit
    words = {word for part in circuit.parts if part.component == "inlet_FL" for word in part.states}
    assert any("in pulses" in word for word in words)
    stuck = drive_panel("B", fault="inlet").view.circuit
    assert not any(
        "in pulses" in word
        for part in stuck.parts
        if part.component == "inlet_FL"
        for word in part.states
    )


def test_a_way_of_nothing_has_no_sign():
    from tractionlab.panels.hill import hill_panel

    still = hill_panel().drawn({"by": "control", "slope": 15, "vehicle": "front_electric"}).figures
    assert not any(figure.value.startswith("-0.0") for figure in still)


def test_first_gear_on_ice_holds_back_more_than_the_grip_and_drag_control_lets_go():
    """Drag goes with the ratio of the gear: first gear against third, 14.35 against 5.6."""
    panel = lift_panel()
    slips = {}
    for gear, drag in (("1", False), ("1", True), ("3", False)):
        panel.set(gear=gear, drag=drag)
        slips[gear, drag] = number(r"turn up to ([\d.]+) %", panel.view.sentence)
    assert slips["3", False] < 0.5 * slips["1", False]
    assert slips["1", True] < 0.6 * slips["1", False]


def test_a_foot_that_brakes_while_a_wheel_spins_has_lifted_first():
    panel = spin_panel()
    assert "The foot is on the brake 0.2 s later." in panel.view.sentence
    panel.set(both_feet=True)
    assert "The foot is on the brake 0.0 s later." in panel.view.sentence
