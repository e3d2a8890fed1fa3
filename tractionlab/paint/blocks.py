"""What stands on a printed page, as data: headings, texts, tables, pictures, room to write in."""

import re
from dataclasses import dataclass

#: A number, perhaps with the most it could be: "3", "12.5 of 40".
_NUMBER = re.compile(r"[-\u2212]?\d+(?:[.,]\d+)?(?: of \d+)?")


@dataclass(frozen=True)
class Heading:
    """A heading inside the page."""

    text: str


@dataclass(frozen=True)
class Text:
    """A paragraph; with `link` it is a link to that file beside the learner's notebooks.

    `keep`: on one sheet with what follows.
    """

    text: str
    link: str = ""
    strong: bool = False
    keep: bool = False


#: The first line of a sheet that is filled in by hand.
NAME_AND_DATE = Text("Name: ______________________________     Date: ____________________")


@dataclass(frozen=True)
class Rows:
    """A table: caption, titles of the columns, rows of texts, whose lines newlines part. `widths`:
    shares of the page for print. `room`: rows high enough to write in."""

    caption: str
    head: tuple
    rows: tuple
    widths: tuple = ()
    room: bool = False

    @property
    def numbers(self):
        """Places of the columns that hold nothing but numbers; they stand to the right."""
        columns = [[cell for cell in column if cell] for column in zip(*self.rows)]
        return {
            i
            for i, column in enumerate(columns)
            if i and column and all(_NUMBER.fullmatch(cell) for cell in column)
        }


@dataclass(frozen=True)
class Picture:
    """A picture (PNG bytes) and what it shows in words.

    `leave`: height [pt] of its sheet that it leaves for what stands above it.
    """

    png: bytes
    alt: str
    leave: float = 40.0


@dataclass(frozen=True)
class Lines:
    """Room to write in: so many ruled lines."""

    count: int


@dataclass(frozen=True)
class Signature:
    """A line to sign on, with what stands below it."""

    text: str


@dataclass(frozen=True)
class Page:
    """Begin a new sheet."""
