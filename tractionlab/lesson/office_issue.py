"""The form of an assessor's notebook to look at a paper and to issue it."""

from pathlib import Path

from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.bank.preview import preview
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import read_roll
from tractionlab.assess.sitting.sitting import KEY_FILE
from tractionlab.errors import UserError
from tractionlab.lesson.office_form import Form
from tractionlab.paint.blocks import Rows

EXAMPLE = (
    "candidate,name,extra_time_percent,larger_print\n001,Invented Person,,\n002,Another"
    " Person,25,yes\n"
)
ROLL = "roll.csv"


class IssueForm(Form):
    """Preview and issue one paper."""

    def __init__(self, name):
        self.paper = find_paper(name)
        super().__init__(
            f"Look at it and issue it: {self.paper.title}",
            "File and folder names are seen from the folder of this notebook.",
            [
                ("roll", "Roll (CSV file)", ROLL),
                ("out", "New folder for the sitting", f"sitting-{self.paper.id}"),
                ("day", "Day, such as 2026-03-31", ""),
                ("place", "Place", ""),
                ("minutes", "Minutes at the desk (empty: the paper's own)", ""),
            ],
            [
                ("issue", "Issue"),
                ("preview", "Write preview"),
                ("answers", "Write preview with answers"),
                ("roll", "Write an example roll"),
            ],
        )

    def do_roll(self, values):
        """Write an example roll, unless there is one."""
        path = Path(values["roll"])
        if path.exists():
            raise UserError(f"{path} is there already, and stays as it is.")
        path.write_text(EXAMPLE, encoding="utf-8")
        return (
            (
                f"{path} written: two invented persons. Put your class there instead, and keep the"
                " first line."
            ),
            [],
        )

    def do_preview(self, values, answers=False):
        """Write the preview page."""
        path = Path(f"{self.paper.id}_{'answers' if answers else 'preview'}.html")
        path.write_text(preview(self.paper, answers).html(), encoding="utf-8")
        return (
            (
                f"{path} written: every item in numbers of one"
                f" draw{', with right answers: for you alone' if answers else ''}. Open it from the"
                " list of files."
            ),
            [],
        )

    def do_answers(self, values):
        """Write the preview page with right answers."""
        return self.do_preview(values, answers=True)

    def do_issue(self, values):
        """Issue the paper to the roll."""
        minutes = _minutes(values["minutes"])
        roll = read_roll(values["roll"])
        sitting = issue(
            self.paper,
            roll,
            values["out"],
            place=values["place"],
            day=values["day"],
            minutes=minutes,
            progress=lambda done, total: self.turn(message=f"Drawing {done} of {total} ..."),
        )
        out = Path(values["out"])
        rows = tuple(
            (
                number,
                one["name"],
                f"{sitting.minutes_of(number):g} minutes",
                f"{out / 'candidates' / f'candidate_{number}'}",
            )
            for number, one in sitting.candidates.items()
        )
        return (
            (
                f"Issued: sitting {sitting.id}. Keep {out / 'assessor' / KEY_FILE} safe, with a"
                " copy, away from the class: without it nothing can be marked."
            ),
            [Rows("Candidates", ("Number", "Name", "Time", "Folder"), rows)],
        )


def _minutes(text):
    if not text:
        return None
    try:
        minutes = float(text.replace(",", "."))
    except ValueError:
        minutes = 0.0
    if not 1 <= minutes <= 600:
        raise UserError(f"Minutes must be 1 to 600, got {text!r}")
    return minutes
