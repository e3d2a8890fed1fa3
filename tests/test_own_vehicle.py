"""A vehicle of an own file: like a car of the course apart from what differs, driven through every
panel, run and sheet.
"""

import json
import os
import random
import re
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from tractionlab import lesson
from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.ranges import (
    CALIPER_RANGES,
    VEHICLE_RANGES,
    VEHICLE_WHOLE,
    VEHICLE_WORDS,
)
from tractionlab.catalogue.template import MEANINGS
from tractionlab.cli import main as cli
from tractionlab.errors import UserError
from tractionlab.lesson.facts import by_control
from tractionlab.panels.base import Panel
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate, simulate_many
from tractionlab.workshop.case.file import draw
from tractionlab.workshop.faults import faults

VAN = """
[sources]
SCALES = "weighed on the scales of our workshop"

[my_van]
name = "Our van"
like = "front_petrol"
mass_kg = { value = 1900, source = "SCALES" }
driven_gap_cm3 = { value = 0.8, source = "counted in drops, invented" }
teeth = { value = 44, source = "counted on the ring, invented" }
"""
#: Panels that take a first argument.
LAYOUTS = {"circuit_panel": "B", "drive_panel": "B"}


def panels():
    """Every panel of the lessons by name."""
    found = {}
    for name in lesson.__all__:
        if name.endswith("_panel"):
            made = getattr(lesson, name)(*([LAYOUTS[name]] if name in LAYOUTS else []))
            found[name] = getattr(made, "panel", made)
    return {name: panel for name, panel in found.items() if isinstance(panel, Panel)}


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my_vehicles.toml").write_text(VAN, encoding="utf-8")
    return tmp_path


def test_every_panel_that_offers_vehicles_drives_the_own_one(folder):
    offering = {}
    for name, panel in panels().items():
        keys = [
            key
            for control in panel.controls
            if control["name"] == "vehicle"
            for key, _ in control["options"]
        ]
        if "rear_petrol" in keys and name != "measuring_panel":
            offering[name] = keys
            panel.set(vehicle="my_van")
            assert panel.error == "" and panel.values["vehicle"] == "my_van", (
                f"{name}: {panel.error}"
            )
    assert len(offering) >= 8 and all("my_van" in keys for keys in offering.values())


def test_the_bench_offers_the_cars_of_the_course_only_and_says_so(folder):
    for open_bench in (
        lambda: lesson.repair_case(next(iter(faults())), "my_van"),
        lambda: draw(vehicle="my_van"),
        lambda: lesson.measuring_panel("my_van"),
    ):
        with pytest.raises(
            UserError,
            match=(
                "the workshop bench knows the cars of the course only: rear_petrol, front_petrol,"
                " front_electric; got 'my_van'"
            ),
        ):
            open_bench()


def test_run_drives_it(folder, capsys):
    (folder / "van.toml").write_text('vehicle = "my_van"\nduration_s = 3\n', encoding="utf-8")
    assert cli.main(["run", "van.toml", "--json"]) == 0
    own = json.loads(capsys.readouterr().out)["figures"]
    (folder / "shipped.toml").write_text(
        'vehicle = "front_petrol"\nduration_s = 3\n', encoding="utf-8"
    )
    assert cli.main(["run", "shipped.toml", "--json"]) == 0
    assert own["distance_m"] != json.loads(capsys.readouterr().out)["figures"]["distance_m"]


#: Drives in which every value of a car has a say: lifting and braking in a bend with one side on
#: ice, and up through all gears.
DRIVES = (
    {
        "left": "ice",
        "right": "wet_asphalt",
        "differential": "limited_slip",
        "steer_deg": 4.0,
        "pedal_until_s": 2.0,
        "brake_bar": 60.0,
        "brake_from_s": 2.6,
        "brake_until_s": 9.0,
        "duration_s": 4.0,
    },
    {"left": "dry_asphalt", "initial_speed_kmh": 10.0, "duration_s": 18.0},
    {"left": "dry_asphalt", "initial_speed_kmh": 130.0, "duration_s": 3.0},
)
#: Values to which 5 % more or less would not be another car.
OTHERWISE = {"teeth": 44, "sensor_gap_mm": 2.0, "gear_ratio_6": 2.8, "yaw_sensor": 0}
MOTOR_ONLY = {"recuperation_Nm", "torque_rate_Nm_per_s"}


@pytest.mark.parametrize("like", ["front_petrol", "front_electric"])
def test_each_own_value_counts_in_a_run(folder, like):
    """5 % more of one value alone changes the run; a motor's values do so in a car that has one."""
    car = catalogue.shipped().vehicles()[like]
    plain = [simulate(Scenario(vehicle=like, **drive)).record for drive in DRIVES]
    numbers = MOTOR_ONLY if like == "front_electric" else VEHICLE_RANGES.keys() - MOTOR_ONLY
    for key in sorted(numbers):
        most = VEHICLE_RANGES[key][1]
        value = OTHERWISE.get(key, 1.05 * car[key] if 1.05 * car[key] < most else 0.95 * car[key])
        (folder / "my_vehicles.toml").write_text(
            f'[own]\nname = "Own"\nlike = "{like}"\n'
            f'{key} = {{ value = {value}, source = "invented, for a test" }}\n',
            encoding="utf-8",
        )
        assert any(
            (simulate(Scenario(vehicle="own", **drive)).record != record).any()
            for drive, record in zip(DRIVES, plain)
        ), key


def test_a_ring_the_unit_is_coded_for_reads_true(folder):
    """VAN has 44 teeth; its radius is the course car's."""
    rolling = simulate(
        Scenario(vehicle="my_van", duration_s=4.0, left="dry_asphalt", pedal_percent=30.0)
    )
    radius = catalogue.in_use().vehicles()["my_van"]["tyre_radius_m"]
    assert rolling.circuit.seen[-1, :4] == pytest.approx(rolling.wheel_speed[-1] * radius, rel=0.02)


def test_a_changed_file_changes_the_picture(folder):
    panel = lesson.launch_panel()
    panel.set(vehicle="my_van")
    before = panel.view.sentence
    (folder / "my_vehicles.toml").write_text(VAN.replace("1900", "3900"), encoding="utf-8")
    os.utime(folder / "my_vehicles.toml", ns=(1, 1))
    panel.set(pedal=100.0)
    assert panel.view.sentence != before


def test_a_full_vehicle_works_too(folder):
    text = (
        (data_folder() / "vehicles.toml")
        .read_text(encoding="utf-8")
        .replace("[rear_petrol]", "[van]")
        .replace("Rear-drive petrol car", "Our van")
    )
    (folder / "my_vehicles.toml").write_text(text.split("[front_petrol]")[0], encoding="utf-8")
    own, shipped = (
        simulate(Scenario(vehicle="van", duration_s=1.0)),
        simulate(Scenario(vehicle="rear_petrol", duration_s=1.0)),
    )
    assert (own.record == shipped.record).all()


def test_a_full_vehicle_without_brakes_is_told_the_way_out(folder):
    text = "\n".join(
        line
        for line in (
            (data_folder() / "vehicles.toml")
            .read_text(encoding="utf-8")
            .split("[front_petrol]")[0]
            .replace("[rear_petrol]", "[van]")
            .replace("Rear-drive petrol car", "Our van")
            .splitlines()
        )
        if not line.startswith(tuple(CALIPER_RANGES))
    )
    (folder / "my_vehicles.toml").write_text(text, encoding="utf-8")
    with pytest.raises(
        UserError,
        match=(
            r"my_vehicles.toml, \[van\]: driven_gap_cm3, .* are missing. A line such as like ="
            r' "front_petrol"'
        ),
    ):
        catalogue.in_use().vehicles()


def test_several_mistakes_are_named_at_once(folder):
    (folder / "my_vehicles.toml").write_text(
        '[my_van]\nname = "Our van"\nlike = "front_petrl"\nmas_kg = { value = 1, source = "a b"'
        ' }\nteeth = { value = 5, source = "a b" }\n[other]\nlike = "rear_petrol"\ntrack_m ='
        ' 1.5\ndrive = { value = "rear", source = "NONE" }\n',
        encoding="utf-8",
    )
    with pytest.raises(UserError) as told:
        catalogue.in_use().vehicles()
    for words in (
        "my_vehicles.toml: ",
        "did you mean 'front_petrol'?",
        "did you mean 'mass_kg'?",
        "teeth must be a number from 12 to 200, got 5",
        "[other]: name is missing",
        "track_m needs a value and a source",
        "source 'NONE' is not in the table [sources]",
    ):
        assert words in str(told.value)


@pytest.mark.parametrize(
    "line, words",
    [
        ("bite_speed_rpm = { value = 800", "idle_speed_rpm must be less than bite_speed_rpm"),
        ("reference_load_N = { value = 1000", "reference_load_N must be more than"),
        ('motor = { value = "electric"', "idle_speed_rpm must be 0"),
        ("gear_ratio_3 = { value = 9.0", "must fall from gear to gear"),
        ("teeth = { value = 44.5", "teeth must be a whole number, got 44.5"),
        ("yaw_sensor = { value = 0.5", "yaw_sensor must be a whole number, got 0.5"),
    ],
)
def test_values_that_are_no_car_together_are_refused(folder, line, words):
    (folder / "my_vehicles.toml").write_text(
        '[own]\nname = "Own"\nlike = "front_petrol"\nmass_kg = { value = 3900, source = "for a'
        f' test" }}\nload_sensitivity = {{ value = 0.3, source = "for a test" }}\n{line}, source ='
        ' "for a test" }\n'.replace("0.3", "0.3" if "load" in line else "0.01"),
        encoding="utf-8",
    )
    with pytest.raises(UserError, match=words):
        catalogue.in_use().vehicles()


@pytest.mark.parametrize("seed", range(40))
def test_any_vehicle_in_range_runs_or_is_refused_in_a_sentence(folder, seed):
    draw = random.Random(seed)
    lines = [f'[own]\nname = "Own"\nlike = "{draw.choice(list(catalogue.shipped().vehicles()))}"']
    for key in draw.sample(list(VEHICLE_RANGES), draw.choice([1, 2, 5, 46])):
        low, high = VEHICLE_RANGES[key]
        value = draw.choice([low, high, draw.uniform(low, high)])
        value = round(value) if key in VEHICLE_WHOLE else value
        lines.append(f'{key} = {{ value = {value}, source = "for a test" }}')
    (folder / "my_vehicles.toml").write_text("\n".join(lines), encoding="utf-8")
    try:
        trace = simulate(Scenario(vehicle="own", duration_s=1.0, left="ice", right="wet_asphalt"))
    except UserError as told:
        assert "own" in str(told)
    else:
        assert np.isfinite(trace.record).all() and np.isfinite(trace.merit().distance_m)


def test_a_run_that_cannot_be_computed_is_a_sentence():
    with pytest.raises(UserError, match="'rear_petrol' cannot be computed"):
        simulate(Scenario(duration_s=1.0, vehicle_values={"idle_speed_rpm": 0.0}))


# ---- `vehicle new`


@pytest.mark.parametrize("like", ["rear_petrol", "front_petrol", "front_electric"])
def test_the_template_names_every_key_with_range_and_value(tmp_path, monkeypatch, capsys, like):
    monkeypatch.chdir(tmp_path)
    assert cli.main(["vehicle", "new", "my_vehicles.toml", "--like", like]) == 0
    text = (tmp_path / "my_vehicles.toml").read_text(encoding="utf-8")
    assert "Saved my_vehicles.toml" in capsys.readouterr().out
    assert dict(catalogue.in_use().vehicles()["my_car"].values) == dict(
        catalogue.shipped().vehicles()[like].values
    )
    for key, value in catalogue.shipped().vehicles()[like].values.items():
        (line,) = re.findall(rf"^#{key} = .*$", text, re.M)
        assert (f'"{value}"' if isinstance(value, str) else f"{value:g}") in line
        if key in VEHICLE_RANGES:
            low, high = VEHICLE_RANGES[key]
            assert f"{low:g} to {high:g}" in line
    (tmp_path / "my_vehicles.toml").write_text(
        re.sub(r"^#(\w+ = \{)", r"\1", text, flags=re.M), encoding="utf-8"
    )
    assert dict(catalogue.in_use().vehicles()["my_car"].values) == dict(
        catalogue.shipped().vehicles()[like].values
    ), "each line counts once its # is taken away"


def test_the_template_overwrites_nothing(folder, capsys):
    assert cli.main(["vehicle", "new", "my_vehicles.toml"]) == 2
    assert (
        "is there already" in capsys.readouterr().err
        and (folder / "my_vehicles.toml").read_text(encoding="utf-8") == VAN
    )
    assert cli.main(["vehicle", "new", "x.toml", "--like", "frnt_petrol"]) == 2
    assert (
        "did you mean 'front_petrol'" in capsys.readouterr().err
        and not (folder / "x.toml").exists()
    )


def test_the_template_has_each_key_once():
    keys = [key for group in MEANINGS.values() for key in group]
    assert sorted(keys) == sorted([*VEHICLE_WORDS, *VEHICLE_RANGES])


# ---- what own files do not reach


def test_check_is_of_the_shipped_values(tmp_path, monkeypatch, capsys):
    from tractionlab import checks

    monkeypatch.chdir(tmp_path)
    (tmp_path / "my_vehicles.toml").write_text("broken", encoding="utf-8")
    monkeypatch.setattr(
        checks,
        "run_checks",
        lambda expectations, say, topic: [catalogue.in_use().vehicles()["rear_petrol"]] and [],
    )
    monkeypatch.setattr(checks, "table", lambda shown, rows: "")
    assert cli.main(["check"]) == 0
    assert "Your own my_vehicles.toml took no part" in capsys.readouterr().out


def test_what_ships_alone_holds_for_the_runs_of_one_thread_and_for_no_other(folder):
    (folder / "my_vehicles.toml").write_text(
        '[rear_petrol]\nmass_kg = { value = 3000, source = "for a test" }\n', encoding="utf-8"
    )
    runs = [Scenario(duration_s=0.5), Scenario(duration_s=0.5, left="ice")]
    with ThreadPoolExecutor(1) as other:
        own = simulate_many(runs)
        with catalogue.shipped_only():
            shipped = simulate_many(runs)
            mass = other.submit(lambda: catalogue.in_use().vehicles()["rear_petrol"]["mass_kg"])
            assert mass.result() == 3000.0
    (folder / "my_vehicles.toml").unlink()
    for with_own, alone, plain in zip(own, shipped, simulate_many(runs)):
        assert (alone.record == plain.record).all() and (with_own.record != plain.record).any()


def test_a_kept_number_of_the_text_follows_own_values(folder):
    (folder / "my_vehicles.toml").write_text(
        '[rear_petrol]\nmass_kg = { value = 3000, source = "for a test" }\n', encoding="utf-8"
    )
    heavy = by_control("ice", "ice")
    (folder / "my_vehicles.toml").unlink()
    shipped = by_control("ice", "ice")
    assert shipped[0] != heavy[0] and by_control("ice", "ice") is shipped


def test_own_values_are_read_from_a_folder_that_is_named(tmp_path):
    (tmp_path / "my_vehicles.toml").write_text(VAN, encoding="utf-8")
    assert catalogue.with_own(tmp_path).vehicles()["my_van"]["mass_kg"] == 1900.0
    assert "my_van" not in catalogue.in_use().vehicles()
    assert [path.name for path, _ in catalogue.with_own(tmp_path).own_files()] == [
        "my_vehicles.toml"
    ]
    assert catalogue.shipped().own_files() == ()


def test_handouts_are_the_same_with_own_files(folder):
    from tractionlab.lesson.handouts import Handout

    (folder / "my_vehicles.toml").write_text(
        VAN + '[rear_petrol]\nmass_kg = { value = 3000, source = "for a test" }\n', encoding="utf-8"
    )
    with_own = Handout(2).worksheet.html()
    (folder / "my_vehicles.toml").unlink()
    assert Handout(2).worksheet.html() == with_own


def test_a_table_named_like_a_car_of_the_course_takes_its_place_and_says_only_what_differs(folder):
    (folder / "my_vehicles.toml").write_text(
        '[rear_petrol]\nmass_kg = { value = 2000, source = "for a test" }\n', encoding="utf-8"
    )
    own, shipped = (
        catalogue.in_use().vehicles()["rear_petrol"],
        catalogue.shipped().vehicles()["rear_petrol"],
    )
    assert (
        own["mass_kg"] == 2000.0 and own["teeth"] == shipped["teeth"] and own.name == shipped.name
    )


def test_own_control_settings_say_only_what_differs(folder):
    (folder / "my_control.toml").write_text(
        '[course]\nheat_pause_degC = { value = 400, source = "for a test" }\n', encoding="utf-8"
    )
    assert catalogue.in_use().control_values()["heat_pause_degC"] == 400.0
    (folder / "my_control.toml").write_text(
        '[courze]\nheat_pause_degC = { value = 400, source = "for a test" }\n', encoding="utf-8"
    )
    with pytest.raises(UserError, match="no run uses a table of this name; did you mean 'course'"):
        catalogue.in_use().control_values()


def test_exercises_keep_the_course_s_numbers(folder):
    from tractionlab.lesson.exercises import all_exercises

    tasks = lambda: {name: exercise.task("a key", 0) for name, exercise in all_exercises().items()}
    (folder / "my_vehicles.toml").unlink()
    before = tasks()
    (folder / "my_vehicles.toml").write_text(
        '[rear_petrol]\nmass_kg = { value = 3000, source = "for a test" }\ntyre_radius_m = { value'
        ' = 0.4, source = "for a test" }\n',
        encoding="utf-8",
    )
    (folder / "my_surfaces.toml").write_text(
        (data_folder() / "surfaces.toml")
        .read_text(encoding="utf-8")
        .replace("c1 = { value = 1.2801", "c1 = { value = 0.9"),
        encoding="utf-8",
    )
    assert catalogue.in_use().vehicles()["rear_petrol"]["mass_kg"] == 3000.0 and tasks() == before
