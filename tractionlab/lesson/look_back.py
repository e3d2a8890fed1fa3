"""The look back: what the learner guessed and drew, a line on why, what the panel shows once a
control of it was moved, and our sentence beside the learner's own.
"""

from tractionlab.lesson.drawn import apart, drawn_field
from tractionlab.lesson.outcomes import curve_of, outcome_of
from tractionlab.paint.card import Card

KIND = "look_back"
#: Told what came out, without a line on why; which parts of our sentence the learner's line has.
CAME_OUT, PARTS = "came_out", "parts"
_MOST = 2000  # letters of a line
_KEEP = ["keep", "Keep my line", True]
_COMPARE = ["compare", "Show what came out", True]
_TICK = ["tick", "Keep my ticks", True]


class LookBack(Card):
    """Stands below the panel of a prediction.

    `record()` gives the learner's record, where line and ticks are kept as kinds of their own.
    """

    def __init__(self, prediction, panel, face, record):
        self.prediction, self.panel, self.record = prediction, panel, record
        self._told = False
        super().__init__(face)
        panel.observe(lambda change: self._appear(), "locked")
        self._appear()

    def _appear(self):
        """Be there as soon as the panel is open."""
        self.layout.display = "none" if self.panel.locked else ""
        if self.panel.locked:
            return
        written = self._last(KIND)
        self._told = bool(written or self._last(CAME_OUT))
        message = f"Kept on {written['time'][:10]}. You may add to it." if written else ""
        self._show(written["answer"] if written else "", message)

    def _last(self, kind):
        return self.record().last(self.prediction.name, kind)

    def _show(self, line, message):
        """Guess, line and, once it was told, the computed curve and our sentence."""
        written = self._last(KIND)
        self.turn(
            text=f"You wrote: {self.prediction.guess.words}",
            fields=[
                {**self.face["fields"][0], "value": line},
                *([self._drawing()] if self.prediction.drawn else []),
                *([self._parts()] if written else []),
            ],
            buttons=[_KEEP, _COMPARE, *([_TICK] if written else [])],
            notice=self.record().note,
            message=message,
        )

    def _drawing(self):
        """The learner's curve, and once it was told the computed one over it."""
        draw, drawn = self.prediction.draw, self.prediction.drawn
        if not self._told:
            return drawn_field(draw, drawn, (), "You drew this.")
        curve = curve_of(self.prediction.name)
        return drawn_field(draw, drawn, curve, apart(drawn, curve, draw))

    def _parts(self):
        ticked = self._last(PARTS)
        return {
            **self.face["fields"][0],
            "name": "parts",
            "label": "Our sentence has these parts. Tick those that your line says as well.",
            "ticks": self.prediction.entry["model"],
            "value": ticked["answer"] if ticked else "",
        }

    def on_command(self, command, values):
        """Keep the line, each one stays in the record; keep the ticks; or show what came out."""
        line = values["why"].strip()
        if command == "tick":
            return self._tick(line, values.get("parts", ""))
        if not self.panel.tried and not self._last(KIND):
            return self._show(line, "Move a control of the panel first, and look.")
        words, right = self._came_out()
        verdict = {} if right is None else {"right": right}
        if command == "compare":
            self._told = True
            if not self._last(KIND) and not self._last(CAME_OUT):
                self._add(CAME_OUT, "", **verdict)
            return self._show(line, words)
        if not 0 < len(line) <= _MOST:
            return self._show(
                line,
                (
                    f"One line is enough: at most {_MOST} letters."
                    if line
                    else "Write a line first. What did you see, and why is it so?"
                ),
            )
        self._told = True
        self._add(KIND, line, **verdict)
        self._show(line, f"Kept. {words}{told(self.record().lines())}")

    def _tick(self, line, ticked):
        model = self.prediction.entry["model"]
        places = [place for place in ticked.split(";") if place]
        known = set(map(str, range(1, len(model) + 1)))
        if not known.issuperset(places):
            return self._show(line, "These ticks could not be read. Tick once more.")
        self._add(PARTS, ";".join(places))
        said = f"Your line had {len(places)} of {len(model)} parts."
        self._show(line, f"{said} Write it once more if you like, and keep it.")

    def _add(self, kind, answer, **more):
        entry = self.prediction.entry
        self.record().add(kind, entry["lesson"], self.prediction.name, answer, **more)

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


def came_true(lines):
    """(guesses that came true, guesses of which it was told) from the lines of a record; the
    newest telling of each counts.
    """
    newest = {
        line["question"]: line["right"]
        for line in lines
        if line["kind"] in (KIND, CAME_OUT) and isinstance(line.get("right"), bool)
    }
    return sum(newest.values()), len(newest)


def told(lines):
    """' So far 3 of 5 of your guesses came true.', or '' if none could be told yet."""
    true, all_of_them = came_true(lines)
    return f" So far {true} of {all_of_them} of your guesses came true." if all_of_them else ""
