"""What a lesson asks: a prediction before the panel opens, a question with the reason, an exercise with own numbers."""
import re
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import traitlets

from tractionlab.errors import UserError

from .card import Card
from .exercises import all_exercises, judge
from .look_back import LookBack
from .numbers import Unreadable, convert, read
from .questions import questions, reply, shown_order
from .record import Record, today

_TRIES_BEFORE_WORKING = 2
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}(?![0-9])")   #: may be meant as thousands, is read as decimals
_FAR = 50  #: hint 3 works with the numbers of a draw so far ahead that "New numbers" does not hand them out next


@lru_cache(1)
def _record_of(folder):
    return Record(folder)


def my_record():
    """The record in the working folder."""
    return _record_of(Path.cwd())


def _question(name, needs_answer):
    entry = questions().get(name)
    if entry is None or ("answer" in entry) is not needs_answer:
        kind = "question" if needs_answer else "prediction"
        known = [key for key, value in questions().items() if ("answer" in value) is needs_answer]
        raise UserError(f"no {kind} {name!r}; there are {', '.join(known)}")
    return entry


def text_field(name, label, **more):
    return {"name": name, "label": label, "unit": "", "value": "", "fixed": False, "mark": "", "message": "", **more}


def _shown_unit(unit):
    return "" if unit in ("1", "times") else unit


def choice_field(name, entry, question):
    """A choice; `question` is its name in data/questions.toml, from which the learner's own order of the options follows."""
    order = shown_order(question, entry, my_record().key())
    return text_field(name, entry["ask"], options=[[str(i), entry["options"][i - 1]] for i in order])


def blank_face(title, **more):
    return {"title": title, "text": "", "data": [], "fields": [], "message": "", "notice": my_record().note, "buttons": [], "hints": [],
            "working": [], **more}


@dataclass(frozen=True)
class Guess:
    """What was guessed: `words` as shown to the learner, `value` the number in the prediction's unit or of the option, `options` or ()."""

    words: str
    value: float
    options: tuple


class Prediction(Card):
    """A guess, written down once. `answered` opens the panel that gets this as `locked_by`; afterwards it stays as it was.

    A number that may be meant as thousands is shown as it was read and written down with the next press, so that it can be mended once.
    """

    answered = traitlets.Bool(False)

    def __init__(self, name):
        self.name, self.entry = name, _question(name, needs_answer=False)
        self.question = self.entry["ask"]
        if "options" in self.entry:
            field = choice_field("guess", self.entry, name)
        else:
            field = text_field("guess", self.question, unit=_shown_unit(self.entry["unit"]))
        super().__init__(blank_face("Your prediction", fields=[field], buttons=[["keep", "Write down my prediction", True]], waits=True))
        self._asked = False
        stored = my_record().last(name, "prediction")
        if stored is not None:
            self._close(stored["answer"])

    def look_back(self, panel):
        """What stands below the panel that this opens."""
        field = text_field("why", "Try the panel. Was it so? Why? One line is enough.", words=True)
        buttons = [["keep", "Keep my line", True], ["compare", "Show what came out", True]]
        return LookBack(self, panel, blank_face("Your guess and the panel", fields=[field], buttons=buttons), my_record)

    @property
    def guess(self):
        """The Guess that was written down."""
        typed = self.face["fields"][0]["value"]
        if "options" in self.entry:
            return Guess(f"\u201c{self.entry['options'][int(typed) - 1]}\u201d", int(typed), tuple(self.entry["options"]))
        value, unit = self._number(typed), _shown_unit(self.entry["unit"])
        return Guess(f"{value:g} {unit}".rstrip(), value, ())

    def _number(self, typed):
        """Typed text as a number in the prediction's unit, None if it measures something else, or Unreadable."""
        reading, unit = read(typed), self.entry["unit"]
        return convert(reading.number, reading.unit or unit, unit)

    def on_command(self, command, values):
        """Store the guess, or say what is missing."""
        guess = values["guess"].strip()
        if self.answered:
            return self.turn(message="Your prediction stays as you wrote it. Compare it with the picture below.")
        if problem := self._problem(guess):
            return self.turn(message=problem)
        if "unit" in self.entry and _THOUSANDS.match(guess) and not self._asked:
            self._asked = True
            return self.turn(message=f"Read as {self._number(guess):g} {_shown_unit(self.entry['unit'])}".rstrip() +
                             ": comma and point mark decimals. If that is right, press again. If not, mend it now, without a separator.")
        my_record().add("prediction", self.entry["lesson"], self.name, guess)
        self._close(guess)

    def _problem(self, guess):
        if "options" in self.entry:
            return "" if guess in map(str, range(1, len(self.entry["options"]) + 1)) else "Choose one answer first. A guess is fine."
        try:
            value = self._number(guess)
        except Unreadable as error:
            return str(error)
        unit, low, high = self.entry["unit"], self.entry["lowest"], self.entry["highest"]
        return "" if value is not None and low <= value <= high else f"Give a number from {low:g} to {high:g} {_shown_unit(unit)}".rstrip() + "."

    def _close(self, guess):
        field = {**self.face["fields"][0], "value": guess, "fixed": True}
        self.turn(fields=[field], notice=my_record().note, buttons=[["keep", "Write down my prediction", False]], waits=False)
        said = "" if "options" in self.entry else f" as {self.guess.words}"
        self.turn(message=f"Written down{said}. Now try it in the panel below and compare.")
        self.answered = True


class Question(Card):
    """One choice with the reason for the right one. The first answer of a day counts as a proof of the outcome."""

    def __init__(self, name, title):
        self.name, self.entry = name, _question(name, needs_answer=True)
        super().__init__(blank_face(title, fields=[choice_field("answer", self.entry, name)], buttons=[["check", "Check", True]]))

    def on_command(self, command, values):
        """Judge the choice and keep it."""
        chosen = values["answer"]
        if chosen not in map(str, range(1, len(self.entry["options"]) + 1)):
            return self.turn(message="Choose one answer first.")
        right = keep_choice(self.name, self.entry, chosen)
        field = {**self.face["fields"][0], "value": chosen, "mark": "right" if right else "wrong",
                 "message": reply(self.entry, int(chosen))}
        self.turn(fields=[field], message="", notice=my_record().note)


def keep_choice(name, entry, chosen):
    """Store an answer to a question with one right choice; True if it is right. Only the first one of a day counts."""
    record, right = my_record(), int(chosen) == entry["answer"]
    last = record.last(name, "question")
    first_today = last is None or last["time"][:10] != today()
    record.add("question", entry["lesson"], name, chosen, right=right, hints=0, counts=right and first_today)
    return right


class Practice(Card):
    """An exercise with the learner's own numbers, checked at once."""

    def __init__(self, name):
        exercises = all_exercises()
        if name not in exercises:
            raise UserError(f"no exercise {name!r}; there are {', '.join(sorted(exercises))}")
        self.exercise = exercises[name]
        super().__init__(blank_face(""))
        self._begin()

    def _begin(self):
        record, name = my_record(), self.exercise.id
        self.draw = sum(line["kind"] == "new_numbers" and line["question"] == name for line in record.lines())
        self.task = self.exercise.task(record.key(), self.draw)
        self.tries, self.hints, self.open, self.done = 0, 0, False, False
        fields = [text_field(str(i), part.label, unit=_shown_unit(part.unit)) for i, part in enumerate(self.task.parts)]
        self.turn(title=f"Exercise {name}: {self.exercise.title}", text=self.task.text, data=[list(row) for row in self.task.data],
                  fields=fields, message="", hints=[], working=[], notice=record.note, buttons=self._buttons())

    def _buttons(self):
        left = 3 - self.hints
        return [["check", "Check", True], ["hint", f"Hint {min(self.hints + 1, 3)} of 3", left > 0],
                ["working", "Show the working", self.done or self.tries >= _TRIES_BEFORE_WORKING], ["new", "New numbers", True]]

    def on_command(self, command, values):
        """Check the answers, give the next hint, show the working or draw new numbers."""
        {"check": self._check, "hint": self._hint, "working": self._working, "new": self._new}[command](values)

    def _check(self, values):
        fields, typed = [], []
        for field, part in zip(self.face["fields"], self.task.parts):
            text = values[field["name"]].strip()
            verdict = judge(text, part) if text else None
            typed.append((text, verdict))
            mark = {"right": "right", "wrong": "wrong"}.get(verdict.kind, "note") if verdict else ""
            fields.append({**field, "value": text, "mark": mark, "message": verdict.message if verdict else ""})
        kinds = [verdict.kind for _, verdict in typed if verdict]
        right = kinds.count("right") == len(fields)
        if not kinds:
            return self.turn(message="Type your answer into a box first. Decimal comma and point are both fine.")
        if set(kinds) & {"right", "wrong"}:
            self._keep(" | ".join(text for text, _ in typed), right, "wrong" in kinds)
        missing = len(fields) - len(kinds)
        message = ("All right. Look at the working, or try new numbers." if right else
                   f"{kinds.count('right')} of {len(fields)} right" + (f", {missing} still to do." if missing else "."))
        self.turn(fields=fields, message=message, buttons=self._buttons(), notice=my_record().note)

    def _keep(self, answer, right, counts_as_try):
        self.tries += counts_as_try
        own = right and not self.done and not self.open and self.hints < 3
        my_record().add("exercise", self.exercise.lesson, self.exercise.id, answer, right=right, hints=self.hints, draw=self.draw, counts=own)
        self.done = self.done or right

    def _hint(self, values):
        if self.hints == 3:
            return self.turn(message="There are no more hints. Show the working after two tries.")
        self.hints += 1
        example = worked_example(self.exercise.like(self.task, my_record().key(), self.draw + _FAR))
        self._turn_keeping(values, hints=[*self.task.hints, example][:self.hints], buttons=self._buttons(), message="")

    def _working(self, values):
        if not (self.done or self.tries >= _TRIES_BEFORE_WORKING):
            return self._turn_keeping(values, message="Try twice yourself first. Hints help on the way.")
        self.open = True
        self._turn_keeping(values, working=list(self.task.working), message="")

    def _new(self, values):
        my_record().add("new_numbers", self.exercise.lesson, self.exercise.id, str(self.draw + 1))
        self._begin()
        self.turn(message="Here are new numbers.")

    def _turn_keeping(self, values, **changes):
        fields = [{**field, "value": values[field["name"]]} for field in self.face["fields"]]
        self.turn(fields=fields, **changes)


def worked_example(task):
    """A task worked out, for hint 3: its numbers on one line, then one step a line."""
    given = "; ".join(f"{label}: {value}" for label, value in task.data)
    return "\n".join(["The same with other numbers.", given, *(f"{number}) {step}" for number, step in enumerate(task.working, 1))])


def predict(name):
    """The prediction of data/questions.toml with this name; give it to a panel as `locked_by`."""
    return Prediction(name)


def recall(name):
    """A question about an earlier lesson."""
    return Question(name, "Do you remember?")


def question(name):
    """A question about this lesson."""
    return Question(name, "Check yourself")


def exercise(name):
    """The own-number exercise with this name, e.g. '1.1'."""
    return Practice(name)
