"""One line of an answer file: how it is written, and the strict rules by which it is read."""

import hashlib
import json
import re
import unicodedata
from datetime import UTC, datetime
from functools import lru_cache

from tractionlab.written.line_file import Strange, strict_json

FORMAT = 1
LONGEST_LINE = 32_768  # bytes
LONGEST_TEXT = 4_000  # characters of one answer
MOST_ENTRIES = 1_500  # values inside one answer, all levels together
DEEPEST = 6  # lists and tables inside each other
LARGEST = 1e12  # size of a number
_TAIL = re.compile(rb',"hash":"([0-9a-f]{64})"\}')
_TAIL_LENGTH = 75
_HEX = re.compile(r"[0-9a-f]{64}")
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,79}")
_TIME = re.compile(r"20\d\d-[01]\d-[0-3]\dT[0-2]\d:[0-5]\d:[0-5]\dZ")
#: What each kind of line says besides n, time, kind and before, with the type of each entry; None =
#: any plain value.
KINDS = {
    "start": {"format": int, "sitting": str, "paper": str, "candidate": str},
    "opened": {"version": str},
    "answer": {"item": str, "field": str, "value": None},
    "case": {"item": str, "field": str, "entry": dict},
    "mended": {"aside": str, "bytes": int, "digest": str},
    "time": {"minutes": int, "by": str, "reason": str},
    "break": {"by": str, "reason": str},
    "resume": {"by": str},
    "hand_in": {"own_work": bool},
}
#: Kinds of lines that answer something.
WORK = ("answer", "case")
_SAME = {"n": int, "time": str, "kind": str, "before": str}


def now():
    """The time in UTC as lines have it."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


@lru_cache(maxsize=4096)
def seconds(time):
    """A line's time as seconds since 1970."""
    return int(datetime.fromisoformat(time).timestamp())


def make(n, kind, before, time=None, **content):
    """A line as bytes with its line end, and its hash.

    Raises Strange for a value that would not be read again.
    """
    for value in content.values():
        check_value(value)
    body = {"n": n, "time": time or now(), "kind": kind, **content, "before": before}
    raw = json.dumps(body, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode(
        "utf-8"
    )
    if len(raw) + _TAIL_LENGTH > LONGEST_LINE:
        raise Strange("too_long", "is too long")
    digest = hashlib.sha256(raw).hexdigest()
    return raw[:-1] + b',"hash":"' + digest.encode() + b'"}\n', digest


def read(raw):
    """(entries, hash) of a line's bytes without its line end, or Strange.

    Place and order in the file are not looked at.
    """
    if len(raw) > LONGEST_LINE:
        raise Strange("too_long", f"has more than {LONGEST_LINE} bytes")
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        raise Strange("not_utf8", "is not UTF-8 text") from None
    line = strict_json(text)
    if not isinstance(line, dict):
        raise Strange("not_a_table", "is not a table of named entries")
    kind = line.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        raise Strange("unknown_kind", "is of no known kind")
    wanted = _SAME | KINDS[kind] | {"hash": str}
    if set(line) != set(wanted):
        raise Strange("wrong_entries", "has other entries than a line of its kind")
    for name, needed in wanted.items():
        if needed is not None and type(line[name]) is not needed:
            raise Strange("wrong_type", f"has an entry {name} of the wrong type")
        check_value(line[name])
    _check_forms(line)
    found = _TAIL.fullmatch(raw[-_TAIL_LENGTH:])
    digest = hashlib.sha256(raw[:-_TAIL_LENGTH] + b"}").hexdigest()
    if not found or found.group(1).decode() != digest:
        raise Strange(
            "edited", "does not agree with its own hash: it was changed after it was written"
        )
    return line, digest


def _check_forms(line):
    if not _TIME.fullmatch(line["time"]) or not _is_time(line["time"]):
        raise Strange("wrong_time", "has no readable time")
    if not _HEX.fullmatch(line["before"]) or line["n"] < 0:
        raise Strange("wrong_entries", "has a broken number or hash of the line before")
    for name in ("sitting", "paper", "candidate", "aside", "version"):
        if name in line and not _NAME.fullmatch(line[name]):
            raise Strange("wrong_name", f"has a strange {name}")


def _is_time(text):
    try:
        seconds(text)
    except ValueError:
        return False
    return True


def check_value(value):
    """Raise Strange if a value is no plain answer: text, number, yes or no, or lists and tables of
    these within the limits.
    """
    if isinstance(value, str):
        return _check_text(value)
    entries, waiting = 0, [(value, 0)]
    while waiting:
        value, depth = waiting.pop()
        entries += 1
        if entries > MOST_ENTRIES:
            raise Strange("too_many", f"holds more than {MOST_ENTRIES} values")
        if depth > DEEPEST:
            raise Strange("too_deep", "is nested too deeply")
        if isinstance(value, str):
            _check_text(value)
        elif isinstance(value, dict):
            for key in value:
                if not isinstance(key, str):
                    raise Strange("wrong_type", "holds a table with a key that is no text")
                _check_text(key)
            waiting += [(part, depth + 1) for part in value.values()]
        elif isinstance(value, list):
            waiting += [(part, depth + 1) for part in value]
        elif isinstance(value, (int, float)):
            if not -LARGEST <= value <= LARGEST:
                raise Strange("too_big", "holds a number beyond all reason")
        elif value is not None:
            raise Strange("wrong_type", "holds something that is no text, number, list or table")


def _check_text(text):
    if len(text) > LONGEST_TEXT:
        raise Strange("too_long", f"holds a text of more than {LONGEST_TEXT} characters")
    if not text.isascii() or not text.isprintable():
        for sign in text:
            if sign != "\n" and unicodedata.category(sign) in ("Cc", "Cf", "Cs", "Co", "Cn"):
                raise Strange("control_character", "holds a control character")
