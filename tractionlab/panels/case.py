"""The workshop bench in the notebook: a car with a complaint, tests at a cost, what is still
possible, repair, proof, points.
"""

from pathlib import Path

import anywidget
import ipywidgets
import traitlets

from tractionlab.errors import UserError
from tractionlab.paint.bundle import bundle, sheets
from tractionlab.paint.card import FORM_SHEET
from tractionlab.panels.case_ahead import LookAhead, preparing
from tractionlab.panels.case_crossing import Crossing
from tractionlab.panels.case_face import face_of, result_of
from tractionlab.panels.case_log import keep_log
from tractionlab.panels.case_measuring import CaseMeasuring, ReadingCard
from tractionlab.panels.case_words import words_of
from tractionlab.workshop.case import suspects
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.score import score
from tractionlab.workshop.faults import fault
from tractionlab.workshop.tests.base import tests
from tractionlab.workshop.wiring.drawing import wiring
from tractionlab.workshop.wiring.netlist import plan

_HERE = Path(__file__).parent
_SOON = "is still being worked out and follows in a moment."
_AWAY = "none"


class CaseBench(anywidget.AnyWidget):
    """A repair case in the browser. `command(name, **values)` does what the learner's buttons do.

    The car itself is computed before the bench appears, so that every click is answered at once.
    What it is compared with, the faults that fit the symptom, is computed beside it; list, hint and
    points come when that is done. In practice the learner says what a reading crosses out of the
    list, then the case does; `help` says so or otherwise (HELPS of case_crossing.py).

    Attributes
    ----------
    case : Case; its `log` is the record; `result` : Score once the case has ended, else None
    crossing : Crossing; measuring : CaseMeasuring; `whole` : the bench, with the wiring drawing
        below it while it is open
    ahead : LookAhead, computes the suspects
    """

    _esm = bundle(_HERE / "case.js", sheets(FORM_SHEET, _HERE / "case.css"))
    words = traitlets.Dict().tag(sync=True)
    face = traitlets.Dict().tag(sync=True)
    draft = traitlets.Unicode().tag(
        sync=True
    )  # whose unfinished note the browser keeps; empty: the customer's words will do

    def __init__(self, case, help="checks"):
        self.case, self.result = case, None
        self.crossing = Crossing(case, help)
        self.ahead, self._hint_due = LookAhead(self._arrived), False
        for test in tests():
            suspects.predicted(test, case.fault.id, case.vehicle)
        for group in plan(case.vehicle).groups:
            wiring(case.vehicle, group)
        self.measuring = CaseMeasuring(case, next(iter(plan(case.vehicle).groups)))
        super().__init__(words=words_of(case))
        self.readings = ReadingCard(self)
        self.below = ipywidgets.VBox([self.measuring, self.readings], layout={"display": _AWAY})
        self.whole = ipywidgets.VBox([self, self.below])
        self.ahead.begin(preparing(case))
        self._show("Go on where you stopped." if case.acknowledged else "Read the cautions first.")
        self.on_msg(self._hear)

    def _repr_mimebundle_(self, **options):
        return self.whole._repr_mimebundle_(**options)

    def leave(self):
        """Another car comes in: what this one still needs is worked out no further."""
        self.ahead.wanted = False

    def _arrived(self):
        if self.ahead.pending == 0:
            hint = self._hint_due and not self.case.over
            message = self.case.hint() if hint else self.face["message"]
            self._hint_due = False
            self._show(message)

    def _hear(self, _, message, buffers):
        try:
            self.command(
                str(message["command"]),
                **{str(key): value for key, value in message.get("values", {}).items()},
            )
        except (UserError, KeyError, TypeError, ValueError) as problem:
            self._show(str(problem))

    def command(self, name, **values):
        """One step of the learner; UserError if it cannot be done now."""
        case = self.case
        if name == "cautions":
            case.acknowledge()
            self._show("Now choose a test. Cheap and general ones first.")
        elif name == "test":
            found = case.take(
                values["test"], tuple(values.get("prepared", ())), values.get("condition", "")
            )
            number = f"{len(found)} reading{'s' if len(found) != 1 else ''}"
            self._show(f"{tests()[values['test']].name}: {number}.{self._asks()}" if found else "")
        elif name == "cross":
            self._cross(values["out"])
        elif name == "again":
            self._again()
        elif name == "hint":
            self._hint_due = not self.ahead.known()
            self._show(f"The hint {_SOON}" if self._hint_due else case.hint())
        elif name == "measure_at":
            self._open_wiring(values["group"])
        elif name == "reading":
            self._take_reading()
        elif name == "back":
            self._close_wiring()
            self._show("Choose the next step.")
        elif name == "repair":
            case.repair(values["place"], values["kind"], values["why"])
            self._show(
                "Done. Now prove it: repeat the test that showed the fault, clear the memory,"
                " drive."
            )
        elif name == "clear":
            case.clear_memory()
            self._show("Memory cleared in all control units.")
        elif name == "note":
            case.note(values["text"])
            self._show("Written down.")
            self.send({"kind": "noted", "text": values["text"]})
        elif name == "honest_stop":
            case.stop_honestly([key for key in values["suspected"] if key], values["next"])
            self._show("")
        elif name == "finish":
            case.finish()
            self._show("")
        else:
            raise UserError(f"the bench knows no step {name!r}")
        if case.over:
            self._close_wiring()

    def _asks(self):
        due = self.crossing.due and not self.crossing.silent
        return " What does that cross out? Say it in the list." if due else ""

    def _cross(self, said):
        """The learner says which faults the new readings exclude; then the list follows the
        readings.
        """
        if not self.crossing.silent and not self.ahead.known():
            raise UserError(f"The list {_SOON} Then say it once more.")
        self._show(self.crossing.cross(said))

    def _again(self):
        """The same car from the beginning, for practice."""
        old = self.case
        if not (old.over and old.mode == "practice"):
            raise UserError("Only a case for practice that has ended can be started again.")
        self.case, self.result = Case(old.fault.id, old.vehicle, old.symptom, old.mode), None
        self.crossing = Crossing(self.case, self.crossing.help)
        self.measuring.begin(self.case)
        self._show("The same car, from the beginning. Read the cautions first.")

    def _open_wiring(self, group):
        """The wiring drawing with meter, clamp and oscilloscope, on the car as it now is."""
        if not self.case.acknowledged or self.case.over:
            raise UserError(
                "This case has ended. Begin a new one."
                if self.case.over
                else "Read the cautions and confirm them first."
            )
        self.measuring.set(group=group)
        self.below.layout.display = ""
        self.readings.turn(message="")
        self._show(
            "Put the probes on, then take the reading. Moving probes and pulling plugs costs"
            " nothing."
        )

    @property
    def wiring_open(self):
        """True while the wiring drawing is shown."""
        return self.below.layout.display != _AWAY

    def _take_reading(self):
        if not self.wiring_open:
            raise UserError("Open the wiring first.")
        taken = self.measuring.take()
        if taken is None:
            return self._show("")
        if taken.sound and not self.case.repaired_anything:
            car = self.case.fault.id, self.case.symptom, self.case.vehicle
            self.ahead.begin(suspects.looking_ahead(*car, [list(self.case.readings)[-1]]))
        said = "Written down" if taken.sound else "Written down, but it proves nothing"
        self.readings.turn(message=f"{said}. {taken.sentence}")
        self._show(f"Take another reading, or go back to the case.{self._asks()}")

    def _close_wiring(self):
        self.below.layout.display = _AWAY

    def _show(self, message):
        if self.case.over and self.result is None:
            if self.ahead.known():
                self.result = score(self.case.log)
                message = keep_log(self.case, self.result)
            else:
                message = f"The points: their sum {_SOON}"
        self.face = {**self._face(), "message": message, "turn": self.face.get("turn", 0) + 1}

    def _face(self):
        case, groups = self.case, plan(self.case.vehicle).groups
        measuring = self.wiring_open and not case.over
        return {
            **face_of(case),
            "wiring": groups[self.measuring.values["group"]] if measuring else "",
            "possible": self._possible() if case.mode == "practice" else [],
            "due": self.crossing.due,
            "silent": self.crossing.silent,
            "result": result_of(case, self.result, self.crossing.at_the_end()),
        }

    def _possible(self):
        """Rows of the list of faults, or None while it is being worked out."""
        if self.case.readings and not self.crossing.silent and not self.ahead.known():
            return None
        return self.crossing.rows()


def repair_case(
    fault_id="", vehicle="", *, sealed="", file="", mode="practice", symptom="", help="checks"
):
    """A bench with a fault of the catalogue, or with the case of a small TOML file; drawn at random
    if nothing is given. `sealed`: the id of the fault as `seal` writes it, where learners may see
    the code. `help`: what it does about crossing out, one of HELPS."""
    from tractionlab.workshop.case.file import draw, read_case
    from tractionlab.workshop.case.sealed import unseal

    if file:
        return CaseBench(read_case(file), help)
    fault_id = unseal(sealed) if sealed else fault_id
    if not fault_id:
        return CaseBench(draw(mode=mode), help)
    return CaseBench(Case(fault_id, vehicle or fault(fault_id).vehicles[0], symptom, mode), help)
