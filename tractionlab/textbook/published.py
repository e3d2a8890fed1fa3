"""Published tyre formulas that the lessons hold beside the course's own tyre, and the loader of
data/published_tyres.toml.
"""

import math
from typing import NamedTuple

from tractionlab.catalogue.checked import TableReader
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.textbook.search import crossing, highest_point
from tractionlab.textbook.tyre_combined import TyreSet, pure_longitudinal


class MagicSet(NamedTuple):
    """The four numbers of one magic-formula curve; units of b and d follow from slip (percent or
    degree) and force.
    """

    b: float
    c: float
    d: float
    e: float


def magic_peak(curve):
    """Slip and force (x, f) at the highest point of a magic-formula curve with c > 1 and e < 1.

    The sine is 1 where c atan(y) = pi/2; the slip follows from y = b x - e (b x - atan(b x)) by
    bisection."""
    if not (curve.c > 1.0 and curve.e < 1.0):
        raise ValueError(
            f"a curve has a peak only if c > 1 and e < 1, got c = {curve.c}, e = {curve.e}"
        )
    target = math.tan(0.5 * math.pi / curve.c)
    bend = crossing(
        lambda x: x - curve.e * (x - math.atan(x)), target, 0.0, target / (1.0 - max(curve.e, 0.0))
    )
    return bend / curve.b, curve.d


def bakker_longitudinal(load):
    """Curve of brake force [N] over slip [percent] at a load [N].

    Source: Bakker, Nyborg, Pacejka, SAE 870421, 1987 (second-hand).
    """
    fz = load / 1000.0
    c = 1.65
    d = (-21.3 * fz + 1144.0) * fz
    bcd = (49.6 * fz + 226.0) * fz * math.exp(-0.069 * fz)
    e = (-0.006 * fz + 0.056) * fz + 0.486
    return MagicSet(bcd / (c * d), c, d, e)


def bakker_lateral(load):
    """Curve of side force [N] over slip angle [degree] at a load [N].

    Source as `bakker_longitudinal`.
    """
    fz = load / 1000.0
    c = 1.30
    d = (-22.1 * fz + 1011.0) * fz
    bcd = 1078.0 * math.sin(1.82 * math.atan(0.208 * fz))
    return MagicSet(bcd / (c * d), c, d, -0.354 * fz + 0.707)


def speed_factor(slip, speed, c4):
    """Share of the Burckhardt friction left at a slip [-] and speed [m/s]; c4 in s/m.

    Source: Burckhardt 1993.
    """
    return math.exp(-c4 * slip * speed)


def force_left(friction, load, used):
    """Force [N] that the friction circle leaves across while `used` [N] is needed along; load in N.

    3 : 4 : 5: with 5000 N of grip and 3000 N in use, 4000 N are left across.

    >>> force_left(0.5, 10_000.0, 3000.0)
    4000.0
    """
    room = (friction * load) ** 2 - used * used
    return math.sqrt(room) if room > 0.0 else 0.0


def relaxation_share(distance, length):
    """Share of its steady force that a tyre has built up after rolling a distance [m]; relaxation
    length in m.
    """
    return -math.expm1(-distance / length)


def relaxation_time(speed, length):
    """Time constant [s] of the tyre force at a speed [m/s]; relaxation length in m."""
    return length / speed


def aquaplaning_speed(pressure):
    """Speed [m/s] at which a smooth tyre floats on a flooded road; tyre pressure in Pa.

    Source: Horne, Dreher, NASA TN D-2056, 1963 (second-hand): 10.35 mph per root psi.

    36 psi are 248 211 Pa: 10.35 x 6 = 62.1 mph, 27.8 m/s.

    >>> round(aquaplaning_speed(248_211.0), 1)
    27.8
    """
    return 10.35 * 0.44704 * math.sqrt(pressure / 6894.757)


def unloaded_radius(width, aspect, rim):
    """Radius [m] of a tyre from its size marking: width in m, aspect ratio (0.60 for 60), rim
    diameter in m.

    195/60 on 15 inch: half of 381 mm and 0.6 x 195 mm = 117 mm.

    >>> round(unloaded_radius(0.195, 0.60, 0.381), 4)
    0.3075
    """
    return 0.5 * rim + aspect * width


def longitudinal_peak(load, tyre):
    """Practical slip [-] and force [N] of the strongest drive at a load [N] of a measured tyre."""
    return highest_point(lambda slip: pure_longitudinal(slip, load, tyre), 0.0, 1.0)


def load_tyre(name, kind=TyreSet, path=None):
    """The tyre `name` of data/published_tyres.toml as a `kind`, TyreSet or Bristles.

    Every entry has value, unit and source. UserError names file, tyre, key and allowed range.
    """
    path = path or data_folder() / "published_tyres.toml"
    tyres = read_toml(path)
    known = tyres.pop("sources", {})
    if name not in tyres:
        raise UserError(f"{path}: no tyre {name!r}; there are: {', '.join(tyres)}")
    where = f"{path}, [{name}]"
    entries = {key: entry for key, entry in tyres[name].items() if key != "name"}
    for key in entries:
        if key not in kind._fields:
            raise UserError(f"{where}: unknown key {key!r}; known are {', '.join(kind._fields)}")
    return kind(**{key: _checked(entries.get(key), key, where, known) for key in kind._fields})


def _checked(entry, key, where, known):
    """Value of one entry, or UserError."""
    if not isinstance(entry, dict) or set(entry) != {"value", "unit", "source"}:
        raise UserError(
            f'{where}: {key} needs value, unit and source, as in {{ value = 1.0, unit = "-", source'
            ' = "..." }'
        )
    if entry["source"] not in known:
        raise UserError(
            f"{where}: {key}: source {entry['source']!r} does not stand under [sources]"
        )
    low, high = _RANGES.get(key, (-100.0, 100.0))
    return float(TableReader(where).number({key: entry["value"]}, key, low, high))


_RANGES = {
    "nominal_load": (500.0, 50_000.0),
    "p_cx1": (1.0, 2.0),
    "p_cy1": (1.0, 2.0),
    "p_dx1": (0.05, 2.0),
    "p_dx2": (-0.4, 0.4),
    "p_dy1": (-2.0, -0.05),
    "p_dy2": (-0.4, 0.4),
    "p_kx1": (1.0, 100.0),
    "p_ky1": (-100.0, -1.0),
    "p_ky2": (0.1, 10.0),
    "r_cx1": (0.5, 2.0),
    "r_cy1": (0.5, 2.0),
    "r_hx1": (-0.05, 0.05),
    "r_hy1": (-0.05, 0.05),
    "stiffness": (1.0, 10_000.0),
    "viscous": (0.0, 0.1),
    "sliding": (0.01, 2.0),
    "static": (0.01, 3.0),
    "falling_speed": (0.1, 100.0),
    "patch_length": (0.01, 1.0),
}
