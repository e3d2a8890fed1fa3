"""Decisions of the control unit: their words fit their numbers, and they say all that the valves
do.
"""

import re
from types import SimpleNamespace

import numpy as np
import pytest

from tractionlab import Scenario, simulate
from tractionlab.catalogue.reasons import reason_words
from tractionlab.cli import explained
from tractionlab.control import phases as p
from tractionlab.control import settings as s
from tractionlab.physics.brake import FOLLOW_PEDAL
from tractionlab.run.decisions import TORQUE, decisions

WORDS = reason_words()


def orders_of(found, wheel, rows, cycle):
    """The orders (rows,) of a wheel's valves that follow from its decisions alone."""
    orders = np.full(rows, FOLLOW_PEDAL)
    for one in found:
        if one.subject != wheel:
            continue
        orders[one.row :] = FOLLOW_PEDAL if one.order == "follow" else 0.0
        left, row = one.duration / cycle, one.row
        while left > 1e-9:
            orders[row] = min(1.0, left) * (1.0 if one.order == "up" else -1.0)
            left, row = left - 1.0, row + 1
    return orders


def random_unit(seed):
    """A control unit that decides by lot, and notes it."""
    lot = np.random.default_rng(seed)
    left, sign = np.zeros(4), np.ones(4)

    def control(time, sensors, outputs):
        outputs[s.ASK_PLATE], outputs[s.ASK_IGNITION] = lot.choice([1.0, 0.5], 2)
        for i in range(4):
            if lot.random() < 0.1:
                outputs[s.TELL_PHASE + i] = lot.integers(len(WORDS.wheel_phases))
                outputs[s.TELL_REASON + i] = lot.integers(1, len(WORDS.reasons))
                outputs[s.TELL_SEEN + i], outputs[s.TELL_LIMIT + i] = lot.normal(0.0, 30.0, 2)
                left[i], sign[i] = lot.choice([0.0, 0.2, 0.8, 3.3, 5.0]), lot.choice([-1.0, 1.0])
            free = outputs[s.TELL_PHASE + i] == p.FREE
            outputs[s.ASK_VALVES + i] = FOLLOW_PEDAL if free else sign[i] * min(1.0, left[i])
            left[i] = max(0.0, left[i] - 1.0)
        if lot.random() < 0.1:
            outputs[s.TELL_TORQUE_PHASE] = lot.integers(len(WORDS.torque_phases))
            outputs[s.TELL_TORQUE_REASON] = lot.integers(1, len(WORDS.reasons))
            outputs[s.TELL_TORQUE_SEEN], outputs[s.TELL_TORQUE_LIMIT] = lot.normal(0.0, 30.0, 2)
            outputs[s.ASK_TORQUE] = lot.normal(100.0, 30.0)

    return control


@pytest.fixture(scope="module")
def by_lot():
    """Runs of cars whose unit decides by lot."""
    return [
        simulate(Scenario(vehicle=car, left="ice", duration_s=2), controller=random_unit(seed))
        for seed, car in enumerate(("front_petrol", "rear_petrol", "front_electric"))
    ]


def test_the_words_stand_in_the_order_of_the_numbers():
    names = {
        "wheel_phases": ("FREE", "LET_GO"),
        "torque_phases": ("DRIVER", "DRAG"),
        "reasons": ("NOTHING", "CLUTCH_OPEN"),
    }
    for table, (first, last) in names.items():
        rows = getattr(WORDS, table)
        assert [getattr(p, row.key) for row in rows] == list(range(len(rows)))
        assert (rows[0].key, rows[-1].key) == (first, last)


def test_phases_are_told_apart_without_colour():
    kinds = [*WORDS.wheel_phases[1:], *WORDS.torque_phases[1:]]
    assert all(kind.letter for kind in kinds)
    patterns = {(kind.letter, kind.pattern) for kind in kinds}
    assert len({letter for letter, _ in patterns}) == len(patterns)
    for table in (WORDS.wheel_phases[1:5], WORDS.wheel_phases[5:], WORDS.torque_phases):
        assert len({phase.letter for phase in table}) == len(table)


def test_each_reason_with_a_unit_says_what_was_seen():
    for reason in WORDS.reasons:
        assert bool(reason.unit) == ("{seen}" in reason.sentence), reason.key


def test_the_valves_do_what_the_decisions_say_and_nothing_else(by_lot):
    for trace in by_lot:
        found, cycle = decisions(trace), trace.time[1] - trace.time[0]
        for wheel in range(4):
            orders = orders_of(found, wheel, len(trace), cycle)
            assert orders == pytest.approx(trace.valve_mode[:, wheel], abs=1e-9)


def test_every_change_that_the_unit_noted_is_a_decision_in_order_of_time(by_lot):
    for trace in by_lot:
        found = decisions(trace)
        assert [one.row for one in found] == sorted(one.row for one in found)
        for name, subjects in (("phase", range(4)), ("torque_phase", [TORQUE])):
            noted = trace[name].reshape(len(trace), -1)
            for column, subject in enumerate(subjects):
                told = np.zeros(len(trace))
                for one in found:
                    if one.subject == subject:
                        assert told[one.row] == one.before
                        told[one.row :] = one.after
                assert (told == noted[:, column]).all()


def test_a_sentence_has_the_numbers_of_the_trace_and_no_others(by_lot):
    for trace in by_lot:
        found = decisions(trace)
        for one in (found[n] for n in np.random.default_rng(3).choice(len(found), 50)):
            values = [trace.time[one.row]]
            seen, limit = (
                (trace.torque_seen, trace.torque_limit)
                if one.subject == TORQUE
                else (trace.reason_seen[:, one.subject], trace.reason_limit[:, one.subject])
            )
            per_unit = {"km/h": 3.6, "bar": 1e-5, "ms": 1e3}.get(one.why.unit, 1.0)
            for name, value in (("{seen}", seen), ("{limit}", limit)):
                if name in one.why.sentence:
                    values.append(value[one.row] * per_unit)
            if " (seen at " in one.sentence:
                values.append(one.noted)
            if one.order in ("up", "down"):
                values.append(1e3 * one.duration)
            if one.subject == TORQUE and "{torque}" in one.phase.so:
                values.append(trace.torque_request[one.row])
            said = one.sentence.replace("\u2212", "-").replace("m/s²", "")
            numbers = [float(text) for text in re.findall(r"-?\d+(?:\.\d+)?", said)]
            assert sorted(numbers) == pytest.approx(sorted(values), abs=0.51)
            assert one.who in said and not re.search(r"[{}]", said)


def test_a_known_decision_reads_as_a_person_would_say_it():
    def control(time, sensors, outputs):
        if time >= 0.24:
            outputs[s.TELL_PHASE + 2], outputs[s.TELL_REASON + 2] = p.BUILD_UP, p.SPINS
            outputs[s.TELL_SEEN + 2], outputs[s.TELL_LIMIT + 2] = 14.1 / 3.6, 11.4 / 3.6
            outputs[s.ASK_VALVES + 2] = 0.8 if time < 0.245 else 0.0
            outputs[s.TELL_TORQUE_PHASE], outputs[s.TELL_TORQUE_REASON] = p.CUT, p.CUT_TO_ROAD
            outputs[s.TELL_TORQUE_SEEN], outputs[s.TELL_TORQUE_LIMIT] = 148.0, 92.0
            outputs[s.ASK_TORQUE], outputs[s.ASK_PLATE], outputs[s.ASK_IGNITION] = 74.0, 0.3, 0.6

    trace = simulate(Scenario(duration_s=1), controller=control)
    assert [one.sentence for one in decisions(trace)] == [
        "0.24 s, rear left: 14.1 km/h where the limit is 11.4 km/h, so pressure goes up by one step"
        " of 8 ms.",
        "0.24 s, torque: the driver asks for 148 N m, the road takes 92 N m, so torque is cut to"
        " 74 N m, by ignition and throttle.",
    ]
    assert "rear left  follows the pedal > increase" in explained.table(trace)


def test_table_and_file_hold_every_decision(by_lot, tmp_path):
    trace = by_lot[0]
    found = decisions(trace)
    explained.write(trace, tmp_path / "d.csv")
    lines = (tmp_path / "d.csv").read_text(encoding="utf-8").splitlines()
    assert len(lines) == 1 + len(found) and lines[0].startswith("time [s],who,phase before,phase")
    assert all(one.sentence in line for one, line in zip(found, lines[1:]))
    assert all(one.because in explained.table(trace) for one in found[:100])


def test_a_unit_that_decides_nothing_says_so():
    trace = simulate(Scenario(duration_s=1), controller=lambda time, sensors, outputs: None)
    assert decisions(trace) == []
    assert explained.table(trace).startswith("The control unit decided nothing")


def test_explain_is_for_one_run(tmp_path):
    from tractionlab.cli.run import main
    from tractionlab.errors import UserError

    file = tmp_path / "a.toml"
    file.write_text('vehicle = "rear_petrol"\n')
    with pytest.raises(UserError, match="--explain tells of one run"):
        main(SimpleNamespace(scenario=str(file), sweep=[1], explain=True))
