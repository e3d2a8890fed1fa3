"""Second marking, marks by hand, appeals and resits by the forms of an assessor's notebook
alone.
"""

import csv

import pytest
from assess_answers import perfect_rows
from sittings import file_of, paper_of

from tractionlab.assess.bank import paper as papers_module
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.lesson import office
from tractionlab.lesson.office_moderation import DecideForm, ResitForm, SecondForm

ASKED = ["1-push-rear", "2-hill", "12-make-safe", "12-tyres"]


def press(form, command, **values):
    """Press a button with these values in the fields; returns what the card then says, and below
    it.
    """
    there = {field["name"]: field["value"] for field in form.face["fields"]}
    form.on_command(command, there | values)
    return f"{form.face['message']} {form.below.value}"


@pytest.fixture
def room(tmp_path, monkeypatch):
    """A sitting of three by forms: 1 has everything right, 2 handed in nothing, 3 is absent."""
    monkeypatch.chdir(tmp_path)
    rules = {"outcome_percent": {"LO12": 50.0}}
    monkeypatch.setattr(papers_module, "papers", lambda: {"graded_1": paper_of(ASKED, rules=rules)})
    (tmp_path / "roll.csv").write_text("candidate,name\n1,Ada A\n2,Bo B\n3,Cy C\n")
    press(office.IssueForm("graded_1"), "issue", day="2026-03-02", roll="roll.csv")
    key = tmp_path / "sitting-test-paper" / "assessor" / "sitting.json"
    sitting = read_sitting(key)
    (tmp_path / "inbox").mkdir()
    for number, asked in (("1", ASKED), ("2", [])):
        rows = perfect_rows(sitting, number, asked)
        (tmp_path / "inbox" / f"{number}.jsonl").write_bytes(file_of(sitting, number, rows))
    assert "2 counted" in press(office.MarkForm("graded_1"), "mark")
    return tmp_path


def test_second_marking_by_forms(room):
    form = SecondForm("graded_1")
    assert "2 records." in press(form, "sample")
    assert "second_2.pdf" in press(form, "sheets")
    table = room / "second-marking" / "second_marks.csv"
    rows = list(csv.reader(table.open(newline="")))
    with open(table, "w", newline="") as file:
        csv.writer(file).writerows([rows[0], *([*row[:2], "0"] for row in rows[1:])])
    assert "Write your name first" in press(form, "enter")
    assert "8 second marks entered." in press(form, "enter", by="B. Second")
    told = press(form, "compare")
    assert "1 of 2 totals are more than 5 marks apart" in told
    assert "1: B. Second marked 4 items once more: 0 against" in told


def test_marks_by_hand_and_appeals_by_forms(room):
    form, who = DecideForm("graded_1"), {"by": "A. Assessor", "reason": "wrote on paper"}
    assert "Write the reason first" in press(
        form, "change", candidate="3", item=ASKED[0], marks="2", by="A"
    )
    assert "Candidate 3, 1-push-rear: 2 marks (before: none)." in press(
        form, "change", candidate="3", item=ASKED[0], marks="2", **who
    )
    assert "the same marks" in press(form, "appeal", candidate="1", **who)
    press(form, "change", candidate="1", item=ASKED[0], marks="0", **who)
    assert "1-push-rear: holds 0, worked out now" in press(form, "appeal", candidate="1", **who)
    assert "no answer file of candidate 3" in press(form, "appeal", candidate="3", **who)


def test_a_resit_by_forms(room):
    form = ResitForm("graded_1")
    told = press(form, "plan")
    assert "2, Bo B" in told and "LO1 LO2 LO12" in told and "absent: no marks" in told
    assert "resit_plan.csv" in press(form, "papers")
    assert "0 sat a resit." in press(form, "joined")
    assert "is not empty" in press(form, "papers")


def test_the_notebook_shows_them():
    shown = [box.children[0] for box in office.mark_form("graded_1").children]
    for kind in (SecondForm, DecideForm, ResitForm):
        assert any(isinstance(form, kind) for form in shown)
