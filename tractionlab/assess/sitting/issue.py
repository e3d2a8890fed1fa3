"""A sitting: one paper, one key, one roll, a date.

`paper issue` writes a folder for each candidate and one for the assessor.
"""

import hashlib
import hmac
import json
import math
import os
import re
import secrets
import shutil
from dataclasses import asdict, dataclass, replace
from datetime import date
from functools import cached_property
from pathlib import Path

from tractionlab import __version__
from tractionlab.assess.answers.reading import Sheet, line_kind
from tractionlab.assess.bank.draw import public, turns, variant
from tractionlab.assess.bank.item import items
from tractionlab.assess.sitting.assessor_sheets import observation, sign_on
from tractionlab.assess.sitting.candidate_notebook import NOTEBOOK, SHEET_FILE, notebook
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.assess.sitting.rule_sheet import pass_sentences, sentences
from tractionlab.errors import UserError

FORMAT = 1
KEY_FILE = "sitting.json"
#: So many candidates are drawn against each other; a longer roll goes in groups of this size.
GROUP = 100
_HEAD = {
    "format": int,
    "id": str,
    "key": str,
    "paper": dict,
    "versions": dict,
    "date": str,
    "place": str,
    "minutes": (int, float),
    "package": str,
    "candidates": dict,
}


@dataclass(frozen=True)
class Sitting:
    """What the assessor keeps: the key, the paper as issued, and the roll.

    paper : dict with id, title, kind, items (ids in order), rules; versions : {item id: version};
    candidates : {number: {name, extra_percent, larger_print, turn}}
    """

    id: str
    key: str
    paper: dict
    versions: dict
    date: str
    place: str
    minutes: float
    package: str
    candidates: dict

    def seal(self, number):
        """What the chain of a candidate's answer file starts from.

        Nobody can work it out without the sitting key.
        """
        return hmac.new(
            bytes.fromhex(self.key), f"{self.id}\n{number}".encode(), hashlib.sha256
        ).hexdigest()

    def minutes_of(self, number):
        """Whole minutes that a candidate has, with extra time and with lost time that was given
        back.
        """
        one = self.candidates[number]
        return math.ceil(self.minutes * (100 + one["extra_percent"]) / 100) + one.get("lost", 0)

    def with_lost(self, lost):
        """The sitting with lost minutes given back, {number: minutes}."""
        given = {
            number: {**self.candidates[number], "lost": minutes}
            for number, minutes in lost.items()
            if number in self.candidates
        }
        return replace(self, candidates={**self.candidates, **given})

    @cached_property
    def fields(self):
        """{item id: {field: kind of the lines that answer it}}, the same for all candidates."""
        return {
            name: {part.name: line_kind(part.kind) for part in items()[name].fields}
            for name in self.paper["items"]
        }

    def sheet(self, number):
        """The rules by which a candidate's answer file is read."""
        return Sheet(
            self.id,
            self.paper["id"],
            number,
            self.seal(number),
            self.minutes_of(number),
            self.fields,
        )

    def variant(self, item, number):
        """The variant of an item (Item) that a candidate got."""
        return variant(
            item,
            self.key,
            number,
            version=self.versions[item.id],
            turn=self.candidates[number]["turn"],
        )

    def groups(self):
        """Numbers of the roll in the groups that were drawn against each other."""
        numbers = list(self.candidates)
        return [numbers[first : first + GROUP] for first in range(0, len(numbers), GROUP)]

    def check_bank(self):
        """Raise UserError if the item bank is not the one the paper was issued from."""
        for name in self.paper["items"]:
            if name not in items():
                raise UserError(
                    f"The paper {self.paper['id']} has the item {name}, which this item bank does"
                    " not know. Mark with the edition of the course that issued it"
                    f" ({self.package})."
                )
            if items()[name].version != self.versions[name]:
                raise UserError(
                    f"Item {name} was issued in version {self.versions[name]}, this item bank has"
                    f" {items()[name].version}. Mark with the edition of the course that issued it"
                    f" ({self.package})."
                )

    def to_json(self):
        """Text of the key file."""
        return json.dumps({"format": FORMAT, **asdict(self)}, ensure_ascii=False, indent=1)


def read_sitting(path):
    """Sitting from its key file; a mistake is a UserError with file and entry."""
    path = Path(path)
    try:
        table = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise UserError(
            f"{path}: there is no such key file. It is {KEY_FILE} in the assessor's folder of"
            " `python3 -m tractionlab paper issue`"
        ) from None
    except (ValueError, RecursionError):
        raise UserError(
            f"{path}: this is not a key file, or it is damaged; take it from the copy you keep safe"
        ) from None
    if (
        not isinstance(table, dict)
        or set(table) != set(_HEAD)
        or any(not isinstance(table[name], kind) for name, kind in _HEAD.items())
    ):
        raise UserError(
            f"{path}: this is not a key file of a sitting, or it is damaged; it must have the"
            f" entries {', '.join(_HEAD)}"
        )
    if table.pop("format") != FORMAT or not re.fullmatch(r"[0-9a-f]{64}", table["key"]):
        raise UserError(f"{path}: format must be {FORMAT} and key 64 digits 0-9 a-f")
    sitting = Sitting(**table)
    sitting.check_bank()
    return sitting


def draw_sitting(paper, roll, place="", day="", minutes=None):
    """A new Sitting of a Paper for a list of Candidate, with a fresh key.

    Time: the paper's, less that of its observed practicals.
    """
    bank, key = items(), secrets.token_hex(32)
    numbers = [candidate.number for candidate in roll]
    chosen = [bank[name] for name in paper.items]
    turn = {}
    for first in range(0, len(numbers), GROUP):
        turn |= turns(chosen, key, numbers[first : first + GROUP])
    day = _day(day)
    watched = sum(item.minutes for item in chosen if item.kind == "checklist")
    return Sitting(
        id=f"{paper.id}-{day}-{secrets.token_hex(3)}",
        key=key,
        paper={
            "id": paper.id,
            "title": paper.title,
            "kind": paper.kind,
            "items": list(paper.items),
            "rules": paper.rules_as_dict(),
        },
        versions={item.id: item.version for item in chosen},
        date=day,
        place=place,
        minutes=float(minutes or max(1.0, paper.minutes - watched)),
        package=__version__,
        candidates={
            one.number: {
                "name": one.name,
                "extra_percent": one.extra_percent,
                "larger_print": one.larger_print,
                "turn": turn[one.number],
            }
            for one in roll
        },
    )


def _day(text):
    try:
        return date.fromisoformat(text).isoformat() if text else date.today().isoformat()
    except ValueError:
        raise UserError(f"--date must be written like 2026-03-31, got {text!r}") from None


def sheet_for(sitting, number, practice=False):
    """What a candidate gets as data: the head of the sitting and the variants as seen.

    A practice sheet also holds the key.
    """
    bank, candidate = items(), sitting.candidates[number]
    head = {
        "format": FORMAT,
        "sitting": sitting.id,
        "paper": sitting.paper["id"],
        "title": sitting.paper["title"],
        "date": sitting.date,
        "place": sitting.place,
        "candidate": number,
        "name": candidate["name"],
        "minutes": sitting.minutes_of(number),
        "larger_print": candidate["larger_print"],
        "seal": sitting.seal(number),
        "package": sitting.package,
    }
    head["rules"] = [
        *sentences({bank[name].kind for name in sitting.paper["items"]}),
        *pass_sentences(sitting.paper["rules"]),
    ]
    if practice:
        head["practice"] = {"key": sitting.key, "turn": candidate["turn"]}
    return {
        **head,
        "items": [
            public(bank[name], sitting.variant(bank[name], number))
            for name in sitting.paper["items"]
        ],
    }


def write_candidate(folder, sheet):
    """Write a candidate's folder: notebook and sheet."""
    folder.mkdir()
    (folder / SHEET_FILE).write_text(
        json.dumps(sheet, ensure_ascii=False, indent=1), encoding="utf-8"
    )
    (folder / NOTEBOOK).write_text(
        json.dumps(notebook(sheet), ensure_ascii=False, indent=1) + "\n", encoding="utf-8"
    )


def issue(paper, roll, out, progress=None, **when):
    """Write the folders of a sitting under `out`, which must not hold one yet.

    Returns the Sitting.
    """
    out = Path(out)
    part = _fresh(out)
    sitting = draw_sitting(paper, roll, **when)
    try:
        (part / "assessor").mkdir(parents=True)
        (part / "candidates").mkdir()
        for done, number in enumerate(sitting.candidates, 1):
            write_candidate(part / "candidates" / f"candidate_{number}", sheet_for(sitting, number))
            if progress:
                progress(done, len(sitting.candidates))
        (part / "assessor" / KEY_FILE).write_text(sitting.to_json(), encoding="utf-8")
        sign_on(sitting).save(part / "assessor" / "sign_on_list")
        if watched := observation(sitting):
            watched.save(part / "assessor" / "observation_sheets")
        _put(part, out)
    except BaseException:
        shutil.rmtree(part, ignore_errors=True)
        raise
    return sitting


def practice(paper, out, larger_print=False):
    """Write a folder for one learner alone: the same forms, with feedback at once."""
    out = Path(out)
    part = _fresh(out)
    sitting = draw_sitting(paper, [Candidate("practice", "Practice", 0, larger_print)])
    try:
        write_candidate(part, sheet_for(sitting, "practice", practice=True))
        _put(part, out)
    except BaseException:
        shutil.rmtree(part, ignore_errors=True)
        raise
    return sitting


def _fresh(out):
    """Name of a folder beside `out` to build in; `out` must be free, so that nothing issued is ever
    written over.
    """
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise UserError(
            f"{out} is there and not empty. What was issued is never written over: give another"
            " folder with --out."
        )
    out.parent.mkdir(parents=True, exist_ok=True)
    return out.with_name(f"{out.name}.part-{secrets.token_hex(3)}")


def _put(part, out):
    if out.exists():
        out.rmdir()
    os.replace(part, out)
