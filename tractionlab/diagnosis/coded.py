"""What the unit takes its sensors to say: lines of sound parts, coded travels."""

from functools import lru_cache

from tractionlab.catalogue.checked import TableReader
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.diagnosis.monitor_settings import number

STEERING_RATIO = 16.0  # that the unit is coded for; invented
SECOND_FULL_DEG = 54.0  #: travel of the second plate: 150 steps of 0.36 degrees (invented)


def pressure_bar(volt):
    """Brake pressure [bar] that a voltage of the sensor [V] stands for."""
    zero, gain = _line("pressure_sensor")
    return (volt - zero) / gain


def yaw_degrees(volt):
    """Yaw rate [deg/s] that a voltage of the sensor [V] stands for."""
    zero, gain = _line("yaw_sensor")
    return (volt - zero) / gain


def lateral(volt):
    """Side acceleration [m/s^2] that a voltage of the sensor [V] stands for."""
    zero, gain = _line("lateral_sensor")
    return (volt - zero) / gain


def second_degrees(volt):
    """How far the second plate is open [deg] by the voltage of its sensor [V]."""
    shut, travel = _track("throttle_second")
    return (volt - shut) / travel * SECOND_FULL_DEG


def main_closed_V():
    """Voltage [V] of the main throttle's sensor while the plate is closed."""
    return _track("throttle_main")[0]


def main_travel_V():
    """How much more [V] the main throttle's sensor shows with the plate open."""
    return _track("throttle_main")[1]


def _line(part):
    """(voltage without a signal [V], volts for each unit of the signal) of a sensor."""
    return _sound("sensing", part, "zero_V"), _sound("sensing", part, "gain")


def _track(part):
    """(voltage with the plate closed, how much more with it open) of a throttle sensor [V]."""
    closed, wide = (_sound("sensing", part, name) for name in ("closed_share", "open_share"))
    feed = _sound("electrical", "unit_a", "five_V")
    return closed * feed, (wide - closed) * feed


@lru_cache(maxsize=32)
def _sound(file, part, name):
    """A number of a sound part, from data/workshop/parts_*.toml."""
    path = data_folder() / "workshop" / f"parts_{file}.toml"
    return number(TableReader(f"{path}, [{part}]"), name, read_toml(path).get(part, {}).get(name))
