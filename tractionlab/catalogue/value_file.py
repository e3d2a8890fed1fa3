"""Reads TOML files, and tables of numbers with their sources; every mistake is named with file,
table, key and range.
"""

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from tractionlab.catalogue.checked import wrong_number
from tractionlab.errors import UserError, did_you_mean

_MOST_LISTED, _MOST_NAMED = 12, 6
_EXAMPLE = '{ value = 1.0, source = "where from" }'


@dataclass(frozen=True, kw_only=True)
class Entry:
    """A vehicle or a set of control settings: numbers and words by key, each with its source."""

    key: str
    name: str
    values: MappingProxyType
    sources: MappingProxyType

    def __getitem__(self, key):
        return self.values[key]


class Mistakes:
    """Collects what is wrong in a file, so that all of it is said at once."""

    def __init__(self, path):
        self.path, self.found = path, []

    def add(self, place, words):
        """Note one mistake in table `place`."""
        self.found.append(f"[{place}]: {words}")

    def report(self):
        """Raise a UserError that names them all; nothing if there are none."""
        if len(self.found) == 1:
            raise UserError(f"{self.path}, {self.found[0]}")
        if self.found:
            lines = [f"\n- {one}" for one in self.found[:_MOST_LISTED]]
            more = len(self.found) - _MOST_LISTED
            lines += [f"\n- and {more} more"] if more > 0 else []
            raise UserError(f"{self.path}: {len(self.found)} mistakes{''.join(lines)}")


def read_toml(path):
    """Contents of a TOML file in UTF-8, a byte order mark or not; a broken one is named with line
    and column.
    """
    path = Path(path)
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise UserError(f"{path}: there is no such file") from None
    except IsADirectoryError:
        raise UserError(f"{path} is a folder. Name a file in it.") from None
    except UnicodeDecodeError as fault:
        line = fault.object[: fault.start].count(b"\n") + 1
        raise UserError(
            f"{path}: line {line} holds a letter in an old code page. Save the file as UTF-8."
        ) from None
    except OSError as fault:
        raise UserError(f"{path} cannot be read ({fault.strerror})") from None
    try:
        return tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as fault:
        raise UserError(
            f"{path}: not readable as TOML: {fault}{_way_out(text, str(fault))}"
        ) from None


def _way_out(text, fault):
    """What the line of a TOML error probably lacks, in words."""
    number = re.search(r"line (\d+)", fault)
    line = (
        text.splitlines()[int(number[1]) - 1]
        if number and int(number[1]) <= len(text.splitlines())
        else ""
    )
    if comma := re.search(r"=\s*([+-]?\d+),(\d+)", line):
        return f". Use a point for decimals: {comma[1]}.{comma[2]}"
    if word := re.search(r"=\s*([A-Za-z_][\w:]*)\s*(#.*)?$", line):
        return f'. Words stand in quotes: "{word[1]}"'
    return ""


def read_entry(path, key, table, known, ranges, words):
    """Entry of a table with a name and { value, source } for each key of `ranges` and `words`;
    UserError names every mistake.
    """
    mistakes = Mistakes(path)
    entry = entry_of(mistakes, key, table, known, ranges, words)
    mistakes.report()
    return entry


def entry_of(mistakes, key, table, known, ranges, words, base=None, way_out=""):
    """As `read_entry`, noting mistakes; what the table does not say is taken from the Entry `base`,
    if there is one. `way_out`: words for who leaves keys out.
    """
    name, table = named(
        mistakes, key, table, base.name if base is not None and base.key == key else ""
    )
    values, sources = numbers(mistakes, key, table, known, ranges, words, base, way_out)
    return Entry(key=key, name=name, values=values, sources=sources)


def named(mistakes, key, table, otherwise=""):
    """(name, the rest) of a table."""
    if not isinstance(table, dict):
        mistakes.add(
            key, f"{key} = {table!r} stands outside a table; put a line such as [my_own] above it"
        )
        return otherwise, {}
    table = dict(table)
    name = table.pop("name", otherwise)
    if not isinstance(name, str) or not name.strip():
        mistakes.add(key, "name is missing; it is what people read")
    return name, table


def numbers(mistakes, place, table, known, ranges, words, base=None, way_out=""):
    """Values and sources of a table whose entries are { value = ..., source = ... }, as two
    read-only mappings.
    """
    values, sources = ({}, {}) if base is None else (dict(base.values), dict(base.sources))
    every = [*words, *ranges]
    for key, entry in table.items():
        if key not in every:
            mistakes.add(place, f"unknown key {key!r}; {did_you_mean(key, every)}")
        elif wrong := _wrong(key, entry, known, ranges, words):
            mistakes.add(place, wrong)
        else:
            values[key] = entry["value"] if key in words else float(entry["value"])
            sources[key] = known.get(entry["source"], entry["source"])
    if missing := [key for key in every if key not in values and key not in table]:
        more = f" and {len(missing) - _MOST_NAMED} more" if len(missing) > _MOST_NAMED else ""
        mistakes.add(
            place,
            f"{', '.join(missing[:_MOST_NAMED])}{more} {'is' if len(missing) == 1 else 'are'}"
            f" missing{way_out}",
        )
    return MappingProxyType(values), MappingProxyType(sources)


def _wrong(key, entry, known, ranges, words):
    """What is wrong with one entry, in words; empty if nothing is."""
    if (
        not isinstance(entry, dict)
        or "value" not in entry
        or not str(entry.get("source", "")).strip()
    ):
        return f"{key} needs a value and a source, as in {_EXAMPLE}; got {entry!r}"
    if extra := set(entry) - {"value", "source"}:
        return f"{key} has the unknown part {sorted(extra)[0]!r}; it takes value and source"
    value, source = entry["value"], str(entry["source"])
    if " " not in source.strip() and source not in known:
        return (
            f"{key}: its source {source!r} is not in the table [sources]; put it there, or say in"
            " words where the number comes from"
        )
    if key in words:
        return (
            ""
            if value in words[key]
            else f"{key} must be one of {', '.join(words[key])}, got {value!r}"
        )
    low, high = ranges[key]
    return wrong_number(key, value, low, high)
