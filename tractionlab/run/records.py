"""Large parameter sets and states as NumPy records: compiled code takes a record by reference, a
named tuple number by number and an array in seven parts.
"""

from functools import cache
from types import SimpleNamespace

import numpy as np

_FLOAT = np.dtype(float)


def record(values):
    """A named tuple as a NumPy record with the same names. In it are floats, tuples of floats,
    arrays whose shape is always the same, records and such named tuples.

    `values.name` reads the same in plain and in compiled code. A long argument list of compiled
    code costs compile time: each number of a named tuple is an argument of its own in every
    function that the tuple is handed to."""
    return np.array([_nested(values)], dtype=_kind(_shape(values))).view(np.recarray)[0]


def records(rows):
    """An array of records, one for each named tuple; all of one kind."""
    return np.array([_nested(row) for row in rows], dtype=_kind(_shape(rows[0]))).view(np.recarray)


def opened(values):
    """A record as a namespace for plain code: its arrays are those of the record, its numbers are
    Python's. NumPy looks each name of a record up in a function of its own, which takes most of
    the time of a plain run.
    """
    if isinstance(values, np.ndarray):
        return values if values.dtype.names is None else tuple(map(opened, values))
    if not isinstance(values, np.void):
        return values.item()
    return SimpleNamespace(**{name: opened(values[name]) for name in values.dtype.names})


def _shape(values):
    if isinstance(values, np.ndarray | np.generic):
        return values.dtype, values.shape
    if not hasattr(values, "_fields"):
        return _FLOAT, (len(values),) if isinstance(values, tuple) else ()
    return tuple((name, _shape(value)) for name, value in zip(values._fields, values))


@cache
def _kind(shape):
    if isinstance(shape[0], np.dtype):
        return np.dtype(shape)
    fields = [(name, _kind(inside)) for name, inside in shape]
    return np.dtype((np.record, np.dtype(fields, align=True)))


def _nested(values):
    return tuple(_nested(value) if isinstance(value, tuple) else value for value in values)
