"""Brush model of a driven tread: blocks bend along the contact patch until the road can no longer
hold them, then they slide.

Source: M. Gäfvert, J. Svendenius, Construction of Novel Semi-Empirical Tire Models, TFRT-7606, Lund
2003, section 2 (its formulas from memory, derived again here); a lower grip while sliding is put
in. tests/test_tread.py adds up the blocks one by one.
"""

from typing import NamedTuple

import numpy as np

from tractionlab.textbook.search import crossing


class Tread(NamedTuple):
    """grip: friction [-] that a block has before it slides; sliding: friction [-] while it slides;
    full_slide: slip [-] from which on no block holds; length: of the contact patch [m]."""

    grip: float
    sliding: float
    full_slide: float
    length: float


def pushes(slip, load, tread):
    """(push of the holding part, of the sliding part) [N] at a slip 0..1 and a load [N].

    Examples
    --------
    Grip 1, sliding 0.5, nothing holds from 40 % slip on, 1000 N of load, 20 % slip. Half of the
    patch holds: 3 x 0.5 x 0.5 x 0.5 x 1 x 1000 = 375 N. The other half carries half of the load and
    slides: 0.5 x 0.5 x 1000 = 250 N.

    >>> [round(float(push)) for push in pushes(0.2, 1000.0, Tread(1.0, 0.5, 0.4, 0.12))]
    [375, 250]
    """
    z = np.minimum(1.0, slip / tread.full_slide)
    holding = 3.0 * tread.grip * load * z * (1.0 - z) ** 2
    return holding, tread.sliding * load * z**2 * (3.0 - 2.0 * z)


def holding_part(slip, tread):
    """Length [m] of the front part of the patch that holds the road at a slip 0..1."""
    return tread.length * max(0.0, 1.0 - slip / tread.full_slide)


def along_patch(place, slip, load, tread):
    """(push for each metre of the patch, the most that holds there) [N/m], arrays like `place`.

    place : distance from the front end of the patch [m], 0 to its length. The load lies on the
    patch as a parabola.
    """
    share = np.asarray(place) / tread.length
    pressure = 6.0 * load / tread.length * share * (1.0 - share)
    bent = stiffness(load, tread) * slip * np.asarray(place)
    holds = np.asarray(place) <= holding_part(slip, tread)
    return np.where(holds, bent, tread.sliding * pressure), tread.grip * pressure


def stiffness(load, tread):
    """Push [N] of a metre of tread for each metre that it is bent, at a load [N]."""
    return 6.0 * tread.grip * load / (tread.full_slide * tread.length**2)


def tread_like(top, top_slip, spinning, length):
    """The Tread whose push has its top `top` [-] at `top_slip` [-] and ends at `spinning` [-], all
    over the load, with a contact patch of `length` [m].

    Derived: with r = sliding / grip the top lies at full_slide / (3 - 2 r) and is
    grip (4 - 3 r) / (3 - 2 r)^2.
    """

    def highest(r):
        return spinning * (4.0 - 3.0 * r) / (r * (3.0 - 2.0 * r) ** 2)

    r = 1.0 if top <= spinning * (1.0 + 1e-6) else crossing(highest, top, 1.0, 1e-3)
    return Tread(spinning / r, spinning, top_slip * (3.0 - 2.0 * r), length)
