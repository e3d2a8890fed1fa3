"""Service work to go through: the learner chooses each next step; what was left out shows its
consequence.
"""

from tractionlab.errors import UserError
from tractionlab.lesson.ask import blank_face, text_field
from tractionlab.paint.card import Card
from tractionlab.workshop.service import consequence, left_out, procedures
from tractionlab.written.record import day_of, my_record

_LESSON = 12
_ENDS = ("jet", "shock")  #: consequences that end the try


class ServiceCard(Card):
    """One procedure.

    Steps are offered in alphabetical order, so that the order is the learner's own.
    """

    def __init__(self, key):
        known = procedures()
        if key not in known:
            raise UserError(f"no service work is called {key!r}; there are {', '.join(known)}")
        self.work = known[key]
        super().__init__(blank_face(""))
        last = my_record().last(self._name(), "exercise")
        self._begin(f"Right on {day_of(last)}. Here it is once more." if last else "")

    def _name(self):
        return f"service.{self.work.key}"

    def _begin(self, message):
        self.done, self.mistakes, self.ended = [], 0, False
        self._turn(message)

    def on_command(self, command, values):
        """Do the chosen step, or begin again."""
        if command == "again":
            return self._begin("From the start again.")
        step = next((step for step in self.work.steps if step.key == values.get("step")), None)
        if step is None:
            return self._turn("Choose a step first.")
        if self.ended or len(self.done) == len(self.work.steps):
            return self._turn("This work has ended. Begin again.")
        missing = left_out(self.work, self.done, step.key)
        if missing:
            self.mistakes += 1
            first = next((s for s in missing if s.consequence in _ENDS), missing[0])
            self.ended = first.consequence in _ENDS
            words = f"Too early: \u201c{first.text}\u201d comes before."
            return self._turn(f"{words} {consequence(self.work, first)}".strip())
        self.done.append(step.key)
        if len(self.done) == len(self.work.steps):
            my_record().add(
                "exercise",
                _LESSON,
                self._name(),
                " > ".join(self.done),
                right=True,
                hints=0,
                counts=self.mistakes <= 1,
            )
            return self._turn(f"Done. {self.work.goal}")
        self._turn("Right.")

    def _turn(self, message):
        left = sorted(
            (step for step in self.work.steps if step.key not in self.done),
            key=lambda step: step.text,
        )
        fields = (
            [text_field("step", "What is next?", options=[[step.key, step.text] for step in left])]
            if left and not self.ended
            else []
        )
        words = {step.key: step.text for step in self.work.steps}
        self.turn(
            title=self.work.title,
            text=self.work.goal,
            data=[[f"{i}", words[key]] for i, key in enumerate(self.done, 1)],
            fields=fields,
            message=message,
            notice=my_record().note,
            buttons=[["do", "Do it", bool(fields)], ["again", "Begin again", True]],
        )


def service_work(key):
    """The procedure of data/workshop/service.toml with this key, step by step."""
    return ServiceCard(key)
