"""A practice paper inside a learner's folder: opened by running the notebook, kept between runs,
drawn again when wanted, added up by outcome.
"""

from html import escape
from pathlib import Path

from ipywidgets import HTML, VBox

from tractionlab.assess.bank.item import OUTCOMES, items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.desk.desk import desk
from tractionlab.assess.desk.practice import marks
from tractionlab.assess.sitting.issue import practice
from tractionlab.errors import UserError
from tractionlab.lesson.ask import blank_face
from tractionlab.lesson.start import lessons, link
from tractionlab.paint.blocks import Rows
from tractionlab.paint.card import Card
from tractionlab.paint.document import fragment
from tractionlab.written.record import PAPERS


class OwnPaper(Card):
    """Buttons of a practice paper; the newest one stands above them, in `forms`."""

    def __init__(self, name):
        self.paper, self.forms, self.sums = find_paper(name), VBox(), HTML()
        super().__init__(
            blank_face(
                "How far you are",
                text="Your answers are kept in this folder. Close and come back as you like.",
                buttons=[["sum", "Add up so far", True], ["new", "Draw new numbers", True]],
            )
        )
        self._open(self._folder() or self._draw())

    def on_command(self, command, values):
        """Add up, or begin again with other numbers."""
        try:
            if command == "new":
                self._open(self._draw())
                return self.turn(
                    message=(
                        f"Other numbers for every question. Your earlier paper stays in {PAPERS}."
                    )
                )
            self.sums.value = added_up(self.desk)
            self.turn(message="Added up below.")
        except (UserError, OSError) as problem:
            self.turn(message=str(problem))

    def _papers(self):
        own = Path.cwd() / PAPERS
        numbers = (
            [path.name.removeprefix(f"{self.paper.id}-") for path in own.glob(f"{self.paper.id}-*")]
            if own.is_dir()
            else []
        )
        return own, max((int(number) for number in numbers if number.isdigit()), default=0)

    def _folder(self):
        own, last = self._papers()
        return own / f"{self.paper.id}-{last}" if last else None

    def _draw(self):
        own, last = self._papers()
        folder = own / f"{self.paper.id}-{last + 1}"
        practice(self.paper, folder)
        return folder

    def _open(self, folder):
        shown = desk(folder)
        self.desk = shown.children[0] if isinstance(shown, VBox) else None
        self.forms.children, self.sums.value = (shown if self.desk else HTML(shown.data),), ""


def added_up(shown):
    """HTML: marks by outcome of a practice Desk, and which lesson helps where marks are missing."""
    if shown is None:
        return ""
    answers, found = shown.file.reading.answers(), {}
    for name in (item["id"] for item in shown.sheet["items"] if item["kind"] != "checklist"):
        got, out_of, tried = found.setdefault(items()[name].outcome, [0.0, 0, 0])
        given = answers.get(name, {})
        found[items()[name].outcome] = [
            got + (marks(shown.sheet, name, given) if given else 0.0),
            out_of + items()[name].marks,
            tried + bool(given),
        ]
    known = {f"LO{entry['number']}": entry for entry in lessons()}
    again = [
        known[outcome] for outcome, (got, out_of, tried) in found.items() if tried and got < out_of
    ]
    rows = tuple(
        (
            f"{outcome} {OUTCOMES[outcome]}",
            f"{got:g} of {out_of}",
            (
                "not tried"
                if not tried
                else ""
                if got == out_of
                else f"lesson {known[outcome]['number']}"
            ),
        )
        for outcome, (got, out_of, tried) in found.items()
    )
    total, most = (sum(row[place] for row in found.values()) for place in (0, 1))
    bay = sum(item["marks"] for item in shown.sheet["items"] if item["kind"] == "checklist")
    caption = (
        f"So far: {total:g} of {most} marks that you can get here. The practicals are for the bay,"
        f" with a qualified person, and bring {bay} marks more."
    )
    links = ", ".join(link(entry, f"lesson {entry['number']}, {entry['title']}") for entry in again)
    return fragment([Rows(caption, ("Outcome", "Marks", "Look again at"), rows)]) + (
        f"<p>Look again at {links}.</p>" if again else ""
    )


def practice_paper(name):
    """A paper of the course to practise on, with feedback at once."""
    try:
        found = OwnPaper(name)
    except (UserError, OSError) as problem:
        return HTML(f"<p role='alert'><strong>{escape(str(problem))}</strong></p>")
    return VBox([found.forms, found, found.sums])
