"""Marking of one response: typed answers, units, follow-through, part marks, and content that means
harm.
"""

import json
import math
from dataclasses import replace
from types import SimpleNamespace

import pytest
from assess_answers import item_from, last_reading, letter_of, of_kind, perfect
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tractionlab.assess.answers.case_log import case_for
from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.draw import fair_draws, variant
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.shown import build
from tractionlab.assess.judge.answers import judge, right_answer, simulations
from tractionlab.hydraulics.layout import layout

#: Every item but the cases, whose logs have tests of their own. Settings are simulated: one item
#: shows it.
JUDGED = [
    item
    for item in items().values()
    if item.kind != "case" and (item.kind != "tuning" or item.id == "8-tune-snow")
]

NUMBER = """
kind = "number"
level = "apply"
minutes = 2
marks = 2
title = "T"
text = "{mass} {rate}"
draws = { mass = [1250], rate = [5] }
tolerance = "formula"
source = "S"
label = "Force"
unit = "%s"
unit_asked = %s
limits = [1, 10000]
key = "grip.acceleration(mass, rate)"
"""


def marks_of(text, unit="N", asked=False):
    """Marks of a typed answer, of 2; the key is 250 in the unit."""
    item = item_from(NUMBER % (unit, str(asked).lower()))
    return judge(item, variant(item, "k", "c"), {"answer": text}).marks


@pytest.mark.parametrize(
    "text, marks",
    [
        ("250", 2),
        ("250.0", 2),
        ("250,0", 2),
        (" 250 ", 2),
        ("+250", 2),
        ("250 N", 2),
        ("250N", 2),
        ("0.25 kN", 2),
        ("0,25 kN", 2),
        ("255", 2),
        ("245", 2),
        ("255.1", 0),
        ("244.9", 0),
        ("-250", 0),
        ("2500", 0),
        ("25", 0),
        ("250 kN", 1),
        ("250 V", 1),
        ("250 bananas", 2),
        ("250 newtons", 2),
        ("250 MN", 1),
        ("0.25", 0),
        ("0.25 N", 1),
        ("1,250.0", 0),
        ("2 50", 0),
        ("250 250", 0),
        ("2.5e2", 0),
        ("0x fa", 0),
        ("nan", 0),
        ("inf", 0),
        ("", 0),
        ("   ", 0),
        ("=250", 0),
        ("250" + "0" * 60, 0),
        ("250 N" + " " * 60, 2),
        ("\u0662\u0665\u0660", 0),
        ("250\x00", 0),
        ("about 250", 0),
    ],
)
def test_typed_numbers(text, marks):
    assert marks_of(text) == marks


@pytest.mark.parametrize(
    "text, marks",
    [
        ("250 N", 2),
        ("0,25 kN", 2),
        ("250", 1.6),
        ("0.25", 1.6),
        ("250 bar", 1),
        ("251 kN", 1),
        ("300", 0),
        ("250 Newton", 2),
        ("250 bananas", 1.6),
        ("300 bananas", 0),
    ],
)
def test_a_unit_that_is_asked_for(text, marks):
    assert marks_of(text, asked=True) == marks


@pytest.mark.parametrize(
    "text, unit, marks",
    [
        ("25 MPa", "bar", 2),
        ("25000 kPa", "bar", 2),
        ("69.44 m/s", "km/h", 2),
        ("250 000 ms", "s", 0),
        ("250000 ms", "s", 2),
        ("0.25 A", "mA", 2),
        ("250000 mV", "V", 2),
        ("2.5", "%", 2),
        ("250", "%", 2),
        ("250 %", "%", 2),
        ("2.5", "1", 0),
        ("25000 %", "1", 2),
        ("250 Nm", "N m", 2),
        ("250 K", "°C", 2),
        ("250 ml", "cm³", 2),
        ("250 rpm", "Hz", 1),
        ("250 mohm", "mohm", 2),
        ("250 Mohm", "mohm", 1),
        ("250 MΩ", "mohm", 1),
        ("250 milliohm", "mohm", 2),
        ("250 mΩ", "mohm", 2),
        ("250 MA", "mA", 1),
        ("250 Ampere", "A", 2),
        ("250 sec", "s", 2),
        ("250 Ms", "ms", 1),
    ],
)
def test_prefixes_and_related_units(text, unit, marks):
    assert marks_of(text, unit) == marks


def test_thousands_are_refused_with_words():
    item = item_from(NUMBER % ("N", "false"))
    assert (
        "separators between thousands"
        in judge(item, variant(item, "k", "c"), {"answer": "1 250"}).reasons[0]
    )


@pytest.mark.parametrize("item", JUDGED, ids=lambda item: item.id)
def test_the_right_answer_gets_all_marks(item):
    for candidate in ("one", "two"):
        drawn = variant(item, "key", candidate)
        found = judge(item, drawn, perfect(item, drawn))
        assert (
            found.marks == item.marks == found.out_of and sum(found.by_field.values()) == item.marks
        ), found.reasons
        assert found.safe is (True if item.kind == "checklist" else None)


@pytest.mark.parametrize("item", JUDGED, ids=lambda item: item.id)
def test_nothing_gets_nothing(item):
    drawn = variant(item, "key", "one")
    for answer in (
        {},
        None,
        [],
        "",
        5,
        {part.name: "" for part in item.fields},
        {part.name: None for part in item.fields},
        {"other": "1"},
    ):
        found = judge(item, drawn, answer)
        assert found.marks == 0 and len(found.reasons) == len(item.fields)


def test_wrong_ideas_get_nothing_and_hear_why():
    for item in items().values():
        for params, _ in zip(fair_draws(item, 3), range(3)):
            drawn, values = build(item, params), keys(item, params)
            for part in item.fields:
                for trap in part.traps if part.kind == "number" else ():
                    wrong = trap.key.run({**params, **values})
                    typed = f"{wrong:.6f}" + (f" {part.unit}" if part.unit_asked else "")
                    found = judge(item, drawn, {part.name: typed})
                    assert found.by_field[part.name] <= part.marks / 2, (
                        item.id,
                        part.name,
                    )  # half if it is the right number in another unit
                    if found.by_field[part.name] == 0 and wrong > 0:
                        assert any(
                            other.idea in found.reasons[item.fields.index(part)]
                            for other in part.traps
                        )
                for option in part.options:
                    if option.id != values[part.name]:
                        found = judge(
                            item, drawn, {part.name: letter_of(item, drawn, part.name, option.id)}
                        )
                        assert (
                            found.by_field[part.name] == 0
                            and option.idea in found.reasons[item.fields.index(part)]
                        )


def test_a_wrong_value_used_rightly_counts_once():
    item = items()["1-push-rear"]
    drawn = variant(item, "k", "c")
    right = keys(item, drawn.params)
    force = right["force"] * 0.8
    torque = item.fields[1].key.run({**drawn.params, "force": force})
    cut = item.fields[2].key.run({**drawn.params, "torque": torque})
    found = judge(
        item, drawn, {"force": f"{force:.3f}", "torque": f"{torque:.3f}", "cut": f"{cut:.3f}"}
    )
    assert found.by_field == {"force": 0.0, "torque": 2.0, "cut": 0.0}
    assert "earlier value" in found.reasons[1]
    own_torque = item.fields[1].key.run({**drawn.params, "force": right["force"]}) * 0.7
    found = judge(
        item,
        drawn,
        {
            "force": f"{right['force']:.3f}",
            "torque": f"{own_torque:.3f}",
            "cut": f"{item.fields[2].key.run({**drawn.params, 'torque': own_torque}):.3f}",
        },
    )
    assert found.by_field == {"force": 2.0, "torque": 0.0, "cut": 2.0}


def test_one_wrong_value_is_not_followed_twice():
    keys = {
        "a": "grip.acceleration(mass, rate)",
        "b": "grip.acceleration(a, rate)",
        "c": "strategy.product(a, rate)",
    }
    fields = "".join(
        f'{{ name = "{name}", label = "{name}", unit = "N", marks = 1, limits = [1, 1e6],'
        f' key = "{key}" }},'
        for name, key in keys.items()
    )
    text = (NUMBER % ("N", "false")).split("label")[0].replace("marks = 2", "marks = 3")
    text += f"\nfields = [{fields}]\n"
    item = item_from(text)
    drawn = variant(item, "k", "c")
    assert judge(item, drawn, {"a": "100", "b": "20", "c": "500"}).by_field == {
        "a": 0.0,
        "b": 1.0,
        "c": 0.0,
    }
    assert judge(item, drawn, {"a": "100", "c": "500"}).by_field == {"a": 0.0, "b": 0.0, "c": 1.0}
    assert (
        judge(item, drawn, {"a": "0", "b": "0"}).marks == 0
    )  # an impossible value is not followed
    assert judge(item, drawn, {"a": "5000000", "b": "1000000"}).marks == 0
    assert judge(item, drawn, {"b": "20", "c": "500"}).marks == 0  # nor one that was never given


def test_other_ways_of_the_fluid_are_right_too_and_a_part_counts_half():
    item = items()["7-way-increase"]
    drawn = build(item, next(p for p in fair_draws(item) if p["mode"] == "tc_increase"))
    for way in (["RES", "MC_1", "S_1", "L_1", "W_FL"], ["RES", "MC_1", "L_1", "W_FL"]):
        assert judge(item, drawn, {"answer": way}).marks == 4
    part = judge(item, drawn, {"answer": ["RES", "MC_1", "S_1", "W_FL"]})
    assert 0 < part.marks <= 2 and "No part joins" in part.reasons[0]
    assert (
        judge(item, drawn, {"answer": ["RES", "MC_1", "S_1", "L_1"]}).marks == 2
    )  # it never arrives
    for way in (
        ["W_FL", "L_1"],
        ["L_1", "W_FL"],
        ["RES"],
        ["RES"] * 40,
        ["RES", 5],
        ["RES", "NOWHERE"],
        "RES",
        {"0": "RES"},
        "none",
    ):
        assert judge(item, drawn, {"answer": way}).marks == 0


def test_no_way_is_an_answer():
    item = items()["6-way-none"]
    drawn = build(item, {"mode": "tc_hold", "start": "ACC", "goal": "W_RL"})
    assert judge(item, drawn, {"answer": "none"}).marks == 4
    found = judge(item, drawn, {"answer": ["ACC", "LINE_R", "W_RL"]})
    assert found.marks == 0 and "hold" in found.reasons[0]


def test_valve_states_count_for_and_against():
    item = items()["6-states-traction"]
    drawn = build(item, {"mode": "tc_increase"})
    right = perfect(item, drawn)["answer"]
    rest = {key: layout("A").components[key].rest_position for key in right}
    assert judge(item, drawn, {"answer": right}).marks == 4
    assert judge(item, drawn, {"answer": rest}).marks == 0
    one_wrong = {**right, "drain_valve": "closed"}
    assert (
        0 < judge(item, drawn, {"answer": one_wrong}).marks < 4
        and "Drain valve" in judge(item, drawn, {"answer": one_wrong}).reasons[0]
    )
    everything = {key: layout("A").components[key].positions[-1] for key in right}
    assert (
        judge(item, drawn, {"answer": everything}).marks
        < judge(item, drawn, {"answer": one_wrong}).marks
    )
    for bad in (
        {},
        dict.fromkeys(right, "ajar"),
        dict.fromkeys(right),
        {key: ["open"] for key in right},
        list(right),
        "open",
    ):
        assert judge(item, drawn, {"answer": bad}).marks == 0


def test_a_wrong_position_hears_where_the_fluid_goes_now():
    item = items()["6-states-traction"]
    drawn = build(item, {"mode": "tc_hold"})
    found = judge(
        item, drawn, {"answer": {**perfect(item, drawn)["answer"], "wheel_valve_RR": "increase"}}
    )
    assert (
        found.marks < 4
        and "With your positions fluid can get from" in found.reasons[0]
        and "rear right brake" in found.reasons[0]
    )


def test_a_sketch_earns_its_features():
    item = items()["2-push-pressure"]
    drawn = variant(item, "k", "c")
    part = item.fields[0]
    curve = keys(item, drawn.params)["answer"]
    assert judge(item, drawn, {"answer": curve}).marks == 2
    assert (
        judge(
            item, drawn, {"answer": [f"{value * 1.05:.0f}".replace(".", ",") for value in curve]}
        ).marks
        == 2
    )  # roughly right, typed
    for trap in part.traps:
        found = judge(
            item,
            drawn,
            {
                "answer": [
                    min(value, 5000)
                    for value in trap.key.run({**drawn.params, "points": part.points})
                ]
            },
        )
        assert found.marks < 2 and "missing" in found.reasons[0]
    assert judge(item, drawn, {"answer": [0] * len(curve)}).marks <= 1
    for bad in (
        curve[:-1],
        [*curve, 1],
        [math.nan] * len(curve),
        [math.inf] * len(curve),
        [10**400] * len(curve),
        [True] * len(curve),
        [None] * len(curve),
        [-1e9] * len(curve),
        "0 1 2",
        {"0": 1},
        [[1]] * len(curve),
        ["x"] * len(curve),
    ):
        assert judge(item, drawn, {"answer": bad}).marks == 0


def test_a_safety_gate_takes_all_marks_of_a_practical():
    item = items()["12-do-depressurise"]
    drawn = variant(item, "k", "c")
    done = perfect(item, drawn)["answer"]
    assert judge(item, drawn, {"answer": {**done, "slow": "not done"}}).marks == item.marks - 2
    found = judge(item, drawn, {"answer": {**done, "proved": "not done"}})
    assert found.marks == 0 and found.safe is False and "safety gate" in found.reasons[0]
    for bad in (
        [],
        "done",
        {"proved": True},
        {step: ["done"] for step in done},
        {"unknown": "done"},
    ):
        assert judge(item, drawn, {"answer": bad}).marks == 0


def figures(**more):
    return SimpleNamespace(
        **{
            "grip_share": 0.95,
            "mean_slip": 0.1,
            "final_speed_kmh": 50.0,
            "brake_heat_kJ": 100.0,
            **more,
        }
    )


def test_settings_are_judged_by_the_figures_of_their_runs():
    item = items()["8-tune-snow"]
    drawn = variant(item, "k", "c")
    answer = {"answer": {"limit_offset_kmh": "3,5", "return_time_s": "2"}}
    asked = simulations(item, drawn, answer)
    assert len(asked) == len({scenario.key for scenario in asked}) == 2
    assert all(
        scenario.settings == {"limit_offset_kmh": 3.5, "return_time_s": 2.0} for scenario in asked
    )
    assert (
        judge(item, drawn, answer, runs={scenario.key: figures() for scenario in asked}).marks == 4
    )
    assert (
        judge(
            item, drawn, answer, runs={scenario.key: figures(mean_slip=0.6) for scenario in asked}
        ).marks
        == 2
    )
    found = judge(
        item, drawn, answer, runs={scenario.key: figures(grip_share=math.nan) for scenario in asked}
    )
    assert found.marks == 2 and "not met" in found.reasons[0]
    assert (
        simulations(items()["1-slope"], variant(items()["1-slope"], "k", "c"), {"force": "1"}) == ()
    )


def test_a_marker_s_own_files_move_no_mark(tmp_path, monkeypatch):
    from tractionlab.assess.markbook.worked_once import run_batch
    from tractionlab.catalogue import entries as catalogue
    from tractionlab.catalogue.places import data_folder

    item = items()["8-tune-snow"]
    drawn = variant(item, "k", "c")
    answer = perfect(item, drawn)
    before, wanted = judge(item, drawn, answer), simulations(item, drawn, answer)
    figures = [merit.as_dict() for merit in run_batch(wanted)]
    for stem, old, new in (
        ("surfaces", 'name = "Packed snow"', 'name = "Own snow"'),
        ("vehicles", "mass_kg = { value = 1", "mass_kg = { value = 2"),
    ):
        text = (data_folder() / f"{stem}.toml").read_text(encoding="utf-8")
        assert old in text
        (tmp_path / f"my_{stem}.toml").write_text(text.replace(old, new), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert catalogue.in_use().surfaces()["packed_snow"].name == "Own snow"
    assert judge(item, drawn, answer) == before and simulations(item, drawn, answer) == wanted
    assert [merit.as_dict() for merit in run_batch(wanted)] == figures
    assert catalogue.in_use().surfaces()["packed_snow"].name == "Own snow", (
        "elsewhere the folder's own values count again"
    )


def test_settings_can_be_tried_on_no_road_that_counts():
    from tractionlab.assess.bank.draw import fair_draws
    from tractionlab.run.scenario import Scenario

    for item in (item for item in items().values() if item.kind == "tuning"):
        for params in fair_draws(item):
            drawn = build(item, params)
            shown = Scenario(**drawn.fields[0].trial)
            judged = [demand.scenario for demand in item.fields[0].key.run(params)]
            assert all(
                replace(scenario, duration_s=shown.duration_s) != shown for scenario in judged
            )
            assert shown.vehicle == judged[0].vehicle and shown.control == judged[0].control


def test_settings_far_off_lose_marks():
    item = items()["8-tune-snow"]
    drawn = variant(item, "k", "c")
    assert (
        judge(item, drawn, {"answer": {"limit_offset_kmh": "20", "return_time_s": "0.2"}}).marks < 4
    )


@pytest.mark.parametrize(
    "bad",
    [
        {},
        {"limit_offset_kmh": "3"},
        {"limit_offset_kmh": "99", "return_time_s": "5"},
        {"limit_offset_kmh": "nan", "return_time_s": "5"},
        {"limit_offset_kmh": 3.1, "return_time_s": 5},
        {"limit_offset_kmh": "3.1 bar", "return_time_s": "5"},
        [],
        "0.1",
        None,
    ],
)
def test_settings_that_cannot_be_read(bad):
    item = items()["8-tune-snow"]
    drawn = variant(item, "k", "c")
    assert (
        judge(item, drawn, {"answer": bad}).marks == 0
        and simulations(item, drawn, {"answer": bad}) == ()
    )


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=60),
    lambda inner: (
        st.lists(inner, max_size=5)
        | st.dictionaries(
            st.sampled_from(
                ["answer", "do", "fault", "start", "ACC", "feed_valve", "limit_offset_kmh"]
            )
            | st.text(max_size=8),
            inner,
            max_size=5,
        )
    ),
    max_leaves=20,
)
ONE_OF_EACH = [
    of_kind(kind)
    for kind in (
        "choice",
        "number",
        "path",
        "states",
        "waveform",
        "tuning",
        "sketch",
        "case",
        "checklist",
    )
]


@given(st.sampled_from(ONE_OF_EACH), JSON)
@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_no_content_raises_or_gains(item, value):
    drawn = variant(item, "key", "one")
    for answer in (value, {part.name: value for part in item.fields}):
        found = judge(item, drawn, answer, runs={})
        assert 0 <= found.marks <= item.marks and math.isfinite(found.marks)
        if not isinstance(value, str) and value is not None:
            assert found.marks == 0
        assert json.dumps(list(found.reasons)) and all(
            len(reason) < 3000 for reason in found.reasons
        )


@given(st.text(alphabet="0123456789.,-+eEx %NkmVbarhs\u2212\u00a0'", max_size=50))
@settings(max_examples=400, deadline=None)
def test_marks_come_only_in_the_stated_steps(text):
    assert marks_of(text) in (0.0, 1.0, 2.0)


def test_the_log_of_another_case_counts_nothing():
    item = items()["11-case-lead"]
    drawn = variant(item, "k", "c")
    start = {
        "do": "start",
        "minutes": 0,
        "version": 1,
        "fault": drawn.params["fault"],
        "vehicle": drawn.params["vehicle"],
        "symptom": case_for(drawn.fields[0]).symptom,
        "mode": "graded",
    }
    for log in (
        [{**start, "fault": "return-pump-seized"}],
        [{**start, "mode": "practice"}],
        [{**start, "vehicle": "front_petrol"}],
        [],
        [5],
        "log",
        [start] * 500,
    ):
        assert judge(item, drawn, {"answer": log}).marks == 0
    broken = judge(item, drawn, {"answer": [start, {"do": "explode"}]})
    assert broken.marks == 0 and "cannot be replayed" in broken.reasons[0]


def test_a_case_worked_by_the_book_gets_nearly_all_marks():
    from tractionlab.workshop.case.technician import route_to
    from tractionlab.workshop.tests.base import tests

    item = items()["11-case-lead"]
    drawn = variant(item, "k", "c")
    case = case_for(drawn.fields[0])
    assert (case.fault.id, case.vehicle) == (drawn.params["fault"], drawn.params["vehicle"])

    def take(test, condition=""):
        case.take(test, (*tests()[test].critical, *tests()[test].minor), condition)

    case.acknowledge()
    for test in route_to(case.fault.id, case.symptom, case.vehicle).tests:
        take(test)
    case.note(last_reading(case))
    case.repair(case.fault.place, case.fault.kind, case.fault.why)
    case.clear_memory()
    for test in route_to(case.fault.id, case.symptom, case.vehicle).tests:
        take(test)
    take("T28", case.symptom)
    case.note(last_reading(case))
    case.finish()
    found = judge(item, drawn, {"answer": json.loads(json.dumps(case.log))})
    assert 22 < found.marks <= 25 and found.safe is True, found.reasons
    left = judge(item, drawn, {"answer": case.log[:3]})
    assert (
        left.marks < 4
        and "only once a fault was repaired or the case was stopped honestly" in left.reasons[0]
    )  # one question to the customer is worth little
    waved = [
        *case.log[:3],
        {"do": "repair", "place": case.fault.place, "kind": "normal", "why": "nothing"},
    ]
    assert judge(item, drawn, {"answer": waved}).marks < 3


def test_an_unsafe_case_gets_nothing():
    item = items()["11-case-lead"]
    drawn = variant(item, "k", "c")
    case = case_for(drawn.fields[0].as_dict())
    case.acknowledge()
    case.take("T06", ())
    found = judge(item, drawn, {"answer": case.log})
    assert case.stopped and found.marks == 0 and found.safe is False


def test_right_answers_in_words():
    item = items()["6-way-reduce"]
    drawn = build(item, {"mode": "tc_reduce", "start": "W_RL", "goal": "RES"})
    assert right_answer(item, drawn) == {
        "Way of the fluid": "the rear left brake, then the rear return gallery, then the reservoir"
    }
    number = items()["1-slope"]
    assert list(right_answer(number, variant(number, "k", "c")).values())[0].endswith(" N")
    assert (
        "Feed valve: open"
        in list(
            right_answer(
                items()["6-states-traction"],
                build(items()["6-states-traction"], {"mode": "tc_increase"}),
            ).values()
        )[0]
    )


def test_judging_is_pure():
    item = items()["3-teeth"]
    drawn = variant(item, "k", "c")
    answer = perfect(item, drawn)
    before = json.dumps(answer)
    assert (
        judge(item, drawn, answer) == judge(item, replace(drawn), answer)
        and json.dumps(answer) == before
    )
