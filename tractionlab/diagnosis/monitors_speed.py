"""Monitors of the wheel speeds: missing signal, jumps, and one wheel against the others.

They know only what the unit reads.
"""

import numpy as np

from tractionlab.diagnosis.watch import RING, SENSOR, alarm, often, since, watch
from tractionlab.units import KMH

_STRAIGHT = 0.06  # rad/s of yaw rate up to which the road counts as straight; invented
_SAME_PLACE = 1  # teeth by which a jump may miss the same place of the ring
_OTHER_PLACE = 3  # teeth from which on it is another place
_MOST_LOST = 4  # teeth that a ring may lack at that place
_IN_A_ROW = 4  # jumps in a row that must agree
_MEMORY = 3.0  # s in which jumps are compared
_MOST_TURNS = 8.0


def watches(inputs, car, monitors):
    """Watches of the wheel speeds.

    Parameters
    ----------
    inputs : mapping, see workshop.inputs; used: wheel_speed [m/s], teeth counted so far,
        circuit_odd (bool), at_level (bool, active
        sensors), yaw [rad/s], control, fed; arrays (n,) or (n, 4)
    car : catalogue entry of the vehicle
    monitors : mapping of Monitor
    """
    speed = inputs["wheel_speed"]
    calm = inputs["fed"] & ~inputs["control"]
    return [
        *_missing(inputs, speed, calm, monitors),
        *_axle(inputs, speed, calm, car, monitors["axle_still"]),
        *_jumps(inputs, speed, car, monitors["wheel_jump"]),
        *_correlation(inputs, speed, calm, monitors["wheel_correlation"]),
    ]


def _missing(inputs, speed, calm, monitors):
    """One wheel at 0 while three move.

    With both levels of an active sensor in order it is the ring, else the sensor.
    """
    monitor = monitors["wheel_missing"]
    found = []
    fast = speed >= monitor["others_from"] * KMH
    for i in range(4):
        others = np.all(fast[:, [j for j in range(4) if j != i]], axis=1)
        bad = others & (speed[:, i] == 0.0)
        able = calm & others
        ring = inputs["at_level"][:, i]
        found += [
            watch(monitor, SENSOR[i], "31", bad & ~ring, able),
            watch(monitor, RING[i], "76", bad & ring, able),
        ]
    return found


def _axle(inputs, speed, calm, car, monitor):
    """Both wheels that are not driven at 0 while the driven ones turn: as on rollers.

    Stored for each of the two.
    """
    driven = [i for i in range(4) if car["drive"] == "all" or (car["drive"] == "front") == (i < 2)]
    still = [i for i in range(4) if i not in driven]
    if not still:
        return []
    turning = np.all(speed[:, driven] >= monitor["others_from"] * KMH, axis=1)
    bad = turning & np.all(speed[:, still] == 0.0, axis=1)
    return [watch(monitor, SENSOR[i], "64", bad, calm & turning) for i in still]


def _jumps(inputs, speed, car, monitor):
    """Steps no wheel can make.

    Their kind tells the code: always at the same place of the ring, with an odd circuit, or
    neither.
    """
    found = []
    able = inputs["fed"] & (np.max(speed, axis=1) >= monitor["least_speed"] * KMH)
    change = np.diff(speed, axis=0, prepend=speed[:1])
    active = inputs["active"]
    for i in range(4):
        jump = np.abs(change[:, i]) > monitor["step"] * KMH
        bad, ring, odd, circuit = jump, jump, jump, jump
        if jump.any():
            bad = often(jump, monitor["times"], monitor["within"])
            circuit = since(inputs["circuit_odd"][:, i]) <= _MEMORY
            ring, odd = _places(
                change[:, i] < -monitor["step"] * KMH, inputs["teeth"][:, i], car["teeth"]
            )
        found += [
            alarm(monitor, RING[i], "2F" if active else "07", bad & ring & ~circuit, able),
            alarm(monitor, SENSOR[i], "1F", bad & circuit, able),
            alarm(monitor, SENSOR[i], "39" if active else "21", bad & odd & ~ring & ~circuit, able),
        ]
    return found


def _places(drop, teeth, ring):
    """(same, odd), bool (n,): the last drops were whole turns apart, or most of them were not, give
    or take _SAME_PLACE teeth.

    A ring that lacks teeth shows fewer of them in a turn; after more than _MOST_TURNS the count
    says nothing about the place."""
    at = _one_a_turn(np.flatnonzero(drop), teeth, ring)
    same, odd = np.zeros(len(drop), bool), np.zeros(len(drop), bool)
    gap = np.diff(teeth[at])[:, None]
    shown = ring - np.arange(1.0, _MOST_LOST + 1.0)
    turns = np.maximum(1.0, np.rint(gap / shown))
    near = turns <= _MOST_TURNS
    off = np.abs(gap - turns * shown)
    fits = (off <= _SAME_PLACE) & near
    misses = np.all(off > _OTHER_PLACE, axis=1) & near[:, 0]
    for k in range(_IN_A_ROW, len(at)):
        same[at[k]] = fits[k - _IN_A_ROW : k].all(axis=0).any()
        odd[at[k]] = misses[k - _IN_A_ROW : k].all()
    return since(same) <= _MEMORY, since(odd) <= _MEMORY


def _one_a_turn(at, teeth, ring):
    """Samples of drops without those that follow within half a turn of the ring."""
    kept = []
    for sample in at:
        if not kept or teeth[sample] - teeth[kept[-1]] >= ring / 2:
            kept.append(sample)
    return np.array(kept, int)


def _correlation(inputs, speed, calm, monitor):
    """One wheel against the mean of the others on a straight road."""
    total = np.sum(speed, axis=1)
    able = (
        calm
        & (np.abs(inputs["yaw"]) < _STRAIGHT)
        & (total > 4.0 * monitor["least_speed"] * KMH)
        & (total < 4.0 * monitor["most_speed"] * KMH)
    )
    worst = np.zeros(len(speed), bool)
    for i in range(4):
        others = (total - speed[:, i]) / 3.0
        worst |= np.abs(speed[:, i] - others) > monitor["share"] * others
    return [watch(monitor, "C0078", "64", worst, able & np.all(speed > 0.0, axis=1))]
