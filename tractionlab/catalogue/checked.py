"""Reads checked values from a table; a mistake is a UserError that names file, place, field and
what is allowed.
"""

from math import isfinite

from tractionlab.errors import UserError


def is_number(value, whole=False):
    """Is `value` a finite number, or a whole one? True and False are none."""
    return not isinstance(value, bool) and (
        isinstance(value, int) or (not whole and isinstance(value, float) and isfinite(value))
    )


def number_in(value, low, high, whole=False):
    """Is `value` a number from `low` to `high`?"""
    return is_number(value, whole) and low <= value <= high


def wrong_number(name, value, low, high, unit="", whole=False):
    """What is wrong with the number `name` that must lie from `low` to `high`, in words; empty if
    nothing is.
    """
    if number_in(value, low, high, whole):
        return ""
    return (
        f"{name} must be a {'whole ' if whole else ''}number from {low:g} to"
        f" {f'{high:g} {unit}'.rstrip()}, got {value!r}"
    )


def wrong_whole(values, names):
    """Which of the numbers `names` in a table of values is no whole one, in words; empty if all
    are.
    """
    for name in names:
        if values[name] % 1.0:
            return f"{name} must be a whole number, got {values[name]:g}"
    return ""


class TableReader:
    """Reads checked values from one table at `place`, words such as "my_cars.toml, [van]"."""

    def __init__(self, place):
        self.place = place

    def wrong(self, words):
        """The UserError for a mistake in this table."""
        return UserError(f"{self.place}: {words}")

    def check_keys(self, table, allowed, what):
        """Complain of a key that is not allowed."""
        for key in table:
            if key not in allowed:
                raise self.wrong(
                    f"unknown {what} {key!r}; allowed are {', '.join(sorted(allowed))}"
                )

    def text(self, table, name):
        """A text that is not empty."""
        if not isinstance(table.get(name), str) or not table[name].strip():
            raise self.wrong(f"{name} must be a text that is not empty, got {table.get(name)!r}")
        return table[name].strip()

    def one_of(self, table, name, allowed):
        """One of the allowed words."""
        if not isinstance(table.get(name), str) or table[name] not in allowed:
            raise self.wrong(f"{name} must be one of {', '.join(allowed)}; got {table.get(name)!r}")
        return table[name]

    def number(self, table, name, low, high, whole=False):
        """A number in a range."""
        if words := wrong_number(name, table.get(name), low, high, whole=whole):
            raise self.wrong(words)
        return table[name]

    def flag(self, table, name):
        """true or false; false if it is not given."""
        if not isinstance(table.get(name, False), bool):
            raise self.wrong(f"{name} must be true or false, got {table[name]!r}")
        return table.get(name, False)

    def table(self, table, name):
        """A table, empty if it is not given."""
        if not isinstance(table.get(name, {}), dict):
            raise self.wrong(f"{name} must be a table, got {table[name]!r}")
        return table.get(name, {})

    def numbers(self, table, name, shortest, longest):
        """A list of so many rising numbers."""
        values = table.get(name)
        if (
            not isinstance(values, list)
            or not all(is_number(value) for value in values)
            or not shortest <= len(values) <= longest
            or any(a >= b for a, b in zip(values, values[1:]))
        ):
            count = longest if shortest == longest else f"{shortest} to {longest}"
            raise self.wrong(f"{name} must be {count} rising numbers, got {values!r}")
        return tuple(float(value) for value in values)

    def rows(self, table, name, keys, needed, shortest=1):
        """A list of tables with keys from `keys` and all of `needed`."""
        rows = table.get(name)
        if (
            not isinstance(rows, list)
            or len(rows) < shortest
            or not all(isinstance(row, dict) for row in rows)
        ):
            raise self.wrong(f"{name} must be a list of at least {shortest} tables")
        for row in rows:
            self.check_keys(row, keys, f"key of {name}")
            if missing := [key for key in needed if key not in row]:
                raise self.wrong(f"{name}: {missing[0]} is missing in {row!r}")
        return rows
