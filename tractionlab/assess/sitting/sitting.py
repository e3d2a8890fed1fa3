"""A sitting: one paper, one key, one roll, a date."""

import hashlib
import hmac
import json
import math
import re
import secrets
from dataclasses import asdict, dataclass, replace
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from pathlib import Path

from tractionlab import __version__
from tractionlab.assess.answers.reading import Sheet, line_kind
from tractionlab.assess.bank.draw import variant
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.neighbours import turns
from tractionlab.assess.bank.own_car import with_numbers
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
    "ahead": int,
    "place": str,
    "minutes": (int, float),
    "package": str,
    "candidates": dict,
}


@dataclass(frozen=True)
class Sitting:
    """What the assessor keeps: the key, the paper as issued, and the roll.

    paper : dict with id, title, kind, items (ids in order), rules, numbers of an own car;
    versions : {item id: version};
    ahead : minutes by which the clocks at the place are ahead of UTC on that day
    candidates : {number: {name, extra_percent, larger_print, turn}}
    """

    id: str
    key: str
    paper: dict
    versions: dict
    date: str
    ahead: int
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

    def with_given(self, given):
        """The sitting with the minutes that persons gave since, {number: {"lost": minutes given
        back, "breaks": minutes of breaks that count}}, either left out where there are none.
        """
        changed = {
            number: {**self.candidates[number], **minutes}
            for number, minutes in given.items()
            if number in self.candidates
        }
        return replace(self, candidates={**self.candidates, **changed})

    def day_of(self, seconds):
        """The day (2026-03-31) at the place of the sitting, at a time [s since 1970]."""
        return self._there(seconds).date().isoformat()

    def clock_of(self, seconds):
        """The clock (09:00) at the place of the sitting, at a time [s since 1970]."""
        return self._there(seconds).strftime("%H:%M")

    def _there(self, seconds):
        return datetime.fromtimestamp(seconds, UTC) + timedelta(minutes=self.ahead)

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
            self.candidates[number].get("breaks", 0),
        )

    def variant(self, item, number):
        """The variant of an item (Item) that a candidate got."""
        return variant(
            with_numbers(item, self.paper.get("numbers", {})),
            self.key,
            number,
            version=self.versions[item.id],
            turn=self.candidates[number]["turn"],
        )

    @property
    def about(self):
        """Which sitting this is, when and where, in words for the foot of a print."""
        return f"Sitting {self.id}, {', '.join(filter(None, (self.date, self.place)))}"

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
    key = secrets.token_hex(32)
    numbers = [candidate.number for candidate in roll]
    chosen = paper.chosen()
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
            "numbers": paper.numbers,
        },
        versions={item.id: item.version for item in chosen},
        date=day,
        ahead=_ahead(day),
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


def _ahead(day):
    """Minutes by which this machine's clock is ahead of UTC at noon of a day."""
    there = datetime.fromisoformat(f"{day}T12:00").astimezone()
    return round(there.utcoffset().total_seconds() / 60)
