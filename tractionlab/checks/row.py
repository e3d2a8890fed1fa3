"""One outside check: what others published, what the package computes, and how far apart the two
may lie.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite, nan
from os import PathLike
from typing import Any

from tractionlab.catalogue.checked import TableReader, is_number
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError

STATUSES = (
    "read in the original",
    "second-hand",
    "computed twice",
    "derived",
    "common practice",
    "from memory",
)


@dataclass(frozen=True, kw_only=True)
class CheckResult:
    """One value of one check."""

    id: str
    topic: str
    title: str
    quantity: str
    expected: float
    computed: float
    tolerance: float  # largest allowed difference, in `unit`
    unit: str
    status: str  # where `expected` comes from, one of STATUSES
    source: str
    reason: str  # why this tolerance
    problem: str = ""  # why nothing could be computed; then `computed` is NaN
    outside: str = ""  # why it may lie outside the tolerance

    @property
    def agrees(self) -> bool:
        """True if it was computed and lies inside the tolerance; NaN never does."""
        return abs(self.computed - self.expected) <= self.tolerance

    @property
    def settled(self) -> bool:
        """True if it agrees, or was computed and the file says why it does not."""
        return self.agrees or (bool(self.outside) and isfinite(self.computed))


def is_band(value: object) -> bool:
    """True for [low, high], two numbers that rise."""
    return (
        isinstance(value, list)
        and len(value) == 2
        and all(map(is_number, value))
        and value[0] < value[1]
    )


class Expectations:
    """The file of expected values: one table per check id, see data/checks/outside.toml."""

    def __init__(self, path: str | PathLike[str] | None = None) -> None:
        self.path = path or data_folder() / "checks" / "outside.toml"
        self.checks = read_toml(self.path)
        for name, check in self.checks.items():
            self._inspect(name, check)

    def _inspect(self, name: str, check: Mapping[str, Any]) -> None:
        reader = TableReader(f"{self.path}, [{name}]")
        for key in ("topic", "title", "source", "status", "reason", "values"):
            if not check.get(key):
                raise reader.wrong(f"{key} is missing")
        for quantity, entry in check["values"].items():
            full = self.entry(check, entry)
            for key in ("expected", "tolerance"):
                if not is_number(full.get(key)):
                    raise reader.wrong(f"{quantity}: {key} must be a number, got {full.get(key)!r}")
            if full["status"] not in STATUSES:
                raise reader.wrong(
                    f"{quantity}: status must be one of {', '.join(STATUSES)}, got"
                    f" {full['status']!r}"
                )
            if not isinstance(full.get("unit"), str):
                raise reader.wrong(f"{quantity}: unit is missing")

    @staticmethod
    def entry(check: Mapping[str, Any], entry: Any) -> dict[str, Any]:
        """A value with what it takes over from its check: tolerance, unit, status. A band
        [from, to] stands for its middle and half its width.
        """
        own = entry if isinstance(entry, dict) else {"expected": entry}
        if is_band(own.get("band")):
            low, high = own["band"]
            own = own | {"expected": 0.5 * (low + high), "tolerance": 0.5 * (high - low)}
        return {key: check.get(key) for key in ("tolerance", "unit", "status")} | own

    def of_topic(self, topic: str) -> list[str]:
        """Ids of the checks whose topic holds `topic`, a part of it in any case; all if ""."""
        topics = list(dict.fromkeys(check["topic"] for check in self.checks.values()))
        found = [
            name
            for name, check in self.checks.items()
            if topic.casefold() in check["topic"].casefold()
        ]
        if not found:
            raise UserError(f"No topic holds {topic!r}; there are {', '.join(topics)}")
        return found

    def compare(
        self, name: str, computed: Mapping[str, float], problem: str = ""
    ) -> list[CheckResult]:
        """Rows of check `name` from its computed values {quantity: number}; both sides must name
        the same quantities, unless a `problem` kept it from being computed.
        """
        check = self.checks[name]
        if problem:
            computed = dict.fromkeys(check["values"], nan)
        if set(check["values"]) != set(computed):
            odd = sorted(set(check["values"]) ^ set(computed))
            raise UserError(
                f"{self.path}, [{name}]: expected and computed quantities differ: {'; '.join(odd)}"
            )
        rows = []
        for quantity, entry in check["values"].items():
            full = self.entry(check, entry)
            rows.append(
                CheckResult(
                    id=name,
                    topic=check["topic"],
                    title=check["title"],
                    quantity=quantity,
                    expected=float(full["expected"]),
                    computed=float(computed[quantity]),
                    tolerance=float(full["tolerance"]),
                    unit=full["unit"],
                    status=full["status"],
                    source=check["source"],
                    reason=check["reason"],
                    problem=problem,
                    outside=full.get("outside", ""),
                )
            )
        return rows


def published_table(name: str) -> list[dict[str, float | str | None]]:
    """Rows of data/checks/<name> as dicts; numbers as float, empty cells as None.

    Lines of its head start with #.
    """
    with open(data_folder() / "checks" / name, encoding="utf-8", newline="") as file:
        lines = [line for line in file if not line.startswith("#")]
    return [{key: _number(text) for key, text in row.items()} for row in csv.DictReader(lines)]


def _number(text: str) -> float | str | None:
    if text == "":
        return None
    try:
        return float(text)
    except ValueError:
        return text
