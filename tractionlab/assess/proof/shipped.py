"""Surfaces, vehicles and control settings as the course ships them. Keys never depend on a `my_*.toml` of the folder in which somebody marks."""
from functools import lru_cache

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.places import data_folder


@lru_cache(maxsize=None)
def curve(surface):
    """Burckhardt curve of a surface."""
    return catalogue.surfaces(data_folder())[surface].curves["burckhardt"]


@lru_cache(maxsize=None)
def surface_name(surface):
    """Name of a surface."""
    return catalogue.surfaces(data_folder())[surface].name


@lru_cache(maxsize=None)
def vehicle(key):
    """Values of a course car."""
    return catalogue.vehicles(data_folder())[key]


@lru_cache(maxsize=None)
def course():
    """The course's control settings."""
    return catalogue.control_values(folder=data_folder())
