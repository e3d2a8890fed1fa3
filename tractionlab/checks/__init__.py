"""Outside checks: what the package computes against values published by others.

`tractionlab check` prints them.
"""

import argparse
import dataclasses
import json
from collections.abc import Callable
from math import isfinite
from os import PathLike
from typing import Any

from tractionlab import __version__
from tractionlab.catalogue import entries as catalogue
from tractionlab.checks import (
    bands,
    braking,
    car,
    codes,
    cold_and_gas,
    handling,
    hydraulic_graphs,
    hydraulics,
    measured,
    measured_tyres,
    roads,
    sensing,
    tyre,
    unit_behaviour,
)
from tractionlab.checks.printing import table
from tractionlab.checks.row import CheckResult, Expectations
from tractionlab.errors import UserError
from tractionlab.progress import Progress

__all__ = ["CHECKS", "CheckResult", "main", "run_checks"]

#: Check id -> function that returns {quantity: computed value}.
CHECKS = (
    roads.CHECKS
    | bands.CHECKS
    | measured_tyres.CHECKS
    | tyre.CHECKS
    | car.CHECKS
    | handling.CHECKS
    | braking.CHECKS
    | measured.CHECKS
    | sensing.CHECKS
    | hydraulics.CHECKS
    | cold_and_gas.CHECKS
    | hydraulic_graphs.CHECKS
    | codes.CHECKS
    | unit_behaviour.CHECKS
)


def run_checks(
    expectations: str | PathLike[str] | None = None,
    say: Callable[[str], object] = lambda name: None,
    topic: str = "",
) -> list[CheckResult]:
    """All checks, or those of a topic, as a list of CheckResult, in the order of the file of
    expected values; `say` is told the id of each before it runs.

    A check that cannot be computed does not hide the others: its rows say why, and differ.
    """
    expected = Expectations(expectations)
    if set(expected.checks) != set(CHECKS):
        odd = ", ".join(sorted(set(expected.checks) ^ set(CHECKS)))
        raise UserError(f"{expected.path}: these checks are on one side only: {odd}")
    rows = []
    for name in expected.of_topic(topic):
        say(name)
        problem, computed = "", {}
        try:
            computed = CHECKS[name]()
        except Exception as fault:  # whatever it is, the other checks are printed
            problem = f"{type(fault).__name__}: {fault}"
        rows += expected.compare(name, computed, problem)
    return rows


def main(args: argparse.Namespace, expectations: str | PathLike[str] | None = None) -> int:
    """Print all checks, as JSON if `args.json`, or those of `args.topic`, or only what differs
    (`args.differs`); return 1 if one differs and the file of expected
    values does not say why, else 0.

    They are of what the course ships, whatever own files lie here.
    """
    own = [path.name for path, _ in catalogue.in_use().own_files()]
    with Progress("computing the checks") as progress, catalogue.shipped_only():
        rows = run_checks(expectations, progress.say, args.topic)
    shown = [row for row in rows if not (args.differs and row.agrees)]
    if args.json:
        print(json.dumps({"version": __version__, "values": list(map(_plain, shown))}, indent=1))
    else:
        print(table(shown, rows))
        if own:
            print(
                f"\nThe checks are of the values that the course ships. Your own {', '.join(own)}"
                " took no part."
            )
    return 0 if all(row.settled for row in rows) else 1


def _plain(row: CheckResult) -> dict[str, Any]:
    """A row for JSON, which knows no NaN: null stands for what could not be computed."""
    computed = row.computed if isfinite(row.computed) else None
    return dataclasses.asdict(row) | {"computed": computed, "agrees": row.agrees}
