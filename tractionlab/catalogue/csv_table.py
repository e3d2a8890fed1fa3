"""A CSV file that says in its first line where its facts come from; its mistakes are named with
file, line and column.
"""

import csv

from tractionlab.catalogue.checked import number_in
from tractionlab.errors import UserError


class Table:
    """A CSV file whose first line is its source; rows are dicts with their number under "line"."""

    def __init__(self, path, columns=None):
        self.path = path
        try:
            lines = path.read_text(encoding="utf-8").splitlines()
        except FileNotFoundError:
            raise UserError(f"{path}: there is no such file") from None
        except UnicodeDecodeError as fault:
            raise UserError(f"{path}: not readable as UTF-8 text: {fault}") from None
        if not lines or not lines[0].startswith("# source: "):
            raise UserError(
                f"{path}, line 1: must say where the facts come from, as in '# source: common"
                " practice, no source'"
            )
        head, *rows = csv.reader(lines[1:]) if lines[1:] else ([],)
        self.columns = tuple(head)
        if columns and self.columns != columns:
            raise UserError(
                f"{path}, line 2: the columns must be {', '.join(columns)}; got"
                f" {', '.join(head) or 'none'}"
            )
        self.rows = []
        for line, row in enumerate(rows, start=3):
            if len(row) != len(head):
                raise UserError(
                    f"{path}, line {line}: needs {len(head)} cells, one for each column, got"
                    f" {len(row)}"
                )
            self.rows.append(dict(zip(head, row)) | {"line": line})

    def __iter__(self):
        return iter(self.rows)

    def fault(self, row, column, problem):
        """The error for one cell."""
        return UserError(f"{self.path}, line {row['line']}, {column}: {problem}")

    def one_of(self, row, column, allowed):
        """The cell, if it is one of `allowed`."""
        if row[column] not in allowed:
            raise self.fault(
                row, column, f"must be one of {', '.join(allowed)}; got {row[column]!r}"
            )
        return row[column]

    def split(self, row, column, separator, allowed):
        """Parts of the cell, each of them one of `allowed`."""
        parts = tuple(row[column].split(separator))
        for part in parts:
            if part not in allowed:
                raise self.fault(
                    row, column, f"each part must be one of {', '.join(allowed)}; got {part!r}"
                )
        return parts

    def number(self, row, column, text, low, high):
        """`text` of a cell as a number from `low` to `high`."""
        try:
            value = float(text)
        except ValueError:
            value = None
        if not number_in(value, low, high):
            raise self.fault(
                row, column, f"must be a number from {low:g} to {high:g}; got {text!r}"
            )
        return value

    def no_doubles(self, *columns):
        """Complain of a row whose `columns` repeat an earlier row."""
        seen = set()
        for row in self.rows:
            cells = tuple(row[column] for column in columns)
            if cells in seen:
                raise self.fault(row, columns[-1], f"{' '.join(cells)} stands here twice")
            seen.add(cells)
