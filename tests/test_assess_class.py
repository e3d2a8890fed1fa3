"""A class of 30 fictitious candidates by scripted policies. Their marks are worked out here by
simple rules of each policy, not by the marking code: tuned settings from the traces of runs, repair
cases from the scheme of the bench, which gives the whole method 100 points."""

import random
import shutil
from collections import Counter

import numpy as np
import pytest
from assess_answers import last_reading
from sittings import Steps, file_of, letter_of, sitting_of

from tractionlab.assess.answers.case_log import case_for, stored
from tractionlab.assess.bank.answer_key import tolerance
from tractionlab.assess.bank.draw import fair_draws
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.markbook import marking, worked_once
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.moderate import answers_of
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import College, Here, Processes
from tractionlab.assess.proof.second_route import route_of
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.assess.sitting.sitting import draw_sitting
from tractionlab.catalogue import entries as catalogue
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import shortest_path
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.workshop.case.technician import route_to
from tractionlab.workshop.tests.base import tests as bench_tests
from tractionlab.written.numbers import UNITS

POLICIES = ("perfect", "commas", "units", "missing_units", "misconceptions", "random", "blank")
NUMBERS = [
    f"{policy}-{n}"
    for policy in POLICIES
    for n in range(5 if policy not in ("blank", "missing_units") else 2)
] + ["perfect-9"]


def key_of(part, drawn, found):
    """The right answer of a field: by the second route of the proof, where there is one, or by the
    key, which worked examples show.
    """
    values = {**drawn.params, **found, "points": part.points}
    if part.key is None:
        return next(option.id for option in part.options if option.right)
    return part.key.run(values, family="second" if route_of(part.key) else "keys")


def foreign_unit(unit):
    """A unit that measures something else."""
    return next(other for other in ("bar", "s", "N") if UNITS[other][0] != UNITS[unit][0])


def answers_and_marks(policy, item, drawn, chance):
    """({field: value}, expected marks) of one item under a policy."""
    given, marks, found = {}, 0.0, {}
    for part, field in zip(item.fields, drawn.fields):
        single = len(item.fields) == 1
        if part.kind == "choice":
            right = found[part.name] = key_of(part, drawn, found)
            options = [option.id for option in part.options]
            chosen = {
                "misconceptions": next(option for option in options if option != right),
                "random": chance.choice(options),
            }.get(policy, right)
            given[part.name] = letter_of(item, drawn, field, chosen)
            marks += part.marks * (chosen == right)
        elif part.kind == "number":
            right = found[part.name] = key_of(part, drawn, found)
            value, share = _number(policy, part, right, drawn, found, single, chance)
            if value is not None:
                given[part.name] = value
            marks += part.marks * share
        elif part.kind == "path":
            way = shortest_path(
                layout(part.layout), *(drawn.params[name] for name in ("mode", "start", "goal"))
            )
            right = "none" if way is None else list(way)
            given[part.name] = [] if policy in ("misconceptions", "random") else right
            marks += part.marks * (policy not in ("misconceptions", "random"))
        elif part.kind == "states":
            wanted = layout(part.layout).modes[drawn.params["mode"]]
            if policy not in ("misconceptions", "random"):
                given[part.name] = {key: wanted[key] for key in part.parts}
                marks += part.marks
        elif part.kind == "sketch":
            curve = key_of(part, drawn, found)
            good = policy not in ("misconceptions", "random")
            low, high = part.y_range
            given[part.name] = (
                [_said(policy, f"{min(max(float(value), low), high):.4f}") for value in curve]
                if good
                else ["nothing"] * len(part.points)
            )
            marks += part.marks * good
        elif part.kind == "tuning":
            given[part.name], marks = tuned(policy, part, drawn, chance)
        elif part.kind == "case":
            log, points = worked(policy, field)
            given[part.name] = Steps(stored(entry, field.car) for entry in log)
            marks = part.marks * points / 100
    return given, round(marks, 2)


def _said(policy, text):
    return text.replace(".", ",") if policy == "commas" else text


def _number(policy, part, right, drawn, found, single, chance):
    """(what is typed or None, share of the marks)."""
    text = f"{right:.7g}"
    plain = part.unit in ("1", "times", "steps", "%")
    if policy in ("misconceptions", "random") and not single:
        return None, 0.0
    if policy == "misconceptions":
        wrong = next((trap.key.run({**drawn.params, **found}) for trap in part.traps), 1e6)
        return (f"{wrong:.7g} {part.unit}" if part.unit_asked else f"{wrong:.7g}"), _by_hand(
            part, wrong, right
        )
    if policy == "random":
        wrong = right * chance.uniform(2.1, 2.9) + 5 * tolerance(part, right)
        return (f"{wrong:.7g} {part.unit}" if part.unit_asked else f"{wrong:.7g}"), 0.0
    if policy == "units" and not plain:
        return f"{text} {foreign_unit(part.unit)}", 0.5
    if policy == "missing_units":
        return text, 0.8 if part.unit_asked else 1.0
    return _said(policy, text) + (f" {part.unit}" if part.unit_asked else ""), 1.0


def _by_hand(part, wrong, right):
    """A wrong idea is wrong, unless its number is the right one in another unit: then it is a wrong
    unit, half the marks.
    """
    sizes = [size for quantity, size in UNITS.values() if quantity == UNITS[part.unit][0]]
    own = UNITS[part.unit][1]
    return (
        0.5
        if any(
            abs(wrong * size / own - right) <= tolerance(part, right)
            for size in sizes
            if size != own
        )
        and part.unit != "%"
        else 0.0
    )


def tuned(policy, part, drawn, chance):
    """(settings as typed, expected marks): the course's own, the same with foreign units, the least
    pressure, or any.
    """
    own = {row["name"]: catalogue.in_use().control_values()[row["name"]] for row in part.settings}
    chosen = {
        "misconceptions": {row["name"]: row["low"] for row in part.settings},
        "random": {
            row["name"]: round(chance.uniform(row["low"], row["high"]), 2) for row in part.settings
        },
    }.get(policy, own)
    typed = {
        name: _said(policy, f"{value:g}") + (" s" if policy == "units" else "")
        for name, value in chosen.items()
    }
    return typed, (
        0.0
        if policy == "units"
        else float(
            demands_met(drawn.params, {name: float(f"{value:g}") for name, value in chosen.items()})
        )
    )


def demands_met(p, settings):
    """Of the four demands of the item in this paper: on one-sided ice flat and uphill, share of
    grip and mean slip of the driven (front) wheels.
    """
    met = 0
    for left, right, slope in (("ice", "wet_asphalt", 0.0), ("wet_asphalt", "ice", p["slope"])):
        run = simulate(
            Scenario(
                vehicle=p["vehicle"],
                left=left,
                right=right,
                pedal_percent=p["pedal"],
                slope_percent=slope,
                duration_s=5.0,
                settings=settings,
            )
        )
        pulling = run.time >= 0.2
        front = run.drive_force[pulling, :2].sum() / run.grip_limit[pulling, :2].sum()
        turning = run.wheel_speed[pulling, :2] * _TYRE_M * 3.6 > 1.0
        met += int(front >= p["least"]) + int(
            np.where(turning, abs(run.slip[pulling, :2]), 0.0).max(axis=1).mean() <= p["most"]
        )
    return met


_TYRE_M = 0.305  # of the front-drive petrol car


def worked(policy, field):
    """(log of a repair case, expected points of 100): the method with a whole proof is worth 100. A
    part on hope costs 5, a hint 5, notes without units 4; a step without its safety preparation
    leaves nothing."""
    case = case_for(field)

    def take(test, condition=""):
        case.take(test, (*bench_tests()[test].critical, *bench_tests()[test].minor), condition)

    case.acknowledge()
    if policy == "misconceptions":
        case.take("T06", ())
        return case.log, 0.0
    for _ in range(2 * (policy == "random")):
        case.hint()
    route = route_to(case.fault.id, case.symptom, case.vehicle).tests
    for test in route:
        take(test)
    units = policy != "missing_units"
    case.note(last_reading(case, units))
    if policy == "units":
        wrong = next(place for place in case.places() if place != case.fault.place)
        case.repair(wrong, "high resistance", "wear")
    case.repair(case.fault.place, case.fault.kind, case.fault.why)
    case.clear_memory()
    for test in dict.fromkeys((*route, "T04")):
        take(test)
    take("T28", case.symptom)
    take("T04")
    case.note(last_reading(case, units))
    case.finish()
    return case.log, 100.0 - {"units": 5.0, "random": 10.0, "missing_units": 4.0}.get(policy, 0.0)


@pytest.fixture(scope="module")
def school(tmp_path_factory):
    """(sitting, {number: {item: expected marks}}, folder of answer files)."""
    paper = find_paper("graded_1")
    sitting = draw_sitting(
        paper, [Candidate(number, number) for number in NUMBERS], day="2026-03-02"
    )
    folder, expected = tmp_path_factory.mktemp("class"), {}
    for number in NUMBERS:
        policy, chance = number.split("-")[0], random.Random(number)
        rows, expected[number] = [], {}
        for name in paper.items:
            item = items()[name]
            if item.kind == "checklist":
                continue
            drawn = sitting.variant(item, number)
            given, marks = (
                ({}, 0.0) if policy == "blank" else answers_and_marks(policy, item, drawn, chance)
            )
            rows += [(name, field, value) for field, value in given.items()]
            expected[number][name] = marks
        (folder / f"{number}.jsonl").write_bytes(file_of(sitting, number, rows))
    return sitting, expected, folder


def marked(school, store, pool):
    told = mark_folder(school[2], school[0], store, pool)
    pool.close()
    book = open_book(store)
    return (
        told,
        {
            number: {item: row.marks for item, row in rows.items()}
            for number, rows in book.marks.items()
        },
        book,
    )


@pytest.fixture(scope="module")
def here(school, tmp_path_factory):
    store = Store(str(tmp_path_factory.mktemp("store") / "m.sqlite"))
    yield marked(school, store, Here())
    store.close()


def test_there_are_thirty(school):
    assert len(NUMBERS) == 30 and {number.split("-")[0] for number in NUMBERS} == set(POLICIES)


def test_every_mark_is_the_one_worked_out_by_hand(school, here):
    told, found, _ = here
    assert told.counts["counted"] == len(NUMBERS) and not told.absent
    for number, rows in school[1].items():
        wrong = {
            item: (found[number][item], marks)
            for item, marks in rows.items()
            if found[number][item] != pytest.approx(marks, abs=0.006)
        }
        assert not wrong, (number, wrong)


def test_policies_end_where_they_should(here):
    _, found, book = here
    assert all(sum(found[number].values()) == 0 for number in NUMBERS if number.startswith("blank"))
    best = {
        sum(found[number].values())
        for number in NUMBERS
        if number.startswith(("perfect", "commas"))
    }
    assert best == {
        sum(
            items()[name].marks
            for name in book.sitting.paper["items"]
            if items()[name].kind != "checklist"
        )
    }
    assert len(best) == 1 and all(sum(rows.values()) <= max(best) for rows in found.values())
    assert {book.status(number) for number in NUMBERS} == {"marked"}


def test_two_processes_give_the_same_bits(school, here, tmp_path, monkeypatch):
    """One of each policy."""
    monkeypatch.setattr(marking, "BATCH", 4)
    sitting, expected, folder = school
    some = [number for number in NUMBERS if number.endswith("-0")]
    (tmp_path / "class").mkdir()
    for number in some:
        shutil.copy(folder / f"{number}.jsonl", tmp_path / "class")
    store = Store(str(tmp_path / "m.sqlite"))
    found = marked((sitting, expected, tmp_path / "class"), store, Processes(2))[1]
    assert found == {number: here[1][number] for number in some}
    store.close()


def test_a_dask_scheduler_gives_the_same_bits(school, here, tmp_path):
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None
    ) as cluster:
        store = Store(str(tmp_path / "m.sqlite"))
        assert marked(school, store, College(cluster.scheduler_address))[1] == here[1]
        store.close()


def test_each_distinct_scenario_runs_once_over_the_class(tmp_path, monkeypatch):
    tuning = next(item for item in items().values() if item.kind == "tuning")
    (part,) = tuning.fields
    sitting = sitting_of([tuning.id], [str(n) for n in range(4)])
    for number, share in (("0", 0.5), ("1", 0.5), ("2", 0.25), ("3", 0.5)):
        value = {
            row["name"]: f"{row['low'] + share * (row['high'] - row['low']):.3f}".replace(".", ",")
            for row in part.settings
        }
        (tmp_path / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, [(tuning.id, part.name, value)])
        )
    ran, batch = Counter(), worked_once.run_batch

    def counted(scenarios):
        ran.update(scenario.key for scenario in scenarios)
        return batch(scenarios)

    monkeypatch.setattr(worked_once, "run_batch", counted)
    monkeypatch.setattr(marking, "BATCH", 1)
    store = (
        Store(str(tmp_path / "book" / "m.sqlite")) if (tmp_path / "book").mkdir() is None else None
    )
    mark_folder(tmp_path, sitting, store, Here())
    store.close()
    assert ran and set(ran.values()) == {1}
    store = Store(str(tmp_path / "book" / "m.sqlite"))
    book = open_book(store)
    for number in sitting.candidates:
        alone = judge(tuning, sitting.variant(tuning, number), answers_of(book, number)[tuning.id])
        assert book.marks[number][tuning.id].marks == alone.marks
    store.close()


def test_each_distinct_case_is_replayed_once_with_those_of_its_complaint(tmp_path, monkeypatch):
    case = next(item for item in items().values() if item.kind == "case")
    more_than_draws = range(sum(1 for _ in fair_draws(case)) + 1)
    sitting = sitting_of([case.id], [str(n) for n in more_than_draws])
    for number in sitting.candidates:
        field = sitting.variant(case, number).fields[0]
        bench = case_for(field)
        bench.acknowledge()
        steps = Steps(stored(entry, field.car) for entry in bench.log)
        (tmp_path / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, [(case.id, case.fields[0].name, steps)])
        )
    replayed, batch = Counter(), worked_once.replay_batch

    def counted(logs):
        replayed.update(log[0]["fault"] for log in logs)
        assert len({(log[0]["symptom"], log[0]["vehicle"]) for log in logs}) == 1
        return batch(logs)

    monkeypatch.setattr(worked_once, "replay_batch", counted)
    monkeypatch.setattr(marking, "BATCH", 2)
    (tmp_path / "book").mkdir()
    store = Store(str(tmp_path / "book" / "m.sqlite"))
    mark_folder(tmp_path, sitting, store, Here())
    faults = {sitting.variant(case, number).params["fault"] for number in sitting.candidates}
    assert replayed == dict.fromkeys(faults, 1) and len(faults) < len(sitting.candidates)
    store.close()
