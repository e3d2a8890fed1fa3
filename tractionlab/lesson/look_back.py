"""The look back: what the learner guessed, a line on why, and what the panel shows, once a control
of the panel was moved.
"""

from tractionlab.lesson.outcomes import outcome_of
from tractionlab.paint.card import Card

KIND = "look_back"
_MOST = 2000  # letters of a line


class LookBack(Card):
    """Stands below the panel of a prediction.

    `record()` gives the learner's record, where the line is kept as a kind of its own.
    """

    def __init__(self, prediction, panel, face, record):
        self.prediction, self.panel, self.record = prediction, panel, record
        super().__init__(face)
        panel.observe(lambda change: self._appear(), "locked")
        self._appear()

    def _appear(self):
        """Be there as soon as the panel is open."""
        self.layout.display = "none" if self.panel.locked else ""
        if self.panel.locked:
            return
        written = self._written()
        fields = [
            {**field, "value": written["answer"] if written else ""}
            for field in self.face["fields"]
        ]
        self.turn(
            text=f"You wrote: {self.prediction.guess.words}",
            fields=fields,
            notice=self.record().note,
            message=f"Kept on {written['time'][:10]}. You may add to it." if written else "",
        )

    def _written(self):
        return self.record().last(self.prediction.name, KIND)

    def on_command(self, command, values):
        """Keep the line, each one stays in the record; or show what came out."""
        line = values["why"].strip()
        if not self.panel.tried and not self._written():
            return self._say(line, "Move a control of the panel first, and look.")
        if command == "compare":
            return self._say(line, self._came_out()[0])
        if not 0 < len(line) <= _MOST:
            return self._say(
                line,
                (
                    f"One line is enough: at most {_MOST} letters."
                    if line
                    else "Write a line first. What did you see, and why is it so?"
                ),
            )
        words, right = self._came_out()
        self.record().add(
            KIND,
            self.prediction.entry["lesson"],
            self.prediction.name,
            line,
            **({} if right is None else {"right": right}),
        )
        self._say(line, f"Kept. {words}{told(self.record().lines())}")

    def _came_out(self):
        """(what the panel shows, in words; did the guess come true?)"""
        found, guess = outcome_of(self.prediction.name), self.prediction.guess
        right = found.came_true(guess.value, guess.options)
        verdict = {
            True: " Your guess came true.",
            False: " It came out differently from your guess.",
            None: "",
        }[right]
        return f"The panel shows: {found.words}{verdict}", right

    def _say(self, line, message):
        self.turn(
            fields=[{**field, "value": line} for field in self.face["fields"]],
            message=message,
            notice=self.record().note,
        )


def told(lines):
    """' So far 3 of 5 of your guesses came true.' from the lines of a record, '' if none could be
    told; the newest look back counts.
    """
    newest = {
        line["question"]: line["right"]
        for line in lines
        if line["kind"] == KIND and isinstance(line.get("right"), bool)
    }
    if not newest:
        return ""
    return f" So far {sum(newest.values())} of {len(newest)} of your guesses came true."
