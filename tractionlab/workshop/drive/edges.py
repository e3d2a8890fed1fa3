"""Which teeth of a wheel the control unit counts along a drive, and the speed it makes of them;
whole drives as arrays.
"""

from dataclasses import dataclass

import numpy as np

from tractionlab.sensors.counting import STANDING
from tractionlab.sensors.ring import TURN, tooth_gap, tooth_shift

_PEAK_SHARE = (
    0.3  # of the largest signal of a turn that the input stage still takes for one; invented
)
_LOST_PER_GAP = (
    0.2  # share of poles lost for each share of gap beyond an active sensor's limit; invented
)
NOTHING_FROM = 1.5  #: times that limit, from where it shows nothing; invented
_DISTURBED_HZ = (20.0, 55.0)


@dataclass(frozen=True, kw_only=True)
class Pickup:
    """A wheel sensor with its ring as its part values make it.

    sensor : WheelSensor, sound but for gap, teeth, crack, run-out; lost : numbers of teeth that are
        not there or melt into one;
    gain : share of the coil's voltage at the pin (passive), array (n,) or number; alive : bool
        array (n,), edges are seen at all;
    swing : share of the gap's swing once a turn, array (n,); disturbance [V peak to peak] picked
        up, array (n,)
    """

    sensor: object
    lost: tuple
    gain: np.ndarray
    alive: np.ndarray
    swing: np.ndarray
    disturbance: np.ndarray


def edge_times(time, angle, pickup, rng, cycle):
    """Times [s] of the teeth that are counted, rising.

    time, angle : arrays (n,) [s, rad]; the wheel turns in one direction
    """
    sensor = pickup.sensor
    count = int(sensor.teeth)
    pitch = TURN / count
    first, last = int(np.ceil(angle[0] / pitch)) - 1, int(np.floor(angle[-1] / pitch)) + 1
    number = np.arange(first, last + 1)
    place = number % count
    shifts = np.array([tooth_shift(float(k), sensor) for k in range(count)])
    at = pitch * (number + shifts[place])
    inside = (at > angle[0]) & (at <= angle[-1])
    place, at = place[inside], at[inside]
    rising = angle + 1e-9 * np.arange(len(angle))
    when = np.interp(at, rising, time)
    sample = np.minimum((when / cycle).astype(int), len(time) - 1)
    turning = np.gradient(angle, cycle)[sample] * count / TURN
    seen = pickup.alive[sample]
    if pickup.lost:
        seen &= ~np.isin(place, pickup.lost)
    if sensor.active == 1.0:
        seen &= _active_seen(pickup, place, turning, sample, rng)
    else:
        seen &= _passive_seen(pickup, place, turning, sample)
    edges = when[seen]
    if np.any(pickup.disturbance >= sensor.threshold):
        edges = np.sort(
            np.concatenate(
                (edges, _disturbance(time, pickup, np.gradient(angle, cycle) * count / TURN, rng))
            )
        )
    if sensor.tick > 0.0:
        edges = sensor.tick * np.floor(edges / sensor.tick)
    return edges


def _gaps(pickup, place, sample):
    """(gap of each tooth, smallest gap of its turn) [m]; play in the bearing lets the gap swing
    about twice its size once a turn.
    """
    sensor = pickup.sensor
    by_place = np.array([tooth_gap(float(k), sensor) for k in range(int(sensor.teeth))])
    if not np.any(pickup.swing > 0.0):
        return by_place[place], np.full(len(place), by_place.min())
    wide = pickup.swing[sample]
    middle, half = 0.5 * sensor.gap * wide, sensor.gap * wide
    gap = by_place[place] + middle - half * np.cos(TURN * place / sensor.teeth)
    return np.maximum(gap, 0.3 * sensor.gap), np.maximum(
        by_place.min() + middle - half, 0.3 * sensor.gap
    )


def _passive_seen(pickup, place, turning, sample):
    sensor = pickup.sensor
    if sensor.runout == 0.0 and not np.any(pickup.swing > 0.0) and np.ndim(pickup.gain) == 0:
        one_hertz = (
            sensor.volts_per_hertz * pickup.gain * (sensor.reference_gap / sensor.gap) ** 1.5
        )
        return np.abs(turning) * one_hertz >= sensor.threshold
    gap, near = _gaps(pickup, place, sample)
    strength = (
        sensor.volts_per_hertz
        * np.abs(turning)
        * (pickup.gain[sample] if np.ndim(pickup.gain) else pickup.gain)
    )
    amplitude, peak = (
        strength * (sensor.reference_gap / gap) ** 1.5,
        strength * (sensor.reference_gap / near) ** 1.5,
    )
    return amplitude >= np.maximum(sensor.threshold, _PEAK_SHARE * peak)


def _active_seen(pickup, place, turning, sample, rng):
    sensor = pickup.sensor
    gap, _ = _gaps(pickup, place, sample)
    seen = np.abs(turning) <= sensor.frequency_limit
    if np.any(gap > sensor.gap_limit):
        seen &= rng.random(len(place)) >= lost_share(gap, sensor.gap_limit)
    return seen


def lost_share(gap, limit):
    """Share of poles that an active sensor misses at a gap [m]."""
    lost = np.clip(_LOST_PER_GAP * (gap / limit - 1.0), 0.0, 1.0)
    return np.where(gap >= NOTHING_FROM * limit, 1.0, lost)


def _disturbance(time, pickup, frequency, rng):
    """Times at which a picked-up voltage passes for teeth: while it is larger than the wheel's own
    signal.
    """
    spacing = 1.0 / rng.uniform(*_DISTURBED_HZ, int(60.0 * (time[-1] - time[0])) + 1)
    when = time[0] + np.cumsum(spacing)
    when = when[when < time[-1]]
    place = np.searchsorted(time, when) - 1
    own = (
        pickup.sensor.volts_per_hertz
        * frequency
        * (pickup.sensor.reference_gap / pickup.sensor.gap) ** 1.5
    )
    loud = pickup.disturbance[place]
    return when[(loud >= pickup.sensor.threshold) & (loud > own[place])]


def speed_of(edges, time, pitch):
    """(speed [m/s], teeth counted so far) at each cycle, arrays (n,): what
    `control.wheel_signals.read_wheel` gives cycle by cycle.

    edges : rising times [s]; pitch : distance from tooth to tooth [m]
    """
    counted = np.searchsorted(edges, time, side="right")
    fresh = np.diff(counted, prepend=0) > 0
    latest = np.where(
        counted > 0, edges[np.maximum(counted - 1, 0)] if len(edges) else 0.0, -np.inf
    )
    silent = time - latest
    stood = np.concatenate(([True], silent[:-1] > STANDING))
    before = np.concatenate(([0.0], np.where(np.isfinite(latest), latest, 0.0)[:-1]))
    teeth = np.diff(counted, prepend=0)
    new = np.where(
        fresh & ~stood,
        teeth * pitch / np.maximum(np.where(np.isfinite(latest), latest, 0.0) - before, 1e-5),
        0.0,
    )
    place = np.maximum.accumulate(np.where(fresh, np.arange(len(time)), -1))
    kept = np.where(place >= 0, new[np.maximum(place, 0)], 0.0)
    speed = np.where(fresh, kept, np.minimum(kept, pitch / np.maximum(silent, 1e-5)))
    return np.where(silent > STANDING, 0.0, speed), counted
