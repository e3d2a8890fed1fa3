"""The blueprint of data/papers/, and new papers made from it."""

from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from types import MappingProxyType

from tractionlab.assess.bank.item import KINDS, LEVELS, OUTCOMES, items
from tractionlab.assess.bank.paper import PAPER_KINDS, Paper
from tractionlab.assess.bank.rules import Rules, rules_of, table_of
from tractionlab.assess.bank.seed import seed_of
from tractionlab.catalogue.checked import TableReader
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError


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
        table_of(reader, table, name)
    marks = {}
    for outcome in table.get("marks", {}):
        kinds = table_of(reader, table["marks"], outcome)
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
        rules=rules_of(reader, table.get("rules", {})),
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
    """The fewest items of an outcome and kind whose marks add up, in an order given by the seed."""
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
