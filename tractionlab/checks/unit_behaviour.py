"""Checks of the control unit from outside: what measured and described units do, against hard stops
and full-throttle launches of the three cars.

Expected bands and sources: data/checks/outside.toml.
"""

from functools import cache

import numpy as np

from tractionlab.control.phases import (
    AWAIT_WHEEL,
    DRIVER,
    FREE,
    HOLD_PRESSURE,
    RELEASE,
    STEP_UP,
)
from tractionlab.figures.best import best_launch
from tractionlab.run.assembly import vehicle_values
from tractionlab.run.circuit_assembly import blind_speed_of
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate_many
from tractionlab.units import BAR, IN_KMH

CARS = {
    "rear_petrol": "rear-drive petrol",
    "front_petrol": "front-drive petrol",
    "front_electric": "electric",
}
_CYCLE = 0.01
_ROADS = {
    "dry_asphalt": "dry asphalt",
    "wet_asphalt": "wet asphalt",
    "packed_snow": "snow",
    "ice": "ice",
}


@cache
def _stops(road, antilock=True):
    """{words for the car: Trace} of a hard stop from 80 km/h."""
    runs = [
        Scenario(
            vehicle=car,
            left=road,
            initial_speed_kmh=80.0,
            pedal_percent=0.0,
            brake_bar=120.0,
            brake_from_s=0.2,
            brake_until_s=100.0,
            antilock=antilock,
            duration_s=30.0,
        )
        for car in CARS
    ]
    return dict(zip(CARS.values(), simulate_many(runs)))


@cache
def _launches(left, right="", seconds=8.0):
    """{words for the car: Trace} of a launch at full throttle."""
    runs = [Scenario(vehicle=car, left=left, right=right, duration_s=seconds) for car in CARS]
    return dict(zip(CARS.values(), simulate_many(runs)))


def _increases(trace, i):
    """Pulses up of wheel i in steps: (whether it is the first since a release, length [s], rise of
    the pressure [Pa]).
    """
    share = np.where(trace.valve_mode[:, i] == 2.0, 0.0, trace.valve_mode[:, i])
    share = np.where(trace.phase[:, i] == STEP_UP, np.maximum(share, 0.0), 0.0)
    found, start, first = [], 0, True
    for row in range(1, len(share)):
        first = first or trace.phase[row, i] == RELEASE
        if share[row] > 0.0 and share[row - 1] == 0.0:
            start = row
        if share[row] == 0.0 and share[row - 1] > 0.0 and row + 1 < len(share):
            rise = trace.pressure[row + 1, i] - trace.pressure[start - 1, i]
            found.append((first, share[start:row].sum() * _CYCLE, rise))
            first = False
    return found


def _entries(trace, i, phase):
    """Rows in which wheel i enters a phase."""
    now = trace.phase[:, i] == phase
    return np.flatnonzero(now[1:] & ~now[:-1]) + 1


def valves():
    values = {}
    for car in CARS.values():
        most, long, rises = 0, [], []
        for trace in [_stops(road)[car] for road in _ROADS]:
            for i in (0, 2):
                share = np.abs(trace.valve_mode[:, i]) % 2.0
                starts = (share[1:] > 0.0) & (share[:-1] < 1.0)
                most = max(most, 2 * np.convolve(starts, np.ones(100)).max())
                pulses = _increases(trace, i)
                long += [length >= 0.003 - 1e-9 for _, length, _ in pulses]
                rises += [0.5 <= rise / BAR <= 6.0 for first, _, rise in pulses if not first]
        values[f"{car}: most switchings in a second"] = most
        values[f"{car}: pulses of 3 ms or more"] = np.mean(long)
        values[f"{car}: further steps of 0.5 to 6 bar"] = np.mean(rises)
    return values


def slippery_roads():
    values = {}
    for car, trace in _stops("ice").items():
        holds, steps = [], []
        for row in _entries(trace, 0, AWAIT_WHEEL):
            left = np.flatnonzero(trace.phase[row:, 0] != AWAIT_WHEEL)
            holds.append((left[0] if len(left) else 99) * _CYCLE >= 0.015)
        lock = np.median(trace.pressure[_entries(trace, 0, RELEASE)[1:], 0])
        steps = [rise for _, length, rise in _increases(trace, 0) if length < 0.005]
        values[f"{car}: releases followed by a hold"] = np.mean(holds)
        values[f"{car}: step over lock pressure"] = np.median(steps) / lock
    return values


def grip_used():
    values = {}
    for road, words in _ROADS.items():
        for car, trace in _stops(road).items():
            kmh = trace.speed * IN_KMH
            rows = slice(np.flatnonzero(trace.antilock)[0], int(np.argmax(kmh < 8.0)))
            used = -trace.drive_force[rows].sum() / trace.grip_limit[rows].sum()
            values[f"{car}, {words}"] = used
    return values


def gains():
    values = {}
    for car, trace in _stops("dry_asphalt").items():
        locked = _stops("dry_asphalt", antilock=False)[car]
        values[f"{car}: dry asphalt"] = 1.0 - trace.x.max() / locked.x.max()
    return values


def _in_order(trace, rows):
    """Share of the cycles of the front left wheel that go from hold or steps over one release, on
    slippery roads in at most three short ones, each with a wait after it, to steps again.
    """
    phases = trace.phase[rows, 0]
    order = phases[np.flatnonzero(np.diff(phases, prepend=-1))]
    starts = [
        k
        for k in range(1, len(order))
        if order[k] == RELEASE and order[k - 1] in (FREE, HOLD_PRESSURE, STEP_UP)
    ]
    good = [
        any(
            tuple(order[k : k + 2 * n + 1]) == (RELEASE, AWAIT_WHEEL) * n + (STEP_UP,)
            for n in (1, 2, 3)
        )
        for k in starts[:-1]
    ]
    return np.mean(good)


def cycles():
    values = {}
    for car in CARS.values():
        for road in ("dry_asphalt", "ice"):
            trace = _stops(road)[car]
            rows = (trace.speed * IN_KMH > 15.0) & (trace.antilock > 0.0)
            releases = [row for row in _entries(trace, 0, RELEASE) if rows[row]]
            values[f"{car}, {_ROADS[road]}: releases a second"] = len(releases) / (
                rows.sum() * _CYCLE
            )
            values[f"{car}, {_ROADS[road]}: cycles in order"] = _in_order(trace, rows)
        trace = _stops("dry_asphalt")[car]
        first, *later = _entries(trace, 0, RELEASE)
        steady = np.median(trace.pressure[later, 0])
        values[f"{car}: first release over later ones"] = trace.pressure[first, 0] / steady
        last = np.flatnonzero(trace.antilock)[-1]
        values[f"{car}: ends at"] = trace.speed[last] * IN_KMH
    return values


def launches():
    values = {}
    for car, trace in _launches("ice", "wet_asphalt").items():
        begin = _first(trace.phase.max(axis=1) != FREE)
        braked = trace.pressure.max(axis=1) > 10.0 * BAR
        values[f"{car}: 10 bar after"] = (_first(braked) - begin) * _CYCLE
    for car, trace in _launches("packed_snow").items():
        slip = trace.slip[200:, trace.driven]
        values[f"{car}: snow, time near the top of the curve"] = np.mean(
            (slip > 0.125) & (slip < 0.5)
        )
        values[f"{car}: snow, strongest line"] = _strongest(slip.mean(axis=1))
        begin = _first(trace.torque_phase > DRIVER)
        asked = np.diff(trace.torque_request[begin + 30 :])
        most = vehicle_values(trace.scenario)["max_torque_Nm"]
        values[f"{car}: snow, steps of the request"] = np.sqrt(np.mean(asked**2)) / most
    return values


def _first(flags):
    return int(np.argmax(flags))


def _strongest(signal):
    """Frequency [Hz] of the strongest line over 0.5 Hz."""
    windowed = (signal - signal.mean()) * np.hanning(len(signal))
    power = np.abs(np.fft.rfft(windowed)) ** 2
    frequency = np.fft.rfftfreq(len(signal), _CYCLE)
    power[frequency < 0.5] = 0.0
    return float(frequency[np.argmax(power)])


def share_of_best():
    values = {}
    for left, right in (("packed_snow", ""), ("ice", ""), ("ice", "wet_asphalt")):
        for car, trace in _launches(left, right).items():
            road = _ROADS[left] + (f" beside {_ROADS[right]}" if right else "")
            values[f"{car}: {road}"] = trace.merit().distance_m / best_launch(trace.scenario)
    return values


def blind_speed():
    return {"rear-drive petrol": blind_speed_of(Scenario(vehicle="rear_petrol")) * IN_KMH}


CHECKS = {
    "U01": valves,
    "U02": slippery_roads,
    "U03": grip_used,
    "U04": gains,
    "U05": cycles,
    "U06": launches,
    "U07": share_of_best,
    "U08": blind_speed,
}
