"""Large parameter sets as NumPy records: compiled code takes a record by reference, a named tuple
number by number.
"""

from functools import cache

import numpy as np


def record(values):
    """A named tuple of floats, of tuples of floats and of such named tuples as a NumPy record with
    the same names.

    `values.name` reads the same in plain and in compiled code. A long argument list of compiled
    code costs compile time: each number of a named tuple is an argument of its own in every
    function that the tuple is handed to."""
    return np.array([_nested(values)], dtype=_kind(_shape(values))).view(np.recarray)[0]


def records(rows):
    """An array of records, one for each named tuple; all of one kind."""
    return np.array([_nested(row) for row in rows], dtype=_kind(_shape(rows[0]))).view(np.recarray)


def _shape(values):
    if not hasattr(values, "_fields"):
        return len(values) if isinstance(values, tuple) else 0
    return tuple((name, _shape(value)) for name, value in zip(values._fields, values))


@cache
def _kind(shape):
    fields = []
    for name, inside in shape:
        if isinstance(inside, tuple):
            fields.append((name, _kind(inside)))
        else:
            fields.append((name, "f8", (inside,)) if inside else (name, "f8"))
    return np.dtype((np.record, np.dtype(fields, align=True)))


def _nested(values):
    return tuple(_nested(value) if isinstance(value, tuple) else value for value in values)
