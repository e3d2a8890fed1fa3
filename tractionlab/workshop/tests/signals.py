"""Tests with the oscilloscope and with counting: wheel signals over a turn, throttle and pressure
signals over their travel, pulses of one turn.
"""

from functools import lru_cache

import numpy as np

from tractionlab.sensors.waveform import rising_edges, switch
from tractionlab.wheels import CALLED, WHEEL_KEYS
from tractionlab.workshop.drive.bay import turned
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.instruments.scope import turned_by_hand, wheel_waves
from tractionlab.workshop.reading import Reading
from tractionlab.workshop.wiring.electric_state import is_electric, network, solved
from tractionlab.workshop.wiring.moment import Moment
from tractionlab.workshop.wiring.points import UNIT_GROUND

_TURNS = 1.1  # seen on the screen, at a turn a second
_POINTS = 6601
_STEPPER_A = 0.3  # a coil with less does not hold its step
_FULL_DEG, _LOST_DEG = 54.0, 9.0


def t12(vehicle, values, history):
    """Wheel signals, one wheel after the other turned by hand at one turn a second."""
    found, place = [], "oscilloscope at the break-out box"
    rows = _waves(vehicle, _of_wheels(values))
    for wheel, row in zip(WHEEL_KEYS, rows):
        name = CALLED[wheel]
        if layout_of(vehicle) == "A":
            found += [
                Reading(
                    key=f"amplitude_{wheel}",
                    name=f"Signal {name}, one turn a second",
                    value=row["rms"],
                    unit="V rms",
                    place=place,
                ),
                Reading(
                    key=f"modulation_{wheel}",
                    name=f"Weakest tooth {name} under the strongest by",
                    value=row["modulation"],
                    unit="%",
                    place=place,
                ),
                Reading(
                    key=f"rest_{wheel}",
                    name=f"Signal {name} at rest, accessories on",
                    value=_picked_up(values, wheel),
                    unit="V rms",
                    place=place,
                ),
            ]
        else:
            found += [
                Reading(
                    key=f"low_{wheel}",
                    name=f"Low level {name}",
                    value=row["low"],
                    unit="V",
                    place=place,
                ),
                Reading(
                    key=f"high_{wheel}",
                    name=f"High level {name}",
                    value=row["high"],
                    unit="V",
                    place=place,
                ),
            ]
        found.append(
            Reading(
                key=f"spread_{wheel}",
                name=f"Longest tooth {name} over the mean by",
                value=row["spread"],
                unit="%",
                place=place,
            )
        )
    return found + _pulses(vehicle, values)


def t20(vehicle, values, history):
    """Pulses that the control unit counts in exactly one turn."""
    return _pulses(vehicle, values)


def t13(vehicle, values, history):
    """Throttle and pressure signals while plate or pedal moves."""
    place = "oscilloscope at the break-out box"
    if layout_of(vehicle) == "B":
        rest, fifty = (
            solved(vehicle, values, state).voltage("unit.pressure.device", UNIT_GROUND)
            for state in ("rest", "fifty")
        )
        found = [
            Reading(
                key="pressure_free",
                name="Pressure signal, pedal free",
                value=rest,
                unit="V",
                place=place,
            ),
            Reading(
                key="pressure_50",
                name="Pressure signal, 50 bar on the gauge",
                value=fifty,
                unit="V",
                place=place,
            ),
        ]
        if vehicle == "front_petrol":
            for track in ("1", "2"):
                for state, words in (("shut", "closed"), ("wide", "open")):
                    volt = solved(vehicle, values, state).voltage(
                        f"engine_unit.track_{track}.device", "engine_unit.ground.device"
                    )
                    found.append(
                        Reading(
                            key=f"track_{track}_{words}",
                            name=f"Throttle track {track}, {words}",
                            value=volt,
                            unit="V",
                            place="at the engine unit",
                        )
                    )
        return found
    main = {
        state: solved(vehicle, values, state).voltage("unit.throttle_main.device", UNIT_GROUND)
        for state in ("shut", "worn", "wide")
    }
    second = {
        state: solved(vehicle, values, state).voltage("unit.throttle_second.device", UNIT_GROUND)
        for state in ("shut", "wide")
    }
    line = main["shut"] + 0.175 * (main["wide"] - main["shut"])
    coils = [
        abs(solved(vehicle, values, "stepper").current(f"stepper_{coil}")) >= _STEPPER_A
        for coil in ("a", "b")
    ]
    return [
        Reading(
            key="closed_main",
            name="Main throttle sensor, closed",
            value=main["shut"],
            unit="V",
            place=place,
        ),
        Reading(
            key="open_main",
            name="Main throttle sensor, open",
            value=main["wide"],
            unit="V",
            place=place,
        ),
        Reading(
            key="dropouts_main",
            name="Largest dip of the main throttle sensor while swept",
            value=max(0.0, line - main["worn"]),
            unit="V",
            place=place,
        ),
        Reading(
            key="closed_second",
            name="Second throttle sensor, closed",
            value=second["shut"],
            unit="V",
            place=place,
        ),
        Reading(
            key="open_second",
            name="Second throttle sensor, open",
            value=second["wide"],
            unit="V",
            place=place,
        ),
        Reading(
            key="sweep",
            name="Full travel of the second plate",
            value=1e3 * values["second_plate.travel_s"],
            unit="ms",
            place=place,
        ),
        Reading(
            key="degrees",
            name="Travel after 150 steps",
            value=_FULL_DEG - _LOST_DEG * (2 - sum(coils)),
            unit="deg",
            place="from the sensor's voltage",
        ),
    ]


def _pulses(vehicle, values):
    return [
        Reading(
            key=f"pulses_{wheel}",
            name=f"Pulses in one turn, {CALLED[wheel]}",
            value=turned(vehicle, values, wheel).pulses,
            unit="pulses",
            place="live data, chalk mark",
        )
        for wheel in WHEEL_KEYS
    ]


def _picked_up(values, wheel):
    """Voltage that a fitted accessory's lead induces in a sensor lead that runs beside it [V rms];
    it runs to the front left.
    """
    return values["accessory_lead.noise_V"] if wheel == "fl" else 0.0


def _of_wheels(values):
    """The part values with those changes alone that can matter to a wheel signal."""
    wheel = ("sensor_", "ring_", "hub_", "rear_plugs")
    return values.only(lambda name: name.startswith(wheel) or is_electric(values.vehicle, name))


@lru_cache(maxsize=512)
def _waves(vehicle, values):
    rows = []
    net, passive = network(vehicle, values), layout_of(vehicle) == "A"
    time = np.linspace(0.0, _TURNS, _POINTS)
    moment = Moment(commands={"relay_valves": 1.0})
    for wheel in WHEEL_KEYS:
        pair = (f"unit.sensor_{wheel}", f"unit.return_{wheel}" if passive else "unit.ground")
        volt = wheel_waves(net, moment, [pair], time, turned_by_hand(wheel, 1.0, time))[0]
        rows.append(
            _passive_row(time, volt, values[f"ring_{wheel}.teeth"])
            if passive
            else _active_row(time, volt)
        )
    return tuple(rows)


def _passive_row(time, volt, teeth):
    swing = volt - volt.mean()
    count = int(teeth)
    length = len(time) * 1.0 / (time[-1] * count)
    peaks = np.array(
        [np.ptp(swing[int(k * length) : int((k + 1) * length) + 1]) for k in range(count)]
    )
    edges = (
        rising_edges(time, switch(-swing, -0.02, 0.02)) if np.ptp(swing) > 0.05 else np.array([])
    )
    largest = max(peaks.max(), 1e-9)
    weak = np.sort(peaks)[1] if count > 2 else peaks.min()  # one missing tooth is no swinging gap
    return {
        "rms": float(swing.std()),
        "modulation": 100.0 * (1.0 - weak / largest) if largest > 0.02 else 0.0,
        "spread": _spread(edges),
    }


def _active_row(time, volt):
    low, high = float(volt.min()), float(volt.max())
    edges = rising_edges(time, volt > 0.5 * (low + high)) if high - low > 0.2 else np.array([])
    return {"low": low, "high": high, "spread": _spread(edges)}


def _spread(edges):
    """How much longer the longest interval is than the median [%]; 0 without a signal."""
    if len(edges) < 3:
        return 0.0
    gaps = np.diff(edges)
    return float(100.0 * (gaps.max() / np.median(gaps) - 1.0))
