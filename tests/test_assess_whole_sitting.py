"""A whole sitting by the forms' own messages alone, from the roll to the joined resit: no command
and no call behind them. A second person marks from the pages of second marking and nothing else.
"""

import csv
import re
import shutil

import pytest
from assess_answers import perfect
from second_person import marks_from
from sittings import paper_of

from tractionlab.assess.bank import paper as papers_module
from tractionlab.assess.bank.item import items
from tractionlab.assess.desk.desk import Desk
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.hydraulics.layout import layout
from tractionlab.lesson import office
from tractionlab.lesson.office_marks import MarkForm, TimeForm
from tractionlab.lesson.office_moderation import DecideForm, ResitForm, SecondForm

ASKED = [
    "1-push-rear",
    "4-slip",
    "5-throttle-slow",
    "6-way-increase",
    "7-states-traction",
    "9-window",
    "10-ground-drop",
    "12-tyres",
    "12-do-valves",
]
WHO = {"by": "A. Assessor", "reason": "wrote on paper"}


def press(form, command, **values):
    """Press a button with these values in the fields; what the card then says, and below it."""
    there = {field["name"]: field["value"] for field in form.face["fields"]}
    form.on_command(command, there | values)
    return f"{form.face['message']} {form.below.value}"


def sit(folder, answers, *supervisor):
    """Sit down, answer, see what a supervisor enters, hand in."""
    desk = Desk(folder)
    tell = lambda command, **more: desk._hear(None, {"command": command, **more}, [])
    desk.send = lambda message, buffers=None: None
    tell("start")
    for command, entered in supervisor:
        tell(command, **entered)
    for item, fields in answers.items():
        tell("item", item=item)
        for field, value in fields.items():
            tell("save", item=item, field=field, value=value, ask=1)
    tell("hand_in", own_work=True)
    assert desk.phase() == "handed_in"


def known(sitting, number, skipped=()):
    """Right answers to all that is asked at the desk, some items left out."""
    asked = [items()[name] for name in sitting.paper["items"] if name not in skipped]
    return {
        item.id: perfect(item, sitting.variant(item, number))
        for item in asked
        if item.kind != "checklist"
    }


def with_mistakes(sitting, number):
    """Right answers with a wrong unit, missing units, a wrong letter, a part left at rest, and
    nothing of LO12.
    """
    given = known(sitting, number, skipped=("12-tyres",))
    push, letter = given["1-push-rear"], given["5-throttle-slow"]
    push["force"] = f"{push['force'].split()[0]} bar"
    for name, value in given["10-ground-drop"].items():
        given["10-ground-drop"][name] = value.split()[0]
    letter["answer"] = "A" if letter["answer"] != "A" else "B"
    asked, states = items()["7-states-traction"].fields[0], given["7-states-traction"]["answer"]
    rest = {key: layout(asked.layout).components[key].rest_position for key in asked.parts}
    part = next(part for part, position in states.items() if position != rest[part])
    states[part] = rest[part]
    return given


def observe(box, number, **more):
    """Enter a practical with every step done."""
    form = box.children[0]
    done = dict.fromkeys(form.steps, "done")
    return press(form, "observe", candidate=number, by="A. Assessor", **done, **more)


@pytest.fixture
def office_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    rules = {"overall_percent": 40.0, "outcome_percent": {"LO12": 80.0}}
    paper = paper_of(ASKED, rules=rules)
    monkeypatch.setattr(papers_module, "papers", lambda: {"graded_1": paper})
    return tmp_path


def test_from_the_roll_to_the_joined_resit(office_folder):
    issue, mark, second = (form("graded_1") for form in (office.IssueForm, MarkForm, SecondForm))
    assert "roll.csv written" in press(issue, "roll")
    (office_folder / "roll.csv").write_text("candidate,name\n1,Ada A\n2,Bo B\n3,Cy C\n")
    assert "Issued" in press(issue, "issue", place="Room 4")
    sat = office_folder / "sitting-test-paper"
    sitting = read_sitting(sat / "assessor" / "sitting.json")
    (office_folder / "inbox").mkdir()
    sit(sat / "candidates" / "candidate_1", known(sitting, "1"))
    pause = (("break", {"by": "Sam", "reason": "fire alarm"}), ("resume", {"by": "Sam"}))
    sit(sat / "candidates" / "candidate_2", with_mistakes(sitting, "2"), *pause)
    for number in ("1", "2"):
        shutil.copytree(
            sat / "candidates" / f"candidate_{number}", office_folder / "inbox" / number
        )
    told = press(mark, "mark")
    assert "2 counted" in told and "candidate 3" in told and "fire alarm" in told
    assert "1 min of breaks counts now" in press(
        TimeForm("graded_1"), "break", minutes="1", by="A. Assessor", reason="fire alarm"
    )
    (practical,) = office.observe_form("graded_1").children
    for number in ("1", "2"):
        assert "all steps seen" in observe(practical, number)
    assert "give a reason" in observe(practical, "2")

    assert "2 records." in press(second, "sample")
    press(second, "sheets")
    sheets, rows = office_folder / "second-marking", []
    for number in ("1", "2"):
        found = marks_from((sheets / f"second_{number}.html").read_text("utf-8"))
        assert set(found) == set(ASKED) - {"12-do-valves"}
        rows += [(number, item, f"{marks:g}") for item, marks in found.items()]
    with open(sheets / "second_marks.csv", "w", newline="") as file:
        csv.writer(file).writerows([("candidate", "item", "marks"), *rows])
    assert f"{len(rows)} second marks entered" in press(second, "enter", by="B. Second")
    told = press(second, "compare")
    assert "0 of 2 totals are more than 5 marks apart" in told
    totals = re.findall(r"marked 8 items once more: (\S+) against (\S+) marks", told)
    assert len(totals) == 2
    for mine, theirs in totals:
        assert float(mine) == pytest.approx(float(theirs), rel=0.02) and float(mine) > 5

    decide = DecideForm("graded_1")
    assert "3, 1-push-rear: 2 marks" in press(
        decide, "change", candidate="3", item="1-push-rear", marks="2", **WHO
    )
    assert "the same marks" in press(decide, "appeal", candidate="2", **WHO)
    assert "not entered" in press(mark, "release", by="A. Assessor")
    assert "all steps seen" in observe(practical, "3")
    assert "Released" in press(mark, "release", by="A. Assessor")
    assert "feedback_2.pdf" in press(mark, "reports")

    resit = ResitForm("graded_1")
    told = press(resit, "plan")
    assert re.search(r"2, Bo B</th><td>LO12<", told) and "3, Cy C" in told
    assert "holds no resit_plan.csv" in press(resit, "issue")
    press(resit, "papers")
    told = press(resit, "issue", place="Room 5")
    assert "2, Bo B" in told or "Bo B" in told
    for folder in sorted(path for path in (office_folder / "resit").iterdir() if path.is_dir()):
        again = read_sitting(folder / "assessor" / "sitting.json")
        for number in again.candidates:
            sit(folder / "candidates" / f"candidate_{number}", known(again, number))
            shutil.copytree(
                folder / "candidates" / f"candidate_{number}",
                office_folder / f"inbox-{folder.name}" / number,
            )
        told = press(
            mark,
            "mark",
            key=str(folder / "assessor" / "sitting.json"),
            inbox=f"inbox-{folder.name}",
        )
        assert f"{len(again.candidates)} counted" in told
    press(resit, "practicals")
    for box in resit.more[0].children:
        key = box.children[0].face["fields"][0]["value"]
        for number in read_sitting(key).candidates:
            assert "all steps seen" in observe(box, number)
    told = press(resit, "joined")
    assert "not" not in re.search(r"Bo B</th><td>(.*?)</td>", told).group(1)
