"""Friction of a tyre on a surface: adhesion curves over slip, combined slip, dependence on load and
speed.
"""

from math import atan, exp, log, sin, sqrt

BURCKHARDT = 0.0
MAGIC_FORMULA = 1.0

#: Columns of a surface row: kind of curve, its coefficients, speed factor [s/m], largest adhesion,
#: break-away slip (peak / initial slope).
KIND, C1, C2, C3, C4, SPEED_FACTOR, PEAK, BREAK_AWAY = range(8)


def burckhardt(slip, c1, c2, c3):
    """Adhesion coefficient at a slip, by Burckhardt's curve c1 (1 - exp(-c2 s)) - c3 s.

    Parameters
    ----------
    slip : float, 0..1 [-]
    c1, c2, c3 : float, coefficients of the surface [-]

    Source: M. Burckhardt, Fahrwerktechnik: Radschlupf-Regelsysteme, 1993 (formula and coefficients
    second-hand).

    Locked, exp(-24) is next to nothing, and c1 - c3 is left: 1.28 - 0.52 on dry asphalt.

    >>> round(burckhardt(1.0, 1.28, 23.99, 0.52), 4)
    0.76
    """
    return c1 * (1.0 - exp(-c2 * slip)) - c3 * slip


def burckhardt_peak(c1, c2, c3):
    """(slip, adhesion) at the top of Burckhardt's curve on 0..1; a curve that never falls ends at
    slip 1.

    Source: derived by setting the slope c1 c2 exp(-c2 s) - c3 to zero.

    Dry asphalt: ln(1.28 x 23.99 / 0.52) / 23.99 = 4.078 / 23.99 = 0.170, and there
    1.28 - 0.52 / 23.99 - 0.52 x 0.170 = 1.170.

    >>> [round(x, 3) for x in burckhardt_peak(1.28, 23.99, 0.52)]
    [0.17, 1.17]
    """
    if c3 <= 0.0 or c1 * c2 <= c3:
        return 1.0, burckhardt(1.0, c1, c2, c3)
    slip = min(1.0, log(c1 * c2 / c3) / c2)
    return slip, burckhardt(slip, c1, c2, c3)


def magic_formula(slip, b, c, d, e):
    """D sin(C atan(B s - E (B s - atan(B s)))): force or adhesion at a slip, in the unit of `d`.

    Source: E. Bakker, L. Nyborg, H.B. Pacejka, SAE 870421, 1987 (second-hand).

    With C = 1 and E = 0 it is D times the sine of an angle of tangent B s: 3 : 4 has the sine 0.6.

    >>> round(magic_formula(0.75, 1.0, 1.0, 10.0, 0.0), 9)
    6.0
    """
    x = b * slip
    return d * sin(c * atan(x - e * (x - atan(x))))


def adhesion(slip, speed, surface):
    """Adhesion coefficient of a surface row at a slip of 0..1 and a road speed [m/s].

    Burckhardt's speed factor exp(-c4 s v) lowers it at high sliding speed; it is 0 where the source
    gives none."""
    if surface[KIND] == BURCKHARDT:
        grip = burckhardt(slip, surface[C1], surface[C2], surface[C3])
    else:
        grip = magic_formula(slip, surface[C1], surface[C2], surface[C3], surface[C4])
    return grip * exp(-surface[SPEED_FACTOR] * slip * speed)


def load_factor(load, sensitivity, reference_load):
    """How adhesion changes with wheel load: 1 at the reference load, falling in a straight line
    above it [-].

    Source: the straight line mu = 1.144 - 0.0213 Fz[kN] of Bakker, Nyborg, Pacejka 1987, in
    relative form.

    A fifth more load at a sensitivity of 0.1 costs 0.1 x 0.2 = 2 %.

    >>> round(load_factor(3600.0, 0.1, 3000.0), 9)
    0.98
    """
    return 1.0 - sensitivity * (load / reference_load - 1.0)


def rolling_radius(load, radius, loss, reference_load):
    """Way of a freely rolling tyre for each radian it turns [m], at a wheel load [N]: `radius` at
    the reference load, falling in a straight line by the share `loss` for each reference load more.

    Source: slope of Pacejka's effective radius near the rated load (Tyre and Vehicle Dynamics,
    formula and usual coefficients from memory); see data/vehicles.toml.

    Half a reference load more at a loss of 0.02 costs 1 %.

    >>> round(rolling_radius(4500.0, 0.3, 0.02, 3000.0), 9)
    0.297
    """
    return radius * (1.0 - loss * (load / reference_load - 1.0))


def rest_slip(rim_speed, road_speed):
    """Slip referred to the faster of rim and road, -1..1; 0 at standstill, full slip when they go
    opposite ways.
    """
    faster = max(abs(rim_speed), abs(road_speed))
    if faster < 1e-9:
        return 0.0
    return min(1.0, max(-1.0, (rim_speed - road_speed) / faster))


def combined_force(slip, side_slip, load, speed, surface, side_ratio, sensitivity, reference_load):
    """(drive force, side force) [N] of one tyre when it slips both ways at once.

    Similarity: both slips are merged into one, the curve gives the force, and the force points
    against the slip. Hence the friction limit holds by construction. `side_ratio` is side stiffness
    over drive stiffness.

    Parameters
    ----------
    slip, side_slip : float [-]
        Positive slip drives, positive side slip pushes to the left (+y).
    load : float, wheel load [N]
    speed : float, rolling speed [m/s]
    surface : sequence of 8 floats, see KIND..BREAK_AWAY

    Source: similarity of the adhesion curves is common practice, no source; checked against
    Pacejka's Table A3.1.

    Both ways at once, 3 : 4, with 0.5 x 1000 N of grip: 500 N, shared as 300 and 400.

    >>> surface = (BURCKHARDT, 0.5, 1000.0, 0.0, 0.0, 0.0, 0.5, 0.001)
    >>> [round(f, 6) for f in combined_force(0.03, 0.04, 1000.0, 5.0, surface, 1.0, 0.0, 3000.0)]
    [300.0, 400.0]
    """
    side = side_ratio * side_slip
    total = sqrt(slip * slip + side * side)
    if total < 1e-12:
        return 0.0, 0.0
    grip = adhesion(min(total, 1.0), speed, surface) * load_factor(
        load, sensitivity, reference_load
    )
    scale = grip * load / total
    return scale * slip, scale * side


#: Shortest time in which a tyre answers [s]: keeps the equations solvable in steps of 1 ms.
#: Numerical choice.
LEAST_TIME = 0.002


def relaxation_at(slip, side_slip, carry, relaxation, surface, side_ratio):
    """Relaxation length at a slip [m]: the full length while the tyre grips, shorter the more it
    slides.

    Deflection of the tyre is force over stiffness, so a sliding tyre is not wound up further.
    `carry` is the faster of rim and road speed [m/s]. Source: derived from the definition; the
    smooth form is chosen for this course."""
    side = side_ratio * side_slip
    total = sqrt(slip * slip + side * side)
    return max(
        relaxation / (1.0 + total / surface[BREAK_AWAY]),
        max(LEAST_TIME * carry, 0.005 * relaxation),
    )
