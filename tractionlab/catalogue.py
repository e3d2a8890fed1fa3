"""Reads surfaces, vehicles and control settings from data/, checks them, and gives frozen objects; every number has its source."""
import tomllib
from dataclasses import dataclass
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from math import isfinite
from pathlib import Path
from types import MappingProxyType

from tractionlab.errors import UserError
from tractionlab.places import data_folder

SURFACE_RANGES = {
    "burckhardt": {"c1": (0.0, 2.0), "c2": (0.5, 1000.0), "c3": (0.0, 2.0), "speed_factor_s_per_m": (0.0, 0.1)},
    "magic_formula": {"b": (0.5, 60.0), "c": (1.0, 2.5), "d": (0.01, 2.0), "e": (-10.0, 1.0), "speed_factor_s_per_m": (0.0, 0.1)},
}
VEHICLE_RANGES = {
    "mass_kg": (500, 4000), "yaw_inertia_kg_m2": (300, 12000), "wheelbase_m": (1.5, 5), "driven_axle_load_share": (0.2, 0.8),
    "centre_of_mass_height_m": (0.2, 1.5), "track_m": (1, 2.5), "drag_area_m2": (0.2, 3), "tyre_radius_m": (0.2, 0.6),
    "rolling_coefficient": (0, 0.05), "relaxation_length_m": (0.1, 1), "tyre_damping_time_s": (0.001, 0.02),
    "side_stiffness_ratio": (0.2, 1.5), "load_sensitivity": (0, 0.3), "reference_load_N": (1000, 10000),
    "wheel_inertia_kg_m2": (0.3, 5), "gear_ratio": (3, 30), "gear_inertia_kg_m2": (0.005, 0.3), "driveline_efficiency": (0.7, 1),
    "limited_slip_preload_Nm": (0, 300), "limited_slip_share": (0, 0.8), "max_torque_Nm": (30, 800), "max_power_kW": (20, 500),
    "best_speed_rpm": (1000, 9000), "torque_droop": (0, 0.9), "idle_speed_rpm": (0, 1500), "bite_speed_rpm": (0, 3000),
    "top_speed_rpm": (3000, 20000), "engine_friction_Nm": (0, 80), "engine_inertia_kg_m2": (0, 1), "clutch_capacity_Nm": (0, 1200),
    "clutch_slip_rad_per_s": (5, 50), "intake_time_s": (0.02, 0.5), "airflow": (1, 20), "throttle_rate_per_s": (1, 50),
    "torque_rate_Nm_per_s": (200, 50000), "brake_supply_bar": (50, 250), "pressure_rise_time_s": (0.05, 10),
    "pressure_fall_time_s": (0.02, 5), "pedal_pressure_time_s": (0.02, 1), "driven_brake_Nm_per_bar": (2, 60),
    "other_brake_Nm_per_bar": (2, 60), "disc_mass_kg": (1, 25), "disc_specific_heat_J_per_kg_K": (300, 1200),
    "disc_cooling_still_per_s": (0, 0.1), "disc_cooling_per_m": (0, 0.01), "yaw_sensor": (0, 1), "teeth": (12, 200),
}
VEHICLE_WORDS = {"drive": ("rear", "front", "all"), "motor": ("combustion", "electric"), "layout": ("A", "B")}
CONTROL_RANGES = {
    "cycle_s": (0.001, 0.02), "limit_slip": (0, 0.5), "limit_offset_kmh": (0.2, 20), "target_slip": (0, 0.5),
    "target_offset_kmh": (0.1, 20), "reference_rise_m_per_s2": (0.5, 15), "reference_blend_s": (0.01, 10), "torque_gain_per_s": (0, 50), "torque_lead_s": (0, 0.5), "torque_filter_s": (0, 1),
    "torque_return_Nm_per_s": (10, 5000), "torque_return_full_Nm": (1, 2000), "pull_away_Nm_per_s": (50, 10000), "torque_floor_share": (0, 1), "torque_floor_until_kmh": (0.1, 200), "fast_wheel_band_kmh": (0, 100),
    "split_from_kmh": (0, 50), "split_over_kmh": (0.01, 50), "split_pressure_bar": (0.1, 200), "ignition_least": (0.2, 1), "ignition_delay_s": (0, 0.5),
    "fuel_delay_s": (0, 0.5), "motor_delay_s": (0, 0.5), "throttle_delay_s": (0, 0.5), "brake_gain_bar_per_m": (0, 1000),
    "brake_lead_bar_s_per_m": (0, 200), "brake_lead_least": (0, 1), "brake_lead_full_kmh": (0.01, 50), "brake_band_kmh": (0, 20), "brake_ramp_bar_per_s": (5, 2000), "brake_release_bar_per_s": (5, 5000),
    "brake_most_bar": (0, 200), "brake_speed_limit_kmh": (5, 150), "antilock_margin": (0, 2), "antilock_watch_s": (0.02, 1), "antilock_step": (0, 1),
    "antilock_least_slip": (0.005, 0.5), "antilock_most_slip": (0.01, 0.9), "antilock_first_slip": (0.01, 0.5),
    "antilock_offset_kmh": (0, 5), "antilock_lead_s": (0, 0.2), "antilock_gain_bar_per_m": (0, 5000), "antilock_rise_bar_per_s": (10, 5000),
    "antilock_fall_bar_per_s": (10, 10000), "antilock_speed_kmh": (1, 30), "rate_filter_s": (0, 0.2), "heat_pause_degC": (100, 900), "heat_resume_degC": (50, 900),
}
DRIVER_RANGES = {
    "lane_gain_rad_per_m": (0, 1), "heading_gain": (0, 5), "steer_most_deg": (0, 45), "steer_lag_s": (0.01, 2), "brake_ramp_s": (0.01, 5),
}


@dataclass(frozen=True, kw_only=True)
class Curve:
    """One source's adhesion curve of a surface: kind, coefficients by name, and where they come from."""

    key: str
    label: str
    kind: str
    values: MappingProxyType
    sources: MappingProxyType


@dataclass(frozen=True, kw_only=True)
class Surface:
    """A road surface with every curve we have for it."""

    key: str
    name: str
    default: str
    curves: MappingProxyType


@dataclass(frozen=True, kw_only=True)
class Entry:
    """A vehicle or a set of control settings: numbers and words by key, each with its source."""

    key: str
    name: str
    values: MappingProxyType
    sources: MappingProxyType

    def __getitem__(self, key):
        return self.values[key]


def surfaces(folder=None):
    """All surfaces by key: those of the course, then those of `my_surfaces.toml` in the current folder."""
    return _read("surfaces", folder)


def vehicles(folder=None):
    """All vehicles by key: those of the course, then those of `my_vehicles.toml` in the current folder."""
    return _read("vehicles", folder)


def control_settings(folder=None):
    """All sets of control settings by key: those of the course, then those of `my_control.toml` in the current folder."""
    return _read("control", folder)


def control_values(circuit=True, folder=None):
    """The course's control settings: those tuned for the hydraulic circuit and counted teeth, or those for a simple source of pressure and ideal speeds."""
    return control_settings(folder)["circuit" if circuit else "course"]


def driver_settings(folder=None):
    """All drivers by key: those of the course, then those of `my_driver.toml` in the current folder."""
    return _read("driver", folder)


def pick(found, key, what):
    """Entry `key` of `found`; an unknown one is answered with the names there are."""
    if key not in found:
        raise UserError(f"no {what} is called {key!r}; there are: {', '.join(found)}")
    return found[key]


def course_vehicles():
    """All vehicles that come with the course. The workshop knows these alone, so that what it has computed holds for everybody."""
    return _read("vehicles", data_folder())


_WITHOUT_OWN = []
_COURSE_ONLY = ContextVar("course only", default=False)


@contextmanager
def shipped_only():
    """Inside, in every thread of the process, only what the course ships is read: no `my_*.toml` of the current folder."""
    _WITHOUT_OWN.append(True)
    try:
        yield
    finally:
        _WITHOUT_OWN.pop()


@contextmanager
def course_only():
    """As `shipped_only`, for this thread alone: for what is computed once and kept, while other threads go on with own files."""
    before = _COURSE_ONLY.set(True)
    try:
        yield
    finally:
        _COURSE_ONLY.reset(before)


def _read(stem, folder):
    files = [Path(folder or data_folder()) / f"{stem}.toml"]
    own = Path.cwd() / f"my_{stem}.toml"
    if folder is None and not _WITHOUT_OWN and not _COURSE_ONLY.get() and own.exists():
        files.append(own)
    return _read_files(stem, tuple((path, path.stat().st_mtime_ns if path.exists() else 0) for path in files))


@lru_cache(maxsize=32)
def _read_files(stem, stamped):
    found = {}
    for path, _ in stamped:
        tables = read_toml(path)
        known = tables.pop("sources", {})
        for key, table in tables.items():
            found[key] = _BUILD[stem](path, key, table, known)
    return MappingProxyType(found)


def read_toml(path):
    """Contents of a TOML file; a broken one is named with line and column."""
    path = Path(path)
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise UserError(f"{path}: there is no such file") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise UserError(f"{path}: not readable as TOML: {fault}") from None


def _numbers(path, place, table, known, ranges, words):
    """Checked values and sources of a table whose entries are { value = ..., source = ... }."""
    unknown = [key for key in table if key not in ranges and key not in words]
    if unknown:
        raise UserError(f"{path}, [{place}]: unknown key {unknown[0]!r}; known are {', '.join([*words, *ranges])}")
    missing = [key for key in [*words, *ranges] if key not in table]
    if missing:
        raise UserError(f"{path}, [{place}]: {missing[0]} is missing")
    values, sources = {}, {}
    for key, entry in table.items():
        if not isinstance(entry, dict) or "value" not in entry or not str(entry.get("source", "")).strip():
            raise UserError(f"{path}, [{place}]: {key} needs a value and a source, as in {{ value = 1.0, source = \"where from\" }}")
        extra = set(entry) - {"value", "source"}
        if extra:
            raise UserError(f"{path}, [{place}]: {key} has the unknown part {sorted(extra)[0]!r}; it takes value and source")
        value = entry["value"]
        if key in words:
            if value not in words[key]:
                raise UserError(f"{path}, [{place}]: {key} must be one of {', '.join(words[key])}, got {value!r}")
        else:
            low, high = ranges[key]
            if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value) or not low <= value <= high:
                raise UserError(f"{path}, [{place}]: {key} must be a number from {low:g} to {high:g}, got {value!r}")
            value = float(value)
        values[key] = value
        sources[key] = known.get(entry["source"], entry["source"])
    return MappingProxyType(values), MappingProxyType(sources)


def _named(path, key, table):
    table = dict(table) if isinstance(table, dict) else {}
    name = table.pop("name", None)
    if not isinstance(name, str) or not name.strip():
        raise UserError(f"{path}, [{key}]: name is missing; it is what people read")
    return name, table


def read_entry(path, key, table, known, ranges, words):
    name, table = _named(path, key, table)
    values, sources = _numbers(path, key, table, known, ranges, words)
    return Entry(key=key, name=name, values=values, sources=sources)


def _surface(path, key, table, known):
    name, table = _named(path, key, table)
    default = table.pop("default", None)
    if default not in table:
        raise UserError(f"{path}, [{key}]: default must name one of its curves ({', '.join(table)}), got {default!r}")
    curves = {}
    for curve_key, curve in table.items():
        place = f"{key}.{curve_key}"
        curve = dict(curve)
        label, kind = curve.pop("label", curve_key), curve.pop("kind", None)
        if kind not in SURFACE_RANGES:
            raise UserError(f"{path}, [{place}]: kind must be one of {', '.join(SURFACE_RANGES)}, got {kind!r}")
        values, sources = _numbers(path, place, curve, known, SURFACE_RANGES[kind], {})
        curves[curve_key] = Curve(key=curve_key, label=label, kind=kind, values=values, sources=sources)
    return Surface(key=key, name=name, default=default, curves=MappingProxyType(curves))


_BUILD = {
    "surfaces": _surface,
    "vehicles": lambda path, key, table, known: read_entry(path, key, table, known, VEHICLE_RANGES, VEHICLE_WORDS),
    "control": lambda path, key, table, known: read_entry(path, key, table, known, CONTROL_RANGES, {}),
    "driver": lambda path, key, table, known: read_entry(path, key, table, known, DRIVER_RANGES, {}),
}
