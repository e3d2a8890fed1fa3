"""A whole sitting by an assessor's forms alone, from the roll to the joined resit, for whatever
presses their buttons: their own messages, or a browser. A second person marks from the pages of
second marking and nothing else.
"""

import csv
import re
import shutil

from assess_answers import perfect
from second_person import marks_from

from tractionlab.assess.bank.item import items
from tractionlab.assess.desk.desk import Desk
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.hydraulics.layout import layout

PAPER = "short.toml"
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
PRACTICAL = "12-do-valves"
WHO = {"by": "A. Assessor", "reason": "wrote on paper"}


def write_paper(folder):
    """The paper that is sat, as an assessor's own file."""
    asked = ", ".join(f'"{name}"' for name in ASKED)
    (folder / PAPER).write_text(
        f'id = "short"\ntitle = "Short paper"\nkind = "mock"\nminutes = 60\nitems = [{asked}]\n'
        "[rules]\noverall_percent = 40.0\noutcome_percent = { LO12 = 80.0 }\n",
        encoding="utf-8",
    )


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


class WholeSitting:
    """The journey in a folder. `press(form, command, says, **values)` fills the fields of the form
    "issue", "mark", "time", "second", "decide" or "resit", or that of (practical, key file),
    presses the button of the command, waits until the form says `says`, and returns all it says.
    """

    def __init__(self, folder, press):
        self.folder, self.press = folder, press
        self.sat = folder / "sitting-short"

    def journey(self):
        """From the roll to the joined resit."""
        self.issue()
        self.class_sits()
        self.mark_the_first_time()
        self.second_person_marks()
        self.decide_and_release()
        self.resit()

    def issue(self):
        self.press("issue", "roll", "roll.csv written")
        (self.folder / "roll.csv").write_text("candidate,name\n1,Ada A\n2,Bo B\n3,Cy C\n")
        self.press("issue", "issue", "Issued", place="Room 4")

    def class_sits(self):
        sitting = read_sitting(self.sat / "assessor" / "sitting.json")
        pause = (("break", {"by": "Sam", "reason": "fire alarm"}), ("resume", {"by": "Sam"}))
        sit(self.sat / "candidates" / "candidate_1", known(sitting, "1"))
        sit(self.sat / "candidates" / "candidate_2", with_mistakes(sitting, "2"), *pause)
        (self.folder / "inbox").mkdir()
        for number in ("1", "2"):
            self.send_in(self.sat, number, "inbox")

    def send_in(self, sat, number, inbox):
        shutil.copytree(sat / "candidates" / f"candidate_{number}", self.folder / inbox / number)

    def mark_the_first_time(self):
        told = self.press("mark", "mark", "2 counted", inbox="inbox")
        assert "candidate 3" in told and "fire alarm" in told
        self.press(
            "time",
            "break",
            "1 min of breaks counts now",
            minutes="1",
            by="A. Assessor",
            reason="fire alarm",
        )
        for number in ("1", "2"):
            self.observe("sitting-short", number)
        self.observe("sitting-short", "2", says="give a reason")

    def observe(self, sat, number, says=None, practical=PRACTICAL):
        """Enter a practical with every step done."""
        steps = [step["id"] for part in items()[practical].fields for step in part.steps]
        done = dict.fromkeys(steps, "done")
        self.press(
            (practical, f"{sat}/assessor/sitting.json"),
            "observe",
            says or f"Candidate {number}:",
            candidate=number,
            by="A. Assessor",
            **done,
        )

    def second_person_marks(self):
        self.press("second", "sample", "2 records.")
        self.press("second", "sheets", "Fill in second_marks.csv")
        sheets, rows = self.folder / "second-marking", []
        for number in ("1", "2"):
            found = marks_from((sheets / f"second_{number}.html").read_text("utf-8"))
            assert set(found) == set(ASKED) - {PRACTICAL}
            rows += [(number, item, f"{marks:g}") for item, marks in found.items()]
        with open(sheets / "second_marks.csv", "w", newline="") as file:
            csv.writer(file).writerows([("candidate", "item", "marks"), *rows])
        self.press("second", "enter", f"{len(rows)} second marks entered", by="B. Second")
        told = self.press("second", "compare", "0 of 2 totals are more than 5 marks apart")
        totals = re.findall(r"marked 8 items once more: (\S+) against (\S+) marks", told)
        assert len(totals) == 2
        for mine, theirs in totals:
            assert abs(float(mine) - float(theirs)) <= 0.02 * float(theirs) and float(mine) > 5

    def decide_and_release(self):
        self.press(
            "decide",
            "change",
            "3, 1-push-rear: 2 marks",
            candidate="3",
            item="1-push-rear",
            marks="2",
            **WHO,
        )
        self.press("decide", "appeal", "the same marks", candidate="2", **WHO)
        self.press("mark", "release", "not entered", by="A. Assessor")
        self.observe("sitting-short", "3")
        self.press("mark", "release", "Released", by="A. Assessor")
        self.press("mark", "reports", "feedback_2.pdf")

    def resit(self):
        told = self.press("resit", "plan", "to look at")
        assert re.search(r"2, Bo B\s*LO12", told) and "3, Cy C" in told
        self.press("resit", "issue", "holds no resit_plan.csv")
        self.press("resit", "papers", "Written")
        assert "Bo B" in self.press("resit", "issue", "Issued", place="Room 5")
        papers = sorted(path for path in (self.folder / "resit").iterdir() if path.is_dir())
        for sat in papers:
            again = read_sitting(sat / "assessor" / "sitting.json")
            for number in again.candidates:
                sit(sat / "candidates" / f"candidate_{number}", known(again, number))
                self.send_in(sat, number, f"inbox-{sat.name}")
            self.press(
                "mark",
                "mark",
                f"{len(again.candidates)} counted",
                key=f"resit/{sat.name}/assessor/sitting.json",
                inbox=f"inbox-{sat.name}",
            )
        self.press("resit", "practicals", "below")
        for sat in papers:
            sitting = read_sitting(sat / "assessor" / "sitting.json")
            for name in sitting.paper["items"]:
                for number in sitting.candidates if items()[name].kind == "checklist" else ():
                    self.observe(f"resit/{sat.name}", number, practical=name)
        told = self.press("resit", "joined", "sat a resit")
        assert "not" not in re.search(r"Bo B(.*)", told).group(1)
