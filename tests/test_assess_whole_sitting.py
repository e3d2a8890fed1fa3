"""A whole sitting by the forms' own messages alone, from the roll to the joined resit: no command
and no call behind them.
"""

import re

from whole_sitting import PAPER, PRACTICAL, WholeSitting, write_paper

from tractionlab.lesson.office_issue import IssueForm
from tractionlab.lesson.office_marks import MarkForm, TimeForm
from tractionlab.lesson.office_moderation import DecideForm, ResitForm, SecondForm
from tractionlab.lesson.office_practicals import ObserveForm

KINDS = {
    "issue": IssueForm,
    "mark": MarkForm,
    "time": TimeForm,
    "second": SecondForm,
    "decide": DecideForm,
    "resit": ResitForm,
}


def value_of(form, name):
    return next(field["value"] for field in form.face["fields"] if field["name"] == name)


class Forms:
    """The forms of an assessor's notebook, pressed by messages."""

    def __init__(self):
        self.by_name = {name: kind(PAPER) for name, kind in KINDS.items()}
        self.practical = ObserveForm(PAPER, PRACTICAL)

    def press(self, name, command, says, **values):
        """As WholeSitting asks."""
        form = self.by_name.get(name) or self.of_practical(*name)
        there = {field["name"]: field["value"] for field in form.face["fields"]}
        form.on_command(command, there | values)
        rows = form.below.value.replace("</tr>", "\n").replace("</th>", "\t").replace("</td>", "\t")
        told = f"{form.face['message']} {re.sub('<[^>]+>', ' ', rows)}"
        assert says in told
        return told

    def of_practical(self, item, key):
        shown = self.by_name["resit"].more[0].children
        forms = [self.practical, *(box.children[0] for box in shown)]
        return next(form for form in forms if form.item.id == item and value_of(form, "key") == key)


def test_from_the_roll_to_the_joined_resit(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    write_paper(tmp_path)
    WholeSitting(tmp_path, Forms().press).journey()
