"""Reads surfaces, vehicles and control settings from data/, checks them, and gives frozen objects;
every number has its source.
"""

from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.ranges import (
    CALIPER_RANGES,
    CONTROL_RANGES,
    DRIVER_RANGES,
    SURFACE_RANGES,
    VEHICLE_RANGES,
    VEHICLE_WORDS,
)
from tractionlab.catalogue.value_file import (
    Entry,
    Mistakes,
    entry_of,
    named,
    numbers,
    read_entry,
    read_toml,
)
from tractionlab.errors import UserError, did_you_mean

__all__ = [
    "CALIPER_RANGES",
    "CONTROL_RANGES",
    "DRIVER_RANGES",
    "SURFACE_RANGES",
    "VEHICLE_RANGES",
    "VEHICLE_WORDS",
    "Curve",
    "Entry",
    "Surface",
    "control_settings",
    "control_values",
    "course_only",
    "course_vehicles",
    "driver_settings",
    "own_files",
    "pick",
    "read_entry",
    "read_toml",
    "shipped_only",
    "surfaces",
    "vehicles",
]


@dataclass(frozen=True, kw_only=True)
class Curve:
    """One source's adhesion curve of a surface: kind, coefficients by name, and where they come
    from.
    """

    key: str
    label: str
    kind: str
    values: MappingProxyType
    sources: MappingProxyType


@dataclass(frozen=True, kw_only=True)
class Surface:
    """A road surface with every curve we have for it."""

    key: str
    name: str
    default: str
    curves: MappingProxyType


def surfaces(folder=None):
    """All surfaces by key: those of the course, then those of `my_surfaces.toml` in the current
    folder.
    """
    return _read("surfaces", folder)


def vehicles(folder=None):
    """All vehicles by key: those of the course, then those of `my_vehicles.toml` in the current
    folder.
    """
    return _read("vehicles", folder)


def control_settings(folder=None):
    """All sets of control settings by key: those of the course, then those of `my_control.toml` in
    the current folder.
    """
    return _read("control", folder)


def control_values(circuit=True, folder=None):
    """The course's control settings: those tuned for the hydraulic circuit and counted teeth, or
    those for a simple source of pressure and ideal speeds.
    """
    return control_settings(folder)["circuit" if circuit else "course"]


def driver_settings(folder=None):
    """All drivers by key: those of the course, then those of `my_driver.toml` in the current
    folder.
    """
    return _read("driver", folder)


def pick(found, key, what):
    """Entry `key` of `found`; an unknown one is answered with the names there are."""
    if key not in found:
        raise UserError(f"no {what} is called {key!r}; {did_you_mean(key, list(found))}")
    return found[key]


def course_vehicles():
    """All vehicles that come with the course.

    The workshop knows these alone, so that what it has computed holds for everybody.
    """
    return _read("vehicles", data_folder())


#: How much of its load standing a wheel may carry when the car brakes hard in a bend.
_LOAD_SHIFT = 2.5
#: A combustion engine with less stops by itself, or turns faster than a run can follow.
_LEAST_OF_AN_ENGINE = {"idle_speed_rpm": 300.0, "engine_inertia_kg_m2": 0.02}
_WITHOUT_OWN = []
_COURSE_ONLY = ContextVar("course only", default=False)


@contextmanager
def shipped_only():
    """Inside, in every thread of the process, only what the course ships is read: no `my_*.toml` of
    the current folder.
    """
    _WITHOUT_OWN.append(True)
    try:
        yield
    finally:
        _WITHOUT_OWN.pop()


@contextmanager
def course_only():
    """As `shipped_only`, for this thread alone: for what is computed once and kept, while other
    threads go on with own files.
    """
    before = _COURSE_ONLY.set(True)
    try:
        yield
    finally:
        _COURSE_ONLY.reset(before)


def own_files():
    """Those of `my_surfaces.toml`, `my_vehicles.toml`, `my_control.toml` and `my_driver.toml` that
    lie in the current folder and count here: (path, time of its last change).
    """
    if _WITHOUT_OWN or _COURSE_ONLY.get():
        return ()
    return tuple(
        (path, path.stat().st_mtime_ns)
        for path in (Path.cwd() / f"my_{stem}.toml" for stem in _BUILD)
        if path.exists()
    )


def _read(stem, folder):
    shipped = Path(folder or data_folder()) / f"{stem}.toml"
    own = (
        []
        if folder is not None
        else [(path, stamp) for path, stamp in own_files() if path.name == f"my_{stem}.toml"]
    )
    return _read_files(
        stem, ((shipped, shipped.stat().st_mtime_ns if shipped.exists() else 0), *own)
    )


@lru_cache(maxsize=32)
def _read_files(stem, stamped):
    """Entries of the shipped file, then those of an own one.

    An own table may be `like` one of the course and say only what differs.
    """
    found, known = {}, {}
    for path, _ in stamped:
        shipped, mistakes = dict(found), Mistakes(path)
        tables = read_toml(path)
        known |= _sources(mistakes, tables.pop("sources", {}))
        for key, table in tables.items():
            found[key] = _BUILD[stem](mistakes, key, table, known, shipped)
        mistakes.report()
    return MappingProxyType(found)


def _sources(mistakes, table):
    if not isinstance(table, dict) or not all(isinstance(words, str) for words in table.values()):
        mistakes.add(
            "sources", 'each line names a source in words, as in OWN = "weighed in our workshop"'
        )
        return {}
    return table


def _base(mistakes, key, table, shipped):
    """(Entry that an own table is like, or None; the table without `like`).

    A table with the key of an entry of the course is like that one.
    """
    if not shipped or not isinstance(table, dict):
        return None, table
    like = table.get("like", key if key in shipped else "")
    if like and like not in shipped:
        mistakes.add(
            key,
            f"like = {like!r}: the course has no such table; {did_you_mean(like, list(shipped))}",
        )
        like = next(iter(shipped))
    return shipped.get(like), {name: value for name, value in table.items() if name != "like"}


def _vehicle(mistakes, key, table, known, shipped):
    base, table = _base(mistakes, key, table, shipped)
    way_out = (
        '. A line such as like = "front_petrol" takes what is missing from a car of the course'
        f" ({', '.join(shipped)})"
        if shipped
        else ""
    )
    entry = entry_of(mistakes, key, table, known, VEHICLE_RANGES, VEHICLE_WORDS, base, way_out)
    if not mistakes.found:
        _fits_together(mistakes, key, entry)
    return entry


def _fits_together(mistakes, key, car):
    """Values that are in range each, but no car together."""
    speeds = ("idle_speed_rpm", "bite_speed_rpm", "top_speed_rpm")
    if car["motor"] == "combustion" and not car[speeds[0]] < car[speeds[1]] < car[speeds[2]]:
        mistakes.add(
            key,
            f"{speeds[0]} must be less than {speeds[1]}, and that less than {speeds[2]}; got"
            f" {', '.join(f'{car[name]:g}' for name in speeds)}",
        )
    if car["motor"] == "combustion":
        for name, least in _LEAST_OF_AN_ENGINE.items():
            if car[name] < least:
                mistakes.add(
                    key,
                    f'{name} must be at least {least:g} with motor = "combustion", got'
                    f" {car[name]:g}",
                )
    if car["motor"] == "electric" and car["idle_speed_rpm"]:
        mistakes.add(
            key,
            f'idle_speed_rpm must be 0 with motor = "electric", got {car["idle_speed_rpm"]:g}',
        )
    share = max(car["driven_axle_load_share"], 1.0 - car["driven_axle_load_share"])
    heavy = _LOAD_SHIFT * 9.81 * car["mass_kg"] * share / 2.0
    least = car["load_sensitivity"] * heavy / (1.0 + car["load_sensitivity"])
    if car["reference_load_N"] <= least:
        mistakes.add(
            key,
            f"reference_load_N must be more than {least:.0f} at this mass_kg and load_sensitivity,"
            f" or a loaded wheel has no grip; got {car['reference_load_N']:g}",
        )


def _settings(ranges):
    def build(mistakes, key, table, known, shipped):
        base, table = _base(mistakes, key, table, shipped)
        if shipped and key not in shipped:
            mistakes.add(
                key, f"no run uses a table of this name; {did_you_mean(key, list(shipped))}"
            )
            return next(iter(shipped.values()))
        return entry_of(mistakes, key, table, known, ranges, {}, base)

    return build


def _surface(mistakes, key, table, known, shipped):
    if not isinstance(table, dict):
        return mistakes.add(
            key, f"{key} = {table!r} stands outside a table; put a line such as [my_road] above it"
        )
    name, table = named(mistakes, key, table)
    default, curves = table.pop("default", None), {}
    if default not in table:
        mistakes.add(
            key, f"default must name one of its curves ({', '.join(table)}), got {default!r}"
        )
    for curve_key, curve in table.items():
        place = f"{key}.{curve_key}"
        if not isinstance(curve, dict) or curve.get("kind") not in SURFACE_RANGES:
            kind = curve.get("kind") if isinstance(curve, dict) else curve
            mistakes.add(place, f"kind must be one of {', '.join(SURFACE_RANGES)}, got {kind!r}")
            continue
        curve = dict(curve)
        label, kind = curve.pop("label", curve_key), curve.pop("kind")
        values, sources = numbers(mistakes, place, curve, known, SURFACE_RANGES[kind], {})
        curves[curve_key] = Curve(
            key=curve_key, label=label, kind=kind, values=values, sources=sources
        )
    return Surface(key=key, name=name, default=default, curves=MappingProxyType(curves))


_BUILD = {
    "surfaces": _surface,
    "vehicles": _vehicle,
    "control": _settings(CONTROL_RANGES),
    "driver": _settings(DRIVER_RANGES),
}
