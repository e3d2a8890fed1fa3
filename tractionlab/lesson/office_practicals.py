"""The form of an assessor's notebook to enter an observed practical."""

from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import amend
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.filing import open_sitting
from tractionlab.errors import UserError
from tractionlab.lesson.office_form import BookForm, named, where


class ObserveForm(BookForm):
    """Enter the list of one observed practical for one candidate."""

    def __init__(self, name, item, out=""):
        self.item = items()[item]
        steps = [
            (step["id"], f"{step['text']}{'  (SAFETY)' if step.get('gate') else ''}")
            for part in self.item.fields
            for step in part.steps
        ]
        self.steps = [step for step, _ in steps]
        super().__init__(
            f"Practical: {self.item.title}",
            "Enter it from the sheet you ticked." + (" It belongs to the resit." if out else ""),
            [
                *where(name, out),
                ("candidate", "Candidate number", ""),
                ("by", "Your name", ""),
                ("reason", "Reason (only if it was entered before)", ""),
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
                values["reason"],
            )

        number, found = values["candidate"], self.with_store(values, observed)
        values |= dict.fromkeys(("candidate", "reason", *self.steps), "")
        return (
            f"Candidate {number}: {found.marks:g} of {found.out_of}. {' '.join(found.reasons)}",
            [],
        )
