"""The safety statement of the course, for everything that is printed."""

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.paint.blocks import Text


def safety_words():
    """The safety statement of the course as a paragraph."""
    statement = read_toml(data_folder() / "safety.toml")["statement"]["text"].strip()
    return Text(f"Safety. {statement}")
