"""A repair case keeps what was done in it; gate and exact fault come from the case as replayed."""

import pytest
from sittings import Steps, clock, file_of, lines_of, paper_of, sitting_of, written

from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers.case_log import case_for, stored
from tractionlab.assess.bank.draw import variant
from tractionlab.assess.bank.item import items
from tractionlab.assess.desk.desk import Desk
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.markbook.worked_once import mark_alone
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.score import score
from tractionlab.workshop.fault_entry import KINDS, WHYS
from tractionlab.workshop.faults import symptoms
from tractionlab.written.line_file import Strange

ITEM = "11-case-lead"


@pytest.fixture(scope="module")
def sitting():
    return sitting_of([ITEM], ["1"])


@pytest.fixture
def folder(tmp_path):
    """A candidate's folder with one repair case."""
    issue(paper_of([ITEM]), [Candidate("007", "A")], tmp_path / "out")
    return tmp_path / "out" / "candidates" / "candidate_007"


def opened_desk(folder):
    """(Desk, what it told the browser, the bench of its case)"""
    desk, told = Desk(folder), []
    desk.send = lambda message, buffers=None: told.append(message)
    desk.start()
    desk.open_item(ITEM)
    return desk, told, desk.bench.children[0].children[0]


def issued(sitting):
    """The field of the case as issued to candidate 1."""
    return sitting.variant(items()[ITEM], "1").fields[0]


def steps(case, field):
    return [stored(entry, field.car) for entry in case.log]


def unsafe(field):
    """A case that ended at an unsafe test."""
    case = case_for(field)
    case.acknowledge()
    case.take("T06", ())
    return case


def repaired(field, *others):
    """A case repaired at other places and kinds first, then rightly."""
    case = case_for(field)
    case.acknowledge()
    for place, kind in (*others, (case.fault.place, case.fault.kind)):
        case.repair(place, kind, case.fault.why)
    case.finish()
    return case


def row(sitting, log):
    """(status, codes of findings, marks, gate, exact) of a file with this log."""
    marked = mark_alone(sitting, "f", file_of(sitting, "1", [(ITEM, "answer", Steps(log))]))
    got, _, _, gate, exact = marked.result[ITEM]
    return marked.status, codes_of(marked), got, gate, exact


def codes_of(marked):
    return [finding.code for finding in marked.findings]


def test_a_saved_answer_does_not_wipe_a_case(folder):
    desk, told, bench = opened_desk(folder)
    bench.command("cautions")
    bench.command("test", test="T06", prepared=())
    kept = desk.file.reading.answers()[ITEM]["answer"]
    assert kept[-1]["do"] == "stopped"
    desk.save(ITEM, "answer", "", ask=5)
    words = (
        "Not saved: your answer is for a repair case, of which only the steps at its bench are"
        " kept."
    )
    assert told[-1] == {"kind": "refused", "ask": 5, "words": words, "odd": True}
    with pytest.raises(Strange, match="repair case"):
        desk.file.add("answer", item=ITEM, field="answer", value=[])
    assert desk.file.reading.answers()[ITEM]["answer"] == kept
    *_, again = opened_desk(folder)
    assert again.case.stopped


def test_an_answer_line_for_a_case_holds_the_file_and_brings_nothing_back(sitting):
    field = issued(sitting)
    first, second = steps(unsafe(field), field), steps(repaired(field), field)
    for value in ("", [], second):
        rows = [(ITEM, "answer", part) for part in (Steps(first), value, Steps(second))]
        marked = mark_alone(sitting, "f", written(lines_of(sitting, "1", rows), sitting.seal("1")))
        assert marked.status == "held" and codes_of(marked) == ["wrong_kind"]
        got, _, _, gate, exact = marked.result[ITEM]
        assert (got, gate, exact) == (0, 0, 0), "what stood before it is judged: the unsafe step"


def test_a_step_of_a_case_where_none_is_asked_holds_the_file():
    sitting = sitting_of(["1-push-rear"], ["1"])
    field = next(iter(sitting.fields["1-push-rear"]))
    lines = lines_of(sitting, "1", [])
    lines.insert(1, ("case", {"item": "1-push-rear", "field": field, "entry": {"do": "start"}}))
    assert codes_of(mark_alone(sitting, "f", written(lines, sitting.seal("1")))) == ["wrong_kind"]


@pytest.mark.parametrize(
    "more",
    [{"do": "cautions"}, {"do": "note", "text": "5.0 V"}, {"do": "explode"}, {"do": "start"}],
)
def test_a_log_that_goes_on_after_its_end_fails_the_gate_and_waits(sitting, more):
    field = issued(sitting)
    fault = case_for(field).fault
    right = {"do": "repair", "place": fault.place, "kind": fault.kind, "why": fault.why}
    status, codes, got, gate, exact = row(sitting, [*steps(unsafe(field), field), more, right])
    assert (status, codes, got, gate, exact) == ("held", ["strange_case"], 0, 0, 0)
    honest = row(sitting, steps(unsafe(field), field))
    assert honest[:4] == ("counted", [], 0, 0), "an unsafe step alone is no reason to hold"


def test_a_case_of_another_car_or_symptom_counts_nothing_and_waits(sitting):
    field = issued(sitting)
    log = steps(repaired(field), field)
    foreign = next(name for name in symptoms() if name not in case_for(field).fault.symptoms[:1])
    for start in (
        {"car": "0" * 16},
        {"vehicle": "front_electric"},
        {"mode": "practice"},
        {"symptom": foreign},
        {"do": "begin"},
    ):
        status, codes, got, gate, exact = row(sitting, [{**log[0], **start}, *log[1:]])
        assert (status, codes, got, gate, exact) == ("held", ["strange_case"], 0, 0, 0), start


def test_the_last_repair_says_whether_the_fault_was_found(sitting):
    field = issued(sitting)
    fault, places = case_for(field).fault, case_for(field).places()
    other = next(place for place in places if place != fault.place)
    assert row(sitting, steps(repaired(field), field))[3:] == (1, 1)
    seen = repaired(field, (other, fault.kind))
    assert row(sitting, steps(seen, field))[4] == 1, "a mistake that was seen"
    case = repaired(field)
    case.finished = False
    case.repair(other, fault.kind, fault.why)
    assert row(sitting, steps(case, field))[4] == 0, "the last one holds"
    every_place = [(place, fault.kind) for place in places]
    every_kind = [(fault.place, kind) for kind in KINDS if kind not in (fault.kind, "normal")]
    for others in (every_place, every_kind):
        assert row(sitting, steps(repaired(field, *others), field))[2:] == (0, 1, 0)


def test_each_further_repair_of_the_same_place_costs(sitting):
    fault = case_for(issued(sitting)).fault
    case = Case(fault.id, case_for(issued(sitting)).vehicle)
    case.acknowledge()
    for why in WHYS:
        case.repair(fault.place, fault.kind, why)
    further = (f"Repaired once more: {fault.place}", 5.0)
    assert score(case.log).deductions == (further,) * (len(WHYS) - 1)


def test_a_case_counts_up_to_its_first_late_step(sitting):
    """With the clock put on and back no step, such as an unsafe one, falls out of the middle."""
    field = issued(sitting)
    safe, wrong = steps(repaired(field), field), steps(unsafe(field), field)
    entries = [*wrong[:2], wrong[2], *safe[2:]]
    late, last, raw = 2, sitting.seal("1"), []
    lines = lines_of(sitting, "1", [(ITEM, "answer", Steps(entries))])
    for n, (kind, content) in enumerate(lines):
        time = clock(9000 if n == 1 + late else 20 * n)
        line, last = answer_line.make(n, kind, last, time=time, **content)
        raw.append(line)
    marked = mark_alone(sitting, "f", b"".join(raw))
    assert marked.result[ITEM][0] == 0 and marked.result[ITEM][4] == 0
    assert "clock_set_back" in codes_of(marked) and marked.status == "held"


def test_a_bench_whose_steps_cannot_be_gone_on_with_says_so(folder):
    desk, *_ = opened_desk(folder)
    desk._keep_step(ITEM, "answer", {"do": "start"})
    desk._keep_step(ITEM, "answer", {"do": "explode"})
    fresh = Desk(folder)
    fresh.open_item(ITEM)
    shown = fresh.bench.children[0].value
    assert "Tell the supervisor" in shown and "role='alert'" in shown


def test_a_judged_log_says_what_is_strange_and_an_empty_case_fails_no_gate():
    item = items()[ITEM]
    drawn = variant(item, "k", "c")
    assert judge(item, drawn, {}).safe is None and judge(item, drawn, {}).strange == ""
    assert "log of another case" in judge(item, drawn, {"answer": [{"do": "start"}]}).strange
