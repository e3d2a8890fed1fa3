"""What a trainer of the trade would strike out in the workshop's texts and readings."""

import json
import re

import pytest

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.lesson.service_card import service_work
from tractionlab.workshop.faults import fault
from tractionlab.workshop.part_values import changed, part_values
from tractionlab.workshop.service import procedures
from tractionlab.workshop.tests.base import preparations, run
from tractionlab.workshop.tests.base import tests as bench_tests

RED_LAMP = read_toml(data_folder() / "safety.toml")["cautions"]["red_lamp"]["text"]
ITEMS = read_toml(data_folder() / "items" / "LO12.toml")["items"]


def readings(test, vehicle, fault_name=None):
    values = part_values(vehicle)
    if fault_name:
        values = changed(values, fault(fault_name).on(vehicle))
    return {reading.key: reading.value for reading in run(test, vehicle, values)}


def lesson_text(number):
    path = next((data_folder().parent / "lessons").glob(f"{number}_*.ipynb"))
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")


def test_nobody_is_told_to_drive_on_with_the_red_lamp():
    assert RED_LAMP in lesson_text("09")
    first = read_toml(data_folder() / "questions.toml")["11.q.first"]
    assert RED_LAMP.removeprefix("Stop").casefold() in first["why"].casefold()
    for words in (lesson_text("09"), lesson_text("11"), json.dumps(first)):
        assert "slowly to a workshop" not in words


@pytest.mark.parametrize(
    "vehicle, name",
    [
        ("rear_petrol", "tyre-size-mismatch-driven-axle"),
        ("front_petrol", "tyre-wear-mismatch-left-right"),
        ("front_electric", "space-saver-left-fitted"),
    ],
)
def test_a_turn_by_hand_has_48_pulses_whatever_tyre_is_on(vehicle, name):
    """Ring and coding alone decide: only on the road does the tyre count."""
    for test in ("T06", "T12", "T20"):
        assert readings(test, vehicle, name) == readings(test, vehicle), test
    found = readings("T20", vehicle, name)
    assert {value for key, value in found.items() if key.startswith("pulses")} == {48.0}
    assert max(readings("T07", vehicle, name).values()) > 60.8  # where the tyre does count


def test_a_ring_of_44_teeth_shows_in_the_same_test():
    assert readings("T20", "rear_petrol", "tone-ring-wrong-count-low")["pulses_rl"] == 44.0


def test_brakes_that_are_held_get_hot_on_the_road():
    """Ten minutes at 14 m/s with 277 N m at a wheel of 0.305 m: 12.7 kW into the disc, more than it
    gives off below 400 degC.
    """
    sound = readings("T22", "rear_petrol")
    assert max(value for key, value in sound.items() if key.startswith("disc")) < 65.0
    held = readings("T22", "rear_petrol", "cut-off-valve-stuck-closed")
    assert held["disc_rl"] == held["disc_rr"] == 400.0 and held["disc_fl"] == sound["disc_fl"]
    for vehicle, left, right in (
        ("rear_petrol", "rl", "rr"),
        ("front_petrol", "fl", "fr"),
        ("front_electric", "fl", "fr"),
    ):
        hose = readings("T22", vehicle, "hose-collapsed-inside")
        assert hose[f"disc_{left}"] > hose[f"disc_{right}"] + 30.0


def test_no_pressure_is_proved_without_a_gauge_that_is_not_there():
    steps = {step.key: step for step in procedures()["safe_layout_a"].steps}
    proof = steps["proof"].text
    assert all(word in proof for word in ("flow stopped", "open", "wait", "live data"))
    assert steps["open"].after == ("proof",)
    gates = [step["text"] for step in ITEMS["12-do-depressurise"]["steps"]]
    for words in (*gates, preparations()["no_pressure"], lesson_text("12")):
        assert not re.search(r"0 bar on the gauge|gauge at 0|closed bottle", words)


def test_slip_is_made_on_closed_ground_alone():
    assert "closed" in bench_tests()["T29"].critical and "slippery" not in bench_tests()["T07"].does
    assert not {"torque_left_over", "cut_time"} & set(readings("T07", "front_electric"))
    assert readings("T29", "front_electric").keys() == {"lamp", "torque_left_over", "cut_time"}


def test_work_with_gauges_counts_the_bleeding_and_the_proof():
    gauges, heat = bench_tests()["T16"], bench_tests()["T22"]
    assert gauges.minutes >= 45 and "bled" in gauges.does and "proof" in gauges.cautions
    assert heat.minutes >= 20  # ten of road, then lift and measure


def test_only_a_passive_sensor_has_a_gap_to_set():
    passive, active = (
        " ".join(step["text"] for step in ITEMS[name]["steps"])
        for name in ("12-do-sensor", "12-do-active-sensor")
    )
    assert "gap at four points" in passive and "no gap is set" in active and "viewer" in active


def test_straps_belong_to_a_dynamometer():
    assert "free" in preparations()["rollers"] and "trap" not in preparations()["rollers"]
    gate = ITEMS["12-do-rollers"]["steps"][0]
    assert gate["gate"] and "no straps" in gate["text"] and "dynamometer" in gate["text"]


def test_isolating_an_electric_car_has_one_order():
    work = procedures()["isolate_electric"]
    assert [s.key for s in work.steps] == [
        *("who", "gloves", "key", "battery", "plug", "lock", "wait"),
        *("meter", "dead", "again", "sign", "work"),
    ]
    card = service_work("isolate_electric")
    card.on_command("do", {"step": "dead"})
    assert "can kill" in card.face["message"] and card.face["fields"] == []
    gates = [s["id"] for s in ITEMS["12-do-isolate"]["steps"] if s.get("gate")]
    assert gates == ["who", "off", "plug", "wait", "dead"]
