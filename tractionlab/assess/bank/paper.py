"""Papers: which items, in which order, how long, and by which rules they are passed."""

import json
from collections import Counter
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.own_car import read_numbers, with_numbers
from tractionlab.assess.bank.rules import Rules, rules_of
from tractionlab.catalogue.checked import TableReader
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError

PAPER_KINDS = ("mock", "graded", "resit")
#: What is done at the desk, in the bay with the case, and under an assessor's eyes.
PARTS = MappingProxyType(
    {
        "written": ("choice", "number", "waveform", "sketch", "path", "states", "tuning"),
        "cases": ("case",),
        "practical": ("checklist",),
    }
)


@dataclass(frozen=True, kw_only=True)
class Paper:
    """A paper.

    `items` are ids in order, `minutes` the time at standard conditions, the sum of its items unless
    it says otherwise. `numbers`, {item id: {draw: value}}, are those of an own car.
    """

    id: str
    title: str
    kind: str
    items: tuple
    minutes: float
    rules: Rules
    numbers: dict = field(default_factory=dict)

    def chosen(self):
        """Its items in order, as this paper draws them."""
        return [with_numbers(items()[name], self.numbers) for name in self.items]

    @property
    def outcomes(self):
        """Outcomes it asks for, in order."""
        return tuple(dict.fromkeys(items()[name].outcome for name in self.items))

    @property
    def marks(self):
        """All marks there are."""
        return sum(items()[name].marks for name in self.items)

    def marks_by_outcome(self):
        """{outcome: marks}."""
        return dict(
            sum(
                (Counter({items()[name].outcome: items()[name].marks}) for name in self.items),
                Counter(),
            )
        )

    def minutes_by_part(self):
        """{part of the paper: minutes}, for parts that have items."""
        total = {
            name: sum(items()[key].minutes for key in self.items if items()[key].kind in kinds)
            for name, kinds in PARTS.items()
        }
        return {name: minutes for name, minutes in total.items() if minutes}

    def rules_as_dict(self):
        """The rules as plain data."""
        return {
            "overall_percent": self.rules.overall_percent,
            "outcome_percent": dict(self.rules.outcome_percent),
            "one_of": [list(group) for group in self.rules.one_of],
            "exact_faults": self.rules.exact_faults,
            "grades": [list(row) for row in self.rules.grades],
        }

    def to_toml(self):
        """The paper as a file that `read_paper` takes."""
        rules = self.rules_as_dict()
        percents = ", ".join(
            f"{name} = {least}" for name, least in rules.pop("outcome_percent").items()
        )
        lines = [
            f"id = {json.dumps(self.id)}",
            f"title = {json.dumps(self.title)}",
            f'kind = "{self.kind}"',
            f"minutes = {self.minutes:g}",
            "items = [",
        ]
        lines += [f'  "{name}",' for name in self.items] + [
            "]",
            "",
            "[rules]",
            f"outcome_percent = {{ {percents} }}",
        ]
        lines += [f"{name} = {json.dumps(value)}" for name, value in rules.items()]
        for item, fixed in self.numbers.items():
            lines += ["", f'[numbers."{item}"]', *(f"{key} = {n}" for key, n in fixed.items())]
        return "\n".join(lines) + "\n"


def papers():
    """Papers of the course by name: mock, graded_1, graded_2."""
    return _papers(data_folder() / "papers")


@lru_cache(maxsize=4)
def _papers(folder):
    return MappingProxyType(
        {
            path.stem: read_paper(path)
            for path in sorted(folder.glob("*.toml"))
            if path.stem != "blueprint"
        }
    )


def find_paper(name):
    """A paper by its name in the course, or from a file."""
    if name in papers():
        return papers()[name]
    if Path(name).is_file():
        return read_paper(name)
    raise UserError(
        f"no paper is called {name!r}, and there is no such file; papers of the course are"
        f" {', '.join(papers())}"
    )


def read_paper(path):
    """Paper from a TOML file; a mistake is a UserError with file, field and what is allowed."""
    reader, table = TableReader(str(path)), read_toml(path)
    reader.check_keys(
        table, {"id", "title", "kind", "items", "minutes", "rules", "numbers"}, "field"
    )
    chosen = table.get("items")
    if not isinstance(chosen, list) or not chosen:
        raise reader.wrong("items must be a list of item ids that is not empty")
    for name in chosen:
        if name not in items():
            raise reader.wrong(f"items: {name!r} is not in the item bank")
    if len(set(chosen)) < len(chosen):
        raise reader.wrong("items: one is named twice")
    least = sum(items()[name].minutes for name in chosen)
    minutes = reader.number({"minutes": least, **table}, "minutes", 1, 2000)
    return Paper(
        id=reader.text(table, "id"),
        title=reader.text(table, "title"),
        kind=reader.one_of(table, "kind", PAPER_KINDS),
        items=tuple(chosen),
        minutes=float(minutes),
        rules=rules_of(reader, table.get("rules", {})),
        numbers=read_numbers(reader, table.get("numbers", {}), chosen),
    )
