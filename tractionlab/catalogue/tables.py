"""Makes surfaces, tyres, vehicles, control settings and drivers from the tables of their files;
every number has its source.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import exp
from types import MappingProxyType

from tractionlab.catalogue.checked import wrong_whole
from tractionlab.catalogue.gears import wrong_gears
from tractionlab.catalogue.ranges import (
    CONTROL_RANGES,
    DRIVER_RANGES,
    SURFACE_RANGES,
    TYRE_RANGES,
    VEHICLE_RANGES,
    VEHICLE_WHOLE,
    VEHICLE_WORDS,
)
from tractionlab.catalogue.value_file import Mistakes, entry_of, named, numbers, read_toml
from tractionlab.errors import did_you_mean

#: How much of its load standing a wheel may carry when the car brakes hard in a bend.
_LOAD_SHIFT = 2.5
#: A combustion engine with less stops by itself, or turns faster than a run can follow.
_LEAST_OF_AN_ENGINE = {"idle_speed_rpm": 300.0, "engine_inertia_kg_m2": 0.02}


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


@dataclass(frozen=True, kw_only=True)
class Tyre:
    """A tyre: `on` maps the key of a surface to what this tyre changes there, a mapping with
    `adhesion` and `slip`: factors on the adhesion of a curve and on the slip of its top. `sources`
    maps the same keys to where the two come from."""

    key: str
    name: str
    on: MappingProxyType
    sources: MappingProxyType


@lru_cache(maxsize=32)
def read_files(stem, stamped):
    """Entries by key of the shipped file of `stem` (one of STEMS),
    then those of a person's own; `stamped` are pairs (path, time of its last change).

    An own table may be `like` one of the course and say only what differs.
    """
    found, known = {}, {}
    for path, _ in stamped:
        shipped, mistakes = dict(found), Mistakes(path)
        tables = read_toml(path)
        known |= _sources(mistakes, tables.pop("sources", {}))
        tables.pop("parameters", None)
        _all_in_tables(mistakes, tables)
        for key, table in tables.items():
            found[key] = _BUILD[stem](mistakes, key, table, known, shipped)
            _name_of_its_own(mistakes, key, found)
        mistakes.report()
    return MappingProxyType(found)


def _all_in_tables(mistakes, tables):
    """Lines above the first table belong to none of them; that is said once, for all."""
    loose = [key for key, table in tables.items() if not isinstance(table, dict)]
    loose += [key for key, table in tables.items() if key not in loose and "value" in table]
    if loose:
        mistakes.add(
            loose[0],
            f"{', '.join(loose)}: outside a table; put a line such as [my_own] above the first",
        )
        mistakes.report()


def _name_of_its_own(mistakes, key, found):
    """Two of a name could not be told apart in a menu."""
    other = next((k for k, entry in found.items() if k != key and entry.name == found[key].name), 0)
    if other and found[key].name:
        mistakes.add(key, f"name = {found[key].name!r} is that of [{other}]; give it its own")


def _sources(mistakes, table):
    if not isinstance(table, dict) or not all(isinstance(words, str) for words in table.values()):
        mistakes.add(
            "sources", 'each line names a source in words, as in OWN = "weighed in our workshop"'
        )
        return {}
    return table


def _base(mistakes, key, table, shipped):
    """(Entry that a table of one's own is like, or None; the table without `like`).

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
    if wrong := wrong_gears(car) or wrong_whole(car, VEHICLE_WHOLE):
        mistakes.add(key, wrong)
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
        if kind == "burckhardt" and values.keys() >= {"c1", "c2", "c3"}:
            locked = values["c1"] * (1.0 - exp(-values["c2"])) - values["c3"]
            if locked <= 0.0:
                mistakes.add(place, f"c3 must be less than c1, got {values['c3']:g}")
        curves[curve_key] = Curve(
            key=curve_key, label=label, kind=kind, values=values, sources=sources
        )
    return Surface(key=key, name=name, default=default, curves=MappingProxyType(curves))


def _tyre(mistakes, key, table, known, shipped):
    base, table = _base(mistakes, key, table, shipped)
    name, table = named(
        mistakes, key, table, base.name if base is not None and base.key == key else ""
    )
    on, sources = (dict(base.on), dict(base.sources)) if base is not None else ({}, {})
    for surface, factors in table.items():
        place = f"{key}.{surface}"
        if not isinstance(factors, dict):
            mistakes.add(
                key,
                f"{surface} = {factors!r} is no surface; put a line such as [{key}.packed_snow]"
                " above its factors",
            )
            continue
        on[surface], sources[surface] = numbers(mistakes, place, factors, known, TYRE_RANGES, {})
    return Tyre(key=key, name=name, on=MappingProxyType(on), sources=MappingProxyType(sources))


_BUILD = {
    "surfaces": _surface,
    "tyres": _tyre,
    "vehicles": _vehicle,
    "control": _settings(CONTROL_RANGES),
    "driver": _settings(DRIVER_RANGES),
}
#: Names of the files: data/<stem>.toml, and my_<stem>.toml in a person's own folder.
STEMS = tuple(_BUILD)
