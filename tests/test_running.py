"""`tractionlab run`: short runs, stops, and places to write to."""

import json

import pytest

from tractionlab.cli import main as cli

STOP = (
    'vehicle = "front_petrol"\nleft = "wet_asphalt"\ninitial_speed_kmh = 50\npedal_percent ='
    " 0\nbrake_bar = 60\nbrake_until_s = 20\nduration_s = 5\n"
)


@pytest.fixture
def computed(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)

    def run(text, *more):
        (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
        code = cli.main(["run", "mine.toml", *more])
        shown = capsys.readouterr()
        return code, shown.out, shown.err

    return run


def test_a_stop_says_how_much_of_the_grip_of_four_wheels_it_used(computed):
    from tractionlab.panels.stop import Stop
    from tractionlab.run.scenario_file import read_scenario
    from tractionlab.run.simulation import simulate

    code, said, _ = computed(STOP, "--json")
    found = json.loads(said)
    share = found["figures"]["grip_share"]
    assert code == 0 and 0.5 < share <= 1.0
    assert (
        "held back with" in found["sentence"]
        and "under its four wheels" in found["sentence"]
        and "-" not in found["sentence"].split("grip")[0].split(":")[1]
    )
    assert share == pytest.approx(Stop(simulate(read_scenario("mine.toml"))).grip_used, abs=0.02)


@pytest.mark.parametrize(
    "text", ["duration_s = 0.02", "duration_s = 0.05", "duration_s = 1\npedal_from_s = 2"]
)
def test_a_run_that_ends_before_the_throttle_goes_down_says_so(computed, text):
    code, said, _ = computed(text)
    assert code == 0 and "it ends before the throttle pedal goes down" in said and "nan" not in said


def test_out_onto_a_file_or_where_nobody_may_write(computed, tmp_path):
    (tmp_path / "taken").touch()
    for place, words in (
        ("taken", "is a file, not a folder"),
        ("taken/x", "may not write there"),
        ("/proc/nowhere", "may not write there"),
    ):
        code, _, said = computed("duration_s = 1", "--out", place)
        assert code == 2 and words in said and len(said.splitlines()) == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["mine.toml", "taken"]


def test_a_bad_sweep_makes_no_folder(computed, tmp_path):
    code, _, said = computed("duration_s = 1", "--out", "new", "--sweep", "pedal_percent=0:200:3")
    assert code == 2 and "0 to 100" in said and not (tmp_path / "new").exists()
