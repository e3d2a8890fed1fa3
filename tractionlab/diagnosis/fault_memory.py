"""Memory of the self-diagnosis: debounce counters, status bytes over several ignition cycles,
snapshots, ageing, clearing.
"""

from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np

from tractionlab.diagnosis import status_byte as s

CYCLE = 0.01  #: a sample of the self-diagnosis [s]
CLEAN_TRIPS = (
    40  #: so many clean trips erase a stored code; invented, 50 and 100 are common practice too
)


def debounce(steps, limit):
    """Where a debounce counter changes its mind.

    The counter starts at 0, goes by steps[k] in sample k and stays between 0 and `limit`. It calls
    the test failed when it reaches `limit`, and passed again when it is back at 0.

    Parameters
    ----------
    steps : array (n,), above 0 for a bad sample, below for a good one, 0 while the test cannot run
    limit : float, above 0

    Returns
    -------
    tuple of (sample, failed) : in order, alternating, the first one failed
    """
    turns, start, is_failed = [], 0, False
    while start < len(steps):
        counter = _stretch(steps[start:], limit, is_failed)
        there = counter <= 0.0 if is_failed else counter >= limit
        first = int(np.argmax(there))
        if not there[first]:
            break
        is_failed = not is_failed
        turns.append((start + first, is_failed))
        start += first + 1
    return tuple(turns)


def failed_over(turns, n):
    """Is the test failed, bool array (n,)? `turns` as from `debounce`."""
    failed = np.zeros(n, bool)
    for sample, is_failed in turns:
        failed[sample:] = is_failed
    return failed


def counter_of(steps, limit, turns):
    """The counter itself over time, array (n,): for pictures. `turns` as from `debounce`."""
    counter, start, is_failed = np.empty(len(steps)), 0, False
    for sample, now in (*turns, (len(steps) - 1, None)):
        counter[start : sample + 1] = _stretch(steps[start : sample + 1], limit, is_failed)
        start, is_failed = sample + 1, now
    return np.clip(counter, 0.0, limit)


def _stretch(steps, limit, is_failed):
    """The counter while the result stays the same: only one of its two ends can be in the way."""
    total = np.cumsum(steps)
    if is_failed:
        return limit + total - np.maximum.accumulate(np.maximum(total, 0.0))
    return total - np.minimum.accumulate(np.minimum(total, 0.0))


def first_pass(good, count):
    """Sample of good result number `count` of a bool array (n,), or None if there are fewer: the
    test has then run and found nothing.
    """
    at = np.flatnonzero(good)
    return int(at[count - 1]) if len(at) >= count else None


@dataclass(frozen=True, kw_only=True)
class Stored:
    """What the memory holds of one code with its failure type.

    count : cycles in which it failed; clean : clean cycles since; snapshot : name -> value at the
        first failure, times in s of the drive
    """

    code: str
    failure_type: str
    status: int = s.CLEARED
    count: int = 0
    clean: int = 0
    snapshot: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))

    @property
    def present(self):
        return bool(self.status & s.FAILED)

    @property
    def stored(self):
        return bool(self.status & s.CONFIRMED)


@dataclass(frozen=True)
class Memory:
    """All codes of a control unit by (code, failure type).

    Nothing changes in place: each step gives a new memory.
    """

    entries: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))
    mileage_km: float = 48213.0  # invented

    def __getitem__(self, key):
        return self.entries.get(key, Stored(code=key[0], failure_type=key[1]))

    @property
    def stored(self):
        """Confirmed entries, sorted by code and failure type."""
        return tuple(self.entries[key] for key in sorted(self.entries) if self.entries[key].stored)

    @property
    def pending(self):
        """Entries that failed in this or the last tested drive but are not confirmed."""
        return tuple(
            self.entries[key]
            for key in sorted(self.entries)
            if self.entries[key].status & s.PENDING and not self.entries[key].stored
        )

    def result(self, key, is_failed, snapshot=None, trips=1, lamp=True, hold_lamp=False):
        """Memory after a test result for (code, failure type).

        Parameters
        ----------
        snapshot : dict, kept at the first failure since the code was last erased
        trips : int, cycles with a failure that make it confirmed
        lamp, hold_lamp : see `status_byte.failed` and `status_byte.passed`
        """
        old = self[key]
        if not is_failed:
            return self._with(key, replace(old, status=s.passed(old.status, hold_lamp)))
        count = old.count + (0 if old.status & s.FAILED_THIS_CYCLE else 1)
        return self._with(
            key,
            replace(
                old,
                status=s.failed(old.status, count >= trips, lamp),
                count=count,
                clean=0,
                snapshot=old.snapshot or MappingProxyType(dict(snapshot or {})),
            ),
        )

    def with_passed(self, keys):
        """Memory after a first "passed" for keys that it does not hold yet."""
        new = {
            key: Stored(code=key[0], failure_type=key[1], status=s.passed(s.CLEARED))
            for key in keys
            if key not in self.entries
        }
        return replace(self, entries=MappingProxyType({**self.entries, **new}))

    def ignition_on(self, held=()):
        """Memory at the start of the next cycle: clean cycles are counted, forty of them erase a
        code. `held`: keys whose lamp lasts one cycle.
        """
        entries = {}
        for key, old in self.entries.items():
            clean = old.clean + 1 if s.clean(old.status) and old.count else old.clean
            if clean >= CLEAN_TRIPS:
                old, clean = (
                    Stored(code=old.code, failure_type=old.failure_type, status=s.aged(old.status)),
                    0,
                )
            entries[key] = replace(old, clean=clean, status=s.next_cycle(old.status, key in held))
        return replace(self, entries=MappingProxyType(entries))

    def clear(self):
        """Memory after clearing: every code is there as "not tested yet", with no count and no
        snapshot.
        """
        return replace(
            self,
            entries=MappingProxyType(
                {key: Stored(code=key[0], failure_type=key[1]) for key in self.entries}
            ),
        )

    def driven(self, km):
        """Memory with `km` more on the clock."""
        return replace(self, mileage_km=self.mileage_km + km)

    def _with(self, key, entry):
        return replace(self, entries=MappingProxyType({**self.entries, key: entry}))
