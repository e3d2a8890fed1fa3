"""An own-number exercise as a card: answers judged at once, hints that fade as it is shown, the
working after two tries, and what was done before.
"""

from tractionlab.errors import UserError
from tractionlab.lesson.ask import blank_face, draft_key, shown_unit, text_field
from tractionlab.lesson.exercise_cars import stamp, with_own_cars
from tractionlab.lesson.exercises import all_exercises, judge
from tractionlab.paint.card import Card
from tractionlab.written.record import day_of, my_record

_TRIES_BEFORE_WORKING = 2
#: Hints there are once the exercise was shown with no set of numbers, with one, with more: the
#: third, another set worked out, goes first.
_HINTS = (3, 2, 0)
_FADED = (
    "",
    "You have shown this once. This time there are two hints.",
    "You have shown this twice. Now without hints: it is said how many are right, not which.",
)
#: hint 3 works with the numbers of a draw so far ahead that "New numbers" does not hand them out
#: next
_FAR = 50


class Practice(Card):
    """An exercise with the learner's own numbers, checked at once."""

    def __init__(self, name):
        exercises = all_exercises()
        if name not in exercises:
            raise UserError(f"no exercise {name!r}; there are {', '.join(sorted(exercises))}")
        self.course = self.exercise = exercises[name]
        self.cars, self.car = {}, ""
        super().__init__(blank_face(""))
        self._begin()

    def _begin(self):
        record, name = my_record(), self.exercise.id
        self.draw = sum(
            line["kind"] == "new_numbers" and line["question"] == name for line in record.lines()
        )
        self._take_car(record.last(name, "new_numbers"))
        self.task = self.exercise.task(record.key(), self.draw)
        before = [
            line
            for line in record.lines()
            if line["question"] == name
            and line.get("draw") == self.draw
            and line.get("car") == self.stamp.get("car")
        ]
        tried = [line for line in before if line["kind"] == "exercise"]
        self.tries, self.done = (
            sum(line.get("wrong") is True for line in tried),
            any(line.get("right") is True for line in tried),
        )
        self.level = self._shown_before(record.lines())
        self.most = _HINTS[self.level]
        taken = (line["hints"] for line in before if type(line.get("hints")) is int)
        self.hints = min(max(taken, default=0), self.most)
        self.open = any(line["kind"] == "help" and line["answer"] == "working" for line in before)
        fields = [
            text_field(str(i), part.label, unit=shown_unit(part.unit))
            for i, part in enumerate(self.task.parts)
        ]
        self.turn(
            title=f"Exercise {name}: {self.exercise.title}{self._with()}",
            text=self.task.text,
            data=[list(row) for row in self.task.data],
            fields=fields,
            message=_FADED[self.level],
            hints=self._hints(),
            working=list(self.task.working) if self.open else [],
            notice=record.note or self.mistake,
            buttons=self._buttons(),
            draft=draft_key(" ".join([name, str(self.draw), *self.stamp.values()])),
        )
        if tried:
            self._remember(tried[-1])

    def _shown_before(self, lines):
        """With how many sets of numbers before this one the exercise was shown, 2 at most."""
        sets = {
            (line.get("draw"), line.get("car"))
            for line in lines
            if line["question"] == self.exercise.id and line.get("counts") is True
        }
        return min(len(sets - {(self.draw, self.stamp.get("car"))}), len(_HINTS) - 1)

    def _take_car(self, line):
        """The car of a line of new numbers, while it is there and has numbers for this exercise."""
        self.mistake = ""
        try:
            self.cars = with_own_cars(self.course)
        except UserError as error:
            self.cars, self.mistake = {}, f"The numbers are those of the course: {error}"
        self.car = str(line.get("car", "")) if line else ""
        if self.car in self.cars:
            car, self.exercise = self.cars[self.car]
            self.stamp = {"car": stamp(self.car, car, self.course)}
        else:
            self.car, self.exercise, self.stamp = "", self.course, {}

    def _with(self):
        return f", with the numbers of {self.cars[self.car][0].name}" if self.car else ""

    def _remember(self, line):
        """Show the answers of before with their day."""
        typed = line["answer"].split(" | ")
        if len(typed) == len(self.task.parts):
            fields, _ = self._judged({str(i): text for i, text in enumerate(typed)})
            right = [field["mark"] for field in fields].count("right")
            self.turn(
                fields=self._without_marks(fields),
                message=(
                    f"{'All right' if right == len(fields) else f'{right} of {len(fields)} right'}"
                    f" on {day_of(line)}."
                ),
            )

    def _hints(self):
        steps = (
            [worked_example(self.exercise.like(self.task, my_record().key(), self.draw + _FAR))]
            if self.hints == 3
            else []
        )
        return [*self.task.hints, *steps][: self.hints]

    def _opens(self):
        """When the working opens, as words behind its button; "" if it is open to see."""
        left = 0 if self.done else _TRIES_BEFORE_WORKING - self.tries
        return f" (after {left} more tr{'y' if left == 1 else 'ies'})" if left > 0 else ""

    def _buttons(self):
        hint = f"Hint {min(self.hints + 1, self.most)} of {self.most}"
        return [
            ["check", "Check", True],
            *([["hint", hint, self.hints < self.most]] if self.most else []),
            ["working", f"Show the working{self._opens()}", not self._opens()],
            ["new", "New numbers", True],
            *([["course", "Numbers of the course", True]] if self.car else []),
            *(
                [f"car {key}", f"Numbers of {car.name}", True]
                for key, (car, _) in self.cars.items()
                if key != self.car
            ),
        ]

    def on_command(self, command, values):
        """Check the answers, give the next hint, show the working or draw new numbers, of the same
        car or of another.
        """
        work = {"check": self._check, "hint": self._hint, "working": self._working}
        if command in work:
            return work[command](values)
        word, _, key = command.partition(" ")
        self._new({"new": self.car, "course": "", "car": key}[word])

    def _judged(self, values):
        """(fields with their verdicts shown, list of (text, verdict or None))."""
        fields, typed = [], []
        for field, part in zip(self.face["fields"], self.task.parts):
            text = values[field["name"]].strip()
            verdict = judge(text, part) if text else None
            typed.append((text, verdict))
            mark = {"right": "right", "wrong": "wrong"}.get(verdict.kind, "note") if verdict else ""
            message = verdict.message if verdict else ""
            fields.append({**field, "value": text, "mark": mark, "message": message})
        return fields, typed

    def _without_marks(self, fields):
        """The fields as a silent exercise shows them until all are right: no word on which is."""
        if self.most or all(field["mark"] == "right" for field in fields):
            return fields
        hidden = {"mark": "", "message": ""}
        return [{**f, **hidden} if f["mark"] in ("right", "wrong") else f for f in fields]

    def _check(self, values):
        fields, typed = self._judged(values)
        kinds = [verdict.kind for _, verdict in typed if verdict]
        right = kinds.count("right") == len(fields)
        if not kinds:
            return self.turn(
                message="Type your answer into a box first. Decimal comma and point are both fine."
            )
        if set(kinds) & {"right", "wrong"}:
            self._keep(" | ".join(text for text, _ in typed), right, "wrong" in kinds)
        missing = len(fields) - len(kinds)
        message = (
            "All right. Look at the working, or try new numbers."
            if right
            else f"{kinds.count('right')} of {len(fields)} right"
            + (f", {missing} still to do." if missing else ".")
        )
        self.turn(
            fields=self._without_marks(fields),
            message=message,
            buttons=self._buttons(),
            notice=my_record().note or self.mistake,
        )

    def _keep(self, answer, right, counts_as_try):
        self.tries += counts_as_try
        own = right and not self.done and not self.open and self.hints < 3
        my_record().add(
            "exercise",
            self.exercise.lesson,
            self.exercise.id,
            answer,
            right=right,
            hints=self.hints,
            draw=self.draw,
            counts=own,
            wrong=counts_as_try,
            **self.stamp,
        )
        self.done = self.done or right

    def _keep_help(self, words):
        my_record().add(
            "help",
            self.exercise.lesson,
            self.exercise.id,
            words,
            hints=self.hints,
            draw=self.draw,
            **self.stamp,
        )

    def _hint(self, values):
        if self.hints >= self.most:
            return self.turn(message="There are no more hints. Show the working after two tries.")
        self.hints += 1
        self._keep_help(f"hint {self.hints}")
        self._turn_keeping(values, hints=self._hints(), buttons=self._buttons(), message="")

    def _working(self, values):
        if self._opens():
            return self._turn_keeping(
                values, message="Try twice yourself first. Hints help on the way."
            )
        if not self.open:
            self._keep_help("working")
        self.open = True
        self._turn_keeping(values, working=list(self.task.working), message="")

    def _new(self, car):
        which = {"car": car} if car else {}
        my_record().add(
            "new_numbers", self.exercise.lesson, self.exercise.id, str(self.draw + 1), **which
        )
        self._begin()
        self.turn(message=f"Here are new numbers. {_FADED[self.level]}".strip())

    def _turn_keeping(self, values, **changes):
        fields = [{**field, "value": values[field["name"]]} for field in self.face["fields"]]
        self.turn(fields=fields, **changes)


def worked_example(task):
    """A task worked out, for hint 3: its numbers on one line, then one step a line."""
    given = "; ".join(f"{label}: {value}" for label, value in task.data)
    return "\n".join(
        [
            "The same with other numbers.",
            given,
            *(f"{number}) {step}" for number, step in enumerate(task.working, 1)),
        ]
    )


def exercise(name):
    """The own-number exercise with this name, e.g. '1.1'."""
    return Practice(name)
