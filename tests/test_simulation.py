"""Runs as a user sees them: traces, figures of merit, files, batches, controllers of one's own."""

import csv
import dataclasses
import json
import math
import re

import numpy as np
import pytest

from tractionlab import Scenario, simulate, simulate_many
from tractionlab.cli import main as cli
from tractionlab.cli import run as running
from tractionlab.control import settings as s
from tractionlab.run.merit import distance_to, time_to
from tractionlab.run.scenario_file import read_scenario
from tractionlab.run.trace import CHANNELS

SPLIT = Scenario(left="ice", right="wet_asphalt", duration_s=4.0)


def test_trace_knows_channels_units_and_shapes():
    trace = simulate(SPLIT)
    for name, (_, count, unit) in CHANNELS.items():
        assert trace[name].shape == ((len(trace),) if count == 1 else (len(trace), 4))
        assert trace.units[name] == unit
    assert trace.time[1] == pytest.approx(0.01) and trace.time[-1] == pytest.approx(4.0)
    with pytest.raises(KeyError, match="wheel_speed"):
        trace["wheels"]


def test_csv_holds_every_channel(tmp_path):
    trace = simulate(SPLIT)
    trace.to_csv(tmp_path / "run.csv")
    with open(tmp_path / "run.csv", newline="") as file:
        rows = list(csv.reader(file))
    assert len(rows) == len(trace) + 1
    column = rows[0].index("pressure_RL [Pa]")
    assert float(rows[-1][column]) == pytest.approx(trace.pressure[-1, 2], rel=1e-8, abs=1e-6)


def open_differential_share(trace):
    """Share of the grip of an axle that an open differential can use: twice the smaller grip over
    the sum of both.
    """
    rear = trace.grip_limit[50:, 2:]
    return (2.0 * rear.min(axis=1) / rear.sum(axis=1)).mean()


def test_control_recovers_grip_on_split_grip():
    off, both = simulate_many(
        [dataclasses.replace(SPLIT, control=kind) for kind in ("off", "both")]
    )
    assert off.merit().grip_share < open_differential_share(off)
    assert both.merit().grip_share > 0.75
    assert both.pressure[:, 2].max() > 20e5 and off.pressure.max() == 0.0
    assert off.lamp.max() == 0.0 and both.lamp.max() == 1.0


def test_torque_reduction_alone_cannot_help_the_side_that_grips():
    torque = simulate(dataclasses.replace(SPLIT, control="torque"))
    assert torque.merit().grip_share < open_differential_share(torque) < 0.35


def test_driver_switch_ends_torque_reduction_but_not_low_speed_brake_action():
    """Course choice; makers differ (common practice, no source)."""
    off = simulate(dataclasses.replace(SPLIT, switched_off=True))
    assert (off.torque_request[50:] >= off.engine_torque[50:] - 30.0).all()
    assert off.pressure[:, 2].max() > 10e5


def test_brake_pedal_ends_the_intervention():
    trace = simulate(
        dataclasses.replace(
            SPLIT, brake_bar=20.0, brake_from_s=2.0, brake_until_s=3.5, antilock=False
        )
    )
    pressed = (trace.time > 2.5) & (trace.time < 3.4)
    np.testing.assert_allclose(trace.pressure[pressed], 20e5, rtol=0.02)
    assert trace.lamp[pressed].max() == 0.0


def test_heat_protection_pauses_brake_action_and_sets_no_torque_free():
    hot, cool, without = (
        simulate(dataclasses.replace(SPLIT, **more))
        for more in ({"disc_degC": (20.0, 20.0, 490.0, 490.0)}, {}, {"control": "off"})
    )
    assert hot.pressure.max() == 0.0 and cool.pressure.max() > 20e5
    assert hot.merit().spin_energy_kJ < 0.3 * without.merit().spin_energy_kJ, (
        "torque reduction goes on"
    )


def test_bend_allowance_keeps_control_quiet_in_a_bend_without_slip():
    bend = dict(
        vehicle="front_electric",
        left="dry_asphalt",
        initial_speed_kmh=20.0,
        steer_deg=14.0,
        keep_lane=False,
        pedal_percent=8.0,
        duration_s=4.0,
        settings={
            "limit_slip": 0.02,
            "limit_offset_kmh": 0.5,
        },
    )
    with_it, without = (
        simulate(Scenario(bend_allowance=allowed, **bend)) for allowed in (True, False)
    )
    assert with_it.lamp.max() == 0.0 and without.lamp.mean() > 0.5


def test_patch_of_ice_is_met_where_it_lies():
    trace = simulate(
        Scenario(
            left="dry_asphalt",
            patches=({"surface": "ice", "x_from": 3.0, "x_to": 6.0},),
            control="off",
            duration_s=4.0,
        )
    )
    rear = trace.x - 1.4
    inside = (rear > 3.2) & (rear < 5.8)
    assert trace.grip_limit[inside, 2].max() < 500 < 2000 < trace.grip_limit[rear > 6.3, 2].min()


def test_a_road_may_change_with_time():
    trace = simulate(
        Scenario(
            left="dry_asphalt",
            patches=({"surface": "ice", "t_from": 1.0, "t_to": 2.0},),
            duration_s=3.0,
        )
    )
    slippery = trace.grip_limit[:, 2] < 600
    assert (
        slippery[(trace.time > 1.02) & (trace.time < 1.98)].all()
        and not slippery[trace.time < 0.98].any()
    )


def test_times_and_distances_to_a_speed_lie_between_rows():
    trace = simulate(Scenario(left="dry_asphalt", duration_s=4.0))
    at = time_to(trace, 20.0)
    k = np.searchsorted(trace.speed * 3.6, 20.0)
    assert trace.time[k - 1] <= at + 0.2 <= trace.time[k]
    assert trace.x[k - 1] <= distance_to(trace, 20.0) <= trace.x[k]
    assert (
        math.isnan(time_to(trace, 150.0))
        and trace.merit().as_dict()["time_to_30_kmh_s"] is not None
    )
    stop = simulate(Scenario(initial_speed_kmh=50, pedal_percent=0, brake_bar=60, duration_s=1.0))
    assert stop.merit().as_dict()["time_to_10_kmh_s"] is None, "it was faster from the start"


def test_batches_come_back_in_order_and_equal_single_runs():
    many = [
        Scenario(left=surface, duration_s=1.0) for surface in ("ice", "dry_asphalt", "packed_snow")
    ]
    seen = []
    traces = simulate_many(many, progress=lambda done, total: seen.append((done, total)))
    assert [trace.scenario for trace in traces] == many and seen == [(1, 3), (2, 3), (3, 3)]
    for scenario, trace in zip(many, traces):
        assert trace.record.tobytes() == simulate(scenario).record.tobytes()


def test_a_learner_writes_a_controller_in_plain_python():
    def gentle(time, sensors, outputs):
        driven = max(sensors[s.SENSE_WHEELS + 2], sensors[s.SENSE_WHEELS + 3])
        rolling = 0.5 * (sensors[s.SENSE_WHEELS] + sensors[s.SENSE_WHEELS + 1])
        if driven > 1.1 * rolling + 0.5:
            outputs[s.ASK_PLATE] = 0.05
            outputs[s.ASK_IGNITION] = 0.5

    wet = Scenario(left="wet_asphalt", control="off", duration_s=4.0)
    assert simulate(wet, controller=gentle).x[-1] > 1.2 * simulate(wet).x[-1]


def run_command(capsys, *arguments):
    code = cli.main(["run", *map(str, arguments)])
    said = capsys.readouterr()
    return code, said.out, said.err


@pytest.fixture
def scenario_file(tmp_path):
    file = tmp_path / "split.toml"
    file.write_text('left = "ice"\nright = "wet_asphalt"\nduration_s = 2.0\n')
    return file


def test_run_prints_figures_and_saves_files(scenario_file, capsys):
    code, out, _ = run_command(capsys, scenario_file)
    assert code == 0 and "share of the available grip used" in out and "none in this run" in out
    assert (scenario_file.parent / "split.csv").stat().st_size > 10_000
    assert (scenario_file.parent / "split.png").read_bytes().startswith(b"\x89PNG")


def test_run_as_json(scenario_file, tmp_path, capsys):
    code, out, _ = run_command(capsys, scenario_file, "--json", "--out", tmp_path / "out")
    told = json.loads(out)
    assert (
        code == 0
        and told["figures"]["time_to_30_kmh_s"] is None
        and told["figures"]["grip_share"] > 0.3
    )
    assert (tmp_path / "out" / "split.csv").exists()


def test_sweep_over_two_values_gives_a_map(scenario_file, capsys):
    code, out, _ = run_command(
        capsys,
        scenario_file,
        "--sweep",
        "pedal_percent=20:100:3",
        "--sweep",
        "settings.limit_offset_kmh=2:6:2",
    )
    assert code == 0 and "6 runs. Farthest:" in out
    stem = "split_sweep_pedal_percent_settings-limit_offset_kmh"
    table = np.genfromtxt(scenario_file.parent / f"{stem}.csv", delimiter=",", names=True)
    with open(scenario_file.parent / f"{stem}.csv") as file:
        assert {
            "pedal_percent",
            "final_speed [km/h]",
            "time_to_20_kmh [s]",
            "grip_share [-]",
            "hottest_disc [degC]",
        } < set(file.readline().strip().split(","))
    assert len(table) == 6 and table["distance_m"].max() > table["distance_m"].min()
    assert (scenario_file.parent / f"{stem}.png").exists()


def test_a_second_sweep_keeps_the_first(scenario_file, capsys):
    run_command(capsys, scenario_file, "--sweep", "pedal_percent=20:60:2")
    run_command(capsys, scenario_file, "--sweep", "slope_percent=0:4:2")
    assert {path.name for path in scenario_file.parent.glob("split_sweep*.csv")} == {
        "split_sweep_pedal_percent.csv",
        "split_sweep_slope_percent.csv",
    }


def test_swept_values_have_no_long_tails(scenario_file, capsys):
    code, _, err = run_command(capsys, scenario_file, "--sweep", "pedal_percent=20:150:4")
    assert code == 2 and not re.search(r"\d\.\d{6,}", err)


@pytest.mark.parametrize(
    "key, words",
    [
        ("pedal_percent", "pedal [%]"),
        ("duration_s", "duration [s]"),
        ("vehicle_values.mass_kg", "mass [kg]"),
        ("settings.limit_offset_kmh", "limit offset [km/h]"),
        ("settings.anything_else", "anything else"),
    ],
)
def test_axes_of_a_sweep_have_words_and_units(key, words):
    assert running.key_in_words(key) == words


def test_the_picture_of_a_run_names_car_and_settings(scenario_file, capsys, monkeypatch):
    from tractionlab.paint import printed

    seen = {}
    monkeypatch.setattr(
        printed, "save", lambda view, path, **more: seen.update(more, sentence=view.sentence)
    )
    assert run_command(capsys, scenario_file)[0] == 0
    scenario = read_scenario(scenario_file)
    assert seen["title"] == (scenario.title or "split")
    assert (
        seen["sentence"].startswith(running.in_words(scenario))
        and "throttle" in seen["sentence"]
        and "car; " in seen["sentence"]
    )


@pytest.mark.parametrize(
    "swept, words",
    [
        ("vehicle=1:2:2", "cannot be swept"),
        ("pedal_percent=20:200:3", "0 to 100"),
        ("settings.nothing=1:2:2", "cannot be swept"),
    ],
)
def test_a_wrong_sweep_is_one_sentence(scenario_file, capsys, swept, words):
    code, _, err = run_command(capsys, scenario_file, "--sweep", swept)
    assert code == 2 and words in err and err.count("\n") == 1


def test_a_wrong_file_is_one_sentence(tmp_path, capsys):
    code, _, err = run_command(capsys, tmp_path / "none.toml")
    assert code == 2 and "none.toml" in err and err.count("\n") == 1


def test_oily_pads_brake_less_and_the_car_pulls_to_the_other_side():
    stop = {
        "initial_speed_kmh": 50.0,
        "pedal_percent": 0.0,
        "brake_bar": 30.0,
        "brake_from_s": 0.0,
        "brake_until_s": 10.0,
        "duration_s": 2.0,
        "left": "dry_asphalt",
        "keep_lane": False,
    }
    sound, oily = (
        simulate(Scenario(**stop)),
        simulate(Scenario(**stop, pad_friction=(0.3, 1.0, 1.0, 1.0))),
    )
    assert oily.speed[-1] > sound.speed[-1] + 0.5
    assert (
        abs(sound.yaw[-1]) < 1e-6 and oily.yaw[-1] < -0.01
    )  # the right front brake holds more: the car turns to the right
