"""The markbook: history, held files, observation, moderation, release, statistics, resit,
questions, exports, deletion; on SQLite and PostgreSQL.
"""

import csv
import json
import re
import sqlite3
import threading
import time
import zipfile
from xml.etree import ElementTree

import numpy as np
import postgres
import pytest
import sqlalchemy as sa
from sittings import file_of, ids_of, lines_of, paper_of, right_answers, sitting_of, written
from sqlalchemy.dialects import sqlite
from sqlalchemy.schema import CreateTable

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import read_paper
from tractionlab.assess.markbook import (
    amend,
    appeals,
    export,
    given_time,
    held,
    item_statistics,
    moderate,
    personal_data,
    resit,
    second_sheets,
    similarity,
    state,
)
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.reports.assessors_record import record
from tractionlab.assess.markbook.reports.feedback import feedback
from tractionlab.assess.markbook.reports.write import write
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.cli.main import main
from tractionlab.errors import UserError
from tractionlab.paint.document import Document

NUMBERS = [f"c{n:02d}" for n in range(24)]
PRACTICAL = next(
    item.id
    for item in items().values()
    if item.kind == "checklist"
    and any(step.get("gate") for part in item.fields for step in part.steps)
)


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    if not postgres.can_run():
        pytest.skip("no PostgreSQL on this machine")
    pytest.importorskip("psycopg")
    running = postgres.Server(tmp_path_factory.mktemp("pg") / "server").wait()
    yield running
    running.stop()


@pytest.fixture(params=["sqlite", "postgresql"])
def store(request, tmp_path):
    """An empty markbook."""
    if request.param == "sqlite":
        found = Store(str(tmp_path / "m.sqlite"))
    else:
        found = Store(request.getfixturevalue("server").address)
        with found.begin() as db:
            for table in reversed(t.METADATA.sorted_tables):
                db.execute(table.delete())
            db.execute(t.about.insert().values(schema=t.SCHEMA))
    yield found
    found.close()


@pytest.fixture
def lite(tmp_path):
    found = Store(str(tmp_path / "lite.sqlite"))
    yield found
    found.close()


def class_of(tmp_path, store, held=True):
    """24 candidates with a practical in the paper; candidate k has the first k choice and number
    answers right. One file of c20 was edited.
    """
    sitting = sitting_of([*ids_of("choice", "number", most=10), PRACTICAL], NUMBERS)
    folder = tmp_path / "answers"
    folder.mkdir()
    for k, number in enumerate(NUMBERS[:-1]):
        content = file_of(sitting, number, right_answers_of(sitting, number)[:k])
        if held and number == "c20":
            content = content.replace(b'"n":10,', b'"n":10, ')
        (folder / f"{number}.jsonl").write_bytes(content)
    mark_folder(folder, sitting, store, Here())
    return open_book(store)


def right_answers_of(sitting, number):
    from dataclasses import replace

    return right_answers(
        replace(sitting, paper={**sitting.paper, "items": sitting.paper["items"][:-1]}), number
    )


def again(book):
    return open_book(book.store)


def test_a_class_is_entered_changed_and_its_history_stays(tmp_path, store):
    book = class_of(tmp_path, store)
    item = book.sitting.paper["items"][0]
    old = book.marks["c05"][item].marks
    assert (
        book.status("c23") == "absent"
        and book.status("c20") == "held"
        and book.results["c20"].got == 0
    )
    amend.change(book, "c05", item, "0,5", "A. Marker", "agreed with the moderator")
    amend.change(again(book), "c05", item, "1", "A. Marker", "typing mistake")
    book = again(book)
    assert book.marks["c05"][item].marks == 1.0
    assert [(row.old, row.new, row.by) for row in book.changes("c05")] == [
        (f"{old:g}", "0.5", "A. Marker"),
        ("0.5", "1", "A. Marker"),
    ]
    for wrong in ("-1", "99", "nan", "x", "1e5"):
        with pytest.raises(UserError, match="must be a number from 0 to"):
            amend.change(book, "c05", item, wrong, "A", "r")
    with pytest.raises(UserError, match="is not on the roll"):
        amend.change(book, "c99", item, "1", "A", "r")
    with pytest.raises(UserError, match="has no marks for"):
        amend.change(book, "c05", "none", "1", "A", "r")


def test_a_held_file_counts_after_a_person_accepted_it(tmp_path, store):
    book = class_of(tmp_path, store)
    with pytest.raises(UserError, match="held for candidate c20"):
        state.release(book, "A")
    row = held.accept(book, "c20", "A", "disk fault seen by the supervisor")
    book = again(book)
    assert (
        row.lines == 10
        and book.status("c20") == "marked"
        and book.results["c20"].got == book.results["c09"].got
    )
    assert book.changes("c20")[0].kind == "accept"
    state.release(book, "A", unfinished=True)


def test_marks_by_hand_stay_when_a_later_file_comes(tmp_path, lite):
    book = class_of(tmp_path, lite)
    item = book.sitting.paper["items"][0]
    amend.change(book, "c03", item, "0", "A", "copied")
    longer = file_of(book.sitting, "c03", right_answers_of(book.sitting, "c03")[:8])
    short = b"".join(longer.splitlines(keepends=True)[:4])
    (tmp_path / "answers" / "c03.jsonl").write_bytes(short)
    (tmp_path / "answers" / "c03-new.jsonl").write_bytes(longer)
    mark_folder(tmp_path / "answers", book.sitting, lite, Here())
    book = again(book)
    assert book.marks["c03"][item].marks == 0 and book.status("c03") == "held", (
        "two files that say different things wait for a person"
    )
    check = max(book.files("c03"), key=lambda row: row.lines).check_number
    held.accept(book, "c03", "A", "the longer one", check)
    book = again(book)
    assert book.status("c03") == "marked" and book.marks["c03"][item].marks == 0


def test_an_older_copy_does_no_harm(tmp_path, lite):
    sitting = sitting_of(ids_of("choice", most=3), ["1"])
    whole = file_of(sitting, "1", right_answers(sitting, "1"))
    (tmp_path / "a.jsonl").write_bytes(b"".join(whole.splitlines(keepends=True)[:-2]))
    mark_folder(tmp_path, sitting, lite, Here())
    (tmp_path / "b.jsonl").write_bytes(whole)
    told = mark_folder(tmp_path, sitting, lite, Here())
    book = open_book(lite)
    assert told.counts["older"] == 1 and all(
        row.marks == row.out_of for row in book.marks["1"].values()
    )


def test_a_changed_mark_says_who_set_it_and_what_was_answered(tmp_path, lite):
    class_of(tmp_path, lite, held=False)
    item = next(iter(open_book(lite).marks["c05"]))
    old = json.loads(open_book(lite).marks["c05"][item].reasons)
    amend.change(open_book(lite), "c05", item, "0", "A. Assessor", "he told me so")
    assert (
        json.loads(open_book(lite).marks["c05"][item].reasons)
        == ["Set by A. Assessor, reason: he told me so"]
        != old
    )
    mark_folder(tmp_path / "answers", open_book(lite).sitting, lite, Here())
    book = open_book(lite)
    answer = moderate.answers_of(book, "c05")[item]
    page = feedback(book, "c05").html()
    assert "Set by A. Assessor, reason: he told me so" in page
    drawn = book.sitting.variant(items()[item], "c05")
    for field in drawn.fields:
        assert f"{field.label}: {moderate.shown_answer(field, answer[field.name])}" in page.replace(
            "&#x27;", "'"
        )
    assert "(no answer)" in feedback(book, "c00").html()
    assert (
        f"but for 1 that persons entered or changed, see the history: c05 {item}."
        in record(book).html()
    )


def test_second_marks_come_back_as_a_spreadsheet_saves_them(tmp_path, lite):
    sitting = sitting_of(ids_of("choice", most=2), ["007", "12"])
    (tmp_path / "in").mkdir()
    for number in sitting.candidates:
        (tmp_path / "in" / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, right_answers(sitting, number))
        )
    mark_folder(tmp_path / "in", sitting, lite, Here())
    item = sitting.paper["items"][0]
    table = tmp_path / "second.csv"
    table.write_text(
        f"\ufeffcandidate;item;marks\r\n7;{item};1,5\r\n12;{item};2\r\n", encoding="utf-8"
    )
    assert moderate.enter(open_book(lite), table, "B") == 2
    assert {row[0] for row in moderate.compare(open_book(lite))} == {"007", "12"}
    table.write_text(f"candidate;item;marks\n8;{item};1\n", encoding="utf-8")
    with pytest.raises(UserError, match="'8' is not on the roll"):
        moderate.enter(open_book(lite), table, "B")


def test_a_practical_without_its_steps_is_asked_for(tmp_path, capsys, monkeypatch):
    store = Store(str(tmp_path / "m.sqlite"))
    class_of(tmp_path, store, held=False)
    store.close()
    words = [
        "markbook",
        "observe",
        "c05",
        PRACTICAL,
        "--by",
        "A",
        "--store",
        str(tmp_path / "m.sqlite"),
    ]
    assert main(words) == 2 and "Say of each step" in capsys.readouterr().err
    assert main([*words, "--done"]) == 0 and "Candidate c05 Person c05" in capsys.readouterr().out
    asked = []
    monkeypatch.setattr("builtins.input", lambda words: asked.append(words) or "y")
    assert main(words) == 2 and "is entered already" in capsys.readouterr().err
    assert main([*words, "--reason", "wrong sheet"]) == 0
    most = items()[PRACTICAL].marks
    assert f"{most} of {most}" in capsys.readouterr().out
    steps = [step for part in items()[PRACTICAL].fields for step in part.steps]
    assert len(asked) == 2 * len(steps) and "(SAFETY)" in "".join(asked)
    main(["markbook", "show", "c05", "--store", str(tmp_path / "m.sqlite")])
    assert "wrong sheet" in capsys.readouterr().out


def test_an_appeal_after_forget_is_refused_in_words(tmp_path, lite):
    class_of(tmp_path, lite, held=False)
    personal_data.forget(lite, open_book(lite).row.id, "c05", "A", "asked for it")
    with pytest.raises(UserError, match="answers of candidate c05 were deleted"):
        appeals.appeal(open_book(lite), "c05", "A", "why")
    with pytest.raises(UserError, match="no answer file of candidate c23"):
        appeals.appeal(open_book(lite), "c23", "A", "why")
    assert not [row for row in open_book(lite).changes() if row.kind == "appeal"]


def test_lost_time_marks_again(tmp_path, lite):
    sitting = sitting_of(ids_of("choice", most=3), ["1"])
    folder = tmp_path / "late"
    folder.mkdir()
    (folder / "1.jsonl").write_bytes(
        written(lines_of(sitting, "1", right_answers(sitting, "1")), sitting.seal("1"), step=3500)
    )
    mark_folder(folder, sitting, lite, Here())
    assert (
        sum(row.marks for row in open_book(lite).marks["1"].values())
        == items()[sitting.paper["items"][0]].marks
    )
    assert given_time.give(open_book(lite), "time", ["1"], "240", "A", "a power cut") == (
        {"1": 0},
        240,
    )
    assert all(row.marks == row.out_of for row in open_book(lite).marks["1"].values())
    assert appeals.appeal(open_book(lite), "1", "A", "test") == []


def test_an_observed_practical_is_entered_and_its_gate_holds(tmp_path, store):
    book = class_of(tmp_path, store, held=False)
    steps = [step for part in items()[PRACTICAL].fields for step in part.steps]
    everything, unsafe = (
        [step["id"] for step in steps],
        [step["id"] for step in steps if not step.get("gate")],
    )
    assert amend.observe(book, "c22", PRACTICAL, everything, "A").marks == items()[PRACTICAL].marks
    assert amend.observe(book, "c21", PRACTICAL, unsafe, "A").marks == 0
    with pytest.raises(UserError, match="has no step"):
        amend.observe(book, "c21", PRACTICAL, ["none"], "A")
    with pytest.raises(UserError, match="is no observed practical"):
        amend.observe(book, "c21", book.sitting.paper["items"][0], [], "A")
    book = again(book)
    assert (
        book.results["c22"].safe
        and not book.results["c21"].safe
        and any("safety gate" in words for words in book.results["c21"].lacking)
    )
    assert "a safety gate was failed" in moderate.sample(book)["c21"]


def test_the_sample_has_a_fifth_and_all_that_must_be_looked_at(tmp_path, lite):
    book = class_of(tmp_path, lite)
    appeals.appeal(book, "c01", "A", "asks why")
    book = again(book)
    chosen = moderate.sample(book)
    border = {number for number, found in book.results.items() if abs(found.percent - 60) <= 5}
    assert {"c01", "c20", *border} <= set(chosen) and len(chosen) >= max(6, len(book.results) * 0.2)
    assert chosen == moderate.sample(again(book)), "nobody can choose the lot"


def test_blind_second_marking(tmp_path, store, monkeypatch):
    book = class_of(tmp_path, store)
    monkeypatch.setattr(Document, "pdf", lambda self: b"")
    paths = second_sheets.sheets(book, tmp_path / "second")
    sheet = next(path for path in paths if path.name.startswith("second_c"))
    text = sheet.read_text(encoding="utf-8")
    assert "Person" not in text and not re.search(r"[0-9] of [0-9]", text)
    with pytest.raises(UserError, match="never written over"):
        second_sheets.sheets(book, tmp_path / "second")
    rows = list(csv.reader(paths[-1].read_text(encoding="utf-8").splitlines()))
    number, item, _ = rows[1]
    first = book.marks[number][item]
    other = first.out_of if first.marks < first.out_of else 0.0
    rows[1][2] = f"{other:g}".replace(".", ",")
    paths[-1].write_text(
        "\n".join(
            f"{a};{b};{c}".replace(";", ",") if "," not in c else f'{a},{b},"{c}"'
            for a, b, c in rows
        ),
        encoding="utf-8",
    )
    assert moderate.enter(book, paths[-1], "B. Second") == 1
    ((who, by, count, one, two, differ),) = moderate.compare(again(book))
    assert (who, by, count, one, two, differ) == (
        number,
        "B. Second",
        1,
        first.marks,
        other,
        [(item, first.marks, other)],
    )
    assert again(book).marks[number][item].marks == first.marks, (
        "a second mark changes nothing by itself"
    )


def test_release_lock_and_reopen(tmp_path, store):
    book = class_of(tmp_path, store, held=False)
    with pytest.raises(UserError, match="only released marks"):
        state.lock(book, "A")
    state.release(book, "A", unfinished=True)
    with pytest.raises(UserError, match="are released"):
        amend.change(again(book), "c05", book.sitting.paper["items"][0], "1", "A", "r")
    with pytest.raises(UserError, match="are released"):
        mark_folder(tmp_path / "answers", book.sitting, store, Here())
    state.lock(again(book), "A")
    state.reopen(again(book), "A", "wrong key in item 3")
    amend.change(again(book), "c05", book.sitting.paper["items"][0], "1", "A", "r")
    assert [row.kind for row in again(book).changes()] == ["release", "lock", "reopen", "mark"]


def test_statistics_are_the_textbook_ones(tmp_path, lite):
    """Facility and item-rest correlation against numpy's own mean and corrcoef."""
    book = class_of(tmp_path, lite, held=False)
    for row in item_statistics.figures(book)[:-1]:
        own = np.array([book.marks[number][row.item].marks for number in book.results])
        rest = np.array([book.results[number].got for number in book.results]) - own
        assert row.tries == 23 and row.facility == pytest.approx(
            own.mean() / items()[row.item].marks
        )
        if own.std() and rest.std():
            assert row.discrimination == pytest.approx(np.corrcoef(own, rest)[0, 1], abs=1e-9)
    assert item_statistics.remark(30, 0.1, 0.5).startswith("hard") and item_statistics.remark(
        30, 0.95, 0.5
    ).startswith("easy")
    assert "strong from weak" in item_statistics.remark(
        30, 0.5, 0.1
    ) and "too early" in item_statistics.remark(5, 0.5, 0.5)


def test_a_resit_asks_only_what_is_missing_and_only_spare_items(tmp_path, lite):
    book = class_of(tmp_path, lite)
    rows = {number: (outcomes, chosen) for number, outcomes, chosen in resit.plan(book)}
    for number, (outcomes, chosen) in rows.items():
        assert {items()[name].outcome for name in chosen} == set(outcomes) and all(
            items()[name].spare for name in chosen
        )
        assert not set(chosen) & set(book.sitting.paper["items"])
        assert set(outcomes) == set(book.results[number].missing)
    assert dict(resit.left_out(book)).keys() == {"c20", "c23"}, "held, and absent"
    table, *papers = resit.write_papers(book, tmp_path / "resit")
    assert {read_paper(path).kind for path in papers} == {"resit"} and len(
        list(csv.reader(table.open()))
    ) == len(rows) + 3
    with pytest.raises(UserError, match="not empty"):
        resit.write_papers(book, tmp_path / "resit")


def test_alike_answers_and_odd_times_are_questions(tmp_path, lite):
    numbers = [f"{n:02d}" for n in range(12)]
    sitting = sitting_of(ids_of("number", most=8), numbers)
    folder = tmp_path / "alike"
    folder.mkdir()
    for number in numbers:
        rows = right_answers(sitting, "05" if number == "06" else number)
        if number in ("01", "02"):
            rows = [
                (item, field, "123456.7" if k < 6 else value)
                for k, (item, field, value) in enumerate(rows)
            ]
        (folder / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, rows, step=1 if number == "09" else 120)
        )
    mark_folder(folder, sitting, lite, Here())
    found = similarity.questions(open_book(lite))
    assert any(question.candidates == ("01", "02") for question in found)
    assert any(
        question.candidates == ("06", "05") and "right for the numbers of 05" in question.words
        for question in found
    )
    assert any(
        question.candidates == ("09",) and "expert's time" in question.words for question in found
    )
    assert all("?" in question.words for question in found) and {
        name for question in found for name in question.candidates
    } <= {"01", "02", "05", "06", "09"}


@pytest.mark.parametrize(
    "cell", ["=1+1", "+cmd", "-1+1", "@SUM(A1)", "\t=1", "  =1", "\uff1d1", "\n=1"]
)
def test_cells_that_a_spreadsheet_would_run_are_made_harmless(cell):
    assert (
        export.harmless(cell) == "'" + cell
        and export.harmless(-3.5) == -3.5
        and export.harmless("c01") == "c01"
    )


def test_exports_hold_everything_and_no_key(tmp_path, store):
    book = class_of(tmp_path, store)
    amend.change(book, "c05", book.sitting.paper["items"][0], "1", "=A", "=HYPERLINK(0)")
    book = again(book)
    paths = export.write_csv(book, tmp_path / "out")
    results = list(csv.DictReader(paths[0].open(encoding="utf-8-sig")))
    assert [row["candidate"] for row in results] == NUMBERS and results[5]["marks"] == str(
        book.results["c05"].got
    )
    assert all(
        any(column.startswith(f"LO{n} ") for column in results[0])
        for n in {name.split("-")[0] for name in book.sitting.paper["items"]}
    )
    assert "'=HYPERLINK(0)" in paths[2].read_text(encoding="utf-8")
    text = export.write_json(book, tmp_path / "out").read_text(encoding="utf-8")
    assert book.sitting.key not in text and book.sitting.seal("c05") not in text
    assert {entry["candidate"]: entry.get("marks") for entry in json.loads(text)["candidates"]}[
        "c05"
    ] == book.results["c05"].got


def test_questions_as_qti_have_the_structure_of_the_standard(tmp_path, lite):
    book = class_of(tmp_path, lite)
    path, written_ids, left = export.write_qti(book, tmp_path)
    assert len(written_ids) == 10 and left == [PRACTICAL]
    space = "{http://www.imsglobal.org/xsd/imsqtiasi_v3p0}"
    with zipfile.ZipFile(path) as archive:
        manifest = ElementTree.fromstring(archive.read("imsmanifest.xml"))
        assert manifest.tag == "{http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1}manifest"
        resources = [node for node in manifest.iter() if node.tag.endswith("}resource")]
        assert {node.get("type") for node in resources} == {"imsqti_item_xmlv3p0"} and len(
            resources
        ) == 10
        for node in resources:
            assert [child.get("href") for child in node] == [node.get("href")]
            item = ElementTree.fromstring(archive.read(node.get("href")))
            assert item.tag == f"{space}qti-assessment-item" and item.get("identifier") == node.get(
                "identifier"
            )
            assert {"identifier", "title", "adaptive", "time-dependent"} <= set(item.attrib)
            order = [child.tag.removeprefix(space) for child in item]
            wanted = [
                "qti-response-declaration",
                "qti-outcome-declaration",
                "qti-item-body",
                "qti-response-processing",
            ]
            assert sorted(order, key=wanted.index) == order and set(order) == set(wanted)
            declared = {
                child.get("identifier"): child
                for child in item
                if child.tag == f"{space}qti-response-declaration"
            }
            asked = {
                child.get("response-identifier"): child
                for child in item.iter()
                if child.get("response-identifier")
            }
            assert (
                set(declared)
                == set(asked)
                == {child.get("identifier") for child in item.iter(f"{space}qti-correct")}
            )
            for name, interaction in asked.items():
                right = declared[name].find(f"{space}qti-correct-response/{space}qti-value").text
                if interaction.tag == f"{space}qti-choice-interaction":
                    letters = [
                        choice.get("identifier")
                        for choice in interaction.iter(f"{space}qti-simple-choice")
                    ]
                    assert (
                        right in letters
                        and len(set(letters)) == len(letters)
                        and declared[name].get("base-type") == "identifier"
                    )
                else:
                    assert (
                        interaction.tag == f"{space}qti-text-entry-interaction"
                        and float(right) == float(right)
                        and declared[name].get("base-type") == "float"
                    )


def test_personal_data_can_be_deleted(tmp_path, store):
    book = class_of(tmp_path, store, held=False)
    got = book.results["c07"].got
    personal_data.forget(store, book.row.id, "c07", "A", "asked for it")
    book = again(book)
    assert (
        book.roll["c07"] == ""
        and book.results["c07"].got == got
        and moderate.answers_of(book, "c07") == {}
        and appeals.mark_again(book, "c07") == {}
    )
    everything = repr([store.rows(sa.select(table)) for table in t.METADATA.sorted_tables])
    assert "Person c07" not in everything and "Person c08" in everything
    assert (
        personal_data.older_than(store, "2026-03-03") == [book.row.id]
        and personal_data.older_than(store, "2026-03-02") == []
    )


def test_copies_in_folders_are_listed_first_and_then_deleted(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *args, **more: None)
    sitting = issue(
        paper_of(ids_of("choice", most=2) + [PRACTICAL]),
        [Candidate("007", "Person A", 25), Candidate("0071", "Person B")],
        tmp_path / "s",
        day="2026-03-02",
    )
    other = sitting_of(ids_of("choice", most=2), ["007"])
    inbox = tmp_path / "in"
    inbox.mkdir()
    for name, of, number in (
        ("007.jsonl", sitting, "007"),
        ("copy", sitting, "007"),
        ("0071.jsonl", sitting, "0071"),
        ("other.jsonl", other, "007"),
    ):
        (inbox / name).write_bytes(
            file_of(of, number, right_answers(of, number) if of is other else [])
        )
    (inbox / "link.jsonl").symlink_to(inbox / "007.jsonl")
    address = str(tmp_path / "m.sqlite")
    store = Store(address)
    mark_folder(inbox, sitting, store, Here())
    book = open_book(store)
    second_sheets.sheets(book, tmp_path / "second")
    state.release(book, "A", unfinished=True)
    write(open_book(store), tmp_path / "r")
    store.close()
    words = [
        "markbook",
        "forget",
        "--candidate",
        "007",
        "--store",
        address,
        "--by",
        "A",
        "--reason",
        "asked",
        *(f"--folder={tmp_path / name}" for name in ("s", "in", "second", "r")),
    ]
    everything = sorted(tmp_path.rglob("*"))
    assert main(words) == 0
    told = capsys.readouterr().out
    assert (
        "Nothing was deleted" in told
        and sorted(tmp_path.rglob("*")) == everything
        and "Person A" in (tmp_path / "s" / "assessor" / "sitting.json").read_text(encoding="utf-8")
    )
    assert (
        told.count(": deleted") == 7
        and "sign_on_list.pdf: names several people" in told
        and "0071.jsonl" not in told
        and "other.jsonl" not in told
    )
    assert main([*words, "--yes"]) == 0 and "Deleted." in capsys.readouterr().out
    gone = {
        path.relative_to(tmp_path).as_posix() for path in set(everything) - set(tmp_path.rglob("*"))
    }
    assert gone == {
        "s/candidates/candidate_007",
        "s/candidates/candidate_007/sheet.json",
        "s/candidates/candidate_007/sitting.ipynb",
        "in/007.jsonl",
        "in/copy",
        *(f"second/second_007.{form}" for form in ("html", "pdf")),
        *(f"r/{sitting.id}/feedback_007.{form}" for form in ("html", "pdf")),
    }
    kept = json.loads((tmp_path / "s" / "assessor" / "sitting.json").read_text(encoding="utf-8"))[
        "candidates"
    ]
    assert (kept["007"]["name"], kept["0071"]["name"]) == ("", "Person B") and read_sitting(
        tmp_path / "s" / "assessor" / "sitting.json"
    ).seal("007") == sitting.seal("007")
    assert (
        main([*words, f"--folder={tmp_path / 'none'}"]) == 2
        and "is no folder" in capsys.readouterr().err
    )


def test_the_commands_run_from_one_end_to_the_other(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *args, **more: None)
    monkeypatch.setattr("tractionlab.assess.markbook.mark_folder.workers", lambda address: Here())
    (tmp_path / "roll.csv").write_text(
        "candidate;name;extra_time_percent\n007;Person A;25\n008;Person B;\n", encoding="utf-8"
    )

    def run(*words, code=0):
        assert main(list(words)) == code, capsys.readouterr()
        return capsys.readouterr()

    run(
        "paper",
        "issue",
        "mock",
        "--roll",
        str(tmp_path / "roll.csv"),
        "--out",
        str(tmp_path / "s"),
        "--place",
        "Room 4",
        "--minutes",
        "90",
        "--date",
        "2026-03-02",
    )
    assert (
        "never written over"
        in run(
            "paper",
            "issue",
            "mock",
            "--roll",
            str(tmp_path / "roll.csv"),
            "--out",
            str(tmp_path / "s"),
            code=2,
        ).err
    )
    key = tmp_path / "s" / "assessor" / "sitting.json"
    from tractionlab.assess.sitting.sitting import read_sitting

    sitting = read_sitting(key)
    assert sitting.minutes_of("007") == 113 and sitting.key not in (
        tmp_path / "s" / "candidates" / "candidate_007" / "sheet.json"
    ).read_text(encoding="utf-8")
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "007.jsonl").write_bytes(file_of(sitting, "007", []))
    store = ["--store", str(tmp_path / "m.sqlite")]
    told = run(
        "mark",
        str(tmp_path / "in"),
        "--sitting",
        str(key),
        *store,
        "--report",
        str(tmp_path / "told.txt"),
    ).out
    assert (
        "1 counted" in told
        and "candidate 008" in told
        and (tmp_path / "told.txt").read_text(encoding="utf-8").strip() == told.strip()
    )
    for words in (
        ["list"],
        ["show", "007", "--replay"],
        ["statistics"],
        ["sample"],
        ["similar"],
        ["resit"],
        ["compare"],
    ):
        assert run("markbook", *words, *store).out
    assert "are not entered" in run("markbook", "release", *store, "--by", "A", code=2).err
    run("markbook", "release", *store, "--by", "A", "--unfinished")
    run("markbook", "report", *store, "--out", str(tmp_path / "r"))
    assert {path.suffix for path in (tmp_path / "r" / sitting.id).glob("feedback_007.*")} == {
        ".html",
        ".pdf",
    }
    for form in ("csv", "json", "qti"):
        run("markbook", "export", form, *store, "--out", str(tmp_path / "x"))
    assert "is not on the roll" in run("markbook", "show", "009", *store, code=2).err
    assert (
        "--reason must say something"
        in run("markbook", "reopen", *store, "--by", "A", "--reason", " ", code=2).err
    )
    assert (
        "there is no such markbook"
        in run("markbook", "list", "--store", str(tmp_path / "none.sqlite"), code=2).err
    )
    assert (
        "is no address of a database"
        in run("markbook", "list", "--store", "nonsense://", code=2).err
    )
    assert (
        "cannot be opened"
        in run(
            "mark",
            str(tmp_path / "in"),
            "--sitting",
            str(key),
            "--store",
            str(tmp_path / "no" / "folder.sqlite"),
            code=2,
        ).err
    )


def test_two_who_begin_a_markbook_at_once_share_it_and_no_other_account_reads_it(tmp_path):
    path, opened = tmp_path / "m.sqlite", []
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("PRAGMA journal_mode=WAL")
    other.execute("BEGIN IMMEDIATE")
    second = threading.Thread(target=lambda: opened.append(Store(str(path))))
    second.start()
    time.sleep(0.3)  # time to look and find no table; without it the test shows less, never fails
    for table in t.METADATA.sorted_tables:
        other.execute(str(CreateTable(table).compile(dialect=sqlite.dialect())))
    other.execute("INSERT INTO tl_about VALUES (?)", (t.SCHEMA,))
    other.execute("COMMIT")
    second.join(30)
    assert len(opened) == 1 and opened[0].rows(sa.select(t.about.c.schema))[0].schema == t.SCHEMA
    opened[0].close()
    fresh = Store(str(tmp_path / "fresh.sqlite"))
    fresh.close()
    assert (tmp_path / "fresh.sqlite").stat().st_mode & 0o077 == 0


def test_the_key_file_is_for_no_other_account(tmp_path):
    issue(paper_of(["1-push-rear"]), [Candidate("1", "A Person", 0, False)], tmp_path / "sitting")
    folder = tmp_path / "sitting" / "assessor"
    assert (folder / "sitting.json").stat().st_mode & 0o077 == 0
    assert folder.stat().st_mode & 0o077 == 0
