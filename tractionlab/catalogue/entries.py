"""The catalogue: surfaces, tyres, vehicles, control settings and drivers of the course, with
or without those of a person's own files.
"""

import os
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path
from types import MappingProxyType

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.tables import STEMS, read_files
from tractionlab.catalogue.value_file import Entry
from tractionlab.errors import UserError, did_you_mean

_IN_USE = ContextVar("catalogue in use", default=None)


@dataclass(frozen=True)
class Catalogue:
    """What the files of `data` hold and, if `own` is a folder, those of its `my_surfaces.toml`,
    `my_tyres.toml`, `my_vehicles.toml`, `my_control.toml` and `my_driver.toml` that are there. A
    file is read again when it has changed.
    """

    data: Path
    own: Path | None = None

    def surfaces(self):
        """All surfaces by key: those of the course first."""
        return self._read("surfaces")

    def tyres(self):
        """All tyres by key: those of the course first."""
        found, surfaces = self._read("tyres"), self.surfaces()
        for tyre in found.values():
            for surface in tyre.on:
                if surface not in surfaces:
                    path = self._own("tyres") or ((self.data / "tyres.toml", 0),)
                    raise UserError(
                        f"{path[0][0]}, [{tyre.key}.{surface}]: no surface is called {surface!r};"
                        f" {did_you_mean(surface, list(surfaces))}"
                    )
        return found

    def vehicles(self):
        """All vehicles by key: those of the course first."""
        return self._read("vehicles")

    def control_settings(self):
        """All sets of control settings by key."""
        return self._read("control")

    def control_values(self):
        """The settings of the control unit."""
        return self.control_settings()["course"]

    def driver_settings(self):
        """All drivers by key."""
        return self._read("driver")

    def own_files(self):
        """Own files that count here: (path, time of its last change)."""
        return tuple(pair for stem in STEMS for pair in self._own(stem))

    @cached_property
    def _paths(self):
        """{stem: (path of the course's file, path of the own one or None)}: a run asks for them
        some thirty times.
        """
        own = {stem: self.own and self.own / f"my_{stem}.toml" for stem in STEMS}
        return {stem: (self.data / f"{stem}.toml", own[stem]) for stem in STEMS}

    def _own(self, stem):
        path = self._paths[stem][1]
        stamp = _changed(path) if path else None
        return () if stamp is None else ((path, stamp),)

    def _read(self, stem):
        path = self._paths[stem][0]
        return read_files(stem, ((path, _changed(path) or 0), *self._own(stem)))


def _changed(path):
    """Time of a file's last change [ns]; None if it is not there."""
    try:
        return os.stat(path).st_mtime_ns
    except (FileNotFoundError, NotADirectoryError):
        return None


@dataclass(frozen=True, kw_only=True)
class WithOneCar(Catalogue):
    """What the course ships and one own car, `car`; nothing else of the files beside it counts."""

    car: Entry
    files: tuple

    def vehicles(self):
        """All vehicles by key: those of the course first."""
        return MappingProxyType({**super().vehicles(), self.car.key: self.car})

    def own_files(self):
        """The file that the car stands in: (path, time of its last change)."""
        return self.files


def shipped():
    """The catalogue that comes with the course, the same for everybody: the workshop and all
    marking know it alone.
    """
    return Catalogue(data_folder())


def with_own(folder):
    """The catalogue of the course with the own files of a folder."""
    return _with_own(data_folder(), os.fspath(folder))


@lru_cache(maxsize=64)
def _with_own(data, folder):
    return Catalogue(data, Path(folder))


def own_cars(found):
    """{key: Entry} of a catalogue's own cars, those that take no course car's place."""
    course = shipped().vehicles()
    return {key: car for key, car in found.vehicles().items() if key not in course}


def with_one_car(folder, key):
    """The catalogue of the course and the own car `key` of a folder."""
    own = with_own(folder)
    found = own_cars(own)
    if not found:
        raise UserError(
            f"{own.own / 'my_vehicles.toml'} has no own car, or is not there. Write one with"
            " `python3 -m tractionlab vehicle new my_vehicles.toml`, or name another folder."
        )
    car = pick(found, key, f"own car in {own.own / 'my_vehicles.toml'}")
    return WithOneCar(data=own.data, car=car, files=own._own("vehicles"))


def in_use():
    """The catalogue that a run reads: the one of `using`, else with the own files of the current
    folder.
    """
    return _IN_USE.get() or with_own(os.getcwd())


@contextmanager
def using(catalogue):
    """Inside, in this thread and in the runs that it starts, a Catalogue is the one in use."""
    before = _IN_USE.set(catalogue)
    try:
        yield
    finally:
        _IN_USE.reset(before)


def shipped_only():
    """Inside, what the course ships is in use, whatever own files lie here."""
    return using(shipped())


def pick(found, key, what):
    """Entry `key` of `found`; an unknown one is answered with the names there are."""
    if key not in found:
        raise UserError(f"no {what} is called {key!r}; {did_you_mean(key, list(found))}")
    return found[key]
