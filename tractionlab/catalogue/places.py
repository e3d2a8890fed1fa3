"""Where the course keeps its things: data, lessons, and the folder of compiled code."""

import os
from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]
#: Hidden folder inside the learner's folder for what the course itself has to remember.
PRIVATE = ".tractionlab"


@cache
def _shipped(name):
    """Folder `name` of a checkout, or its copy inside an installed package."""
    installed = _PACKAGE / f"_{name}"
    return installed if installed.is_dir() else _PACKAGE.parent / name


def data_folder():
    """Folder with surfaces, vehicles, control settings and published tables."""
    return _shipped("data")


def lessons_folder():
    """Folder with the lessons as they are shipped."""
    return _shipped("lessons")


def cache_folder():
    """Folder for compiled code; `TRACTIONLAB_CACHE` moves it."""
    chosen = os.environ.get("TRACTIONLAB_CACHE")
    if chosen:
        return Path(chosen)
    base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(base) / "tractionlab"
