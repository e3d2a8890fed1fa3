"""Monitors of what parts achieve: pump at the first move, supply of pressure, control itself, and
the estimate of disc temperature.
"""

import numpy as np

from tractionlab.diagnosis.watch import Watch, alarm, mean_over, since, watch
from tractionlab.units import KMH

_TESTED_S = 0.08  # s that the pump must have run for its coasting to be judged
_RUNS_S = 0.3  # s after which a sound motor has run up
_COAST_S = 0.1  # time constant of a sound motor that runs out
_RUN_UP_S = (
    0.03  # time constant with which it runs up, as run_up_s of data/workshop/parts_electrical.toml
)
_COASTING = (0.02, 0.07)  # s after it was switched off in which its voltage is looked at
_MEAN_S = 0.03
_QUIET_S = 1.0  # s after which it must have stopped
_SECOND_VALVES = {
    0: ("C0001", "C0002"),
    1: ("C0003", "C0004"),
}  # isolating and priming valve of the circuit of FL and of FR


def watches(inputs, car, monitors):
    """Watches of performance. inputs: see control.reading."""
    found = _pump(inputs, monitors)
    if "charge_call" in inputs:
        found += _charge(inputs, monitors)
    return found + _control(inputs, car, monitors)


def heat(inputs, monitor):
    """Estimated disc temperature against the pause: no code, only a pause.

    Between its two limits the result stays as it is.
    """
    disc = inputs["disc"]
    return Watch(monitor, "", "", disc >= monitor["pause"], disc <= monitor["resume"], 1.0)


def _pump(inputs, monitors):
    """Feed of the pump motor, what it gives back while it turns and after it was switched off, and
    a motor that turns unasked.
    """
    fed, on, volts = inputs["fed"], inputs["pump_on"], inputs["pump_voltage"]
    stuck, weak, runs, feed = (
        monitors["pump_stuck"],
        monitors["pump_weak"],
        monitors["pump_runs"],
        monitors["pump_feed"],
    )
    off = since(on)
    coast = (
        ~on & (inputs["pump_ran"] >= _TESTED_S - 1e-9) & (off > _COASTING[0]) & (off < _COASTING[1])
    )
    had_feed = since(on & (volts > feed["least"])) < 2.0 * _COAST_S
    expected = (
        inputs["pump_expected"]
        * (1.0 - np.exp(-inputs["pump_ran"] / _RUN_UP_S))
        * np.exp(-np.where(coast, off, 0.0) / _COAST_S)
    )
    share = np.divide(volts, expected, out=np.ones(len(volts)), where=coast)
    turned = share >= stuck["share"]
    stalls = (
        on
        & (inputs["pump_ran"] > _RUNS_S)
        & (inputs["pump_emf"] < stuck["share"] * inputs["pump_expected"])
    )
    return [
        watch(feed, "C0020", "13", volts < feed["least"], fed & on),
        alarm(stuck, "C0020", "71", stalls | coast & ~turned, fed & (on | coast) & had_feed),
        alarm(
            weak,
            "C0020",
            "16",
            mean_over(share, _MEAN_S) < weak["share"],
            fed & coast & had_feed & turned & (off > _COASTING[0] + _MEAN_S),
        ),
        watch(runs, "C0020", "12", volts > runs["least"], fed & ~on & (off > _QUIET_S)),
    ]


def _charge(inputs, monitors):
    """Charge pump: how long it is called, how soon again, and both contacts of its switch against
    each other.
    """
    call, low, fed = inputs["charge_call"], inputs["pressure_low"], inputs["awake"]
    time, least, leak = monitors["charge_time"], monitors["charge_short"], monitors["charge_leak"]
    begin, end = (
        call & ~np.concatenate(([False], call[:-1])),
        ~call & np.concatenate(([False], call[:-1])),
    )
    begun, ended, used = since(begin), since(end), since(inputs["control"] | inputs["antilock"])
    was_low = call & (since(low) <= begun)
    short = end & (begun < least["least"])
    again = (
        begin
        & (np.concatenate(([np.inf], ended[:-1])) < leak["rest"])
        & (used > leak["rest"])
        & (since(~fed) > leak["rest"])
    )
    return [
        watch(time, "C1F10", "92", call & was_low, fed),
        watch(time, "C1F11", "24", call & ~was_low, fed),
        watch(monitors["charge_call"], "C1F12", "62", low & ~call, fed),
        alarm(least, "C1F13", "92", short, fed),
        alarm(leak, "C0001", "7A", again, fed),
    ]


def _control(inputs, car, monitors):
    """Does a braked wheel lose its slip while torque is reduced (at full torque the brake alone
    cannot take it)? Does the pump turn too easily while it should build up pressure?
    """
    stays, idle = monitors["slip_stays"], monitors["pump_idle"]
    front = car["drive"] == "front"
    speed, valve = inputs["wheel_speed"], inputs["valve"]
    road = speed[:, 2:].mean(axis=1) if front else speed[:, :2].mean(axis=1)
    able = inputs["fed"] & inputs["control"]
    reduced = able & inputs["cutting"]
    light = inputs["pump_emf"] > idle["share"] * inputs["pump_expected"]
    lately = since(light & inputs["control"]) <= 1.0
    found, spins = [], np.zeros(len(road), bool)
    for i in (0, 1) if front else (2, 3):
        braked = valve[:, i] != 2
        spin = speed[:, i] - road > stays["slip"] * KMH + stays["share"] * road
        spins |= braked & spin
        if front:
            isolating, priming = _SECOND_VALVES[i]
            other = valve[:, 1 - i] != 2
            found += [
                watch(stays, isolating, "7A", spin & ~lately, reduced & braked),
                watch(idle, priming, "73", light, able & braked & ~other & (valve[:, i] == 1)),
            ]
    if not front:
        braked = np.any(valve[:, 2:] != 2, axis=1)
        found.append(watch(stays, "C0002", "72", spins, reduced & braked))
    return found
