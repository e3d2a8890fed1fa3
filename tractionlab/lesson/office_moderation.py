"""The forms of an assessor's notebook for second marking, changed marks, appeals and resits."""

from ipywidgets import VBox

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.markbook import amend, appeals, moderate, resit, second_sheets
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.joined import joined
from tractionlab.assess.markbook.reports.phrases import agreement, total, who
from tractionlab.lesson.office_form import BookForm, named, where
from tractionlab.lesson.office_practicals import ObserveForm
from tractionlab.paint.blocks import Rows, Text


class SecondForm(BookForm):
    """Choose whom a second person looks at, write the sheets, enter the second marks, compare."""

    def __init__(self, name):
        super().__init__(
            "Second marking",
            "A second person marks a sample from sheets without names and first marks.",
            [
                *where(name),
                ("folder", "Folder for the sheets", "second-marking"),
                ("file", "File with the second marks", "second-marking/second_marks.csv"),
                ("by", "Second marker (to enter the marks)", ""),
            ],
            [
                ("sample", "Show the sample"),
                ("sheets", "Write the sheets"),
                ("enter", "Enter the second marks"),
                ("compare", "Compare"),
            ],
        )

    def _book(self, values, work):
        return self.with_store(values, lambda store, sitting: work(open_book(store, sitting.id)))

    def do_sample(self, values):
        """Whom a second person looks at, and why."""
        chosen = self._book(values, moderate.sample)
        rows = tuple((number, "; ".join(why)) for number, why in chosen.items())
        return f"{len(rows)} records.", [Rows("Sample", ("Number", "Why"), rows, (1, 6))]

    def do_sheets(self, values):
        """Write a page and a PDF for each candidate of the sample."""
        paths = self._book(values, lambda book: second_sheets.sheets(book, values["folder"]))
        return "Written. Fill in second_marks.csv.", [Text(str(path)) for path in paths]

    def do_enter(self, values):
        """Read the second marks."""
        named(values, "by")
        count = self._book(values, lambda book: moderate.enter(book, values["file"], values["by"]))
        return f"{count} second marks entered.", []

    def do_compare(self, values):
        """First against second marks."""
        rows = self._book(values, moderate.compare)
        words = [
            Text(f"{number}: {line}")
            for number in dict.fromkeys(row[0] for row in rows)
            for line in agreement(rows, number)
        ]
        far = sum(abs(row[3] - row[4]) > moderate.TALK_OVER for row in rows)
        return (
            f"{far} of {len(rows)} totals are more than {moderate.TALK_OVER:g} marks apart: look at"
            " the rule before the mark.",
            words,
        )


class DecideForm(BookForm):
    """Set a mark of one candidate, or note an appeal."""

    def __init__(self, name):
        super().__init__(
            "A mark by hand, an appeal",
            "A mark that a person sets, also for answers on paper, stays with name and reason. An"
            " appeal marks the frozen answers again and changes nothing.",
            [
                *where(name),
                ("candidate", "Candidate number", ""),
                ("item", "Item (for a mark)", ""),
                ("marks", "Marks", ""),
                ("by", "Your name", ""),
                ("reason", "Reason", ""),
            ],
            [("change", "Set the mark"), ("appeal", "Note an appeal, mark again")],
        )

    def _decide(self, values, work):
        named(values, "by", "reason")
        return self.with_store(values, lambda store, sitting: work(open_book(store, sitting.id)))

    def do_change(self, values):
        """Set the mark."""
        old, new = self._decide(
            values,
            lambda book: amend.change(
                book, *(values[name] for name in ("candidate", "item", "marks", "by", "reason"))
            ),
        )
        before = "none" if old is None else f"{old:g}"
        whom = f"Candidate {values['candidate']}, {values['item']}"
        return f"{whom}: {new:g} marks (before: {before}).", []

    def do_appeal(self, values):
        """Mark the frozen answers again."""
        differ = self._decide(
            values,
            lambda book: appeals.appeal(
                book, *(values[name] for name in ("candidate", "by", "reason"))
            ),
        )
        rows = [Text(f"{item}: holds {old:g}, worked out now {new:g}") for item, old, new in differ]
        return "Marked again: " + ("see below." if rows else "the same marks."), rows


class ResitForm(BookForm):
    """Plan resits, write their papers, see the joined results."""

    def __init__(self, name):
        super().__init__(
            "Resits",
            "Only what the rules of the paper miss is asked again. Mark the resits into the same"
            " markbook, with their own key files: then the results join.",
            [
                *where(name),
                ("folder", "Folder for the resits", "resit"),
                ("day", "Day, such as 2026-03-31", ""),
                ("place", "Place", ""),
            ],
            [
                ("plan", "Show the plan"),
                ("papers", "Write the papers"),
                ("issue", "Issue them"),
                ("practicals", "Show the forms for their practicals"),
                ("joined", "Show the joined results"),
            ],
        )
        self.more = (VBox(),)

    def _book(self, values, work):
        return self.with_store(values, lambda store, sitting: work(open_book(store, sitting.id)))

    def do_plan(self, values):
        """Who sits what, and for whom nothing can be planned yet."""

        def rows(book):
            asked = [(who(book, number), " ".join(names)) for number, names, _ in resit.plan(book)]
            return asked + [(who(book, number), why) for number, why in resit.left_out(book)]

        found = tuple(self._book(values, rows))
        return f"{len(found)} to look at.", [Rows("Plan", ("Candidate", "What"), found, (2, 5))]

    def do_papers(self, values):
        """Write the papers and the plan."""
        paths = self._book(values, lambda book: resit.write_papers(book, values["folder"]))
        return "Written.", [Text(str(path)) for path in paths]

    def do_issue(self, values):
        """Issue each paper to those who take it."""
        said = [values[name] for name in ("folder", "day", "place")]
        rows = [
            (number, one["name"], f"{sitting.minutes_of(number)} minutes", str(out))
            for sitting, out in self._book(values, lambda book: resit.issue_papers(book, *said))
            for number, one in sitting.candidates.items()
        ]
        head = ("Number", "Name", "Time", "Folder, and in it the key file in `assessor`")
        return "Issued.", [Rows("Resits", head, tuple(rows), (1, 3, 1, 4))]

    def do_practicals(self, values):
        """Show a form for each practical of the resits."""
        forms = [
            ObserveForm(str(path), item, str(out))
            for path, out in resit.papers_in(values["folder"])
            for item in find_paper(str(path)).items
            if items()[item].kind == "checklist"
        ]
        self.more[0].children = [VBox([form, form.below]) for form in forms]
        return f"{len(forms)} practical{'' if len(forms) == 1 else 's'}, below.", []

    def do_joined(self, values):
        """What first sitting and resits give together."""

        def rows(book):
            return [
                (who(book, number), " / ".join(total(found)), " ".join(found.lacking))
                for number, found in joined(book).items()
            ]

        found = tuple(self._book(values, rows))
        head = ("Candidate", "Result", "What is missing")
        return f"{len(found)} sat a resit.", [Rows("With the resits", head, found, (2, 2, 5))]
