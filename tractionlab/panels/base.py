"""A panel: labelled controls, a function from their values to a View, and its live picture."""

from dataclasses import asdict, dataclass

import ipywidgets

from tractionlab.catalogue.checked import wrong_number
from tractionlab.errors import UserError
from tractionlab.paint.live import LivePicture
from tractionlab.panels.demonstration import block_at_work
from tractionlab.panels.kept import KeptRuns
from tractionlab.panels.presenter import answer_to
from tractionlab.panels.stillness import note_movement


@dataclass(frozen=True)
class Slider:
    """A number between `low` and `high`, moved in steps of `step`; with `fine` a way of the slider
    is less at its small end. A control with `when` = (name, key) is shown only while the choice of
    that name stands at that key."""

    name: str
    label: str
    unit: str
    low: float
    high: float
    step: float
    value: float
    when: tuple = ()
    fine: bool = False

    def check(self, value):
        """`value` as a float, or UserError."""
        if words := wrong_number(self.label, value, self.low, self.high, self.unit):
            raise UserError(words)
        return float(value)


@dataclass(frozen=True)
class Choice:
    """One of several `options`, each a pair (key, words shown)."""

    name: str
    label: str
    options: tuple
    value: str
    when: tuple = ()

    def check(self, value):
        """`value` if it is the key of an option, or UserError."""
        keys = [key for key, _ in self.options]
        if value not in keys:
            raise UserError(f"{self.label} must be one of {', '.join(keys)}, got {value!r}")
        return value


@dataclass(frozen=True)
class Switch:
    """On or off."""

    name: str
    label: str
    value: bool
    when: tuple = ()

    def check(self, value):
        """`value` if it is a bool, or UserError."""
        if not isinstance(value, bool):
            raise UserError(f"{self.label} must be True or False, got {value!r}")
        return value


class Panel(LivePicture):
    """Controls and the picture that follows them.

    Parameters
    ----------
    title : str
    controls : sequence of Slider, Choice, Switch
    draw : callable
        `draw(values) -> View`; `values` maps each control's name to a float, str or bool. A
        ValueError it raises is shown as one sentence; the last picture stays.
    first : callable, optional
        `first(values) -> View`: a quick picture. It follows a moving slider; the browser asks for
        the whole one when the slider rests. None: there is no such picture for these values.
    locked_by : object with a trait `answered` (bool), perhaps a text `question` and a method
        `look_back(panel)`, optional
        Until `answered` is true, controls and picture are hidden. The widget that `look_back`
        returns stands below the panel.

    Attributes
    ----------
    values : dict, the values of the last picture
    view : View, the last picture
    error : str, why the newest values gave no picture; empty if they did
    tried : bool, True once a control was moved
    told : bool, False while what the view holds back is not shown: in a panel that a guess opens,
        until the learner asks for it
    below : list of widgets that stand below the panel
    kept : list of the runs that the learner keeps (panels/kept.py)
    place : str, id of the notebook's block that made the panel; demonstrations are found by it
    """

    def __init__(self, title, controls, draw, *, first=None, locked_by=None):
        self._by_name = {control.name: control for control in controls}
        if len(self._by_name) < len(controls):
            raise UserError(f"panel {title!r}: two controls have the same name")
        self._draw, self._first, self.place = draw, first, block_at_work()
        self.error = ""
        self.values = {
            name: control.check(control.value) for name, control in self._by_name.items()
        }
        self.view = draw(dict(self.values))
        super().__init__(
            title=title, controls=[{"kind": type(c).__name__, **asdict(c)} for c in controls]
        )
        self.show(self.view, values=self.values, error="", answer="", quick=False)
        self.on_msg(self._hear)
        self.below = []
        self._begin_to_keep(controls, getattr(locked_by, "name", ""))
        if locked_by is not None:
            self.told = False
            self.question = str(getattr(locked_by, "question", "") or "")
            self.locked = not locked_by.answered
            locked_by.observe(lambda change: setattr(self, "locked", not change["new"]), "answered")
            if hasattr(locked_by, "look_back"):
                self.below.append(locked_by.look_back(self))

    def _begin_to_keep(self, controls, guess):
        """A run over time can be kept; the record tells panels of one title apart by their
        guess.
        """
        self.keeps = any(chart.over_time for chart in self.view.charts) and all(
            isinstance(control, Slider | Choice | Switch) for control in controls
        )
        if self.keeps:
            self._runs = KeptRuns(" ".join(filter(None, [guess, self.title])), self.checked)
            self.kept, self.notice = self._runs.runs, self._runs.note

    def __repr__(self):
        return f"{self.title}: {self.view.sentence}"

    def _repr_mimebundle_(self, **options):
        if not self.below:
            return super()._repr_mimebundle_(**options)
        return ipywidgets.VBox([self, *self.below])._repr_mimebundle_(**options)

    def offers(self, name, value):
        """True if a choice of this name has this option."""
        control = self._by_name.get(name)
        return isinstance(control, Choice) and value in dict(control.options)

    def drawn(self, values):
        """The View of these values, checked; the panel itself stays as it is."""
        return self._draw({**self.values, **self.checked(values)})

    def set(self, **values):
        """Move controls from Python. An unknown name or a value out of range raises UserError."""
        self._compute({**self.values, **self.checked(values)}, answer="")

    def checked(self, values):
        """`values` of some controls, each checked, or UserError."""
        unknown = set(values) - set(self._by_name)
        if unknown:
            raise UserError(
                f"panel {self.title!r} has no control {', '.join(sorted(unknown))}; "
                f"it has {', '.join(self._by_name)}"
            )
        return {name: self._by_name[name].check(value) for name, value in values.items()}

    def _compute(self, values, answer, quick=False):
        """Draw and show; False if there is no quick picture of these values."""
        try:
            view = (self._first if quick else self._draw)(dict(values))
        except ValueError as problem:
            self._refuse(str(problem), answer)
        except Exception as problem:
            self._refuse(
                f"These values could not be computed ({type(problem).__name__}: {problem}).", answer
            )
        else:
            if view is None:
                return False
            moved = values != self.values
            self.error, self.values, self.view = "", values, view
            self.show(view, values=values, error="", answer=answer, quick=quick)
            self.tried = self.tried or moved
        return True

    def _answer(self, values, answer, whole):
        """Show the quick picture if there is one and the browser did not ask for the whole one."""
        if whole or self._first is None or not self._compute(values, answer, quick=True):
            self._compute(values, answer)

    def _refuse(self, reason, answer):
        self.error = reason
        self.picture = {**self.picture, "error": reason, "answer": answer}

    def _hear(self, _, message, buffers):
        if message["kind"] == "draw":
            note_movement()
            try:
                values = self.checked(message["values"])
            except UserError as problem:
                return self._refuse(str(problem), message["ask"])
            self._answer({**self.values, **values}, message["ask"], message["whole"])
        elif message["kind"] == "print":
            self.send({"kind": "said", "text": self._print(message.get("time"))})
        elif message["kind"] in ("keep", "remove"):
            self.send({"kind": "said", "text": self._keep(message)})
        elif message["kind"] in ("steps", "step", "record"):
            ask = message.get("ask")
            self.send({"kind": "presented", "ask": ask, **answer_to(self, message)})

    def _keep(self, message):
        """Keep the run that is shown, or remove one; gives what the learner is told."""
        if not self.keeps:
            return "This panel shows no run over time."
        if message["kind"] == "keep":
            said = self._runs.keep(self.values, self._draw(dict(self.values)))
        else:
            said = self._runs.remove(str(message.get("letter")))
        self.kept = self._runs.runs
        return said

    def _print(self, time):
        from tractionlab.panels.page import save_page  # matplotlib, for print alone

        return save_page(self, time)
