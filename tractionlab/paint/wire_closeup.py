"""Close-up of a view -> what travels to the browser: its fields by name, arrays as places in the
block of numbers.
"""

from dataclasses import fields, is_dataclass

import numpy as np


def describe_closeup(shown, block):
    """Fields of a close-up, ready for JSON; an array, rows one after the other, stands as
    {"at": [offset, length]} in `block`. "kind" and "words" say what it is."""
    return {"kind": type(shown).__name__, "words": shown.words, **_described(shown, block)}


def _described(value, block):
    if isinstance(value, np.ndarray):
        return {"at": block.add(value)}
    if is_dataclass(value):
        return {f.name: _described(getattr(value, f.name), block) for f in fields(value)}
    if isinstance(value, tuple):
        return [_described(part, block) for part in value]
    return value
