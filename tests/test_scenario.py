"""Scenarios and data files: what a user may write, and what is answered when it is wrong."""

import dataclasses
import shutil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab import Scenario
from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.places import data_folder
from tractionlab.errors import UserError
from tractionlab.run.scenario_file import read_scenario


def test_scenario_file_reads_back(tmp_path):
    file = tmp_path / "hill.toml"
    file.write_text("""
        title = "Hill"
        vehicle = "front_petrol"
        left = "ice:magic_formula"
        right = "dry_asphalt"
        slope_percent = 6
        brake_bar = 30
        patches = [{ surface = "wet_asphalt", x_from = 4.0 }]
        [settings]
        limit_offset_kmh = 4.0
    """)
    scenario = read_scenario(file)
    assert (
        scenario.slope_percent == 6.0
        and scenario.patches[0].x_from == 4.0
        and scenario.settings == {"limit_offset_kmh": 4.0}
    )
    assert dataclasses.replace(scenario).key == scenario.key


@pytest.mark.parametrize(
    "line, words",
    [
        ("pedal_percent = 120", ["pedal_percent", "0 to 100", "120"]),
        ("pedal_percent = nan", ["pedal_percent", "nan"]),
        ("pedal_percent = true", ["pedal_percent", "True"]),
        ("left = 'lava'", ["lava", "packed_snow"]),
        ("left = 'ice:guess'", ["guess", "burckhardt"]),
        ("vehicle = 'truck'", ["truck", "rear_petrol"]),
        ("control = 'magic'", ["control", "'both'"]),
        ("throtle = 3", ["throtle", "pedal_percent"]),
        ("hand_brake_bar = [1, 2]", ["hand_brake_bar", "four"]),
        ("disc_degC = [20, 20, 20, 2000]", ["disc_degC", "900"]),
        ("pad_friction = [1, 1, 1, 3]", ["pad_friction", "2"]),
        ("patches = [{ x_from = 1.0 }]", ["patches", "surface"]),
        ("settings = { slip = 3 }", ["settings", "slip", "limit_slip"]),
        ("settings = { limit_slip = 'much' }", ["settings.limit_slip", "0 to 0.5"]),
        ("vehicle_values = { mass_kg = 1 }", ["vehicle_values.mass_kg", "500 to 4000"]),
        ("paths = ['clutch']", ["paths", "throttle"]),
        ("left = ", ["not readable as TOML"]),
        ("left = ice", ["line 1", 'quotes: "ice"']),
        ("slope_percent = 6,5", ["line 1", "Use a point for decimals: 6.5"]),
        ("duration_s = 0", ["duration_s", "0.02 to 120"]),
        ("patches = 3", ["patches must be a list"]),
        ("settings = 3", ["settings must be a table"]),
        ("vehicle = ['x']", ["vehicle must be text"]),
        ("keep_lane = 'yes'", ["keep_lane must be true or false"]),
        ("duraton_s = 3", ["did you mean 'duration_s'"]),
        ("[faults]\npump = 'weak'", ["[faults]", "no part 'pump'", "return_pump", "sensor_FL"]),
        (
            "[faults]\nfeed_valve = 'stuck'",
            ["[faults]", "feed_valve has no fault 'stuck'", "stuck_closed"],
        ),
        ("[faults]\nreturn_pump = 'weak'", ["from 0 to 1", 'return_pump = ["weak", 1]']),
        ("[faults]\nfeed_valve = ['stuck_closed', 2]", ["takes no value"]),
    ],
)
def test_a_mistake_is_named_with_file_field_and_range(tmp_path, line, words):
    file = tmp_path / "mine.toml"
    file.write_text(line)
    with pytest.raises(UserError) as fault:
        read_scenario(file)
    for word in ["mine.toml", *words]:
        assert word in str(fault.value)


@pytest.mark.parametrize(
    "raw, words",
    [
        (b'title = "\xe4"', "line 1 holds a letter in an old code page. Save the file as UTF-8"),
        (None, "is a folder"),
    ],
)
def test_a_file_that_is_no_text_is_named(tmp_path, raw, words):
    file = tmp_path / "mine.toml"
    file.mkdir() if raw is None else file.write_bytes(raw)
    with pytest.raises(UserError, match=words):
        read_scenario(file)


def test_a_byte_order_mark_is_accepted(tmp_path):
    file = tmp_path / "mine.toml"
    file.write_bytes(b"\xef\xbb\xbfduration_s = 1\r\n")
    assert read_scenario(file).duration_s == 1.0


def test_a_wrong_kind_of_value_of_any_field_is_a_sentence():
    for field in dataclasses.fields(Scenario):
        for value in (3, -1.5, "x", True, ["x"], {"x": 1}, [], {}, [{}], [["x"]], None):
            try:
                Scenario(**{field.name: value})
            except UserError as fault:
                assert field.name.split("_")[0] in str(fault) or "surface" in str(fault), (
                    field.name,
                    value,
                    str(fault),
                )


def test_missing_file_is_named(tmp_path):
    with pytest.raises(UserError, match="there is no such file"):
        read_scenario(tmp_path / "none.toml")


@settings(deadline=None)
@given(st.text(max_size=80))
def test_any_text_gives_a_scenario_or_a_sentence(text):
    import tempfile
    from pathlib import Path

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "s.toml"
        file.write_text(text, encoding="utf-8")
        try:
            read_scenario(file)
        except UserError as fault:
            assert "s.toml" in str(fault)


@pytest.mark.parametrize(
    "stem, before, after, words",
    [
        (
            "vehicles",
            "mass_kg = { value = 1500.0,",
            "mass_kg = { value = 15.0,",
            ["rear_petrol", "mass_kg", "500 to 4000"],
        ),
        (
            "vehicles",
            "mass_kg = { value = 1500.0,",
            "mas_kg = { value = 1500.0,",
            ["unknown key 'mas_kg'"],
        ),
        (
            "vehicles",
            'mass_kg = { value = 1500.0, source = "I" }',
            "mass_kg = { value = 1500.0 }",
            ["mass_kg needs a value and a source"],
        ),
        ("vehicles", 'mass_kg = { value = 1500.0, source = "I" }', "", ["mass_kg is missing"]),
        (
            "vehicles",
            'mass_kg = { value = 1500.0, source = "I" }',
            'mass_kg = { value = 1500.0, source = "I", unit = "t" }',
            ["unknown part 'unit'"],
        ),
        (
            "vehicles",
            'drive = { value = "rear",',
            'drive = { value = "middle",',
            ["drive must be one of", "rear"],
        ),
        (
            "surfaces",
            'kind = "burckhardt"',
            'kind = "guess"',
            ["kind must be one of", "magic_formula"],
        ),
        (
            "surfaces",
            'default = "course"',
            'default = "nobody"',
            ["default must name one of its curves"],
        ),
        (
            "control",
            "cycle_s = { value = 0.01,",
            "cycle_s = { value = inf,",
            ["cycle_s must be a number from"],
        ),
        ("control", 'name = "The course\'s control unit"', "", ["name is missing"]),
    ],
)
def test_a_broken_data_file_is_named_with_key_and_range(tmp_path, stem, before, after, words):
    for file in data_folder().glob("*.toml"):
        shutil.copy(file, tmp_path)
    file = tmp_path / f"{stem}.toml"
    text = file.read_text(encoding="utf-8")
    assert before in text
    file.write_text(text.replace(before, after, 1), encoding="utf-8")
    broken = catalogue.Catalogue(tmp_path)
    read = {
        "vehicles": broken.vehicles,
        "surfaces": broken.surfaces,
        "control": broken.control_settings,
    }[stem]
    with pytest.raises(UserError) as fault:
        read()
    for word in [f"{stem}.toml", *words]:
        assert word in str(fault.value)


def test_every_number_in_data_has_a_source():
    for entry in [
        *catalogue.in_use().vehicles().values(),
        *catalogue.in_use().control_settings().values(),
        *catalogue.in_use().driver_settings().values(),
    ]:
        assert all(len(source) > 7 for source in entry.sources.values())
    for surface in catalogue.in_use().surfaces().values():
        for curve in surface.curves.values():
            assert all(len(source) > 7 for source in curve.sources.values())


def test_an_instructor_adds_a_vehicle_in_a_file_of_the_own_folder(tmp_path, monkeypatch):
    text = (
        (data_folder() / "vehicles.toml")
        .read_text(encoding="utf-8")
        .replace("[rear_petrol]", "[van]")
        .replace("Rear-drive petrol car", "Our van")
    )
    (tmp_path / "my_vehicles.toml").write_text(text.split("[front_petrol]")[0], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert catalogue.in_use().vehicles()["van"].name == "Our van"
    assert Scenario(vehicle="van").vehicle == "van"


def test_units_of_the_car_follow_the_vehicle():
    from tractionlab.run.assembly import car_of

    car = car_of(Scenario(vehicle="front_electric", slope_percent=10.0))
    assert car.body.to_front + car.body.to_rear == pytest.approx(2.70)
    assert car.body.to_rear / 2.70 == pytest.approx(0.55)
    assert car.body.slope_sin / car.body.slope_cos == pytest.approx(0.10)
    assert car.brakes.front_torque * 1e5 == pytest.approx(25.0)
