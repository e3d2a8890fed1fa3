"""Reads data/workshop/wiring_*.toml: what stands where in the drawing of a group of the network."""

import re

from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.wheels import CALLED
from tractionlab.workshop.part_values import parts

_SECTIONS = {"size", "boxes", "rails", "columns", "lying", "blocks", "forbidden", "expand"}


class DrawingFile:
    """The tables of a drawing for one vehicle; `size` is its width and height."""

    def __init__(self, path, vehicle):
        table = read_toml(path)
        unknown = set(table) - _SECTIONS
        if unknown or "size" not in table:
            raise UserError(
                f"{path}: {sorted(unknown)[0] if unknown else 'size'} is"
                f" {'unknown' if unknown else 'missing'}; a drawing has"
                f" {', '.join(sorted(_SECTIONS))}"
            )
        self.table, self.vehicle, self.size = table, vehicle, tuple(table["size"])

    def entries(self, section):
        """(key, entry) of a section for this vehicle; a letter in braces makes one entry for each
        of its words, with lists taken in turn. A list of entries holds one for each kind of
        vehicle."""
        letters = {
            "w": list(CALLED),
            "W": [w.upper() for w in CALLED],
            **self.table.get("expand", {}),
        }
        found = self.table.get(section, {}).items()
        for key, entry in (
            (key, entry)
            for key, rows in found
            for entry in (rows if isinstance(rows, list) else [rows])
        ):
            if self.vehicle not in entry.get("vehicles", (self.vehicle,)):
                continue
            letter = re.search(r"\{(\w)\}", key)
            for turn, word in enumerate(letters[letter[1]] if letter else [None]):
                yield (
                    (key if word is None else key.replace(f"{{{letter[1]}}}", word)),
                    {
                        name: _taken(value, letter and letter[1], word, turn, name)
                        for name, value in entry.items()
                    },
                )


def _taken(value, letter, word, turn, name):
    if word is None:
        return value
    if name in ("x", "y", "label") and isinstance(value, list):
        return value[turn]
    if isinstance(value, list):
        return [_taken(inner, letter, word, turn, "") for inner in value]
    if isinstance(value, str):
        return value.replace(f"{{{letter}}}", word).replace(
            "{wheel}", CALLED.get(word.lower(), word)
        )
    return value


def value_words(vehicle, words):
    """Words, or with @ the healthy value of a part with its unit."""
    if not words.startswith("@"):
        return words
    value = parts(vehicle)[words[1:].rpartition(".")[0]].values[words.rpartition(".")[2]]
    scale, letter = (
        (1e-6, "M") if value.value >= 1e6 else (1e-3, "k") if value.value >= 1e3 else (1.0, "")
    )
    return f"{value.value * scale:g} {letter}{value.unit.replace('ohm', chr(0x3A9))}"
