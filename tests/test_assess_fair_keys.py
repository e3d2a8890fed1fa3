"""Questions that one can be asked about afterwards: each text says what its key supposes, and no
repair case pays for a guess.
"""

import numpy as np
import pytest
from assess_answers import item_from

from tractionlab.assess.bank import call
from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.draw import fair_draws
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.shown import build
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.keys import fluid as keys_fluid
from tractionlab.assess.proof.by_models import LEAST_FITTING
from tractionlab.assess.proof.prove import prove
from tractionlab.bench.stories import IN_CONTROL
from tractionlab.control import settings as s
from tractionlab.control.valve_drive import drive_valves
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import can_reach
from tractionlab.physics import circuit as h
from tractionlab.run.circuit_assembly import hydraulics_of
from tractionlab.run.scenario import Scenario
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.score import score
from tractionlab.workshop.tests.base import tests as bench_tests

WHEEL = {"RL": "rear left", "FL": "front left"}
CASES = [item for item in items().values() if item.kind == "case"]


def circuit_of(item):
    """The layout that an item asks about, "" if none: where its key comes from the modes of a
    layout.
    """
    if item.kind in ("path", "states"):
        return item.fields[0].layout
    return (
        next(iter(item.draws.get("layout", [""])))
        if item.kind == "choice" and "mode" in next(fair_draws(item))
        else ""
    )


def test_every_question_on_a_mode_names_the_wheel_in_control():
    asked = [item for item in items().values() if circuit_of(item)]
    assert len(asked) == 23
    for item in asked:
        wheel = WHEEL[IN_CONTROL[circuit_of(item)]]
        for params in fair_draws(item):
            text = build(item, params).text
            assert (
                f"it is the {wheel} one" in text
                or f"is the {wheel} one" in text
                or f"brake the {wheel} wheel" in text
            ), (item.id, text)


def test_the_way_home_is_open_for_a_wheel_that_the_text_does_not_name():
    item = items()["7-way-end"]
    params = next(p for p in fair_draws(item) if p["start"] == "W_FR" and p["mode"] == "tc_hold")
    assert "front left" in build(item, params).text and can_reach(
        layout("B"), "tc_hold", "W_FR", "RES"
    )


@pytest.mark.parametrize("key, vehicle", [("A", "rear_petrol"), ("B", "front_petrol")])
def test_the_states_while_the_driver_brakes_are_those_the_control_unit_sets(key, vehicle):
    """The stop lamp switch ends traction control at once: the driver stage leaves every valve and
    pump without current, and that is the key.
    """
    outputs, first, then, pulse = (
        np.zeros(s.OUTPUTS),
        np.ones(h.COMMANDS),
        np.ones(h.COMMANDS),
        np.ones(h.VALVES),
    )
    outputs[s.ASK_VALVES : s.ASK_VALVES + 4] = 2.0
    drive_valves(outputs, True, hydraulics_of(Scenario(vehicle=vehicle)), first, then, pulse)
    assert not first[: h.VALVES].any() and not then[: h.VALVES].any() and not first[h.RETURN_ON]
    shown = layout(key)
    rest = {
        part: component.rest_position
        for part, component in shown.components.items()
        if component.positions
    }
    asked = [
        (item, params)
        for item in items().values()
        if item.kind == "states" and circuit_of(item) == key
        for params in fair_draws(item)
    ]
    assert not [item.id for item, params in asked if params["mode"] == "pedal_during_tc"]
    for item, params in asked:
        if (
            "brakes" in build(item, params).text
            and "does not brake" not in build(item, params).text
        ):
            right = {**rest, "pedal_port": "closed"}
            assert (
                judge(
                    item,
                    build(item, params),
                    {"answer": {part: right[part] for part in item.fields[0].parts}},
                ).marks
                == item.marks
            )


def test_a_way_while_the_driver_brakes_is_there_before_and_after_the_unit_has_let_go():
    for item in items().values():
        for params in fair_draws(item) if circuit_of(item) else ():
            if params["mode"] == "pedal_during_tc":
                ways = [
                    can_reach(layout(circuit_of(item)), mode, params["start"], params["goal"])
                    for mode in ("pedal_during_tc", "normal")
                ]
                assert ways[0] == ways[1] and "valves not yet at rest" in build(item, params).text


def test_whole_periods_are_counted():
    """14 bar in steps of 1.143 bar of 25 ms each: 13 openings, 0.325 s, worked by hand."""
    item = items()["7-pulses"]
    params = {"open": 10, "period": 25, "flow": 3.2, "per_bar": 0.028, "rise": 14}
    assert keys(item, params) == {
        "step": pytest.approx(1.143, abs=5e-4),
        "time": pytest.approx(0.325),
    }
    for params in fair_draws(item):
        found = keys(item, params)
        periods = found["time"] * 1000 / params["period"]
        assert (
            abs(periods - round(periods)) < 1e-9
            and (round(periods) - 1) * found["step"]
            < params["rise"]
            <= round(periods) * found["step"]
        )
        assert (
            judge(
                item,
                build(item, params),
                {"step": f"{found['step']:.2f}", "time": f"{found['time']:.3f}"},
            ).marks
            == item.marks
        )
        part = params["rise"] / found["step"] * params["period"] / 1000
        assert (
            judge(
                item, build(item, params), {"step": f"{found['step']:.4f}", "time": f"{part:.4f}"}
            ).marks
            == 2
        )


def test_the_second_route_finds_a_part_of_a_period(monkeypatch):
    monkeypatch.setattr(keys_fluid, "pulses_time", keys_fluid.pulses_time_part)
    call.function_of.cache_clear()
    try:
        assert "fails" in {finding.kind for finding in prove([items()["7-pulses"]])}
    finally:
        monkeypatch.undo()
        call.function_of.cache_clear()


@pytest.mark.parametrize("item", CASES, ids=lambda item: item.id)
def test_no_repair_case_pays_for_a_guess(item):
    """Every draw of every case: enough faults fit, and a right repair without any reading earns
    nothing for evidence and proof.
    """
    drawn = list(fair_draws(item))
    assert len(drawn) == len({(one["vehicle"], one["fault"]) for one in drawn}) == 8
    for params in drawn:
        case = Case(params["fault"], params["vehicle"], mode="graded")
        assert len(case.candidates()) >= LEAST_FITTING, params
        case.acknowledge()
        case.repair(case.fault.place, case.fault.kind, case.fault.why)
        case.clear_memory()
        case.take(
            "T28", (*bench_tests()["T28"].critical, *bench_tests()["T28"].minor), case.symptom
        )
        case.finish()
        found = score(case.log)
        assert found.points["evidence"] == found.points["proof"] == found.points["economy"] == 0.0
        assert found.total < 35.0, (params, dict(found.points))


def test_evidence_needs_a_reading_where_one_fault_alone_fits():
    for asked, points in ((False, 0.0), (True, 0.0)):
        case = Case("tone-ring-missing-tooth", "rear_petrol")
        case.acknowledge()
        if asked:
            case.take("T01")
        case.repair(case.fault.place, case.fault.kind, case.fault.why)
        found = score(case.log)
        assert (
            found.points["evidence"] == found.points["proof"] == points
            and "read" in found.reasons["evidence"]
        )


def test_a_case_that_few_faults_fit_fails_the_proof():
    text = CASE.replace("FAULT", "tone-ring-missing-tooth")
    (finding,) = prove([item_from(text, "LO11")], simulate=False)
    assert finding.kind == "fails" and "only 1 fault fits the complaint" in finding.words


CASE = """
kind = "case"
level = "apply"
minutes = 40
marks = 25
title = "T"
text = "T"
label = "L"
tolerance = "stated"
source = "S"
draws = { car = [ { vehicle = "rear_petrol", fault = "FAULT" } ] }
"""
