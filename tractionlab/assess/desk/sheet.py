"""A candidate's sheet: read from its file, as the rules for the answer file, and as the browser
needs it.
"""

import json
from pathlib import Path

from tractionlab.assess.answers.reading import Sheet, line_kind
from tractionlab.errors import UserError
from tractionlab.written.numbers import UNITS

_HEAD = {
    "format": int,
    "sitting": str,
    "paper": str,
    "title": str,
    "date": str,
    "place": str,
    "candidate": str,
    "name": str,
    "minutes": (int, float),
    "larger_print": bool,
    "seal": str,
    "package": str,
    "items": list,
}


def read_sheet(path):
    """The sheet of one candidate as a dict; UserError if it is missing or damaged."""
    try:
        sheet = json.loads(Path(path).read_text(encoding="utf-8"))
        good = all(isinstance(sheet[name], kind) for name, kind in _HEAD.items()) and all(
            item["fields"] for item in sheet["items"]
        )
    except FileNotFoundError:
        raise UserError(
            f"{path} is missing. Keep this notebook in the folder you were given, and tell the"
            " supervisor."
        ) from None
    except (OSError, ValueError, KeyError, TypeError):
        good = False
    if not good:
        raise UserError(
            f"{path} is damaged. Tell the supervisor; your saved answers are in their own file."
        )
    return sheet


def rules(sheet):
    """The Sheet by which the answer file of a candidate is read."""
    return Sheet(
        sheet["sitting"],
        sheet["paper"],
        sheet["candidate"],
        sheet["seal"],
        sheet["minutes"],
        {
            item["id"]: {field["name"]: line_kind(field["kind"]) for field in item["fields"]}
            for item in sheet["items"]
        },
    )


def _without(field, *names):
    return {name: value for name, value in field.items() if name not in names}


def as_browser_needs(sheet):
    """What the browser needs of the sheet: no seal, no key, nothing that tells the car of a repair
    case, and the pictures only on demand.
    """
    items = [
        {name: value for name, value in item.items() if name != "charts"}
        | {
            "picture": bool(item.get("charts")),
            "fields": [_without(field, "car", "lock") for field in item["fields"]],
        }
        for item in sheet["items"]
    ]
    return {
        "title": sheet["title"],
        "candidate": sheet["candidate"],
        "sitting": sheet["sitting"],
        "minutes": sheet["minutes"],
        "larger_print": sheet["larger_print"],
        "practice": "practice" in sheet,
        "items": items,
        "units": [unit for unit in UNITS if unit not in ("1", "times", "steps")],
    }
