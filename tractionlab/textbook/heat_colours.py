"""Colours of hot steel: how a disc of some temperature looks in the dark, and the word for it, from
the table in data/heat_colours.toml.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from tractionlab.catalogue.checked import TableReader, number_in
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml


class HeatColours(NamedTuple):
    """temperature: (n,) [degC], rising; names: a word for each; paint: (n, 3), 0 to 255;
    dull_light: temperature [degC] from which another table knows a first colour in dull light.
    """

    temperature: np.ndarray
    names: tuple[str, ...]
    paint: np.ndarray
    dull_light: float


@lru_cache(maxsize=2)
def heat_colours(path=None):
    """The table, checked: temperatures rise, a paint is three numbers from 0 to 255."""
    path = path or data_folder() / "heat_colours.toml"
    tables, keys = read_toml(path), ("degC", "name", "paint", "source")
    rows = TableReader(path).rows(tables, "heat", keys, keys, shortest=2)
    warmest = -274.0
    for number, row in enumerate(rows, 1):
        reader = TableReader(f"{path}, [[heat]] {number}")
        warmest = reader.number(row, "degC", warmest + 1.0, 2000.0)
        reader.text(row, "name")
        reader.one_of(row, "source", tuple(tables["sources"]))
        paint = row["paint"]
        if len(paint) != 3 or not all(number_in(part, 0, 255) for part in paint):
            raise reader.wrong(f"paint must be three numbers from 0 to 255, got {paint}")
    return HeatColours(
        np.array([float(row["degC"]) for row in rows]),
        tuple(row["name"] for row in rows),
        np.array([row["paint"] for row in rows], float),
        float(tables["dull_light"]["degC"]),
    )


def glow(temperature):
    """(colour (n, 3) from 0 to 255, number of the word (n,)) of discs at temperatures (n,) [degC].

    Between two rows the colour is mixed; the word is that of the row below.
    """
    table, at = heat_colours(), np.atleast_1d(np.asarray(temperature, float))
    colour = [np.interp(at, table.temperature, part) for part in table.paint.T]
    word = np.searchsorted(table.temperature, at, side="right") - 1
    return np.column_stack(colour), np.clip(word, 0, len(table.names) - 1)
