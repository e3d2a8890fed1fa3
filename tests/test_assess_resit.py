"""Resits through the commands: only what the rules miss is asked, the result joins the first,
absent persons are named, and answers on paper get marks.
"""

import csv
import re

import pytest
from assess_answers import perfect_rows
from sittings import file_of

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.result import result
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.cli.main import main

PAPER = """
id = "bay"
title = "Bay"
kind = "graded"
items = ["1-push-rear", "2-hill", "12-make-safe", "12-tyres", "12-do-valves", "12-do-roadtest"]

[rules]
overall_percent = 60.0
outcome_percent = { LO12 = 50.0 }
grades = [["good", 75.0]]
"""
STEPS = {
    name: [step["id"] for part in items()[name].fields for step in part.steps]
    for name in ("12-do-valves", "12-do-roadtest")
}


def rules_miss(found):
    """Outcomes that graded paper 1 sends to a resit for {outcome: share}, the rest at 80 %."""
    paper = find_paper("graded_1")
    marks = {}
    for name in paper.items:
        item = items()[name]
        share = found.get(item.outcome, 0.8)
        marks[name] = (item.marks * share, 1, int(item.kind == "case"))
    return result({"items": paper.items, "rules": paper.rules_as_dict()}, marks).missing


@pytest.mark.parametrize(
    "shares, missing",
    [
        ({}, ()),
        ({"LO1": 0.2, "LO2": 0.0}, ()),
        ({"LO9": 0.4, "LO1": 0.2}, ("LO9",)),
        ({"LO6": 0.4, "LO7": 0.3}, ("LO6",)),
        ({"LO11": 0.1, "LO1": 0.1}, ("LO1", "LO11")),
    ],
)
def test_only_what_the_rules_miss_is_asked(shares, missing):
    assert rules_miss(shares) == missing


@pytest.fixture
def college(tmp_path, monkeypatch, capsys):
    """run(words) -> what the command prints; with an issued sitting of three, whose files are
    marked: 1 failed a safety gate, 2 has everything right, 3 is absent.
    """
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *more, **named: None)
    monkeypatch.setattr("tractionlab.assess.markbook.mark_folder.workers", lambda address: Here())
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bay.toml").write_text(PAPER)
    (tmp_path / "roll.csv").write_text("candidate,name\n1,Ada A\n2,Bo B\n3,Cy C\n")

    def run(*words, code=0):
        capsys.readouterr()
        assert main([str(word) for word in words]) == code, capsys.readouterr()
        said = capsys.readouterr()
        return said.out + said.err

    def sit(paper, out, roll, numbers):
        run("paper", "issue", paper, "--roll", roll, "--out", out, "--date", "2026-03-02")
        sitting = read_sitting(tmp_path / out / "assessor" / "sitting.json")
        inbox = tmp_path / f"{out}-inbox"
        inbox.mkdir()
        for number in numbers:
            rows = perfect_rows(sitting, number)
            (inbox / f"{number}.jsonl").write_bytes(file_of(sitting, number, rows))
        run("mark", inbox, "--sitting", tmp_path / out / "assessor" / "sitting.json")
        return sitting

    run.sit, run.folder = sit, tmp_path
    run.sitting = sit("bay.toml", "first", "roll.csv", "12")
    for number in "12":
        for name, steps in STEPS.items():
            done = steps[:0] if (number, name) == ("1", "12-do-roadtest") else steps
            run("markbook", "observe", number, name, "--by", "A", "--done", *done)
    return run


def test_the_result_of_a_resit_joins_the_first(college):
    first = college.sitting.id
    planned = college("markbook", "resit", "--out", "resit")
    assert "  1: LO12 " in planned and "  2:" not in planned
    assert "  3 Cy C: absent: no marks; the whole paper on another day" in planned
    rows = list(csv.reader((college.folder / "resit" / "resit_plan.csv").open("r", newline="")))
    assert [row[0] for row in rows[1:]] == ["1", "3"]
    assert rows[1][3:] == ["LO12", "safety briefing, and the failed task shown again"]
    (paper,) = (college.folder / "resit").glob("*.toml")
    (college.folder / "again.csv").write_text("candidate,name\n1,Ada A\n")
    second = college.sit(paper, "second", "again.csv", "1")
    for name in second.paper["items"]:
        if items()[name].kind == "checklist":
            steps = [step["id"] for part in items()[name].fields for step in part.steps]
            college(
                *("markbook", "observe", "1", name, "--by", "A", "--sitting", second.id),
                *("--done", *steps),
            )
    listed = college("markbook", "list", "--sitting", first)
    assert "not yet, safety gate failed" in listed
    assert "with the resit: " in listed and " / 100.0 / good\n" in listed
    assert "with the resit" in college("markbook", "show", "1", "--sitting", first)
    assert "  1:" not in college("markbook", "resit", "--sitting", first)
    for sitting in (first, second.id):
        college("markbook", "report", "--out", "reports", "--sitting", sitting)
        college("markbook", "export", "csv", "--out", "export", "--sitting", sitting)
    for folder in ("reports", "export"):
        assert {path.name for path in (college.folder / folder).iterdir()} == {first, second.id}
    record = (college.folder / "reports" / first / "assessors_record.html").read_text("utf-8")
    assert "With the resits" in record and second.id in record
    table = (college.folder / "export" / first / "results.csv").read_text("utf-8-sig")
    one = next(row for row in csv.DictReader(table.splitlines()) if row["candidate"] == "1")
    assert one["grade"] == "not yet" and one["with_resit_grade"] == "good"


def test_a_failed_resit_takes_nothing_away_and_another_person_is_not_joined(college):
    college("markbook", "resit", "--out", "resit")
    (paper,) = (college.folder / "resit").glob("*.toml")
    (college.folder / "again.csv").write_text("candidate,name\n1,Ada A\n2,Somebody else\n")
    second = college.sit(paper, "second", "again.csv", "2")
    store = Store("markbook.sqlite")
    try:
        from tractionlab.assess.markbook.joined import joined

        assert joined(open_book(store, college.sitting.id)) == {}
    finally:
        store.close()
    (college.folder / "second-inbox" / "1.jsonl").write_bytes(file_of(second, "1", []))
    college("mark", "second-inbox", "--sitting", "second/assessor/sitting.json")
    shown = college("markbook", "show", "1", "--sitting", college.sitting.id)
    first, after = re.findall(r"of \d+(?:, | / )([\d.]+)", shown)[:2]
    assert "with the resit" in shown and first == after
    assert "  1: LO12" in college("markbook", "resit", "--sitting", college.sitting.id)


def test_answers_on_paper_get_marks_by_name_and_reason(college):
    item = "1-push-rear"
    whom = ("--by", "A. Assessor", "--reason", "wrote on paper, power cut")
    said = college("markbook", "change", "3", item, "2,5", *whom)
    assert "Candidate 3 Cy C, 1-push-rear: 2.5 entered; there were no marks before." in said
    assert "2.5 -> 3" in college("markbook", "change", "3", item, "3", *whom)
    listed = college("markbook", "list")
    assert "by hand" in listed and "5 items not marked yet" in listed
    assert "absent" not in college("markbook", "resit")
    assert "enter its steps" in college(
        "markbook", "change", "3", "12-do-valves", "3", *whom, code=2
    )
    assert "has no marks for" in college("markbook", "change", "3", "9-none", "3", *whom, code=2)
    college("mark", "first-inbox", "--sitting", "first/assessor/sitting.json")
    assert "by hand" in college("markbook", "list"), "marking once more takes nothing away"
    college("markbook", "report", "--out", "reports")
    record = next((college.folder / "reports").glob("*/assessors_record.html")).read_text("utf-8")
    assert "wrote on paper, power cut" in record and "3 1-push-rear" in record


def test_every_print_carries_its_sitting_and_day_and_forget_finds_it(college):
    sitting = college.sitting
    college("markbook", "report", "--out", "reports")
    prints = [
        *(college.folder / "first" / "assessor").glob("*.pdf"),
        *(college.folder / "reports").rglob("*.pdf"),
    ]
    assert {path.stem for path in prints} == {
        *("sign_on_list", "observation_sheets", "class_overview", "assessors_record")
    }
    for path in prints:
        page = path.with_suffix(".html").read_text("utf-8")
        assert f"Sitting {sitting.id}, 2026-03-02" in page, path
    sheets = (college.folder / "first" / "assessor" / "observation_sheets.html").read_text("utf-8")
    assert sheets.count(f"Sitting {sitting.id}, 2026-03-02. Item") == 6, "on each sheet"
    loose = college.folder / "drawer"
    loose.mkdir()
    for path in prints:
        (loose / f"copy of {path.name}").write_bytes(path.read_bytes())
    told = college(
        *("markbook", "forget", "--candidate", "1", "--by", "A", "--reason", "asked"),
        *("--folder", "drawer", "--folder", "first"),
    )
    for path in prints:
        assert f"copy of {path.name}: names several people" in told
    assert "observation_sheets.html: names several people" in told
