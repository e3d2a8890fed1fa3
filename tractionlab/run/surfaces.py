"""Surfaces by name: their curves, their words, and the row of adhesion that the kernels read."""

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.tables import Curve, Surface
from tractionlab.physics.tyre import BURCKHARDT, MAGIC_FORMULA, burckhardt_peak


def surface_curve(name: str) -> tuple[Surface, Curve]:
    """(Surface, Curve) of a name such as `ice` or `ice:magic_formula`."""
    key, _, source = str(name).partition(":")
    surface = catalogue.pick(catalogue.in_use().surfaces(), key, "surface")
    return surface, catalogue.pick(
        surface.curves, source or surface.default, f"source of surface {key}"
    )


def surface_words(name: str) -> str:
    """Name of a surface for people; of a curve that is not its default one with the curve's, as
    "Packed snow (Burckhardt)".
    """
    surface, curve = surface_curve(name)
    return surface.name if curve.key == surface.default else f"{surface.name} ({curve.label})"


def surface_row(curve, adhesion=1.0, slip=1.0):
    """Row of `tyre.adhesion` for a curve, as a tuple of 8 floats: its adhesion times `adhesion`,
    reached at its slip times `slip`.
    """
    v = curve.values
    speed_factor = v["speed_factor_s_per_m"]
    if curve.kind == "burckhardt":
        c1, c2, c3 = adhesion * v["c1"], v["c2"] / slip, adhesion * v["c3"] / slip
        peak = burckhardt_peak(c1, c2, c3)[1]
        return (BURCKHARDT, c1, c2, c3, 0.0, speed_factor, peak, peak / (c1 * c2 - c3))
    b, peak = v["b"] / slip, adhesion * v["d"]
    return (MAGIC_FORMULA, b, v["c"], peak, v["e"], speed_factor, peak, 1.0 / (b * v["c"]))


def row_of(name, tyre):
    """Row of a surface such as `ice` or `ice:magic_formula` under the tyre of that key."""
    surface, curve = surface_curve(name)
    factors = catalogue.pick(catalogue.in_use().tyres(), tyre, "tyre").on.get(surface.key, {})
    return surface_row(curve, **factors)
