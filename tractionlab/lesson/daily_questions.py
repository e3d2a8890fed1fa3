"""The warm-up of the day: up to three questions that were answered before and are due again, one
at a time.
"""

from datetime import date

from tractionlab.lesson.ask import blank_face, choice_field, draft_key, keep_choice
from tractionlab.lesson.questions import questions, reply
from tractionlab.lesson.spacing import due, history, next_day
from tractionlab.lesson.start import lesson
from tractionlab.paint.card import Card
from tractionlab.written.record import my_record, today

TITLE = "Warm-up of the day"
_RULE = (
    "A question comes back the day after a wrong answer, and 2, 4, 8, 16, then 32 days after one,"
    " two, three ... right ones running."
)


def pool():
    """Questions of the lessons that can come back: those with one right answer."""
    return {n: e for n, e in questions().items() if "answer" in e and "points_to" not in e}


class WarmUp(Card):
    """Asks what is due, one question at a time; what was answered today is not asked again."""

    def __init__(self):
        super().__init__(blank_face(TITLE))
        self.names, self.at = (), None
        self._begin()

    def _begin(self):
        lines = my_record().lines()
        self.day = date.fromisoformat(today())
        self.names = due(lines, pool(), self.day)
        self._ask_next()

    def _answered(self):
        """{question: right?} of those of today that were answered today, here or in a lesson."""
        found = history(my_record().lines(), self.names)
        return {
            name: answers[-1][1] for name, answers in found.items() if answers[-1][0] == self.day
        }

    def _ask_next(self):
        done = self._answered()
        left = [name for name in self.names if name not in done]
        if not left:
            return self._close(done)
        self.at = left[0]
        entry = pool()[self.at]
        self.turn(
            title=f"{TITLE}: question {len(done) + 1} of {len(self.names)}, lesson"
            f" {entry['lesson']}",
            text="",
            fields=[choice_field("answer", entry, self.at)],
            buttons=[["check", "Check", True]],
            draft=draft_key(f"warm-up {self.at}"),
            message="",
            links=[],
            notice=my_record().note,
        )

    def on_command(self, command, values):
        """Judge and keep an answer, or ask the next question."""
        if date.fromisoformat(today()) != self.day:
            return self._begin()
        if command == "next":
            return self._ask_next()
        chosen, entry = values["answer"], pool()[self.at]
        if chosen not in map(str, range(1, len(entry["options"]) + 1)):
            return self.turn(message="Choose one answer first.")
        right = keep_choice(self.at, entry, chosen)
        field = {
            **self.face["fields"][0],
            "value": chosen,
            "fixed": True,
            "mark": "right" if right else "wrong",
            "message": reply(entry, int(chosen)),
        }
        left = len(self.names) - len(self._answered())
        words = "Next question" if left else "Done for today"
        self.turn(fields=[field], buttons=[["next", words, True]], notice=my_record().note)

    def _close(self, done):
        wrong = sorted({pool()[name]["lesson"] for name, right in done.items() if not right})
        if done:
            text = f"Done for today: {sum(done.values())} of {len(done)} right."
        elif history(my_record().lines(), pool()):
            text = "Nothing is due today."
        else:
            text = "Nothing yet. What you answer in the lessons comes back here."
        back = next_day(my_record().lines(), pool(), self.day)
        ahead = f" The next questions come on {back:%d %b}.".replace(" 0", " ") if back else ""
        self.turn(
            title=TITLE,
            text=f"{text}{ahead} {_RULE}",
            fields=[],
            buttons=[],
            message="",
            links=[[f"Look again: {lesson(n)['title']}", lesson(n)["notebook"]] for n in wrong],
            notice=my_record().note,
        )


def warm_up():
    """The warm-up of the day."""
    return WarmUp()
