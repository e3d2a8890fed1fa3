"""Second marking from its sheets, and a repair case told as it went."""

import csv
import re

import pytest
from assess_answers import perfect_rows
from sittings import Steps, file_of, sitting_of

from tractionlab.assess.answers.case_log import case_for, stored
from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import state
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.case_line import time_line
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.cli.main import main
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.instruments.setup import Setup
from tractionlab.workshop.tests.base import tests as bench

CASE = "11-case-lead"


def first(wanted):
    return next(item for item in items().values() if wanted(item) and not item.spare)


PICTURE = first(lambda item: item.figure and item.kind == "waveform")
SKETCH, PATH, STATES, PRACTICAL = (
    first(lambda item, kind=kind: item.kind == kind)
    for kind in ("sketch", "path", "states", "checklist")
)
PIN = Setup(instrument="volt_dc", points=(("B", "battery.minus"), ("R", "battery.plus")))
ASKED = [PICTURE.id, SKETCH.id, PATH.id, STATES.id, CASE, PRACTICAL.id]


def worked(sitting):
    """A case with a test, a reading in the wiring, a note and a repair; and its kept log."""
    field = sitting.variant(items()[CASE], "7").fields[0]
    case = case_for(field)
    case.acknowledge()
    case.take("T01", ())
    case.take("T06", (*bench()["T06"].critical, *bench()["T06"].minor))
    case.measure(PIN)
    case.note("Both leads looked at: chafed at the bush")
    case.repair(case.fault.place, case.fault.kind, case.fault.why)
    case.finish()
    return case, Steps(stored(entry, field.car) for entry in case.log)


@pytest.fixture(scope="module")
def sat(tmp_path_factory):
    """(folder with the markbook, sitting, case): one candidate, all right but the path."""
    folder = tmp_path_factory.mktemp("second")
    sitting = sitting_of(ASKED, ["7"])
    case, log = worked(sitting)
    rows = [
        (name, field, ["nowhere"] if name == PATH.id else value)
        for name, field, value in perfect_rows(sitting, "7", ASKED[:4])
    ]
    (folder / "in").mkdir()
    (folder / "in" / "7.jsonl").write_bytes(
        file_of(sitting, "7", [*rows, (CASE, "answer", log)], step=60)
    )
    store = Store(str(folder / "m.sqlite"))
    mark_folder(folder / "in", sitting, store, Here())
    store.close()
    return folder, sitting, case


def run(folder, *words):
    return main(["markbook", *words, "--store", str(folder / "m.sqlite")])


def test_second_marks_can_be_given_from_the_sheet_alone(sat, capsys):
    folder, sitting, case = sat
    run(folder, "second", "--out", str(folder / "out"))
    page = (folder / "out" / "second_7.html").read_text("utf-8")
    assert (folder / "out" / "second_7.pdf").read_bytes().startswith(b"%PDF")
    words = re.sub(r"<[^>]+>", " ", page)
    assert "Person 7" not in page and "The rules" in page and f"Sitting {sitting.id}" in page
    assert page.count("<img") == 3, "picture of the signal, computed curve, the candidate's curve"
    assert "The candidate&#x27;s curve" in page and "By the rules" in page
    assert '{"' not in words and "&quot;:" not in words, "no raw data"
    reading = next(
        reading
        for entry in case.log
        if entry.get("test") == "T06"
        for reading in entry["readings"]
        if isinstance(reading["value"], float)
    )
    assert "The case as it went" in page and reading["name"] in page
    assert f"T06 {bench()['T06'].name}" in words and "Before it: " in words
    assert "chafed at the bush" in words and f"Repaired: {case.fault.place}" in words
    assert f"The fault: {case.fault.place}" in words
    rows = list(csv.reader((folder / "out" / "second_marks.csv").open(newline="")))
    assert [row[1] for row in rows[1:]] == ASKED[:-1], "nobody marks a practical afterwards"


def test_the_replay_tells_the_case_as_it_went(sat, capsys):
    folder, _, case = sat
    run(folder, "show", "7", "--replay")
    told = capsys.readouterr().out
    assert '{"' not in told and "'do'" not in told
    replay = told[told.index("09:00:00 start") :]
    assert f"The customer says: {case.complaint}" in replay
    order = [
        "Cautions read",
        "T01 ",
        "T06 ",
        "Measured in the wiring: ",
        "Note: Both leads",
        "Repaired: ",
        "Car handed over",
    ]
    places = [replay.index(words) for words in order]
    assert places == sorted(places)
    values = [reading["name"] for entry in case.log for reading in entry.get("readings", ())]
    assert len(values) > 3 and all(f"{name}: " in replay for name in values)


def test_a_reading_in_the_wiring_a_stop_and_a_broken_log_are_told(sat):
    _, sitting, _ = sat
    drawn = sitting.variant(items()[CASE], "7")
    field = drawn.fields[0]

    def told(case, *more):
        log = [*(stored(entry, field.car) for entry in case.log), *more]
        return time_line(drawn, field, log)

    fault = case_for(field).fault.id
    case = Case(fault, field.vehicle, mode="graded")
    case.acknowledge()
    case.take("T06", ())
    assert "unsafe, stopped" in told(case)[-1][1] and case.stopped in told(case)[-1][1]
    honest = Case(fault, field.vehicle, mode="graded")
    honest.acknowledge()
    honest.stop_honestly([fault], "T08")
    assert f"Left: {honest.fault.place}; next would be T08" in told(honest)[-1][1]
    for odd in ({"do": "explode"}, {"do": "test"}, 5, None):
        assert "cannot be done again" in told(honest, odd)[-1][1]
    assert time_line(drawn, field, "text") == [] and time_line(drawn, field, [3])


def test_feedback_and_record_say_how_it_was_done(sat, capsys):
    folder, sitting, case = sat
    by = ("--by", "A. Assessor")
    steps = [step["id"] for part in PRACTICAL.fields for step in part.steps]
    run(folder, "observe", "7", PRACTICAL.id, *by, "--done", *steps)
    run(folder, "change", "7", PATH.id, "1", *by, "--reason", "half a way")
    run(folder, "time", "7", "--minutes", "12", *by, "--reason", "power cut")
    (folder / "b.csv").write_text(f"candidate,item,marks\n7,{PATH.id},0\n7,{STATES.id},0\n")
    run(folder, "second", "--enter", str(folder / "b.csv"), "--by", "B. Second")
    store = Store(str(folder / "m.sqlite"))
    state.release(open_book(store), "A. Assessor")
    store.close()
    run(folder, "report", "--out", str(folder / "r"))
    pages = folder / "r" / sitting.id
    feedback, record = (
        re.sub(r"<[^>]+>", " ", (pages / f"{name}.html").read_text("utf-8"))
        for name in ("feedback_7", "assessors_record")
    )
    assert re.search(r"started 09:00, handed in (09|10):\d\d", feedback)
    assert re.search(r"started 09:00, handed in (09|10):\d\d", record)
    assert "12 min of lost time given back" in feedback and "12 min of lost" in record
    title = sitting.variant(PATH, "7").title
    assert f"Marks that a person set: {title}, {PRACTICAL.title}" in feedback
    assert f"7 {PATH.id}" in record and "half a way" in record
    for page in (feedback, record):
        assert "B. Second marked 2 items once more: 0 against" in page
        assert f"they differ in {PATH.id}, {STATES.id}" in page.replace(
            f"{STATES.id}, {PATH.id}", f"{PATH.id}, {STATES.id}"
        )
    assert "A right answer" in feedback and f"{case.fault.place}, " in feedback
