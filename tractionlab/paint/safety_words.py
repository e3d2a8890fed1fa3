"""The safety statement of the course, for everything that is printed."""

import tomllib

from tractionlab.catalogue.places import data_folder
from tractionlab.paint.blocks import Text


def safety_words():
    """The safety statement of the course as a paragraph."""
    statement = tomllib.loads((data_folder() / "safety.toml").read_text(encoding="utf-8"))[
        "statement"
    ]["text"].strip()
    return Text(f"Safety. {statement}")
