"""Points of a repair case: the worked example, every rule of the scheme, and that a log alone gives
them.
"""

import json

import pytest
from assess_answers import last_reading

from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.criteria_search import economy_points, evidence_points, par_minutes
from tractionlab.workshop.case.score import CRITERIA, score
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.faults import fault
from tractionlab.workshop.instruments.setup import Setup
from tractionlab.workshop.tests.base import minutes_of, preparations
from tractionlab.workshop.tests.base import tests as bench_tests

NAME, VEHICLE = "passive-sensor-open-circuit", "rear_petrol"


def needed(test):
    return (*bench_tests()[test].critical, *bench_tests()[test].minor)


def found(tests=None, name=NAME, vehicle=VEHICLE, **repair):
    """A case up to and with the repair."""
    case = Case(name, vehicle)
    case.acknowledge()
    for test in route_to(name, case.symptom, vehicle).tests if tests is None else tests:
        case.take(test, needed(test))
    case.note(last_reading(case))
    case.repair(
        repair.get("place", case.fault.place),
        repair.get("kind", case.fault.kind),
        repair.get("why", case.fault.why),
    )
    return case


def proved(case, again="T10"):
    case.take("T04", needed("T04"))
    case.clear_memory()
    case.take(again, needed(again))
    case.take("T28", needed("T28"), case.symptom)
    case.take("T04", needed("T04"))
    case.note(last_reading(case))
    case.finish()
    return case


def test_the_worked_example():
    """Nine faults fit, seven are excluded; par 40 minutes, 52 used: worked by hand."""
    assert evidence_points(9, 7) == pytest.approx(13.1, abs=0.03) and economy_points(
        40, 52
    ) == pytest.approx(7.0)


def test_the_ends_of_both_scales():
    assert (
        evidence_points(9, 0) == 0.0
        and evidence_points(9, 8) == 15.0
        and evidence_points(1, 0) == 15.0
    )
    assert (
        economy_points(40, 10) == 10.0
        and economy_points(40, 40) == 10.0
        and economy_points(40, 80) == economy_points(40, 200) == 0.0
    )


def test_the_scheme_adds_up():
    assert sum(CRITERIA.values()) == 100


@pytest.mark.parametrize(
    "name, vehicle",
    [
        (NAME, VEHICLE),
        ("yaw-sensor-loose", "front_petrol"),
        ("traction-control-switched-off", "rear_petrol"),
    ],
)
def test_the_method_and_a_whole_proof_earn_everything(name, vehicle):
    telling = {"yaw-sensor-loose": "T05", "traction-control-switched-off": "T03"}.get(name, "T04")
    result = score(proved(found(name=name, vehicle=vehicle), telling).log)
    assert result.total == 100.0, dict(result.reasons)


def test_a_log_alone_gives_the_points():
    case = proved(found())
    log = json.loads(json.dumps(case.log))
    assert score(log) == score(case.log)
    for entry in log:
        for reading in entry.get("readings", ()):
            reading["value"] = 99.0
    assert score(log) == score(case.log), "readings are measured again, not believed"


def test_a_changed_log_does_not_change_the_fault():
    log = json.loads(json.dumps(proved(found()).log))
    log[0]["fault"] = "passive-sensor-lead-chafed-to-body"
    assert score(log).points["fault"] == 0.0 and score(log, NAME, VEHICLE).total == 100.0


def test_luck_is_guarded():
    case = found(tests=("T01",))
    result = score(case.log)
    assert result.points["fault"] == 7.0 and result.points["proof"] == 0.0


def test_right_place_wrong_kind_and_right_circuit():
    assert score(found(kind="erratic").log).points["fault"] == 8.0
    assert score(found(place="sensor lead front left", kind="erratic").log).points["fault"] == 5.0
    assert score(found(place="valve relay", kind="high resistance").log).points["fault"] == 0.0


def test_parts_on_hope_and_hints_cost_five():
    sure = found()
    hopeful = found(place="valve relay", kind="high resistance")
    hopeful.repair(fault(NAME).place, fault(NAME).kind, fault(NAME).why)
    assert [points for _, points in score(hopeful.log).deductions] == [5.0] and not score(
        sure.log
    ).deductions
    asked = Case(NAME, VEHICLE)
    asked.acknowledge()
    assert "T" in asked.hint()
    assert score(asked.log).deductions == (("Hint", 5.0),) and score(asked.log).total == max(
        0.0, sum(score(asked.log).points.values()) - 5.0
    )


def test_an_unsafe_step_ends_with_nothing():
    case = Case(NAME, VEHICLE)
    case.acknowledge()
    case.take("T16", ("eyes",))
    result = score(case.log)
    assert result.total == 0.0 and "without pressure" in result.critical
    assert result.points["safety"] == 0.0 and result.critical in result.reasons["safety"]


def test_minor_omissions_cost_three():
    case = Case(NAME, VEHICLE)
    case.acknowledge()
    case.take("T04")
    case.take("T05", needed("T05"))
    case.stop_honestly(list(case.possible())[:2], "T10")
    assert score(case.log).points["safety"] == 12.0


def test_superfluous_preparations_cost_one_each_but_own_protection_none():
    def prepared_with(*more):
        case = Case(NAME, VEHICLE)
        case.acknowledge()
        case.take("T04", (*needed("T04"), *more))
        case.stop_honestly(list(case.possible())[:2], "T10")
        return score(case.log)

    assert prepared_with("eyes", "hands").points["safety"] == 15.0
    found = prepared_with("rollers", "salt", "isolated")
    assert found.points["safety"] == 12.0 and "does not need" in found.reasons["safety"]
    assert prepared_with(*preparations()).points["safety"] < 5.0


def test_an_honest_stop_earns_half():
    case = Case(NAME, VEHICLE)
    case.acknowledge()
    for test in ("T01", "T02", "T03", "T04"):
        case.take(test, needed(test))
    assert len(case.possible()) <= 2
    case.stop_honestly(list(case.possible()), "T10")
    assert score(case.log).points["fault"] == 7.5 and score(case.log).points["evidence"] >= 11.0


def test_measuring_alone_proves_nothing():
    case = Case(NAME, VEHICLE)
    case.acknowledge()
    for test in ("T01", "T02", "T03", "T04", "T05", "T10"):
        case.take(test, needed(test))
    case.finish()
    result = score(case.log)
    assert {key: points for key, points in result.points.items() if points} == {
        "complaint": 10.0,
        "evidence": 15.0,
    } and result.total == 25.0


def test_a_car_handed_over_as_it_came_earns_nothing():
    case = Case(NAME, VEHICLE)
    case.acknowledge()
    case.finish()
    assert score(case.log).total == 0.0


def test_to_call_a_faulty_car_normal_is_no_result():
    """The same words on a car that is normal are one."""
    wrong, right = (
        found(kind="normal", place="nothing: heat protection of the brakes"),
        found(name="traction-control-switched-off"),
    )
    assert (
        score(wrong.log).points["safety"]
        == score(wrong.log).points["order"]
        == score(wrong.log).points["economy"]
        == 0.0
    )
    assert score(right.log).points["safety"] == 15.0


def test_a_useless_test_costs_only_minutes():
    short, long = (
        score(proved(found()).log),
        score(proved(found(tests=(*route_to(NAME, "at_ignition", VEHICLE).tests, "T18"))).log),
    )
    assert {key for key in CRITERIA if short.points[key] != long.points[key]} <= {
        "economy",
        "order",
    }


def test_par_is_a_good_route_and_half_as_much():
    for name, vehicle in ((NAME, VEHICLE), ("passive-sensor-intermittent-lead", VEHICLE)):
        entry = fault(name)
        factor = 2.0 if entry.kind == "erratic" else 1.0
        assert (
            par_minutes(name, entry.symptoms[0], vehicle, entry.kind)
            == 1.5 * factor * route_to(name, entry.symptoms[0], vehicle).minutes
        )


def test_memory_cleared_before_it_was_read_is_no_proof():
    case = found(tests=("T01", "T02", "T03", "T05", "T10"))
    case.clear_memory()
    case.take("T28", needed("T28"), case.symptom)
    case.take("T04", needed("T04"))
    assert score(case.log).points["verification"] <= 3.0 + 4.0
    assert "memory read, cleared and read again" not in score(case.log).reasons["verification"]


def test_a_quick_guess_is_no_economy():
    """One question and a lucky repair: few minutes that proved nothing earn nothing."""
    guess = score(found(["T01"]).log)
    whole = score(found().log)
    assert guess.points["evidence"] > 0.0 and guess.points["economy"] == 0.0
    assert whole.points["economy"] == 10.0


def test_a_wrong_repair_after_good_tests_keeps_care_but_not_speed_or_proof():
    """The readings told the fault, the learner did not see it, and the car goes out as it came."""
    result = score(found(place="brake fluid").log)
    assert {
        key for key in ("economy", "proof", "fault", "repair", "verification") if result.points[key]
    } == set()
    assert (
        result.points["safety"] == result.points["evidence"] == 15.0
        and result.total < 55.0 < score(found().log).total
    )


def bias(pin, **more):
    """Direct voltage at a pin of the control unit over its ground."""
    return Setup(instrument="volt_dc", points=(("B", "unit.ground"), ("R", f"unit.{pin}")), **more)


def test_a_reading_in_the_wiring_is_evidence_and_costs_its_minutes():
    """One well chosen voltage tells the open sensor from all others, as the row of pins does, and
    takes less time.
    """
    pins, own = found(tests=("T01", "T02", "T03", "T10")), Case(NAME, VEHICLE)
    own.acknowledge()
    for test in ("T01", "T02", "T03"):
        own.take(test, needed(test))
    before, minutes = own.possible(), own.minutes
    taken = own.measure(bias("sensor_fl"))
    assert (
        len(before) > 1
        and own.possible() == (NAME,)
        and taken.readings[0].value == pytest.approx(5.0, abs=0.02)
    )
    assert own.minutes - minutes == minutes_of(bias("sensor_fl")) < bench_tests()["T10"].minutes
    own.note("Pin of front left 4.99 V")
    own.repair(own.fault.place, own.fault.kind, own.fault.why)
    assert score(own.log).points == score(pins.log).points
    assert score(json.loads(json.dumps(own.log))) == score(own.log)
    again = own.measure(bias("sensor_fl"))
    assert again.readings[0].value < 1.0 and score(own.log).points["verification"] == 4.0


def test_a_reading_that_tells_nothing_costs_order():
    def after(pin):
        case = Case(NAME, VEHICLE)
        case.acknowledge()
        for test in ("T01", "T02", "T03", "T05"):
            case.take(test, needed(test))
        case.measure(bias(pin))
        case.repair(case.fault.place, case.fault.kind, case.fault.why)
        return score(case.log)

    assert after("sensor_rl").points["order"] < after("sensor_fl").points["order"]


def test_a_reading_that_means_nothing_excludes_nothing():
    """Resistance at a live pin: the meter shows a number, and it is no evidence."""
    case = Case(NAME, VEHICLE)
    case.acknowledge()
    taken = case.measure(Setup(instrument="ohm", points=bias("sensor_fl").points))
    assert not taken.sound and case.possible() == case.candidates() and case.minutes > 0
