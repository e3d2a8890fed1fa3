"""Trouble codes: how five characters make two bytes, what a code and its failure type say, and from
which list.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from tractionlab.catalogue.checked import number_in
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError

#: Letter of a code by the two highest bits. Source: ISO 15031-6 / SAE J2012, second-hand.
LETTERS = "PCBU"
SYSTEMS = MappingProxyType({"P": "engine and gearbox", "C": "chassis", "B": "body", "U": "network"})
EVIDENCE = ("listed twice", "list", "lists differ", "memory", "own")
_FORM = re.compile(r"[PCBU][0-3][0-9A-F]{3}")


def two_bytes(code):
    """Both bytes of a code as one number from 0 to 65535: two bits for the letter, two for the
    first digit, twelve for the other three.
    """
    if not isinstance(code, str) or not _FORM.fullmatch(code):
        raise UserError(
            "a trouble code is P, C, B or U, a digit from 0 to 3 and three characters from 0 to 9"
            f" or A to F, such as C0031; got {code!r}"
        )
    return LETTERS.index(code[0]) << 14 | int(code[1:], 16)


def code_of(number):
    """Code of two bytes, the reverse of `two_bytes`."""
    if not number_in(number, 0, 0xFFFF, whole=True):
        raise UserError(
            f"the two bytes of a trouble code are a whole number from 0 to 65535, got {number!r}"
        )
    return f"{LETTERS[number >> 14]}{number >> 12 & 3}{number & 0xFFF:03X}"


def defined_by(code):
    """Who gives a code its meaning: 'standard', 'maker' or 'either'.

    Source: ISO 15031-6 / SAE J2012, second-hand; that 2 and 3 are shared, and how, from memory.
    """
    two_bytes(code)
    if code[1] == "0" or code[:2] == "P2":
        return "standard"
    return "maker" if code[1] == "1" or code[1] == "2" else "either"


@dataclass(frozen=True, kw_only=True)
class Meaning:
    """Words for a code or a failure type, and how sure they are: one of EVIDENCE."""

    text: str
    evidence: str


@dataclass(frozen=True, kw_only=True)
class CodeList:
    """An edition of the list: its name, codes, failure types (two hex digits), and codes that the
    older edition meant otherwise.
    """

    edition: str
    older: str
    codes: MappingProxyType
    failure_types: MappingProxyType
    old_codes: MappingProxyType

    def words(self, code, failure_type=None):
        """What a code says, with its failure type if given; a code that is not in the list says
        just that.
        """
        two_bytes(code)
        found = self.codes.get(code)
        text = found.text if found else f"not in this list (set by the {defined_by(code)})"
        return (
            f"{text}: {self.failure_types[failure_type].text}"
            if failure_type in self.failure_types
            else text
        )


@lru_cache(maxsize=4)
def code_list(path=None):
    """The CodeList of data/workshop/codes.toml."""
    path = Path(path or data_folder() / "workshop" / "codes.toml")
    tables = read_toml(path)
    for name in ("edition", "codes", "failure_types", "old_codes"):
        if not isinstance(tables.get(name), dict):
            raise UserError(f"{path}: the table [{name}] is missing")
    for name in ("name", "older"):
        if not isinstance(tables["edition"].get(name), str):
            raise UserError(f"{path}, [edition]: {name} must be a text that names the edition")
    for code in (*tables["codes"], *tables["old_codes"]):
        if not _FORM.fullmatch(code):
            raise UserError(f"{path}: {code!r} is no trouble code; one looks like C0031")
    for kind in tables["failure_types"]:
        if not re.fullmatch("[0-9A-F]{2}", kind):
            raise UserError(
                f"{path}, [failure_types]: {kind!r} must be two characters from 0 to 9 or A to F"
            )
    meanings = {
        name: _meanings(path, name, tables[name])
        for name in ("codes", "failure_types", "old_codes")
    }
    return CodeList(edition=tables["edition"]["name"], older=tables["edition"]["older"], **meanings)


def _meanings(path, name, table):
    found = {}
    for key, entry in table.items():
        if (
            not isinstance(entry, dict)
            or set(entry) != {"text", "evidence"}
            or entry["evidence"] not in EVIDENCE
        ):
            raise UserError(
                f"{path}, [{name}]: {key} needs a text and an evidence, which is one of"
                f" {', '.join(EVIDENCE)}"
            )
        found[key] = Meaning(**entry)
    return MappingProxyType(found)
