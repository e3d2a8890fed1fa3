"""Forms for repair cases: a learner gets another car, an instructor puts any fault on any car,
saves the case and prints both sheets.
"""

from pathlib import Path

from ipywidgets import VBox

from tractionlab.catalogue import entries as catalogue
from tractionlab.errors import UserError
from tractionlab.lesson.ask import blank_face, text_field
from tractionlab.lesson.daily_car import drawn_for
from tractionlab.paint.card import Card
from tractionlab.panels.case import CaseBench
from tractionlab.panels.case_crossing import HELPS
from tractionlab.workshop.case.case import MODES, Case
from tractionlab.workshop.case.file import BANDS, draw, read_case, save_case
from tractionlab.workshop.case.sheet import save_sheets
from tractionlab.workshop.fault_entry import GROUPS, KINDS
from tractionlab.workshop.faults import fault, faults
from tractionlab.workshop.wiring.netlist import VEHICLES
from tractionlab.written.record import today


class AnotherCase(Card):
    """What the next car shall be; its bench stands in `below`.

    Opening takes a file of the folder if one is chosen, else the fault that is chosen, else a fault
    drawn from group and difficulty."""

    title, text = "Another car", "Leave all boxes as they are, and any fault on any car may come."
    buttons = (("open", "Bring the car in"), ("today", "Bring in the car of the day"))
    _IN = "The car is in the bay, below."

    def __init__(self):
        self.bench, self.below = None, VBox()
        super().__init__(
            blank_face(
                self.title,
                text=self.text,
                fields=self.fields(),
                buttons=[[name, words, True] for name, words in self.buttons],
            )
        )

    @property
    def case(self):
        """The Case in the bay, or None."""
        return self.bench and self.bench.case

    def fields(self):
        """The boxes of the form."""
        files = sorted(
            path.name for path in Path.cwd().glob("*.toml") if not path.name.startswith("my_")
        )
        return [
            _box(
                "vehicle",
                "Car",
                [[key, catalogue.shipped().vehicles()[key].name] for key in VEHICLES],
            ),
            _box("group", "Group of faults", [[group, group] for group in GROUPS]),
            _box("band", "How hard", [[str(band), words] for band, words in BANDS.items()]),
            _box(
                "help",
                "With crossing out the case",
                [[key, words] for key, words in HELPS.items() if key != "silent"],
                HELPS["silent"],
            ),
            _box(
                "file",
                "A saved case (file in this folder)",
                [[name, name] for name in files],
                "none",
            ),
        ]

    def on_command(self, command, values):
        """Do what the button says; a mistake is said in one sentence."""
        try:
            message = getattr(self, f"do_{command}")(values)
        except UserError as problem:
            message = str(problem)
        self.turn(
            message=message,
            fields=[
                {**field, "value": values.get(field["name"], field["value"])}
                for field in self.face["fields"]
            ],
        )

    def do_open(self, values):
        """Put a fault on a car, and open the bench."""
        return self._bring_in(self._chosen(values), values)

    def do_today(self, values):
        """Put the car of the day on the bench."""
        entry, vehicle = drawn_for(today())
        return self._bring_in(Case(entry.id, vehicle), values)

    def _bring_in(self, case, values):
        if self.bench is not None:
            self.bench.leave()
        self.bench = CaseBench(case, values["help"] or "silent")
        self.below.children = (self.bench.whole,)
        return self._IN

    def _chosen(self, values):
        if values["file"]:
            return read_case(values["file"])
        name, car, mode = values.get("fault", ""), values["vehicle"], values.get("mode", "practice")
        if name:
            return Case(name, car or fault(name).vehicles[0], mode=mode)
        return draw(values["group"], int(values["band"] or 0), car, mode=mode)


class CaseOffice(AnotherCase):
    """The instructor's form: any fault by name too, shown or kept hidden, saved with both sheets.

    It closes as soon as a car is in the bay, so that nothing above that car tells what was chosen.
    """

    title, text = (
        "A car for the class",
        (
            "Choose a fault, or leave it to chance within group and difficulty. The form closes"
            " when the car comes in: what you chose does not stand above the car."
        ),
    )
    buttons = (
        AnotherCase.buttons[0],
        ("show", "Show the fault"),
        ("save", "Save the case and both sheets"),
        ("close", "Hide this form"),
    )
    _CLOSED = "The setter's form is closed. The car of the class is below."

    def __init__(self):
        self._chosen_last = {}
        super().__init__()

    def on_command(self, command, values):
        """As every form; while it is closed, what was chosen is remembered here and not shown."""
        self._chosen_last = {**self._chosen_last, **values}
        if command == "close":
            return self._close("")
        if command == "form":
            fields = [
                {**field, "value": self._chosen_last.get(field["name"], field["value"])}
                for field in self.fields()
            ]
            return self.turn(
                text=self.text,
                fields=fields,
                buttons=[[name, words, True] for name, words in self.buttons],
                message="",
            )
        super().on_command(command, self._chosen_last)
        if command == "open" and self.face["message"] == self._IN:
            self._close(self._IN)

    def _close(self, message):
        self.turn(
            text=self._CLOSED,
            fields=[],
            buttons=[["form", "Show the setter's form", True]],
            message=message,
        )

    def fields(self):
        """Those of the learner, the fault by name, the kind of case, and a name for the files."""
        every = [
            [key, f"{entry.place}: {KINDS[entry.kind]}"]
            for key, entry in sorted(faults().items(), key=lambda pair: pair[1].place)
        ]
        vehicle, *more = super().fields()
        return [
            vehicle,
            _box("fault", "Fault", every, "drawn, hidden from you too"),
            *({**box, "value": "checks"} if box["name"] == "help" else box for box in more),
            text_field(
                "mode",
                "For",
                list=True,
                options=[list(pair) for pair in MODES.items()],
                value="practice",
            ),
            text_field("name", "Name for the files", value="case-1"),
        ]

    def _opened(self):
        if self.case is None:
            raise UserError("Bring a car in first.")
        return self.case

    def do_show(self, values):
        """The fault of the car that is in the bay."""
        entry = self._opened().fault
        car = catalogue.shipped().vehicles()[self.case.vehicle].name
        return f"{car}: {entry.place}, {KINDS[entry.kind]}. {entry.cause} Repair: {entry.repair}"

    def do_save(self, values):
        """The case as a file beside the notebook, job sheet and answer sheet as HTML and PDF."""
        name = values["name"].strip()
        if not name or Path(name).name != name:
            raise UserError("The name for the files needs letters or digits, and no folder.")
        path = save_case(self._opened(), Path.cwd() / f"{name}.toml")
        sheets = save_sheets(self.case, name, Path.cwd())
        return (
            f"Saved {', '.join(saved.name for saved in (path, *sheets))}. Give learners the job"
            " sheet or the file, in which the fault is sealed; the answer sheet names it."
        )


def _box(name, label, options, none="any"):
    return text_field(name, label, list=True, options=[["", none], *options])


def another_case():
    """A learner's form for more cars, with the bench below it."""
    form = AnotherCase()
    return VBox([form, form.below])


def case_office():
    """The instructor's form, with the bench below it."""
    form = CaseOffice()
    return VBox([form, form.below])
