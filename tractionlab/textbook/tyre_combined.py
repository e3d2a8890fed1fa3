"""A measured tyre with published coefficients: force along and across the wheel under load and
combined slip.

Magic formula with load dependence and slip weighting, without camber and turn slip. Axes of ISO
8855: a positive slip angle means the wheel drifts to the left, and the side force then points to
the right (negative). Source: H. B. Pacejka, Tyre and Vehicle Dynamics, 2nd ed., 2006, sections
4.3.1 and 4.3.2 (equations from memory, confirmed by an independent program, see
tests/test_published.py). Coefficients: data/published_tyres.toml."""

import math
from typing import NamedTuple

from tractionlab.physics.tyre import magic_formula


class TyreSet(NamedTuple):
    """Coefficients of one measured tyre, named as in the source. Unit - unless said otherwise."""

    nominal_load: float  # N
    p_cx1: float  # shape along
    p_dx1: float  # peak friction along, and its change with load
    p_dx2: float
    p_ex1: float  # curvature along
    p_ex2: float
    p_ex3: float
    p_ex4: float
    p_kx1: float  # slip stiffness / load
    p_kx2: float
    p_kx3: float
    p_hx1: float  # horizontal shift
    p_hx2: float
    p_vx1: float  # vertical shift / load
    p_vx2: float
    r_bx1: float  # loss of the force along by slip angle
    r_bx2: float
    r_cx1: float
    r_ex1: float
    r_ex2: float
    r_hx1: float  # rad
    p_cy1: float  # shape across
    p_dy1: float
    p_dy2: float
    p_ey1: float
    p_ey2: float
    p_ey3: float
    p_ky1: float  # 1/rad
    p_ky2: float
    p_hy1: float  # rad
    p_hy2: float  # rad
    p_vy1: float
    p_vy2: float
    r_by1: float  # loss of the force across by slip
    r_by2: float  # 1/rad
    r_by3: float  # rad
    r_cy1: float
    r_ey1: float
    r_ey2: float
    r_hy1: float
    r_hy2: float
    r_vy1: float  # side force made by slip
    r_vy2: float
    r_vy4: float  # 1/rad
    r_vy5: float
    r_vy6: float


def practical_slip(slip):
    """Slip referred to road speed, (w r - v)/v, from slip referred to the faster speed, -1..1.

    Capped at 99.
    """
    if slip <= 0.0:
        return slip
    return slip / (1.0 - min(slip, 0.99))


def faster_slip(practical):
    """Slip referred to the faster of wheel and road speed, -1..1, from the practical slip (w r -
    v)/v >= -1.
    """
    if practical <= 0.0:
        return practical
    return practical / (1.0 + practical)


def load_change(load, tyre):
    """Load over nominal load, less one; held within -0.9..1.5, far beyond any measured load. [-]"""
    return min(max((load - tyre.nominal_load) / tyre.nominal_load, -0.9), 1.5)


def weight(x, shift, b, c, e):
    """Share of a force left by slip in the other direction: cosine form, 1 without that slip, never
    below 0. [-]
    """
    y = b * (x + shift)
    y0 = b * shift
    share = math.cos(c * math.atan(y - e * (y - math.atan(y))))
    return max(share, 0.0) / math.cos(c * math.atan(y0 - e * (y0 - math.atan(y0))))


def pure_longitudinal(slip, load, tyre):
    """Force along the wheel [N] at practical slip [-] without slip angle.

    Load in N; none without load.
    """
    if load <= 0.0:
        return 0.0
    dfz = load_change(load, tyre)
    c = tyre.p_cx1
    d = load * (tyre.p_dx1 + tyre.p_dx2 * dfz)
    k = load * (tyre.p_kx1 + tyre.p_kx2 * dfz) * math.exp(tyre.p_kx3 * dfz)
    x = slip + tyre.p_hx1 + tyre.p_hx2 * dfz
    side = 1.0 if x > 0.0 else -1.0
    e = (tyre.p_ex1 + tyre.p_ex2 * dfz + tyre.p_ex3 * dfz * dfz) * (1.0 - tyre.p_ex4 * side)
    return magic_formula(x, k / (c * d), c, d, e) + load * (tyre.p_vx1 + tyre.p_vx2 * dfz)


def pure_lateral(angle, load, tyre):
    """Force across the wheel [N], left positive, at slip angle [rad] without slip.

    Load in N; none without load.
    """
    if load <= 0.0:
        return 0.0
    dfz = load_change(load, tyre)
    held_load = tyre.nominal_load * (1.0 + dfz)
    c = tyre.p_cy1
    friction = tyre.p_dy1 + tyre.p_dy2 * dfz
    stiffness = tyre.p_ky1 * math.sin(2.0 * math.atan(held_load / (tyre.p_ky2 * tyre.nominal_load)))
    k = load * stiffness * tyre.nominal_load / held_load
    x = angle + tyre.p_hy1 + tyre.p_hy2 * dfz
    side = 1.0 if x > 0.0 else -1.0
    e = (tyre.p_ey1 + tyre.p_ey2 * dfz) * (1.0 - tyre.p_ey3 * side)
    d = friction * load
    return magic_formula(x, k / (c * d), c, d, e) + load * (tyre.p_vy1 + tyre.p_vy2 * dfz)


def longitudinal_weight(slip, angle, load, tyre):
    """Share [-] of the force along the wheel that an angle [rad] leaves at practical slip [-]."""
    b = tyre.r_bx1 * math.cos(math.atan(tyre.r_bx2 * slip))
    e = tyre.r_ex1 + tyre.r_ex2 * load_change(load, tyre)
    return weight(angle, tyre.r_hx1, b, tyre.r_cx1, e)


def lateral_weight(slip, angle, load, tyre):
    """Share [-] of the force across the wheel that practical slip [-] leaves at an angle [rad]."""
    dfz = load_change(load, tyre)
    b = tyre.r_by1 * math.cos(math.atan(tyre.r_by2 * (angle - tyre.r_by3)))
    return weight(slip, tyre.r_hy1 + tyre.r_hy2 * dfz, b, tyre.r_cy1, tyre.r_ey1 + tyre.r_ey2 * dfz)


def slip_side_force(slip, angle, load, tyre):
    """Side force that slip alone brings about (ply steer of the driven or braked tyre). [N]"""
    dfz = load_change(load, tyre)
    friction = tyre.p_dy1 + tyre.p_dy2 * dfz
    size = (
        friction * load * (tyre.r_vy1 + tyre.r_vy2 * dfz) * math.cos(math.atan(tyre.r_vy4 * angle))
    )
    return size * math.sin(tyre.r_vy5 * math.atan(tyre.r_vy6 * slip))


def combined_force(slip, angle, load, tyre):
    """Forces along and across the wheel (fx, fy) [N] under practical slip [-], slip angle [rad] and
    load [N].
    """
    if load <= 0.0:
        return 0.0, 0.0
    fx = longitudinal_weight(slip, angle, load, tyre) * pure_longitudinal(slip, load, tyre)
    fy = lateral_weight(slip, angle, load, tyre) * pure_lateral(angle, load, tyre)
    return fx, fy + slip_side_force(slip, angle, load, tyre)
