"""Reads checked values from a table of a TOML file; a mistake is a UserError that names file,
place, field and what is allowed.
"""

from math import isfinite

from tractionlab.errors import UserError


class Fault:
    """Makes the UserError for a mistake in one table, and reads checked values from it."""

    def __init__(self, place):
        self.place = place

    def __call__(self, words):
        return UserError(f"{self.place}: {words}")

    def text(self, table, name):
        """A text that is not empty."""
        if not isinstance(table.get(name), str) or not table[name].strip():
            raise self(f"{name} must be a text that is not empty, got {table.get(name)!r}")
        return table[name].strip()

    def one_of(self, table, name, allowed):
        """One of the allowed words."""
        if not isinstance(table.get(name), str) or table[name] not in allowed:
            raise self(f"{name} must be one of {', '.join(allowed)}; got {table.get(name)!r}")
        return table[name]

    def number(self, table, name, low, high, whole=False):
        """A number in a range."""
        value = table.get(name)
        if (
            isinstance(value, bool)
            or not isinstance(value, int if whole else (int, float))
            or not isfinite(value)
            or not low <= value <= high
        ):
            raise self(
                f"{name} must be a {'whole ' if whole else ''}number from {low} to {high}, got"
                f" {value!r}"
            )
        return value

    def flag(self, table, name):
        """true or false; false if it is not given."""
        if not isinstance(table.get(name, False), bool):
            raise self(f"{name} must be true or false, got {table[name]!r}")
        return table.get(name, False)

    def table(self, table, name):
        """A table, empty if it is not given."""
        if not isinstance(table.get(name, {}), dict):
            raise self(f"{name} must be a table, got {table[name]!r}")
        return table.get(name, {})

    def numbers(self, table, name, least, most):
        """A list of so many rising numbers."""
        values = table.get(name)
        numbers = isinstance(values, list) and all(
            isinstance(v, (int, float)) and not isinstance(v, bool) and isfinite(v) for v in values
        )
        if (
            not numbers
            or not least <= len(values) <= most
            or any(a >= b for a, b in zip(values, values[1:]))
        ):
            raise self(
                f"{name} must be {least if least == most else f'{least} to {most}'} rising numbers,"
                f" got {values!r}"
            )
        return tuple(float(value) for value in values)

    def rows(self, table, name, keys, needed, least=1):
        """A list of tables with keys from `keys` and all of `needed`."""
        rows = table.get(name)
        if (
            not isinstance(rows, list)
            or len(rows) < least
            or not all(isinstance(row, dict) for row in rows)
        ):
            raise self(f"{name} must be a list of at least {least} tables")
        for row in rows:
            check_keys(self, row, keys, f"key of {name}")
            if missing := [key for key in needed if key not in row]:
                raise self(f"{name}: {missing[0]} is missing in {row!r}")
        return rows


def check_keys(fault, table, allowed, what):
    """Complain of a key that is not allowed."""
    for key in table:
        if key not in allowed:
            raise fault(f"unknown {what} {key!r}; allowed are {', '.join(sorted(allowed))}")
