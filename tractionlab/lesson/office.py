"""What an assessor's notebook shows: what a paper covers, the proof of its keys, and forms to issue
it, enter practicals, mark and report.
"""

import json
from pathlib import Path

from ipywidgets import HTML, VBox

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.bank.paper_commands import about, preview
from tractionlab.assess.markbook import amend, lost_time
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.mark_folder import report as marking_report
from tractionlab.assess.markbook.marking import mark_folder, open_sitting
from tractionlab.assess.markbook.report import write as write_reports
from tractionlab.assess.markbook.workers import Here
from tractionlab.assess.proof.prove import prove
from tractionlab.assess.sitting.issue import KEY_FILE, issue
from tractionlab.assess.sitting.roll import read_roll
from tractionlab.errors import UserError
from tractionlab.lesson.office_form import BookForm, Form, named, where
from tractionlab.paint.document import Heading, Rows, Text, fragment

EXAMPLE = (
    "candidate,name,extra_time_percent,larger_print\n001,Invented Person,,\n002,Another"
    " Person,25,yes\n"
)
ROLL, INBOX = "roll.csv", "inbox"


def paper_facts(name):
    """What a paper covers, and folded, how it is marked and passed; no item and no key."""
    blocks = about(find_paper(name))
    return HTML(
        f"{fragment(blocks[:2])}<details><summary>How it is marked and"
        f" passed</summary>{fragment(blocks[2:])}</details>"
    )


def proof_facts(name):
    """The proof of a paper's keys, worked out now: how many fields were shown, and which ones need
    a person.
    """
    chosen = [items()[key] for key in find_paper(name).items]
    findings = prove(chosen)
    seen = tuple(
        (f"{finding.item}, {items()[finding.item].title}", finding.words)
        for finding in findings
        if finding.kind == "seen"
    )
    fails = [
        Text(f"FAILS: {finding.item}, {finding.field}: {finding.words}", strong=True)
        for finding in findings
        if finding.kind == "fails"
    ]
    shown = sum(finding.kind == "shown" for finding in findings)
    return _page(
        [
            Text(
                f"{shown} of {len(findings)} answers were found by a second route; {len(fails)}"
                " fail.",
                strong=True,
            ),
            *fails,
            Rows("For a person", ("Item", "Why"), seen, (4, 6)),
        ]
    )


def _page(blocks):
    return HTML(fragment(blocks))


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


class MarkForm(BookForm):
    """Mark a folder, see the class, write the reports, release."""

    def __init__(self, name):
        super().__init__(
            "Mark, look, report",
            "Put all answer files into one folder, in any order.",
            [
                ("inbox", "Folder with the answer files", INBOX),
                *where(name),
                ("reports", "Folder for reports", "reports"),
                ("by", "Your name (for the release)", ""),
            ],
            [
                ("mark", "Mark"),
                ("list", "Show the class"),
                ("reports", "Write reports"),
                ("release", "Release the marks"),
                ("unfinished", "Release although practicals are missing"),
            ],
        )

    def do_mark(self, values):
        """Mark every file of the folder."""
        folder = Path(values["inbox"])
        if not folder.is_dir():
            raise UserError(f"{folder} is no folder. Make it, and put the answer files into it.")
        told = self.with_store(
            values,
            lambda store, sitting: marking_report(
                sitting,
                mark_folder(
                    folder,
                    sitting,
                    store,
                    Here(),
                    progress=lambda done, total: self.turn(
                        message=f"Marking {done} of {total} ..."
                    ),
                ),
            ),
        )
        return "Marked.", [Text(line) for line in told.splitlines() if line]

    def do_list(self, values):
        """The class with marks and status."""

        def listed(store, sitting):
            book = open_book(store, sitting.id)
            return book.row.state, tuple(
                (number, book.roll[number], book.status(number), *_shown(book.results.get(number)))
                for number in book.roll
            )

        state, rows = self.with_store(values, listed)
        return f"The marks are {state}.", [
            Rows("Class", ("Number", "Name", "File", "Marks", "Per cent", "Result"), rows)
        ]

    def do_reports(self, values):
        """Write class overview, record and, after the release, feedback."""

        def written(store, sitting):
            book = open_book(store, sitting.id)
            return book.row.state, write_reports(book, values["reports"])

        state, made = self.with_store(values, written)
        words = (
            "Written. Feedback for candidates comes when the marks are released."
            if state == "open"
            else "Written."
        )
        if made.failed:
            words = (
                f"{len(made.failed)} of {len(made.failed) + len(made.paths)} pages could not be"
                " made; they are named below."
            )
        return words, [
            *(Text(sentence, strong=True) for sentence in made.failed),
            *(Text(str(path)) for path in made.paths),
        ]

    def do_release(self, values, unfinished=False):
        """Let the marks out."""
        named(values, "by")
        self.with_store(
            values,
            lambda store, sitting: amend.release(
                open_book(store, sitting.id), values["by"], unfinished
            ),
        )
        return "Released. Write the reports again: now each candidate's feedback is among them.", []

    def do_unfinished(self, values):
        """Let the marks out although practicals are not entered."""
        return self.do_release(values, unfinished=True)


def _shown(found):
    if found is None:
        return "-", "-", ""
    return (
        f"{found.got:g} of {found.out_of:g}",
        f"{found.percent:.1f}",
        found.grade + ("" if found.safe else ", safety gate failed"),
    )


class HeldForm(BookForm):
    """Look at the files of one candidate; count a held one, or end its hold without marks."""

    def __init__(self, name):
        super().__init__(
            "A file that is held",
            "Look at it, ask the candidate, then decide. A held file stops the release of all.",
            [
                *where(name),
                ("candidate", "Candidate number", ""),
                ("check", "Check number of the file (if there are several)", ""),
                ("by", "Your name", ""),
                ("reason", "Reason", ""),
            ],
            [
                ("look", "Look"),
                ("accept", "Count it as far as it can be trusted"),
                ("reject", "Reject it: no marks"),
            ],
        )

    def do_look(self, values):
        """The candidate's files and what was found in them."""

        def rows(store, sitting):
            book = open_book(store, sitting.id)
            return [
                (
                    row.check_number,
                    row.status,
                    " ".join(words for _, _, words in json.loads(row.findings)) or "-",
                )
                for row in book.files(book.candidate(values["candidate"]))
            ]

        found = self.with_store(values, rows)
        return f"{len(found)} file{'' if len(found) == 1 else 's'}.", [
            Rows("Files", ("Check number", "Status", "What was found"), tuple(found))
        ]

    def _decide(self, values, decide):
        named(values, "by", "reason")
        self.with_store(
            values,
            lambda store, sitting: decide(
                open_book(store, sitting.id),
                values["candidate"],
                values["by"],
                values["reason"],
                values["check"],
            ),
        )

    def do_accept(self, values):
        """Count the file."""
        self._decide(values, amend.accept)
        return f"Candidate {values['candidate']}: the file counts, as far as it can be trusted.", []

    def do_reject(self, values):
        """End the hold without marks."""
        self._decide(values, amend.reject)
        return (
            (
                f"Candidate {values['candidate']}: rejected, no marks. A file that comes later is"
                " marked as usual."
            ),
            [],
        )


class TimeForm(BookForm):
    """Give lost time back to one candidate."""

    def __init__(self, name):
        super().__init__(
            "Lost time",
            "A machine stopped, and a candidate lost time. The answers up to the later end then"
            " count, now and whenever you mark again.",
            [
                *where(name),
                ("candidate", "Candidate number", ""),
                ("minutes", "Lost minutes in all (0 takes them back)", ""),
                ("by", "Your name", ""),
                ("reason", "Reason", ""),
            ],
            [("time", "Give the time back")],
        )

    def do_time(self, values):
        """Write it into the markbook, and mark again."""
        named(values, "by", "reason")

        def given(store, sitting):
            open_sitting(store, sitting)
            return lost_time.give(
                open_book(store, sitting.id),
                values["candidate"],
                values["minutes"],
                values["by"],
                values["reason"],
            )

        before, now = self.with_store(values, given)
        return (
            (
                f"Candidate {values['candidate']}: {now} minutes of lost time (before: {before})."
                " The kept answers are marked again."
            ),
            [],
        )


class ObserveForm(BookForm):
    """Enter the list of one observed practical for one candidate."""

    def __init__(self, name, item):
        self.item = items()[item]
        steps = [
            (step["id"], f"{step['text']}{'  (SAFETY)' if step.get('gate') else ''}")
            for part in self.item.fields
            for step in part.steps
        ]
        self.steps = [step for step, _ in steps]
        super().__init__(
            f"Practical: {self.item.title}",
            "Enter it from the sheet you ticked.",
            [
                *where(name),
                ("candidate", "Candidate number", ""),
                ("by", "Your name", ""),
                *((step, words, "") for step, words in steps),
            ],
            [("observe", "Enter")],
        )
        done = [["done", "done"], ["not", "not done"]]
        self.turn(
            fields=[
                {**field, "options": done} if field["name"] in self.steps else field
                for field in self.face["fields"]
            ]
        )

    def do_observe(self, values):
        """Write it into the markbook."""
        if open_steps := [step for step in self.steps if not values[step]]:
            raise UserError(f"Say of every step whether it was done: {len(open_steps)} to go.")
        named(values, "by")

        def observed(store, sitting):
            open_sitting(store, sitting)
            return amend.observe(
                open_book(store, sitting.id),
                values["candidate"],
                self.item.id,
                [step for step in self.steps if values[step] == "done"],
                values["by"],
            )

        number, found = values["candidate"], self.with_store(values, observed)
        values |= dict.fromkeys(("candidate", *self.steps), "")
        return (
            f"Candidate {number}: {found.marks:g} of {found.out_of}. {' '.join(found.reasons)}",
            [],
        )


def _shown_form(form):
    return VBox([form, form.below])


def issue_form(name):
    """Form to look at a paper and issue it."""
    return _shown_form(IssueForm(name))


def mark_form(name):
    """Forms to mark, look, report and release, for files that are held, and for lost time."""
    return VBox([_shown_form(form(name)) for form in (MarkForm, HeldForm, TimeForm)])


def observe_form(name):
    """A form for each observed practical of a paper."""
    practicals = [key for key in find_paper(name).items if items()[key].kind == "checklist"]
    return VBox(
        [_shown_form(ObserveForm(name, key)) for key in practicals]
        or [_page([Heading("This paper has no practical.")])]
    )
