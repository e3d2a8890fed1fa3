"""Surfaces, vehicles and control settings as the course ships them.

Keys never depend on a `my_*.toml` of the folder in which somebody marks.
"""

from functools import cache

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.places import data_folder


@cache
def curve(surface):
    """Burckhardt curve of a surface."""
    return catalogue.surfaces(data_folder())[surface].curves["burckhardt"]


@cache
def surface_name(surface):
    """Name of a surface."""
    return catalogue.surfaces(data_folder())[surface].name


@cache
def vehicle(key):
    """Values of a course car."""
    return catalogue.vehicles(data_folder())[key]


@cache
def course():
    """The course's control settings."""
    return catalogue.control_values(folder=data_folder())
