"""What a monitor hands to the memory: which code, and sample by sample whether it looked bad, good,
or could not be tested.
"""

from dataclasses import dataclass

import numpy as np

from tractionlab.diagnosis.fault_memory import CYCLE

#: Sensor, ring and supply of the wheels FL, FR, RL, RR.
SENSOR = ("C0031", "C0034", "C0037", "C003A")
RING = ("C0030", "C0033", "C0036", "C0039")
SUPPLY = ("C0032", "C0035", "C0038", "C003B")

#: A jump counts as over when nothing of the kind was seen for so long [s].
QUIET = 5.0


@dataclass(frozen=True)
class Watch:
    """One test of one code over a drive.

    bad, good : bool arrays (n,), neither where the test cannot run; limit : at which its debounce
        counter says "failed"; a good sample
    takes `down` from it, a bad one adds 1
    """

    monitor: object
    code: str
    failure_type: str
    bad: np.ndarray
    good: np.ndarray
    limit: float
    down: float = 1.0

    @property
    def steps(self):
        """Steps of the debounce counter, array (n,)."""
        return self.bad - self.down * self.good


def watch(monitor, code, failure_type, bad, able, back_s=None):
    """A test that counts up in bad samples and down in good ones, as long as it can run; `back_s`:
    down takes so long, if not as long as up.
    """
    return Watch(
        monitor,
        code,
        failure_type,
        able & bad,
        able & ~bad,
        max(1.0, monitor.confirm_s / CYCLE),
        monitor.confirm_s / (back_s or monitor.confirm_s),
    )


def alarm(monitor, code, failure_type, bad, able):
    """A test that fails with the first bad sample and passes again after a quiet time."""
    return Watch(monitor, code, failure_type, able & bad, able & ~bad, 1.0, CYCLE / QUIET)


def often(event, times, within):
    """True where at least `times` events fell into the last `within` seconds, array (n,)."""
    count = np.cumsum(event)
    width = int(round(within / CYCLE))
    before = np.concatenate((np.zeros(width, count.dtype), count[:-width]))[: len(count)]
    return count - before >= times


def mean_over(signal, seconds):
    """Mean of the last `seconds` of a signal (n,), as far as there are any."""
    width = max(1, int(round(seconds / CYCLE)))
    total = np.concatenate(([0.0], np.cumsum(signal)))
    last = np.arange(1, len(total))
    first = np.maximum(last - width, 0)
    return (total[last] - total[first]) / (last - first)


def since(event):
    """Seconds since the last event, infinite before the first, array (n,)."""
    place = np.where(event, np.arange(len(event)), -1)
    last = np.maximum.accumulate(place)
    return np.where(last >= 0, (np.arange(len(event)) - last) * CYCLE, np.inf)
