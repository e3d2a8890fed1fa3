"""The forms of an assessor's notebook to mark and release, for held files and for lost time."""

import json
from itertools import islice
from pathlib import Path

from tractionlab.assess.answers.folder import answer_files
from tractionlab.assess.markbook import given_time, held, state
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.filing import open_sitting
from tractionlab.assess.markbook.mark_folder import report as marking_report
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.reports.write import write as write_reports
from tractionlab.assess.markbook.workers import workers
from tractionlab.errors import UserError
from tractionlab.lesson.office_form import BookForm, named, where
from tractionlab.paint.blocks import Rows, Text

INBOX = "inbox"
FEW = 6  #: so many answer files are marked sooner than other processes have started


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
        pool = workers(count=None if len(list(islice(answer_files(folder), FEW + 1))) > FEW else 1)

        def say(done, total):
            self.turn(message=f"Marking: {done} of {total} files ...")

        def marked(store, sitting):
            self.turn(message="Marking ...")
            return marking_report(sitting, mark_folder(folder, sitting, store, pool, progress=say))

        try:
            told = self.with_store(values, marked)
        finally:
            pool.close()
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
            lambda store, sitting: state.release(
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
        self._decide(values, held.accept)
        return f"Candidate {values['candidate']}: the file counts, as far as it can be trusted.", []

    def do_reject(self, values):
        """End the hold without marks."""
        self._decide(values, held.reject)
        return (
            (
                f"Candidate {values['candidate']}: rejected, no marks. A file that comes later is"
                " marked as usual."
            ),
            [],
        )


class TimeForm(BookForm):
    """Give lost time back to one candidate, or let breaks count."""

    def __init__(self, name):
        super().__init__(
            "Lost time, breaks",
            "A machine stopped, and a candidate lost time; or a supervisor entered breaks at the"
            " desk. The answers up to the later end then count, now and whenever you mark again.",
            [
                *where(name),
                ("candidate", "Candidate number (breaks: empty is everybody)", ""),
                ("minutes", "Minutes in all (0 takes them back)", ""),
                ("by", "Your name", ""),
                ("reason", "Reason", ""),
            ],
            [("time", "Give lost time back"), ("break", "Let breaks count, up to these minutes")],
        )

    def _give(self, values, kind, everybody):
        named(values, "by", "reason")

        def given(store, sitting):
            open_sitting(store, sitting)
            book = open_book(store, sitting.id)
            numbers = list(book.roll) if everybody else [values["candidate"]]
            said = (values[name] for name in ("minutes", "by", "reason"))
            return given_time.give(book, kind, numbers, *said)

        before, now = self.with_store(values, given)
        words = f"{now} min of {'lost time' if kind == 'time' else 'breaks'}"
        return f"{words} counts now. The kept answers are marked again.", [
            Text(f"Candidate {number}: {words} (before: {old}).") for number, old in before.items()
        ]

    def do_time(self, values):
        """Give lost time back to one candidate, and mark again."""
        return self._give(values, "time", everybody=False)

    def do_break(self, values):
        """Let the breaks of one candidate or of all count, and mark again."""
        return self._give(values, "break", everybody=not values["candidate"])
