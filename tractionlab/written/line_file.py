"""Files of JSON lines that are only ever added to: how a line gets in whole, and how one is read
strictly.
"""

import errno
import json
import math
import os
from pathlib import Path


def append(path, data, sure=False):
    """Add bytes to the end of a file in one write; a torn last line first gets its own line end, so
    it harms nothing after it.

    `sure` waits until the disk has them. Raises OSError; what was written of a failed line is taken
    back where the system allows."""
    with open(path, "a+b", buffering=0) as file:
        size = file.seek(0, os.SEEK_END)
        if size:
            file.seek(-1, os.SEEK_END)
            data = data if file.read(1) == b"\n" else b"\n" + data
        try:
            if file.write(data) != len(data):
                raise OSError(errno.ENOSPC, "No space left on device", str(path))
            if sure:
                os.fsync(file.fileno())
        except OSError:
            file.truncate(size)
            raise


def write_whole(path, content):
    """Write a file beside its place, wait until the disk has it, then move it there: a full disk or
    a power cut leaves the old file or the new one, never half.

    Raises OSError; nothing is left beside then.
    """
    path = Path(path)
    part = path.with_name(f"{path.name}.part-{os.getpid()}")
    try:
        with open(part, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    except OSError:
        part.unlink(missing_ok=True)
        raise


class Strange(ValueError):
    """A line is not plain JSON; `code` is one word for it."""

    def __init__(self, code, words):
        super().__init__(words)
        self.code = code


def strict_json(text):
    """The value of a JSON text (str), or Strange: no double keys, no NaN or infinity, no bottomless
    nesting, no whole number beyond 15 digits.
    """
    try:
        return _STRICT.decode(text)
    except RecursionError:
        raise Strange("too_deep", "is nested too deeply") from None
    except Strange:
        raise
    except ValueError as problem:
        words = str(problem)
        if "control character" in words:
            raise Strange("control_character", "holds a raw control character") from None
        raise Strange("not_json", "is not one JSON value") from None


def _no_doubles(pairs):
    found = dict(pairs)
    if len(found) < len(pairs):
        raise Strange("duplicate_key", "says the same key twice")
    return found


def _not_finite(word):
    raise Strange("not_finite", f"holds {word}")


def _finite(text):
    value = float(text)
    if not math.isfinite(value):
        raise Strange("not_finite", "holds a number that is too large")
    return value


def _whole(text):
    if len(text) > 16:
        raise Strange("too_big", "holds a whole number of more than 15 digits")
    return int(text)


_STRICT = json.JSONDecoder(
    object_pairs_hook=_no_doubles, parse_constant=_not_finite, parse_float=_finite, parse_int=_whole
)
