"""Cases as small TOML files, and cases drawn by group and difficulty, for the instructor."""

import json
import random
from pathlib import Path

from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.workshop.case.case import MODES, Case
from tractionlab.workshop.case.sealed import seal, unseal
from tractionlab.workshop.fault_entry import GROUPS
from tractionlab.workshop.faults import check_vehicle, faults

BANDS = {1: "easy: a code leads to it", 2: "medium", 3: "hard: no code, or it comes and goes"}
_FIELDS = {"fault", "sealed", "vehicle", "symptom", "mode", "title"}
_HEAD = """\
# A repair case of the course. Which fault is on the car is sealed: reading this file tells nothing.
# (It keeps nobody out who can program. Whoever sets the case finds the fault on the answer sheet.)
"""


def typed(group):
    """Name of a group as one word to type: hydraulics A -> hydraulics-a."""
    return group.lower().replace(" ", "-")


def group_of(text):
    """The group that a person typed, in any case, with spaces or hyphens; UserError with the names
    there are.
    """
    found = next((group for group in GROUPS if typed(group) == typed(text)), None)
    if found is None:
        raise UserError(f"group must be one of {', '.join(map(typed, GROUPS))}; got {text!r}")
    return found


def chosen(group="", band=0):
    """Faults of a group and a band, or of any, in the order of the catalogue."""
    wanted = group_of(group) if group else ""
    if band not in (0, *BANDS):
        raise UserError(f"band must be 1, 2 or 3; got {band!r}")
    return [
        entry
        for entry in faults().values()
        if wanted in ("", entry.group) and band in (0, entry.band)
    ]


def draw(group="", band=0, vehicle="", seed=None, mode="practice"):
    """A case with a random fault.

    Parameters
    ----------
    group : one of faults.GROUPS, or "" for any; band : 1, 2, 3, or 0 for any; vehicle : or "" for
        any; seed : int, the same case for the same number
    """
    if vehicle:
        check_vehicle(vehicle)
    found = [
        (entry.id, car)
        for entry in chosen(group, band)
        for car in entry.vehicles
        if not vehicle or car == vehicle
    ]
    if not found:
        raise UserError(
            f"no fault of the catalogue has group {group or 'any'}, band {band or 'any'} and"
            f" vehicle {vehicle or 'any'}; leave one of them out"
        )
    fault_id, car = random.Random(seed).choice(found)
    return Case(fault_id, car, mode=mode)


def read_case(path):
    """Case of a file with `sealed`, or with `fault` in clear text, `vehicle` and, if wanted,
    `symptom`, `mode`, `title`.
    """
    path = Path(path)
    table = read_toml(path)
    unknown = set(table) - _FIELDS
    if unknown:
        raise UserError(
            f"{path}: unknown field {sorted(unknown)[0]!r}; a case has {', '.join(sorted(_FIELDS))}"
        )
    if "sealed" in table:
        table["fault"] = _opened(path, table)
    for field in ("fault", "vehicle"):
        if not isinstance(table.get(field), str):
            raise UserError(
                f"{path}: {field} must be a text, such as"
                f" {'passive-sensor-open-circuit' if field == 'fault' else 'rear_petrol'}"
            )
    try:
        return Case(
            table["fault"],
            table["vehicle"],
            table.get("symptom", ""),
            table.get("mode", "practice"),
        )
    except UserError as problem:
        sealed = (
            "vehicle, symptom and mode must stay as the course wrote them beside what is sealed"
        )
        raise UserError(f"{path}: {sealed if 'sealed' in table else problem}") from None


def _opened(path, table):
    if "fault" in table:
        raise UserError(
            f"{path}: a case has sealed or fault, not both; take one of the two lines away"
        )
    try:
        return unseal(table["sealed"])
    except ValueError:
        raise UserError(
            f"{path}: sealed is not as the course wrote it. Copy the file again from where you got"
            " it, whole."
        ) from None


def save_case(case, path, title=""):
    """Write a case's beginning to a file; one that is there already is not overwritten."""
    path = Path(path)
    if path.exists():
        raise UserError(f"{path} is there already. Choose another name.")
    lines = [
        f"{_HEAD}title = {json.dumps(title or 'Repair case', ensure_ascii=False)}",
        f'sealed = "{seal(case.fault.id)}"',
        f'vehicle = "{case.vehicle}"',
        f'symptom = "{case.symptom}"',
        f'mode = "{case.mode}"            # {"; ".join(MODES)}',
    ]
    try:
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    except OSError as problem:
        raise UserError(
            f"{path} cannot be written ({problem.strerror or problem}). Choose another folder."
        ) from None
    return path
