"""The self-diagnosis of a drive: all monitors over what the control unit read, results into the
memory, lamps and modes from the results.
"""

from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from tractionlab.diagnosis import (
    monitors_circuit,
    monitors_driving,
    monitors_performance,
    monitors_speed,
    status_byte,
)
from tractionlab.diagnosis.fault_memory import CYCLE, Memory, debounce, failed_over, first_pass
from tractionlab.diagnosis.lamps import lamps, switched_off
from tractionlab.diagnosis.monitor_settings import monitors
from tractionlab.diagnosis.reading import understood
from tractionlab.diagnosis.reduced import reduced, taken, what_works
from tractionlab.diagnosis.watch import watch
from tractionlab.units import IN_KMH
from tractionlab.wheels import WHEELS

LONGEST_PASS = 200  #: samples of good results after which a test counts as passed at the latest


@dataclass(frozen=True, kw_only=True)
class Event:
    """A test result that changed: time [s], code, failure type, failed or passed, key of the
    monitor, status byte after it.
    """

    time: float
    code: str
    failure_type: str
    failed: bool
    monitor: str
    status: int


@dataclass(frozen=True, kw_only=True, eq=False)
class Diagnosis:
    """What the self-diagnosis makes of a drive.

    memory : after the drive; events : in order of time; lamps : name -> array (n,), see
        control.lamps; mode : array (n,), 0 to 6 for R0 to
    R6; works : bool array (n, 3), torque reduction, brake application and anti-lock are there; seen
    : what the unit understood of its inputs; watches : every test with its counter's steps"""

    time: np.ndarray
    memory: Memory
    events: tuple
    lamps: MappingProxyType
    mode: np.ndarray
    works: np.ndarray
    seen: MappingProxyType
    watches: tuple

    @property
    def codes(self):
        """(code, failure type) of all that is stored, in order of the code."""
        return tuple((entry.code, entry.failure_type) for entry in self.memory.stored)

    def found_at(self, code):
        """Time [s] of the first failure of a code in this drive, or None."""
        return next(
            (event.time for event in self.events if event.code == code and event.failed), None
        )


def self_diagnosis(inputs, car, memory=None, settings=None):
    """Diagnosis of a drive, from ignition on.

    Parameters
    ----------
    inputs : mapping, see workshop.inputs
    car : catalogue entry of the vehicle
    memory : Memory before the drive, empty if left out
    settings : mapping of Monitor, those of data/workshop/monitors.toml if left out
    """
    settings = settings or monitors()
    seen = understood(inputs, car, settings)
    watches = inhibited(all_watches(seen, car, settings))
    held = {(w.code, w.failure_type) for w in watches if w.monitor.held}
    memory = (memory or Memory()).ignition_on(held)
    lit = {key: entry.status & status_byte.LAMP for key, entry in memory.entries.items()}
    results = sorted(
        (result for w in watches for result in _results(w)), key=lambda result: result[0]
    )
    by_key = {(w.code, w.failure_type): w.monitor for w in watches}
    by_key |= {("", w.monitor.key): w.monitor for w in watches if not w.code}
    events, asked, fine = [], _Asked(len(inputs["time"])), set()
    for key, lamp in lit.items():
        if lamp and key in by_key:
            asked.on(key, 0)
    for sample, is_failed, w in results:
        key, lasting = (w.code, w.failure_type) if w.code else ("", w.monitor.key), is_failed
        if w.code and not is_failed and key not in memory.entries:
            fine.add(key)
        elif w.code:
            before = memory[key].status
            snapshot = _snapshot(seen, sample, memory) if is_failed else None
            memory = memory.result(
                key, is_failed, snapshot, w.monitor.trips, w.monitor.lamp, w.monitor.held
            )
            status = memory[key].status
            if status != before:
                events.append(
                    Event(
                        time=float(seen["time"][sample]),
                        code=w.code,
                        failure_type=w.failure_type,
                        failed=is_failed,
                        monitor=w.monitor.key,
                        status=status,
                    )
                )
            lasting = bool(status & (status_byte.LAMP if w.monitor.lamp else status_byte.FAILED))
        asked.on(key, sample) if lasting else asked.off(key, sample)
    memory = memory.with_passed(fine)
    groups, modes = (
        asked.by(by_key, lambda monitor: monitor.group),
        asked.by(by_key, lambda monitor: monitor.reaction),
    )
    pressed = seen["button"] < settings["button_held"]["pressed_below"]
    off = switched_off(pressed, seen["awake"])
    shown = lamps(groups, seen["lamp_check"], seen["control"] & ~off, off, seen["dark"])
    kilometres = float(np.sum(seen["road_speed"])) * CYCLE * 1e-3
    return Diagnosis(
        time=seen["time"],
        memory=memory.driven(kilometres),
        events=tuple(events),
        lamps=MappingProxyType(shown),
        mode=reduced(modes, len(seen["time"])),
        works=what_works(asked.by(by_key, taken), off),
        seen=MappingProxyType(seen),
        watches=tuple(watches),
    )


def all_watches(seen, car, settings):
    """Every test of the car over a drive."""
    found = [
        *monitors_circuit.watches(seen, settings),
        *monitors_speed.watches(seen, car, settings),
        *monitors_driving.watches(seen, car, settings),
        *monitors_performance.watches(seen, car, settings),
    ]
    found.append(_many(found, settings["many_inputs"], seen["fed"]))
    return [*found, monitors_performance.heat(seen, settings["brake_heat"])]


def inhibited(watches):
    """The tests as they run: none while a signal it depends on is known to be bad.

    First come the tests that depend on none, then those of signals that depend on others, then the
    rest."""
    bad, found = {}, {}
    for stage in (False, True), (True, True), (True, False), (False, False):
        spoiled = dict(bad)
        for k, w in enumerate(watches):
            if (bool(w.monitor.needs), bool(w.monitor.spoils)) != stage:
                continue
            for signal in w.monitor.needs:
                if signal in spoiled:
                    w = replace(w, bad=w.bad & ~spoiled[signal], good=w.good & ~spoiled[signal])
            found[k] = w
            if w.monitor.spoils and w.bad.any():
                failed = failed_over(debounce(w.steps, w.limit), len(w.bad))
                for signal in w.monitor.spoils:
                    bad[signal] = bad.get(signal, False) | failed
    return [found[k] for k in sorted(found)]


def _many(watches, monitor, fed):
    """Several circuits bad at the same time point at the unit's own plug rather than at all of
    them.
    """
    count = np.zeros(len(fed))
    for w in watches:
        if w.monitor.kind in ("circuit continuity", "range") and w.bad.any():
            count += w.bad
    return watch(monitor, "C1F31", "1E", count >= monitor["inputs"], fed)


def _results(w):
    """(sample, failed, watch) of every result of a test: the first pass, and each change."""
    turns = debounce(w.steps, w.limit) if w.bad.any() else ()
    found = [(sample, is_failed, w) for sample, is_failed in turns]
    passed = first_pass(w.good, min(int(w.limit), LONGEST_PASS))
    if passed is not None and (not turns or passed < turns[0][0]):
        found.insert(0, (passed, False, w))
    return found


def _snapshot(seen, sample, memory):
    """The freeze frame: what the unit knew when a test failed."""
    found = {
        "time [s]": float(seen["time"][sample]),
        "speed [km/h]": IN_KMH * float(seen["road_speed"][sample]),
        "supply [V]": float(seen["supply"][sample]),
        "pedal pressed": bool(seen["stop_contact"][sample] > 6.0),
        "mileage [km]": memory.mileage_km,
    }
    found |= {
        f"{wheel} [km/h]": IN_KMH * float(seen["wheel_speed"][sample, i])
        for i, wheel in enumerate(WHEELS)
    }
    return found


class _Asked:
    """When each fault asks for its lamps and its mode."""

    def __init__(self, n):
        self.n, self.since, self.spans = n, {}, []

    def on(self, key, sample):
        self.since.setdefault(key, sample)

    def off(self, key, sample):
        if key in self.since:
            self.spans.append((key, self.since.pop(key), sample))

    def by(self, monitors_by_key, name_of):
        """Group or mode -> bool array (n,); name_of: takes a Monitor."""
        found = {}
        for key, begin, end in [
            *self.spans,
            *((key, begin, self.n) for key, begin in self.since.items()),
        ]:
            name = name_of(monitors_by_key[key])
            found.setdefault(name, np.zeros(self.n, bool))[begin:end] = True
        return found
