"""Who may sit: the candidates of a sitting's folder, a PIN for each, and the supervisor's
password.

The file of PINs is for the account of the server alone; no page shows it.
"""

import hmac
import json
import os
import re
import secrets
import time
from pathlib import Path
from typing import NamedTuple

from tractionlab.assess.desk.sheet import read_sheet
from tractionlab.assess.sitting.candidate_notebook import SHEET_FILE
from tractionlab.errors import UserError

#: After so many wrong tries in a row a machine has to wait with that number, in seconds.
TRIES, PAUSE = 5, 60.0
#: Digits of a PIN [-]: with the pause, a guess in a hundred tries is right once in 10 000 sittings.
_DIGITS = 6


class Seat(NamedTuple):
    """A candidate's place: folder, and sheet as read from it."""

    folder: Path
    sheet: dict


def seats_of(folder):
    """{candidate number: Seat} for a sitting's folder, in the order of the numbers.

    Raises UserError if it is none, or if its sheets do not belong together.
    """
    folders = sorted(path.parent for path in folder.glob(f"candidates/*/{SHEET_FILE}"))
    if not folders:
        raise UserError(
            f"{folder} is no folder of a sitting: it must hold candidates/ as `paper issue` made it"
        )
    found = {}
    for path in folders:
        sheet = read_sheet(path / SHEET_FILE)
        if sheet["candidate"] in found:
            raise UserError(
                f"{path} and {found[sheet['candidate']].folder} are both of candidate"
                f" {sheet['candidate']}. Leave one of them there."
            )
        found[sheet["candidate"]] = Seat(path, sheet)
    if len(sittings := {seat.sheet["sitting"] for seat in found.values()}) > 1:
        raise UserError(
            f"{folder / 'candidates'} holds folders of several sittings:"
            f" {', '.join(sorted(sittings))}. Serve each sitting by itself."
        )
    return dict(sorted(found.items()))


class Register:
    """PINs of a sitting, the supervisor's password, and the secret of the server's cookies, all
    drawn by chance at the first start and kept in one file.
    """

    def __init__(self, path, numbers):
        self._path = Path(path)
        #: {(number, machine): (wrong tries in a row, when the last one came)}
        self._wrong = {}
        try:
            kept = json.loads(self._path.read_text(encoding="utf-8"))
            self.supervisor, self.secret = str(kept["supervisor"]), str(kept["secret"])
            self.pins = {str(number): str(pin) for number, pin in kept["pins"].items()}
        except FileNotFoundError:
            self.supervisor = "-".join(f"{secrets.randbelow(10**4):04d}" for _ in range(4))
            self.secret, self.pins = secrets.token_hex(32), {}
        except (ValueError, KeyError, TypeError, AttributeError):
            raise UserError(
                f"{self._path} is damaged. Move it away and start again: PINs are drawn anew, so"
                " print the slips again; saved answers stay."
            ) from None
        for number in numbers:
            self.pins.setdefault(number, f"{secrets.randbelow(10**_DIGITS):0{_DIGITS}d}")
        self._keep()

    def check(self, number, pin, where):
        """Raise UserError, with the sentence for the page, if this is not the number's PIN.

        `where` is the machine that asks: nobody makes another wait by wrong tries.
        """
        wrong = "This number and this PIN do not belong together. Look at your slip."
        self._check((number, where), pin, self.pins.get(number), wrong)

    def check_supervisor(self, password, where):
        """Raise UserError if this is not the supervisor's password; blanks and hyphens between its
        digits do not count.
        """
        wrong = "This is not the supervisor's password. The window that serves the room shows it."
        given, right = (re.sub(r"[\s-]", "", words) for words in (password, self.supervisor))
        self._check(("", where), given, right, wrong)

    def on_slip(self, number):
        """A candidate's number as the slip has it, where noughts before it were left out."""
        number = number.strip()
        alike = [one for one in self.pins if one.lstrip("0") == number.lstrip("0")]
        return number if number in self.pins or len(alike) != 1 else alike[0]

    def _check(self, who, given, right, wrong):
        count, last = self._wrong.get(who, (0, 0.0))
        if count >= TRIES and time.monotonic() < last + PAUSE:
            raise UserError("Too many wrong tries. Wait a minute, and ask the supervisor.")
        if right is None or not hmac.compare_digest(given.encode(), right.encode()):
            if right is not None:
                self._wrong[who] = (count + 1, time.monotonic())
            raise UserError(wrong)
        self._wrong.pop(who, None)

    def _keep(self):
        kept = {"supervisor": self.supervisor, "secret": self.secret, "pins": self.pins}
        draft = self._path.with_name(self._path.name + ".part")
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
            json.dump(kept, file, indent=1)
        os.replace(draft, self._path)
