"""Service work as steps: the right order, and what follows if a step is left out or comes too
early. Consequences are computed.
"""

from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.workshop.consequences import CONSEQUENCES


@dataclass(frozen=True)
class Step:
    """A step: words, keys of steps that must come before it, and the consequence that follows if it
    is missing.
    """

    key: str
    text: str
    after: tuple = ()
    consequence: str = ""


@dataclass(frozen=True)
class Procedure:
    """A piece of service work with its steps in a right order."""

    key: str
    title: str
    vehicle: str
    goal: str
    cautions: tuple
    source: str
    steps: tuple


def procedures():
    """Procedures by key."""
    path = data_folder() / "workshop" / "service.toml"
    return _read(path, path.stat().st_mtime_ns if path.exists() else 0)


@lru_cache(maxsize=2)
def _read(path, stamp):
    found = {}
    for key, table in read_toml(path).items():
        where = f"{path}, [{key}]"
        for name in ("title", "vehicle", "goal", "source"):
            if not isinstance(table.get(name), str) or not table[name].strip():
                raise UserError(f"{where}: {name} must be a text")
        if set(table) != {"title", "vehicle", "goal", "source", "cautions", "steps"}:
            raise UserError(
                f"{where}: needs title, vehicle, goal, source, cautions and steps, nothing else"
            )
        steps = tuple(_step(where, row) for row in table["steps"])
        keys = [step.key for step in steps]
        for i, step in enumerate(steps):
            if missing := [name for name in step.after if name not in keys[:i]]:
                raise UserError(
                    f"{where}, {step.key}: after may hold steps that stand above it; got"
                    f" {missing[0]!r}"
                )
        found[key] = Procedure(
            key,
            table["title"],
            table["vehicle"],
            table["goal"],
            tuple(table["cautions"]),
            table["source"],
            steps,
        )
    return MappingProxyType(found)


def _step(where, row):
    if not isinstance(row, dict) or not {"key", "text"} <= set(row) <= {
        "key",
        "text",
        "after",
        "consequence",
    }:
        raise UserError(f"{where}: a step needs key and text, and may have after and consequence")
    if row.get("consequence", "") not in ("", *CONSEQUENCES):
        raise UserError(
            f"{where}, {row['key']}: consequence must be one of {', '.join(CONSEQUENCES)}; got"
            f" {row['consequence']!r}"
        )
    return Step(row["key"], row["text"], tuple(row.get("after", ())), row.get("consequence", ""))


def left_out(procedure, done, step):
    """Steps that had to come before `step` and were not done, in order; those they need themselves
    count too.
    """
    by_key, needed = {s.key: s for s in procedure.steps}, []

    def need(key):
        for name in by_key[key].after:
            need(name)
            if name not in done and name not in needed:
                needed.append(name)

    need(step)
    return tuple(by_key[name] for name in needed)


def consequence(procedure, step):
    """What follows if `step` (a Step) was left out: one or two sentences with computed numbers, or
    "" if nothing much.
    """
    return CONSEQUENCES[step.consequence](procedure.vehicle) if step.consequence else ""
