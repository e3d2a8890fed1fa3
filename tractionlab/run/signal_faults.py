"""Faults of what is told: signals that the control unit reads wrongly, plugs of wheel sensors that
are crossed, an engine that gives more torque than it is asked for.
"""

from math import pi

import numpy as np

from tractionlab.catalogue.checked import number_in
from tractionlab.control import settings as s
from tractionlab.errors import UserError, did_you_mean
from tractionlab.run.scenario import each_fault
from tractionlab.units import BAR, RPM

SIGNAL, ENGINE, PLUGS = "signal_", "engine", "rear_plugs"
#: Signal -> (its place among the sensors, unit of a value, that unit in SI).
SIGNALS = {
    "yaw_rate": (s.SENSE_YAW_RATE, "deg/s", pi / 180.0),
    "engine_speed": (s.SENSE_ENGINE_SPEED, "rpm", RPM),
    "accelerator": (s.SENSE_PEDAL, "share", 1.0),
    "brake_switch": (s.SENSE_BRAKE_SWITCH, "0 or 1", 1.0),
    "pedal_pressure": (s.SENSE_PEDAL_PRESSURE, "bar", BAR),
    "low_pressure": (s.SENSE_LOW_PRESSURE, "0 or 1", 1.0),
    "low_level": (s.SENSE_LOW_LEVEL, "0 or 1", 1.0),
    "steering": (s.SENSE_STEERING, "deg at the wheels", pi / 180.0),
    "gear": (s.SENSE_RATIO, "ratio", 1.0),
}
#: Faults of a signal: it keeps a value, is a share of the true one, lies beside it.
SIGNAL_FAULTS = ("stuck", "share", "offset")


def signals_as_told(scenario):
    """Array (SENSORS, 2): the control unit reads gain x signal + offset; 1 and 0 where all is
    sound.
    """
    told = np.tile((1.0, 0.0), (s.SENSORS, 1))
    for part, fault, value in each_fault(scenario):
        if not part.startswith(SIGNAL):
            continue
        name = part.removeprefix(SIGNAL)
        if name not in SIGNALS:
            raise UserError(
                f"no signal is called {part!r}; {did_you_mean(part, [SIGNAL + x for x in SIGNALS])}"
            )
        place, unit, size = SIGNALS[name]
        if fault not in SIGNAL_FAULTS:
            raise UserError(f"{part} has no fault {fault!r}; there are: {', '.join(SIGNAL_FAULTS)}")
        if not number_in(value, -1e4, 1e4):
            raise UserError(
                f"{part}, {fault}: needs a number from -10000 to 10000 ({unit}), got {value!r}"
            )
        if fault == "stuck":
            told[place] = 0.0, value * size
        elif fault == "share":
            told[place] *= value
        else:
            told[place, 1] += value * size
    return told


def engine_excess(scenario):
    """Torque [N m] that the engine gives above a reduction that it is asked for."""
    return _only(scenario, ENGINE, "excess", 0.0, 200.0, "N m")


def sensor_plugs(scenario):
    """Which wheel's sensor each channel of the control unit reads, an int array (4,)."""
    crossed = _only(scenario, PLUGS, "crossed", 0.0, 1.0, "0 or 1")
    return np.array((0, 1, 3, 2) if crossed >= 0.5 else (0, 1, 2, 3))


def _only(scenario, part, wanted, low, high, unit):
    """Value of the one fault that a part can have, 0 without it."""
    for name, fault, value in each_fault(scenario):
        if name == part:
            if fault != wanted or not number_in(value, low, high):
                raise UserError(
                    f"{part}: its fault is {wanted}, with a number from {low:g} to {high:g}"
                    f" ({unit}); got {fault!r}, {value!r}"
                )
            return float(value)
    return 0.0
