"""Who may sign in: the class password, the instructor's password, and each learner's own PIN.

Standard library only. The file that it keeps is readable by the account that serves the class, so
by what learners' notebooks run as well: PINs are kept as salted hashes (scrypt, RFC 7914).
"""

import hashlib
import hmac
import json
import os
import re
import secrets
import threading
import time
import unicodedata
from pathlib import Path

from tractionlab.errors import UserError

#: Name under which the instructor signs in.
INSTRUCTOR = "instructor"
#: Name of the register's file.
REGISTER = "register.json"
#: Folder, in that of the class, with a home folder for each learner.
LEARNERS = "learners"
#: The least number of characters of a class password.
SHORTEST = 8
#: After so many wrong PINs in a row a name has to wait, in seconds.
TRIES, PAUSE = 5, 60.0
_LONGEST_NAME = 30
#: Letters and digits that nobody takes for one another.
_PLAIN = "abcdefghjkmnpqrstuvwxyz23456789"
#: Letters without a decomposition in Unicode, as they are commonly written in plain ones.
_LETTERS = str.maketrans({"ß": "ss", "ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d", "ı": "i"})


def folder_name(name):
    """A learner's name as that of a folder: small letters a to z, digits, single hyphens.

    Accents are dropped; blanks, dots and underscores become hyphens. Raises UserError for anything
    else, such as a slash."""
    plain = unicodedata.normalize("NFKD", name.strip().lower().translate(_LETTERS))
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
    plain = re.sub(r"[\s._'-]+", "-", plain).strip("-")
    if not re.fullmatch(r"[a-z0-9-]+", plain) or len(plain) > _LONGEST_NAME:
        raise UserError(
            "A name has 1 to 30 letters from a to z and digits, for example anna-k; accents,"
            " blanks and dots may stand in it, slashes and other signs may not."
        )
    return plain


def drawn_password(groups):
    """Random groups of four letters and digits with hyphens between, 19.8 bits each."""
    return "-".join("".join(secrets.choice(_PLAIN) for _ in range(4)) for _ in range(groups))


def check_class_password(password):
    """Raise UserError if a class password cannot be used."""
    if len(password) < SHORTEST or password != password.strip() or not password.isprintable():
        raise UserError(
            f"The class password is too short or begins or ends with a blank: give --password at"
            f" least {SHORTEST} characters, such as {drawn_password(2)}"
        )


class Register:
    """The passwords and PINs of a class, kept in one file of its folder."""

    def __init__(self, path):
        """`path` is made at the first use, with passwords drawn by chance."""
        self._path, self._lock = Path(path), threading.Lock()
        #: {name: (wrong PINs in a row, when the last one came)}
        self._wrong = {}
        try:
            kept = json.loads(self._path.read_text(encoding="utf-8"))
            self.password, self.instructor = str(kept["class"]), str(kept["instructor"])
            self._pins = {name: dict(pin) for name, pin in kept["pins"].items()}
        except FileNotFoundError:
            self.password, self.instructor, self._pins = drawn_password(3), drawn_password(5), {}
            self._keep()
        except (ValueError, KeyError, TypeError, AttributeError):
            raise UserError(
                f"{self._path} is damaged. Move it away and start again: passwords are drawn anew,"
                " and each learner chooses a PIN again; their folders stay."
            ) from None

    def set_password(self, password):
        """Take another class password; raises UserError if it is too short."""
        check_class_password(password)
        self.password = password
        self._keep()

    def names(self):
        """Folder names of all who have a PIN, in the order of the alphabet."""
        return sorted(self._pins)

    def sign_in(self, name, password, pin):
        """Folder name of whoever may come in: a learner, whose first PIN is kept, or INSTRUCTOR.

        Raises UserError with the sentence for the page."""
        who = folder_name(name)
        if who == INSTRUCTOR:
            if not _same(password, self.instructor):
                raise UserError("This is not the instructor's password.")
            return who
        if not _same(password, self.password):
            raise UserError("This is not the class password. Ask your instructor for it.")
        if not re.fullmatch(r"[0-9]{4,12}", pin):
            raise UserError("A PIN has 4 to 12 digits. At your first sign-in you choose your own.")
        with self._lock:
            self._check_pin(who, pin)
        return who

    def _check_pin(self, who, pin):
        count, last = self._wrong.get(who, (0, 0.0))
        if count >= TRIES and time.monotonic() < last + PAUSE:
            raise UserError(f"Too many wrong PINs for {who}. Wait a minute, then try again.")
        kept = self._pins.get(who)
        if kept is None:
            salt = secrets.token_hex(16)
            self._pins[who] = {"salt": salt, "hash": _hash(pin, salt)}
            self._keep()
        elif not hmac.compare_digest(_hash(pin, kept["salt"]), kept["hash"]):
            self._wrong[who] = (count + 1, time.monotonic())
            raise UserError(
                f"The name {who} is taken, and this is not its PIN. If it is your name, ask your"
                " instructor for a new PIN; if not, add a letter to yours."
            )
        self._wrong.pop(who, None)

    def forget(self, who):
        """Let a learner choose a new PIN at the next sign-in; the folder stays."""
        with self._lock:
            self._wrong.pop(who, None)
            if self._pins.pop(who, None):
                self._keep()

    def _keep(self):
        draft = self._path.with_name(self._path.name + ".part")
        kept = {"class": self.password, "instructor": self.instructor, "pins": self._pins}
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
            json.dump(kept, file, indent=1)
        os.replace(draft, self._path)


def _same(given, right):
    return hmac.compare_digest(given.encode(), right.encode())


def _hash(pin, salt):
    return hashlib.scrypt(pin.encode(), salt=bytes.fromhex(salt), n=1 << 14, r=8, p=1).hex()
