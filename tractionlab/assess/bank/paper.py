"""Papers: which items, in which order, how long, and by which rules it is passed.

Read from data/papers/, or made new from the blueprint.
"""

import json
from collections import Counter
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import combinations
from pathlib import Path
from types import MappingProxyType

from tractionlab.assess.bank.draw import seed_of
from tractionlab.assess.bank.item import KINDS, LEVELS, OUTCOMES, items
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
_RULES = {"overall_percent", "outcome_percent", "one_of", "exact_faults", "grades"}


@dataclass(frozen=True, kw_only=True)
class Rules:
    """When a paper is passed. Safety gates must be passed whatever the marks.

    overall_percent: of all marks. outcome_percent: outcome -> per cent it must reach. one_of:
    groups of outcomes of which one must reach 50 %. exact_faults: in how many repair cases place
    and kind must both be right. grades: (words, per cent) above pass."""

    overall_percent: float = 60.0
    outcome_percent: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    one_of: tuple = ()
    exact_faults: int = 0
    grades: tuple = ()

    def within(self, outcomes):
        """The rules for a paper with these outcomes only."""
        groups = tuple(tuple(name for name in group if name in outcomes) for group in self.one_of)
        return Rules(
            overall_percent=self.overall_percent,
            grades=self.grades,
            exact_faults=self.exact_faults if "LO11" in outcomes else 0,
            outcome_percent=MappingProxyType(
                {name: least for name, least in self.outcome_percent.items() if name in outcomes}
            ),
            one_of=tuple(group for group in groups if group),
        )


@dataclass(frozen=True, kw_only=True)
class Paper:
    """A paper.

    `items` are ids in order, `minutes` the time at standard conditions, the sum of its items unless
    it says otherwise.
    """

    id: str
    title: str
    kind: str
    items: tuple
    minutes: float
    rules: Rules

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
        return "\n".join(lines) + "\n"


@dataclass(frozen=True, kw_only=True)
class Blueprint:
    """Marks by outcome and kind, shares of the levels in percent, and the rules."""

    marks: MappingProxyType
    levels: MappingProxyType
    rules: Rules


def blueprint(path=None):
    """The blueprint of data/papers/blueprint.toml, or of another file."""
    path = Path(path or data_folder() / "papers" / "blueprint.toml")
    reader, table = TableReader(str(path)), read_toml(path)
    reader.check_keys(table, {"rules", "levels", "marks"}, "table")
    for name in table:
        _table(reader, table, name)
    marks = {}
    for outcome in table.get("marks", {}):
        kinds = _table(reader, table["marks"], outcome)
        reader.one_of({"marks": outcome}, "marks", OUTCOMES)
        marks[outcome] = MappingProxyType(
            {
                kind: reader.number(
                    kinds, reader.one_of({"kind": kind}, "kind", KINDS), 1, 200, whole=True
                )
                for kind in kinds
            }
        )
    levels = {level: reader.number(table.get("levels", {}), level, 0, 100) for level in LEVELS}
    if sum(levels.values()) != 100:
        raise reader.wrong(f"levels must add up to 100, got {sum(levels.values())}")
    return Blueprint(
        marks=MappingProxyType(marks),
        levels=MappingProxyType(levels),
        rules=_rules(reader, table.get("rules", {})),
    )


def _table(reader, table, name):
    if not isinstance(table[name], dict):
        raise reader.wrong(
            f"{name} must be a table: a line [{name}] with its values under it, got {table[name]!r}"
        )
    return table[name]


def _rules(reader, table):
    _table(reader, {"rules": table}, "rules")
    reader.check_keys(table, _RULES, "rule")
    named = {
        **table.get("outcome_percent", {}),
        **{name: 50.0 for group in table.get("one_of", []) for name in group},
    }
    for name in named:
        reader.one_of({"rules": name}, "rules", OUTCOMES)
        reader.number(named, name, 0, 100)
    return Rules(
        overall_percent=float(
            reader.number({"overall_percent": 60.0, **table}, "overall_percent", 0, 100)
        ),
        outcome_percent=MappingProxyType(
            {name: float(value) for name, value in table.get("outcome_percent", {}).items()}
        ),
        one_of=tuple(tuple(group) for group in table.get("one_of", [])),
        exact_faults=reader.number({"exact_faults": 0, **table}, "exact_faults", 0, 9, whole=True),
        grades=tuple((str(words), float(least)) for words, least in table.get("grades", [])),
    )


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
    reader.check_keys(table, {"id", "title", "kind", "items", "minutes", "rules"}, "field")
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
        rules=_rules(reader, table.get("rules", {})),
    )


def new_paper(plan, outcomes, minutes=None, seed=0, kind="graded", title=""):
    """A paper for some outcomes, drawn by a seed: spare items for a resit, others for mock and
    graded papers.

    Parameters
    ----------
    plan : Blueprint
    outcomes : names such as "LO3"
    minutes : time; None = the sum of the items. Less than that is a UserError
    seed : any text or number; the same seed gives the same paper

    Returns
    -------
    Paper
    """
    for outcome in outcomes:
        if outcome not in plan.marks:
            raise UserError(f"outcomes must be among {', '.join(plan.marks)}; got {outcome!r}")
    if not outcomes or kind not in PAPER_KINDS:
        raise UserError(
            "name at least one outcome"
            if not outcomes
            else f"kind must be one of {', '.join(PAPER_KINDS)}; got {kind!r}"
        )
    asked = [outcome for outcome in plan.marks if outcome in set(outcomes)]
    chosen = [
        name
        for outcome in asked
        for item_kind, marks in plan.marks[outcome].items()
        for name in _choose(outcome, item_kind, marks, kind == "resit", seed)
    ]
    least = sum(items()[name].minutes for name in chosen)
    if minutes is not None and minutes < least:
        raise UserError(
            f"minutes must be at least {least:g} for {', '.join(asked)}, got {minutes:g}; name"
            " fewer outcomes or give more time"
        )
    name = f"{kind}-{seed_of(kind, seed, *asked):064x}"[: len(kind) + 9]
    return Paper(
        id=name,
        title=title or f"{kind.capitalize()} paper: {', '.join(asked)}",
        kind=kind,
        items=tuple(chosen),
        minutes=float(minutes or least),
        rules=plan.rules.within(asked),
    )


def _choose(outcome, kind, marks, spare, seed):
    """Items of an outcome and kind whose marks add up: the fewest, in an order given by the seed."""
    there = sorted(
        (
            item
            for item in items().values()
            if item.outcome == outcome and item.kind == kind and item.spare == spare
        ),
        key=lambda item: seed_of(seed, item.id),
    )
    for number in range(1, len(there) + 1):
        for group in combinations(there, number):
            if sum(item.marks for item in group) == marks:
                return [
                    item.id for item in sorted(group, key=lambda item: list(items()).index(item.id))
                ]
    raise UserError(
        f"{outcome}: the item bank has no {'spare ' if spare else ''}{kind} items that make {marks}"
        " marks"
    )
