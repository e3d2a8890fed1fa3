"""What a lesson asks: a prediction before the panel opens, and a question with the reason."""

import re
from dataclasses import dataclass

import traitlets

from tractionlab.errors import UserError
from tractionlab.lesson.look_back import LookBack
from tractionlab.lesson.questions import questions, reply, shown_order
from tractionlab.paint.card import Card
from tractionlab.written.numbers import Unreadable, convert, read
from tractionlab.written.record import day_of, my_record, today

_CHECK = ["check", "Check", True]
_THOUSANDS = re.compile(
    r"[1-9][0-9]{0,2}[.,][0-9]{3}(?![0-9])"
)  #: may be meant as thousands, is read as decimals


def _question(name, needs_answer):
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


@dataclass(frozen=True)
class Guess:
    """What was guessed: `words` as shown to the learner, `value` the number in the prediction's
    unit or of the option, `options` or ().
    """

    words: str
    value: float
    options: tuple


class Prediction(Card):
    """A guess, written down once. `answered` opens the panel that gets this as `locked_by`;
    afterwards it stays as it was.

    A number that may be meant as thousands is shown as it was read and written down with the next
    press, so that it can be mended once."""

    answered = traitlets.Bool(False)

    def __init__(self, name):
        self.name, self.entry = name, _question(name, needs_answer=False)
        self.question = self.entry["ask"]
        if "options" in self.entry:
            field = choice_field("guess", self.entry, name)
        else:
            field = text_field("guess", self.question, unit=shown_unit(self.entry["unit"]))
        super().__init__(
            blank_face(
                "Your prediction",
                fields=[field],
                buttons=[["keep", "Write down my prediction", True]],
                waits=True,
                draft=draft_key(name),
            )
        )
        self._asked = False
        stored = my_record().last(name, "prediction")
        if stored is not None:
            self._close(stored["answer"], f" on {day_of(stored)}")

    def look_back(self, panel):
        """What stands below the panel that this opens."""
        field = text_field("why", "Try the panel. Was it so? Why? One line is enough.", words=True)
        buttons = [["keep", "Keep my line", True], ["compare", "Show what came out", True]]
        return LookBack(
            self,
            panel,
            blank_face("Your guess and the panel", fields=[field], buttons=buttons),
            my_record,
        )

    @property
    def guess(self):
        """The Guess that was written down."""
        typed = self.face["fields"][0]["value"]
        if "options" in self.entry:
            return Guess(
                f"\u201c{self.entry['options'][int(typed) - 1]}\u201d",
                int(typed),
                tuple(self.entry["options"]),
            )
        value, unit = self._number(typed), shown_unit(self.entry["unit"])
        return Guess(f"{value:g} {unit}".rstrip(), value, ())

    def _number(self, typed):
        """Typed text as a number in the prediction's unit, None if it measures something else, or
        Unreadable.
        """
        reading, unit = read(typed), self.entry["unit"]
        return convert(reading.number, reading.unit or unit, unit)

    def on_command(self, command, values):
        """Store the guess, or say what is missing."""
        guess = values["guess"].strip()
        if self.answered:
            return self.turn(
                message="Your prediction stays as you wrote it. Compare it with the picture below."
            )
        if problem := self._problem(guess):
            return self.turn(message=problem)
        if "unit" in self.entry and _THOUSANDS.match(guess) and not self._asked:
            self._asked = True
            return self.turn(
                message=f"Read as {self._number(guess):g} {shown_unit(self.entry['unit'])}".rstrip()
                + ": comma and point mark decimals. If that is right, press again. If not, mend it"
                " now, without a separator."
            )
        my_record().add("prediction", self.entry["lesson"], self.name, guess)
        self._close(guess)

    def _problem(self, guess):
        if "options" in self.entry:
            return (
                ""
                if guess in map(str, range(1, len(self.entry["options"]) + 1))
                else "Choose one answer first. A guess is fine."
            )
        try:
            value = self._number(guess)
        except Unreadable as error:
            return str(error)
        unit, low, high = self.entry["unit"], self.entry["lowest"], self.entry["highest"]
        return (
            ""
            if value is not None and low <= value <= high
            else f"Give a number from {low:g} to {high:g} {shown_unit(unit)}".rstrip() + "."
        )

    def _close(self, guess, when=""):
        field = {**self.face["fields"][0], "value": guess, "fixed": True}
        self.turn(
            fields=[field],
            notice=my_record().note,
            buttons=[["keep", "Write down my prediction", False]],
            waits=False,
        )
        said = "" if "options" in self.entry else f" as {self.guess.words}"
        self.turn(message=f"Written down{when}{said}. Now try it in the panel below and compare.")
        self.answered = True


class Question(Card):
    """One choice with the reason for the right one.

    The first answer of a day counts as a proof of the outcome.
    """

    def __init__(self, name, title):
        self.name, self.entry = name, _question(name, needs_answer=True)
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


def predict(name):
    """The prediction of data/questions.toml with this name; give it to a panel as `locked_by`."""
    return Prediction(name)


def recall(name):
    """A question about an earlier lesson."""
    return Question(name, "Do you remember?")


def question(name):
    """A question about this lesson."""
    return Question(name, "Check yourself")
