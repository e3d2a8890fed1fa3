"""The candidate's desk: forms for one paper, a clock, progress, and hand in.

Every change goes to the answer file before it is called saved.
"""

import time
from datetime import datetime
from functools import partial
from html import escape
from pathlib import Path

import anywidget
import traitlets
from IPython.display import HTML
from ipywidgets import VBox

from tractionlab.assess.answers.file import AnswerFile
from tractionlab.assess.answers.worked import GRACE
from tractionlab.assess.desk.clock import phase, seconds_left
from tractionlab.assess.desk.copy_to_send import copy_to_send
from tractionlab.assess.desk.picture import image, picture
from tractionlab.assess.desk.replies import (
    TYPED,
    closed,
    form_note,
    not_saved,
    notice,
    odd,
    pause,
    takes,
)
from tractionlab.assess.desk.sheet import as_browser_needs, read_sheet, rules
from tractionlab.assess.desk.supervisor import ENTERED
from tractionlab.assess.sitting.candidate_notebook import SHEET_FILE
from tractionlab.errors import UserError
from tractionlab.paint.bundle import bundle, sheets
from tractionlab.paint.card import FORM_SHEET
from tractionlab.written.line_file import Strange

_HERE = Path(__file__).parent


class Desk(anywidget.AnyWidget):
    """The forms in the browser.

    `face`: phase ("ready", "working", "break", "over", "handed_in"), answers {item: {field:
    value}}, seconds_left, pause (what to say in a break), saved_at, message, notice, file and
    number after hand in. Messages from the browser: start, save (item, field, value, ask), item
    (item is now shown), check (item; practice only), lost_time, break and resume (by a supervisor),
    hand_in."""

    _esm = bundle(_HERE / "desk.js", sheets(FORM_SHEET, _HERE / "desk.css"))
    paper = traitlets.Dict().tag(sync=True)
    face = traitlets.Dict().tag(sync=True)

    def __init__(self, folder):
        self.folder = Path(folder)
        self.sheet = read_sheet(self.folder / SHEET_FILE)
        self.practice = "practice" in self.sheet
        self.file = AnswerFile(
            self.folder / f"answers_{self.sheet['candidate']}.jsonl", rules(self.sheet)
        )
        self._items = {item["id"]: item for item in self.sheet["items"]}
        super().__init__(paper=as_browser_needs(self.sheet))
        self.bench = VBox()
        self._benches = {}
        self.on_msg(self._hear)
        self.turn(notice=notice(self.sheet, self.file.reading))

    def turn(self, **changes):
        """Show where things stand, with some entries of the face changed."""
        now = {
            "phase": self.phase(),
            "answers": self.file.reading.answers(),
            "seconds_left": self.seconds_left(),
            "pause": pause(self.file.reading.break_line),
        }
        if now["phase"] == "break":
            self.bench.children = ()
        if now["phase"] == "handed_in":
            now |= copy_to_send(self.file.path, self.sheet["candidate"])
        self.face = {
            "message": "",
            "notice": "",
            "saved_at": "",
            **self.face,
            **now,
            **changes,
            "turn": self.face.get("turn", 0) + 1,
        }

    def phase(self):
        """ready, working, break, over or handed_in."""
        return phase(self.file.reading, self.sheet, time.time())

    def seconds_left(self):
        """Seconds until the time is over; all of them before the start."""
        return seconds_left(self.file.reading, self.sheet, time.time())

    def look_again(self):
        """Show what somebody else wrote into the answer file: a supervisor, elsewhere."""
        self.file.look()
        self.turn(message="")

    def _hear(self, _, message, buffers):
        command = str(message.get("command"))
        values = {name: value for name, value in message.items() if name != "command"}
        work = {
            "start": self.start,
            "save": self.save,
            "item": self.open_item,
            "check": self.check,
            **{name: partial(self.enter, name) for name in ENTERED},
            "hand_in": self.hand_in,
        }.get(command)
        if work is None or not takes(work, values):
            return self.send(odd("a desk sends no such message"))
        self.file.look()
        work(**values)

    def start(self):
        """Let the clock run."""
        if self.phase() == "ready":
            try:
                self.file.start()
            except OSError as problem:
                return self.turn(message=not_saved(problem))
        self.turn(message="")

    def save(self, item, field, value, ask=0):
        """Write one answer; tell the browser when the disk has it, or why not."""
        if self.phase() != "working" and not (
            self.phase() == "over" and self.seconds_left() > -GRACE
        ):
            self.send(closed(self.phase(), ask))
            return self.turn()
        try:
            if self._field(item, field) is None:
                raise Strange("unknown_field", "is no question of this paper")
            self.file.add("answer", item=item, field=field, value=value)
        except Strange as problem:
            words = f"Not saved: your answer {problem}."
            honest = problem.code in TYPED
            return self.send(
                {"kind": "refused", "ask": ask, "words": words} if honest else odd(words, ask)
            )
        except OSError as problem:
            return self.send({"kind": "refused", "ask": ask, "words": not_saved(problem)})
        self.send(
            {
                "kind": "saved",
                "ask": ask,
                "at": datetime.now().strftime("%H:%M:%S"),
                "words": form_note(self._field(item, field), value),
            }
        )

    def _field(self, item, field):
        """The field of this name of an item, or None."""
        fields = self._items[item]["fields"] if item in self._items else ()
        return next((one for one in fields if one["name"] == field), None)

    def open_item(self, item):
        """Show what an item needs beside its words: its picture, and below the desk the bench of a
        repair case or the trial of settings.
        """
        if item not in self._items:
            return self.send(odd("this paper has no such item"))
        if self._items[item].get("charts"):
            self.send({"kind": "picture", "item": item, "html": picture(self._items[item])})
        worked = next(
            (field for field in self._items[item]["fields"] if field["kind"] in ("case", "tuning")),
            None,
        )
        self.bench.children = (
            (self._bench(item, worked),) if worked and self.phase() in ("working", "over") else ()
        )

    def _bench(self, item, field):
        if item not in self._benches:

            def saved():
                return self.file.reading.answers().get(item, {}).get(field["name"])

            if field["kind"] == "case":
                from tractionlab.assess.desk.case import desk_case

                self._benches[item] = desk_case(
                    field,
                    saved() or [],
                    lambda entry: self._keep_step(item, field["name"], entry),
                    lambda: self.phase() == "working",
                    f"{self.sheet['sitting']} {self.sheet['candidate']} {item}",
                )
            else:
                from tractionlab.assess.desk.trial import trial

                self._benches[item] = trial(field, saved)
        return self._benches[item]

    def _keep_step(self, item, field, entry):
        """Write a step of a repair case; a step that is not saved is told and does not count."""
        try:
            self.file.add("case", item=item, field=field, entry=entry)
        except OSError as problem:
            raise UserError(not_saved(problem)) from None
        except Strange as problem:
            raise UserError(f"Not saved: this step {problem}.") from None
        steps = len(self.file.reading.answers()[item][field])
        self.send(
            {
                "kind": "step",
                "item": item,
                "field": field,
                "steps": steps,
                "at": datetime.now().strftime("%H:%M:%S"),
            }
        )

    def check(self, item):
        """Practice only: say at once what the answer would get and why."""
        if not self.practice or item not in self._items:
            self.send(odd("feedback is for practice"))
        else:
            from tractionlab.assess.desk.practice import feedback, right_curves

            answer = self.file.reading.answers().get(item, {})
            try:
                lines, charts = (
                    feedback(self.sheet, item, answer),
                    right_curves(self.sheet, item, answer),
                )
            except UserError as problem:
                lines, charts = [str(problem)], ()
            self.send(
                {
                    "kind": "feedback",
                    "item": item,
                    "lines": lines,
                    "html": image(charts, "The computed curve and yours") if charts else "",
                }
            )

    def enter(self, what, **said):
        """Write down what a supervisor enters: lost_time, break or resume."""
        try:
            if self.practice:
                raise UserError("In practice there is no supervisor.")
            self.turn(message=ENTERED[what](self.file, self.phase(), **said))
        except (UserError, Strange) as problem:
            self.turn(message=f"Not entered: {problem}")
        except OSError as problem:
            self.turn(message=not_saved(problem))

    def hand_in(self, own_work):
        """Close the answer file and put a copy to send beside it."""
        if own_work is not True or self.phase() not in ("working", "over"):
            return self.turn(message="Declare first that this is your own work.")
        try:
            self.file.add("hand_in", own_work=True)
            self.turn(message="")
        except OSError as problem:
            self.turn(message=not_saved(problem))


#: The desk that is shown, if any.
_shown = []


def look_again():
    """Let the desk that is shown read its answer file again."""
    for one in _shown:
        one.look_again()


def desk(folder="."):
    """The candidate's desk for the sheet in this folder, with room for a bench below."""
    try:
        _shown[:] = [Desk(folder)]
        return VBox([_shown[0], _shown[0].bench])
    except UserError as problem:
        return HTML(f"<p role='alert'><strong>{escape(str(problem))}</strong></p>")
    except OSError as problem:
        return HTML(f"<p role='alert'><strong>{escape(not_saved(problem))}</strong></p>")
