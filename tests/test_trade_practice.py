"""What a trainer of the trade would strike out in the workshop's texts and readings."""

import json
import re

import numpy as np
import pytest

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.diagnosis.lamps import FLASHING, ON
from tractionlab.lesson.service_card import service_work
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.codes import defined_by
from tractionlab.workshop.drive import bay
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
    assert steps["open"].after == ("proof",) and "vented bottle" in steps["hose"].text
    gates = [step["text"] for step in ITEMS["12-do-depressurise"]["steps"]]
    asked = json.dumps(read_toml(data_folder() / "questions.toml")["6.q.safe"])
    assert any("vented bottle" in gate for gate in gates)
    texts = (*gates, preparations()["no_pressure"], lesson_text("06"), lesson_text("12"), asked)
    for words in texts:
        assert not re.search(
            r"0 bar on the gauge|gauge at 0|zero on the gauge|gauge (that )?proves|closed bottle",
            words,
        )


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


def test_layout_a_is_bled_with_its_accumulator_empty_and_levelled_as_the_maker_says():
    steps = procedures()["bleed_layout_a"].steps
    assert [step.key for step in steps] == [
        *("fluid", "empty", "wheels", "circuit", "feed", "level", "hold", "drive"),
    ]
    said = {step.key: step.text for step in steps}
    assert "proved empty" in said["empty"] and "fuse out" in said["empty"]
    assert "charged or empty" in said["level"] and "maker" in said["level"]
    assert "walking speed" in said["drive"]


def test_lesson_9_teaches_all_first_digits():
    """Which of them are the maker's own depends on the letter, as `defined_by` has it."""
    (taught,) = re.findall(r"The first digit says.*", lesson_text("09"))
    assert all(re.search(rf"\b{digit}\b", taught) for digit in range(4))
    whose = {
        f"{letter}{digit}": defined_by(f"{letter}{digit}100")
        for letter in "PCBU"
        for digit in "012"
    }
    assert len({whose[f"{letter}0"] for letter in "PCBU"}) == 1
    assert len({whose[f"{letter}1"] for letter in "PCBU"}) == 1
    assert whose["P2"] == whose["P0"] and {whose[f"{one}2"] for one in "CBU"} == {whose["P1"]}
    assert "2 is all makers' after P, but the maker's own after C, B and U" in taught


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


# ---- stories: what is told is what the computed car does ----


def lit(record, lamp, state=ON):
    """Share of a drive after the lamp check in which a lamp is in a state."""
    return float(np.mean(record.lamps[lamp][400:] == state))


def life(name, vehicle="front_petrol"):
    values = part_values(vehicle)
    return bay.life(vehicle, changed(values, fault(name).on(vehicle)) if name else values)


def test_a_wide_gap_is_found_in_town_and_read_alike_by_scope_and_count():
    assert any(
        event.failed and event.code == "C0031" for event in life("active-sensor-wide-gap")[0].events
    )
    assert "in town as on the motorway" in fault("active-sensor-wide-gap").story
    scope = readings("T12", "front_petrol", "active-sensor-wide-gap")
    assert (
        scope["high_fl"] > 1.18 and scope["spread_fl"] > 90.0
    )  # it switches, but poles are missing
    assert 40 <= readings("T20", "front_petrol", "active-sensor-wide-gap")["pulses_fl"] < 48


def test_a_lead_that_is_live_gives_no_ohms():
    found = readings("T08", "front_petrol", "active-sensor-signal-short-to-battery")
    assert found["insulation_rl"] == "live, no reading" and found["insulation_rr"] >= 1e6
    runs = life("active-sensor-signal-short-to-battery")
    assert all(lit(run_, "abs") > 0.95 for run_ in runs)  # whatever else is on


def test_low_fluid_lights_the_red_lamp_in_every_drive():
    for vehicle in fault("fluid-level-low").vehicles:
        assert all(lit(run_, "brake") > 0.5 for run_ in life("fluid-level-low", vehicle)[:-1])


def test_a_steering_zero_that_is_off_flashes_nothing():
    runs, sound = life("steer-angle-not-calibrated"), life(None)
    assert lit(runs[1], "tc") > 0.2 and lit(sound[1], "tc") == 0.0
    assert lit(runs[0], "tc", FLASHING) == lit(sound[0], "tc", FLASHING)
    assert "acts" not in fault("steer-angle-not-calibrated").symptoms


@pytest.mark.parametrize(
    "name", ["tyre-size-mismatch-driven-axle", "tyre-wear-mismatch-left-right"]
)
def test_tyres_a_little_apart_do_not_make_control_act(name):
    for vehicle in fault(name).vehicles:
        assert readings("T07", vehicle, name)["acts_from"] == 130.0
    assert fault(name).symptoms == ("noted",)


def test_what_is_told_of_flashing_is_computed():
    """Only a ring that reads fast makes the control act without slip; poles that are joined set a
    code, and a picked-up noise shows at a wheel that is not driven.
    """
    sound = [lit(run_, "tc", FLASHING) for run_ in life(None)]
    swarf = life("encoder-with-metal-swarf")
    assert all(lit(run_, "tc", FLASHING) <= was for run_, was in zip(swarf, sound))
    assert lit(swarf[0], "abs") > 0.0 == lit(swarf[0], "tc", FLASHING)
    noise = "alarm-or-radio-lead-beside-sensor-lead"
    assert readings("T05", "rear_petrol", noise)["speed_fl"] > 3.0
    assert 80.0 < readings("T07", "rear_petrol", "tone-ring-wrong-count-high")["acts_from"] < 100.0
    for name in ("encoder-with-metal-swarf", noise):
        assert "acts" not in fault(name).symptoms and "flash" not in fault(name).story


def test_a_collapsed_hose_holds_the_brake_for_some_seconds():
    for vehicle, left, right in (("rear_petrol", "rl", "rr"), ("front_petrol", "fl", "fr")):
        found = readings("T16", vehicle, "hose-collapsed-inside")
        assert found[f"release_{left}"] > 5.0 > found[f"release_{right}"]


def test_a_weak_supply_shows_on_the_charge_lamp():
    for vehicle in fault("supply-voltage-low").vehicles:
        assert readings("T03", vehicle)["charge_lamp"] == "dark"
        assert readings("T03", vehicle, "supply-voltage-low")["charge_lamp"] == "lights"


def test_air_in_closed_passages_is_felt_after_control():
    """Boyle: 1 cm3 x 50 / 51.013 bar over a piston of 22.2 mm (3.871 cm2), pedal ratio 4: 10.1
    mm.
    """
    found = readings("T17", "front_petrol", "air-in-hydraulic-unit")
    assert found["pedal_after_control"] == pytest.approx(10.13, abs=0.01)
    assert readings("T17", "front_petrol")["pedal_after_control"] == 0.0


def test_hands_in_the_motor_bay_of_the_electric_car_need_isolation():
    for test in ("T08", "T09", "T27"):
        entry = bench_tests()[test]
        for vehicle, name, stops in (
            ("front_electric", "pump-fuse-blown", True),
            ("front_petrol", "pump-fuse-blown", False),
        ):
            case = Case(name, vehicle)
            case.acknowledge()
            case.take(test, (*entry.critical, *entry.minor))
            assert bool(case.stopped) is stops
        case = Case("pump-fuse-blown", "front_electric")
        case.acknowledge()
        assert case.take(test, (*entry.critical_on("front_electric"), *entry.minor))
