"""The leads of a car along a drive: still, or open now and then on bumps where one is broken."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tractionlab.workshop.wiring.pins import Wiring, wiring


@dataclass(frozen=True)
class Leads:
    """The wiring while the leads lie still and while they move; `opens` is True while a broken lead
    is open, bool (n,), or None where no lead is broken.
    """

    still: Wiring
    moved: Wiring
    opens: np.ndarray | None

    def read(self, of: Callable):
        """`of(wiring)` along the drive, for the wiring as it is at each sample."""
        if self.opens is None:
            return of(self.still)
        return np.where(self.opens, of(self.moved), of(self.still))


def leads_of(vehicle, values, world):
    """Leads of a car with these part values on a drive."""
    still = wiring(vehicle, values)
    if any(value > 0.0 for name, value in values.items() if name.endswith(".broken_share")):
        return Leads(still, wiring(vehicle, values, flexed=True), _drops(world, values))
    return Leads(still, still, None)


def _drops(world, values):
    """True while leads that break now and then are open: some short moments on every bump, bool
    (n,).

    How long and how often is invented: 2 to 4 drops of 20 to 50 ms on a bump, more the higher
    `broken_share`."""
    rng = np.random.default_rng([world.seed, 71])
    share = max(value for name, value in values.items() if name.endswith(".broken_share"))
    drop = np.zeros(len(world), bool)
    starts = np.flatnonzero(np.diff((world.bump > 0.0).astype(int), prepend=0) == 1)
    for start in starts:
        if rng.random() > min(1.0, 20.0 * share):
            continue
        at = start
        for _ in range(rng.integers(2, 5)):
            length = int(rng.integers(2, 6))
            drop[at : at + length] = True
            at += length + int(rng.integers(3, 12))
    return drop
