"""The most that tyres can hold: adhesion at its best slip, for each wheel under its load."""

import numpy as np

from tractionlab.physics.tyre import PEAK, SPEED_FACTOR, adhesion, load_factor
from tractionlab.run import assembly

#: Slips that are tried [-], and speeds [m/s] between which the best adhesion is interpolated: it
#: falls ever less steeply, so that straight lines lie above it.
SLIPS = np.concatenate([np.linspace(0.005, 0.2, 40), np.linspace(0.22, 1.0, 40)])
SPEEDS = np.linspace(0.0, 90.0, 31)


def best_adhesion(rows):
    """Adhesion at its best slip at each of SPEEDS, on the best of the rows of `tyre.adhesion`."""
    return np.max(
        [
            [row[PEAK] * _left(row, speed) if row[SPEED_FACTOR] else row[PEAK] for speed in SPEEDS]
            for row in rows
        ],
        axis=0,
    )


def _left(row, speed):
    """Share of the peak at walking pace that a row has at a speed [m/s]."""
    return max(adhesion(slip, speed, row) for slip in SLIPS) / max(
        adhesion(slip, 0.0, row) for slip in SLIPS
    )


def slip_at(rows, share):
    """Slip [-] up to which a wheel stays that is pushed with a share of its best adhesion, on the
    row of `tyre.adhesion` where this is most.
    """
    curves = [np.array([adhesion(slip, 0.0, row) for slip in SLIPS]) for row in rows]
    return max(SLIPS[np.argmax(curve >= share * curve.max())] for curve in curves)


class Grip:
    """Most force of each tyre of a scenario's car [N]; a patch counts as if it were everywhere,
    where it grips better.
    """

    def __init__(self, scenario):
        rows, self.tyres = assembly.road_of(scenario)[2], assembly.car_of(scenario).tyres
        self.sides = [best_adhesion([*rows[:-2], rows[side]]) for side in (-2, -1)]

    def __call__(self, speed, loads):
        """Four forces [N] at a speed [m/s] under four loads [N]."""
        tyres, best = self.tyres, [np.interp(speed, SPEEDS, side) for side in self.sides]
        return [
            float(best[i % 2]) * load_factor(load, tyres.sensitivity, tyres.reference_load) * load
            for i, load in enumerate(loads)
        ]
