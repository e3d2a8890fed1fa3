"""What all forms of an assessor's notebook have in common: fields and buttons, what came of it
below, and the markbook of one sitting.
"""

from ipywidgets import HTML

from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.sitting.sitting import KEY_FILE, read_sitting
from tractionlab.errors import UserError
from tractionlab.lesson.ask import text_field
from tractionlab.paint.card import Card
from tractionlab.paint.document import fragment

STORE = "markbook.sqlite"


class Form(Card):
    """A card with text fields that does one of several things and shows what came of it below; a
    mistake is said in one sentence. `more`: widgets below that.
    """

    more = ()

    def __init__(self, title, text, fields, buttons):
        self.below = HTML()
        super().__init__(
            {
                "title": title,
                "text": text,
                "office": True,
                "fields": [text_field(name, label, value=value) for name, label, value in fields],
                "buttons": [[name, words, True] for name, words in buttons],
            }
        )

    def on_command(self, command, values):
        """Do it; `do_<command>(values)` returns (message, blocks to show)."""
        values = {name: value.strip() for name, value in values.items()}
        try:
            message, blocks = getattr(self, f"do_{command}")(values)
            self.below.value = fragment(blocks)
        except (UserError, OSError) as problem:
            message = str(problem)
        fields = [{**field, "value": values[field["name"]]} for field in self.face["fields"]]
        self.turn(fields=fields, message=message)


class BookForm(Form):
    """A form that works on the markbook of one sitting."""

    def with_store(self, values, work):
        """Result of `work(store, sitting)`; the sitting is entered if it is new."""
        sitting, store = read_sitting(values["key"]), Store(values["store"])
        try:
            return work(store, sitting)
        finally:
            store.close()


def where(name, out=""):
    """Fields for key and markbook of a sitting with a paper, which was issued into the folder
    `out`.
    """
    out = out or f"sitting-{find_paper(name).id}"
    key = ("key", "Key file of the sitting", f"{out}/assessor/{KEY_FILE}")
    return key, ("store", "Markbook", STORE)


def named(values, *fields):
    """Raise UserError unless a person has said who decides, and why."""
    for name in fields:
        if not 1 <= len(values[name]) <= 500:
            what = {"by": "your name", "reason": "the reason"}[name]
            raise UserError(
                f"Write {what} first, in at most 500 characters: it stays in the record."
            )
