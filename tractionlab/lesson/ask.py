"""What a lesson asks: a question with the reason, and what all cards that ask have in common."""

from tractionlab.errors import UserError
from tractionlab.lesson.questions import questions, reply, shown_order
from tractionlab.paint.card import Card
from tractionlab.written.record import day_of, my_record, today

_CHECK = ["check", "Check", True]


def asked(name, needs_answer):
    """The entry of data/questions.toml with this name; UserError if there is none of that kind."""
    entry = questions().get(name)
    if entry is None or ("answer" in entry) is not needs_answer:
        kind = "question" if needs_answer else "prediction"
        known = [key for key, value in questions().items() if ("answer" in value) is needs_answer]
        raise UserError(f"no {kind} {name!r}; there are {', '.join(known)}")
    return entry


def text_field(name, label, **more):
    return {
        "name": name,
        "label": label,
        "unit": "",
        "value": "",
        "fixed": False,
        "mark": "",
        "message": "",
        **more,
    }


def shown_unit(unit):
    return "" if unit in ("1", "times") else unit


def choice_field(name, entry, question):
    """A choice; `question` is its name in data/questions.toml, from which the learner's own order
    of the options follows.
    """
    order = shown_order(question, entry, my_record().key())
    return text_field(
        name, entry["ask"], options=[[str(i), entry["options"][i - 1]] for i in order]
    )


def draft_key(name):
    """Name under which the browser keeps what is typed into a card and not yet checked: the
    learner's own, and the card's.
    """
    return f"{my_record().key()} {name}"


def blank_face(title, **more):
    return {"title": title, "notice": my_record().note, **more}


class Question(Card):
    """One choice with the reason for the right one.

    The first answer of a day counts as a proof of the outcome.
    """

    def __init__(self, name, title):
        self.name, self.entry = name, asked(name, needs_answer=True)
        super().__init__(
            blank_face(
                title,
                fields=[choice_field("answer", self.entry, name)],
                buttons=[_CHECK],
                draft=draft_key(name),
            )
        )
        last = my_record().last(name, "question")
        if last is not None and last["answer"] in self._possible():
            self._remember(last)

    def _possible(self):
        return tuple(map(str, range(1, len(self.entry["options"]) + 1)))

    def _remember(self, line):
        """Show an answer of before with its day; a right one stays until it is asked for again."""
        right = int(line["answer"]) == self.entry["answer"]
        self._show(line["answer"], f"{'Right' if right else 'Not right'} on {day_of(line)}.")
        if right:
            self.turn(
                fields=[{**self.face["fields"][0], "fixed": True}],
                buttons=[["again", "Answer once more", True]],
            )

    def on_command(self, command, values):
        """Judge the choice and keep it, or ask once more."""
        if command == "again":
            blank = {
                **self.face["fields"][0],
                "value": "",
                "mark": "",
                "message": "",
                "fixed": False,
            }
            return self.turn(fields=[blank], message="", buttons=[_CHECK])
        chosen = values["answer"]
        if chosen not in self._possible():
            return self.turn(message="Choose one answer first.")
        keep_choice(self.name, self.entry, chosen)
        self._show(chosen, "")

    def _show(self, chosen, message):
        field = {
            **self.face["fields"][0],
            "value": chosen,
            "message": reply(self.entry, int(chosen)),
            "mark": "right" if int(chosen) == self.entry["answer"] else "wrong",
        }
        self.turn(fields=[field], message=message, notice=my_record().note)


def keep_choice(name, entry, chosen):
    """Store an answer to a question with one right choice; True if it is right.

    Only the first one of a day counts.
    """
    record, right = my_record(), int(chosen) == entry["answer"]
    last = record.last(name, "question")
    first_today = last is None or last["time"][:10] != today()
    record.add(
        "question",
        entry["lesson"],
        name,
        chosen,
        right=right,
        hints=0,
        counts=right and first_today,
    )
    return right


def recall(name):
    """A question about an earlier lesson."""
    return Question(name, "Do you remember?")


def question(name):
    """A question about this lesson."""
    return Question(name, "Check yourself")
