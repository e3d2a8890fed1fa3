"""The workshop bench in the notebook: a car with a complaint, tests at a cost, what is still possible, repair, proof, points."""
import json
from pathlib import Path
from threading import Thread

import anywidget
import traitlets

from tractionlab import catalogue
from tractionlab.errors import UserError
from tractionlab.lesson.ask import my_record
from tractionlab.places import data_folder
from tractionlab.workshop import suspects
from tractionlab.workshop.bench_tests import preparations, run, shown, tests
from tractionlab.workshop.case import CLEAR_MINUTES, PART_MINUTES, Case
from tractionlab.workshop.faults import KINDS, WHYS, fault, symptoms
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.score import CRITERIA, score
from tractionlab.workshop.technician import route_to

_HERE = Path(__file__).parent
_LESSON = 11
_CAUTIONS = ("lift", "wheels", "road", "pressure", "electrical", "proof")
_ELECTRIC = {True: ("high_voltage",), False: ()}
FOLDER = Path("cases")


class CaseBench(anywidget.AnyWidget):
    """A repair case in the browser. `command(name, **values)` does what the learner's buttons do.

    Attributes
    ----------
    case : Case; its `log` is the record; `result` : Score once the case has ended, else None
    """

    _esm = (_HERE / "case.js").read_text(encoding="utf-8")
    _css = (_HERE / "case.css").read_text(encoding="utf-8")
    face = traitlets.Dict().tag(sync=True)

    def __init__(self, case):
        self.case, self.result = case, None
        safety = catalogue.read_toml(data_folder() / "safety.toml")
        self._cautions = [[safety["cautions"][key]["title"], safety["cautions"][key]["text"]] for key in (*_CAUTIONS, *_ELECTRIC[case.vehicle == "front_electric"])]
        self._words = {key: entry["title"] + ". " + entry["text"] for key, entry in safety["cautions"].items()}
        super().__init__()
        self._show("Read the cautions first.")
        self.on_msg(self._hear)
        Thread(target=_prepare, args=(case,), daemon=True).start()

    def _hear(self, _, message, buffers):
        try:
            self.command(str(message["command"]), **{str(key): value for key, value in message.get("values", {}).items()})
        except (UserError, KeyError, TypeError, ValueError) as problem:
            self._show(str(problem))

    def command(self, name, **values):
        """One step of the learner; UserError if it cannot be done now."""
        case = self.case
        if name == "cautions":
            case.acknowledge()
            self._show("Now choose a test. Cheap and general ones first.")
        elif name == "test":
            found = case.take(values["test"], tuple(values.get("prepared", ())), values.get("condition", ""))
            self._show(f"{tests()[values['test']].name}: {len(found)} readings." if found else "")
        elif name == "hint":
            self._show(case.hint())
        elif name == "repair":
            sound = case.repair(values["place"], values["kind"], values["why"])
            self._show("Done. Now prove it: repeat the test that showed the fault, clear the memory, drive." if sound or case.mode == "graded" else "Done. Is it cured? Prove it.")
        elif name == "clear":
            case.clear_memory()
            self._show("Memory cleared in all control units.")
        elif name == "note":
            case.note(values["text"])
            self._show("Written down.")
        elif name == "honest_stop":
            case.stop_honestly([key for key in values["suspected"] if key], values["next"])
            self._show("")
        elif name == "finish":
            case.finish()
            self._show("")
        else:
            raise UserError(f"the bench knows no step {name!r}")

    def meter(self, group="wheel_sensors"):
        """The wiring diagram with meter, clamp and oscilloscope on the car as it now is. For practice: what is measured there costs no minutes."""
        from .measuring import measuring_panel

        changes = {} if self.case.repaired else self.case.fault.on(self.case.vehicle)
        return measuring_panel(self.case.vehicle, group, changes=changes)

    def _show(self, message):
        if self.case.over and self.result is None:
            self.result = score(self.case.log)
            message = f"{message} {self._keep()}".strip()
        self.face = {**self._face(), "message": message, "turn": self.face.get("turn", 0) + 1}

    def _face(self):
        case = self.case
        practice = case.mode == "practice"
        taken = [(i, entry) for i, entry in enumerate(case.log) if entry["do"] == "test"]
        suspected = [(key, fault(key).place) for key in case.candidates()]
        return {
            "title": f"Repair case: {catalogue.vehicles()[case.vehicle].name.lower()}", "complaint": case.complaint, "symptom": symptoms()[case.symptom],
            "minutes": case.minutes, "cautions": self._cautions, "ready": case.acknowledged, "over": case.over, "stopped": case.stopped, "practice": practice,
            "tests": [[t.id, t.name, t.does, t.minutes, [self._words[key] for key in t.cautions]] for t in tests().values()], "preparations": list(preparations().items()),
            "taken": [[str(i), f"{entry['test']} {tests()[entry['test']].name}", "after the repair" if case.first_repair is not None and i > case.first_repair else "",
                       [[r["name"], shown(r["value"], r["unit"]), r["place"]] for r in entry["readings"]]] for i, entry in taken],
            "possible": self._possible() if practice else [], "places": list(case.places()), "kinds": list(KINDS.items()), "whys": list(WHYS.items()),
            "conditions": [["", "choose"], *symptoms().items()], "suspects": [["", "choose"], *suspected], "line": [_line(entry) for entry in case.log[1:]],
            "repaired": case.repaired_anything, "repair_minutes": PART_MINUTES, "clear_minutes": CLEAR_MINUTES, "result": self._result(),
        }

    def _possible(self):
        left = self.case.possible()
        return [[fault(key).place, KINDS[fault(key).kind], key in left] for key in self.case.candidates()]

    def _result(self):
        if self.result is None:
            return None
        rows = [[key, self.result.points[key], most, self.result.reasons[key]] for key, most in CRITERIA.items()]
        entry = self.case.fault
        return {"total": self.result.total, "critical": self.result.critical, "rows": rows, "deductions": [[words, points] for words, points in self.result.deductions],
                "truth": f"{entry.place}, {KINDS[entry.kind]}. {entry.cause}", "repair": entry.repair, "verification": f"{entry.verification} {entry.proof}"}

    def _keep(self):
        """Store the log beside the notebook; a full disk loses nothing but the file."""
        my_record().add("case", _LESSON, self.case.fault.id, f"{self.result.total:g}", right=self.result.total >= 60.0, counts=self.case.mode == "practice")
        try:
            FOLDER.mkdir(exist_ok=True)
            number = 1
            while (FOLDER / f"case-{number}.json").exists():
                number += 1
            path = FOLDER / f"case-{number}.json"
            path.write_text(json.dumps(self.case.log, indent=1, ensure_ascii=False), encoding="utf-8")
        except OSError as problem:
            return f"The log could not be saved ({problem.strerror or problem})."
        return f"The log is in {path}."


def _line(entry):
    words = {"cautions": "Cautions read", "hint": "Hint taken", "clear": "Memory cleared", "finish": "Car handed over", "honest_stop": "Stopped: not proven"}
    what = entry["do"]
    if what in ("test", "stopped"):
        text = f"{entry['test']} {tests()[entry['test']].name}" + (": unsafe, stopped" if what == "stopped" else "")
    elif what == "repair":
        text = f"Repaired: {entry['place']}, {KINDS[entry['kind']]}"
    else:
        text = f"Note: {entry['text']}" if what == "note" else words[what]
    return [f"{entry['minutes']} min", text]


def _prepare(case):
    """Compute ahead what the next clicks will need, so that they answer at once: the car itself first, then what it is compared with."""
    later = [test for test in tests() if test not in suspects.BASE]
    for order in (suspects.BASE, later):
        for name in (case.fault.id, *case.candidates()):
            for test in order:
                suspects.predicted(test, name, case.vehicle)
    for test in tests():
        run(test, case.vehicle, part_values(case.vehicle), suspects.story_of(case.fault.id))
    route_to(case.fault.id, case.symptom, case.vehicle)


def repair_case(fault_id="", vehicle="", *, file="", mode="practice", symptom=""):
    """A bench with a fault of the catalogue, or with the case of a small TOML file; drawn at random if nothing is given."""
    from tractionlab.workshop.case_file import draw, read_case

    if file:
        return CaseBench(read_case(file))
    if not fault_id:
        return CaseBench(draw(mode=mode))
    return CaseBench(Case(fault_id, vehicle or fault(fault_id).vehicles[0], symptom, mode))
