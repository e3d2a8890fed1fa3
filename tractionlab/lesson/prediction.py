"""A prediction: a guess before the panel opens, chosen or typed, and where a curve is the answer
perhaps drawn as well.
"""

import re
from dataclasses import dataclass

import traitlets

from tractionlab.lesson.ask import (
    asked,
    blank_face,
    choice_field,
    draft_key,
    shown_unit,
    text_field,
)
from tractionlab.lesson.drawn import drawn_field, kept_drawing, read_drawing
from tractionlab.lesson.look_back import LookBack
from tractionlab.paint.card import Card
from tractionlab.written.numbers import Unreadable, convert, read
from tractionlab.written.record import day_of, my_record

_THOUSANDS = re.compile(
    r"[1-9][0-9]{0,2}[.,][0-9]{3}(?![0-9])"
)  #: may be meant as thousands, is read as decimals


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

    Who likes draws the curve, too: `drawn` are the values of its points, None where nothing was
    set, or () without a drawing. It may be left out.

    A number that may be meant as thousands is shown as it was read and written down with the next
    press, so that it can be mended once."""

    answered = traitlets.Bool(False)

    def __init__(self, name):
        self.name, self.entry = name, asked(name, needs_answer=False)
        self.question = self.entry["ask"]
        if "options" in self.entry:
            field = choice_field("guess", self.entry, name)
        else:
            field = text_field("guess", self.question, unit=shown_unit(self.entry["unit"]))
        self.draw, self.drawn = self.entry.get("draw"), ()
        super().__init__(
            blank_face(
                "Your prediction",
                fields=[field, *([drawn_field(self.draw)] if self.draw else [])],
                buttons=[["keep", "Write down my prediction", True]],
                waits=True,
                hall=True,
                draft=draft_key(name),
            )
        )
        self._asked = False
        stored = my_record().last(name, "prediction")
        if stored is not None and self._problem(stored["answer"]):
            self.turn(
                message="What your record holds of this guess cannot be read. Write it down once"
                " more."
            )
        elif stored is not None:
            self.drawn = kept_drawing(stored, self.draw) if self.draw else ()
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
        guess, drawn = values["guess"].strip(), values.get("drawn", "")
        if self.answered:
            return self.turn(
                message="Your prediction stays as you wrote it. Compare it with the picture below."
            )
        if problem := self._problem(guess):
            return self._mend(guess, drawn, problem)
        try:
            points = read_drawing(drawn, self.draw) if self.draw else ()
        except Unreadable as problem:
            return self._mend(guess, drawn, str(problem))
        if "unit" in self.entry and _THOUSANDS.match(guess) and not self._asked:
            self._asked = True
            return self._mend(
                guess,
                drawn,
                f"Read as {self._number(guess):g} {shown_unit(self.entry['unit'])}".rstrip()
                + ": comma and point mark decimals. If that is right, press again. If not, mend it"
                " now, without a separator.",
            )
        more = {"drawn": list(points)} if points else {}
        my_record().add("prediction", self.entry["lesson"], self.name, guess, **more)
        self.drawn = points
        self._close(guess)

    def _mend(self, guess, drawn, message):
        """Say what is missing; what was typed and drawn stays."""
        typed = {"guess": guess, "drawn": drawn}
        fields = [{**field, "value": typed[field["name"]]} for field in self.face["fields"]]
        self.turn(fields=fields, message=message)

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
            fields=[field, *([] if when else self._axes())],
            notice=my_record().note,
            buttons=[["keep", "Write down my prediction", False]],
            waits=False,
        )
        said = "" if "options" in self.entry else f" as {self.guess.words}"
        self.turn(message=f"Written down{when}{said}. Now try it in the panel below and compare.")
        self.answered = True

    def _axes(self):
        """The axes of today, drawn in or not: they stay so that the card keeps its height."""
        return [drawn_field(self.draw, self.drawn) | {"fixed": True}] if self.draw else []


def predict(name):
    """The prediction of data/questions.toml with this name; give it to a panel as `locked_by`."""
    return Prediction(name)
