"""The rules by which a paper is passed, and how they are read from a file."""

from dataclasses import dataclass, field
from types import MappingProxyType

from tractionlab.assess.bank.item import OUTCOMES

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


def table_of(reader, table, name):
    if not isinstance(table[name], dict):
        raise reader.wrong(
            f"{name} must be a table: a line [{name}] with its values under it, got {table[name]!r}"
        )
    return table[name]


def rules_of(reader, table):
    table_of(reader, {"rules": table}, "rules")
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
