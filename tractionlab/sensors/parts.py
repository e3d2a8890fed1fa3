"""Reads the wheel-speed sensors of data/sensors.toml, checks them, and gives the sensor that the
kernels use.
"""

from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from tractionlab.catalogue.checked import number_in
from tractionlab.catalogue.entries import pick
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_entry, read_toml
from tractionlab.errors import UserError
from tractionlab.sensors.ring import WheelSensor
from tractionlab.units import MM

RANGES = {
    "active": (0, 1),
    "teeth": (12, 200),
    "gap_mm": (0.1, 10),
    "reference_gap_mm": (0.1, 10),
    "volts_per_hertz": (1e-4, 0.2),
    "threshold_V": (0.001, 2),
    "gap_limit_mm": (0.1, 10),
    "frequency_limit_Hz": (100, 20000),
    "pitch_error": (0, 0.3),
    "ring_radius_mm": (15, 150),
    "clock_us": (0, 1000),
    "coil_ohm": (0, 5000),
    "low_mA": (1, 40),
    "high_mA": (1, 40),
    "level_tolerance": (0.01, 0.3),
    "resistor_ohm": (10, 1000),
}
SIGNAL_RANGES = {
    "throttle_percent": (0.001, 10),
    "engine_speed_rpm": (0.01, 100),
    "engine_torque_Nm": (0.001, 50),
    "charge_percent": (0.001, 10),
    "yaw_rate_deg_per_s": (0.001, 10),
    "steering_deg": (0.001, 5),
    "acceleration_m_per_s2": (0.001, 1),
    "pedal_pressure_bar": (0.001, 10),
    "low_pressure_bar": (10, 180),
    "low_level_percent": (1, 99),
}


@lru_cache(maxsize=8)
def wheel_sensors(path=None):
    """The kinds of wheel-speed sensor by key, as catalogue entries with values and sources."""
    path = Path(path or data_folder() / "sensors.toml")
    tables = read_toml(path)
    known = tables.pop("sources", {})
    return MappingProxyType(
        {key: read_entry(path, key, table, known, RANGES, {}) for key, table in tables.items()}
    )


@lru_cache(maxsize=8)
def signals(path=None):
    """Steps in which the control unit sees its other sensors, from data/signals.toml: an entry with
    values and sources.
    """
    path = Path(path or data_folder() / "signals.toml")
    tables = read_toml(path)
    known = tables.pop("sources", {})
    return read_entry(path, "course", tables.get("course", {}), known, SIGNAL_RANGES, {})


def wheel_sensor(kind, **changes):
    """A sound WheelSensor of a kind of data/sensors.toml; `changes` replace its fields, in SI
    units.
    """
    v = pick(wheel_sensors(), kind, "wheel-speed sensor")
    sensor = WheelSensor(
        active=v["active"],
        connected=1.0,
        teeth=v["teeth"],
        gap=v["gap_mm"] * MM,
        reference_gap=v["reference_gap_mm"] * MM,
        volts_per_hertz=v["volts_per_hertz"],
        threshold=v["threshold_V"],
        gap_limit=v["gap_limit_mm"] * MM,
        frequency_limit=v["frequency_limit_Hz"],
        pitch_error=v["pitch_error"],
        missing=-1.0,
        crack=0.0,
        runout=0.0,
        ring_radius=v["ring_radius_mm"] * MM,
        tick=v["clock_us"] * 1e-6,
    )
    return sensor._replace(**changes)


#: Fault of a sensor or its ring -> (unit, low, high, field of WheelSensor, factor to SI); None:
#: it takes no value.
SENSOR_FAULTS = {
    "open": None,
    "teeth": ("teeth on the ring", 12.0, 200.0, "teeth", 1.0),
    "missing": ("number of the tooth", 0.0, 199.0, "missing", 1.0),
    "crack": ("share of a tooth pitch", 0.0, 1.0, "crack", 1.0),
    "runout": ("mm", 0.0, 2.0, "runout", MM),
    "gap": ("mm", 0.1, 10.0, "gap", MM),
}


def with_sensor_fault(sensor, part, fault, value=None):
    """A WheelSensor with one fault more, as named in SENSOR_FAULTS; `part` is its name in the error
    that a wrong one gives.
    """
    if fault not in SENSOR_FAULTS:
        raise UserError(f"{part} has no fault {fault!r}; there are: {', '.join(SENSOR_FAULTS)}")
    if SENSOR_FAULTS[fault] is None:
        return sensor._replace(connected=0.0)
    unit, low, high, name, factor = SENSOR_FAULTS[fault]
    if not number_in(value, low, high):
        raise UserError(
            f"{part}, {fault}: needs a number from {low:g} to {high:g} ({unit}), got {value!r}"
        )
    return sensor._replace(**{name: float(value) * factor})
