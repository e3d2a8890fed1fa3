"""Reads data/hydraulics.toml: the fluid, the gas and both layouts."""

from functools import lru_cache

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_entry, read_toml
from tractionlab.errors import UserError

FLUID_RANGES = {
    "density_kg_per_m3": (700, 1300),
    "discharge": (0.4, 1),
    "viscosity_cold_mm2_per_s": (50, 3000),
    "viscosity_hot_mm2_per_s": (1, 10),
    "transition_reynolds": (50, 2300),
    "cold_degC": (-40, 10),
    "cold_pump_share": (0.05, 1),
}
GAS_RANGES = {
    "pull_Pa_m6_per_mol2": (0.01, 1),
    "covolume_cm3_per_mol": (10, 100),
    "heat_capacity_J_per_mol_K": (10, 50),
}
BOTH_RANGES = {
    "supply_V": (6, 16),
    "travel_time_s": (0.001, 0.02),
    "seat_overlap": (0, 0.2),
    "moves_from_share": (0.1, 0.9),
    "moved_at_share": (0.2, 1),
    "inlet_bore_mm": (0.1, 1),
    "outlet_bore_mm": (0.1, 1),
    "cut_off_bore_mm": (0.1, 1),
    "feed_bore_mm": (0.1, 1.3),
    "wheel_non_return_bore_mm": (0.1, 0.6),
    "pedal_non_return_bore_mm": (0.1, 0.6),
    "crack_bar": (0.05, 2),
    "seat_range_bar": (2, 20),
    "relief_bar": (50, 300),
    "relief_range_bar": (2, 50),
    "relief_bore_mm": (0.1, 1),
    "front_pipe_m": (0, 20),
    "rear_pipe_m": (0, 20),
    "pipe_bore_mm": (1.5, 6),
    "line_cm3_per_bar": (0.0015, 0.05),
    "line_soft_cm3": (0.0005, 0.1),
    "chamber_cm3_per_bar": (0.01, 0.1),
    "chamber_soft_cm3": (0.01, 1),
    "unboosted_share": (0.05, 1),
    "foot_cm3_per_s_per_bar": (0.5, 10),
    "fastest_stroke_cm3_per_s": (5, 50),
    "return_spring_bar": (0.1, 3),
    "most_stroke_cm3": (4, 40),
    "stroke_stop_cm3": (0.02, 0.5),
    "port_stroke_cm3": (0.02, 0.5),
    "port_bore_mm": (0.5, 1.8),
    "cup_bore_mm": (0.5, 1.8),
    "reservoir_cm3": (50, 1000),
    "gallery_preload_bar": (0.5, 10),
    "gallery_bar_per_cm3": (0.1, 10),
    "gallery_full_cm3": (0.5, 10),
    "gallery_wall_bar_per_cm3": (10, 200),
    "gallery_first_cm3": (0.05, 0.5),
    "return_pump_cm3_per_s": (0, 10),
    "suction_empty_bar": (-0.95, 0.5),
    "suction_full_bar": (-0.9, 1),
    "return_motor_idle_V": (0, 6),
    "return_motor_load_V_per_bar": (0, 0.1),
    "return_rated_bar": (0, 200),
    "motor_start_s": (0.005, 0.2),
    "motor_coast_s": (0.01, 1),
}
A_RANGES = BOTH_RANGES | {
    "drain_bore_mm": (0.1, 1.2),
    "bleed_bore_mm": (0.1, 2),
    "wheel_coil_ohm": (0.5, 10),
    "switch_coil_ohm": (1, 20),
    "hold_A": (0.5, 4),
    "reduce_A": (1, 10),
    "switch_A": (0.5, 5),
    "hold_from_A": (0.2, 4),
    "hold_at_A": (0.3, 4),
    "reduce_from_A": (1, 9),
    "reduce_at_A": (1, 10),
    "gas_cm3": (50, 1000),
    "precharge_bar": (5, 150),
    "gas_thermal_time_s": (0.5, 300),
    "accumulator_first_cm3": (0.1, 2),
    "charge_pump_cm3_per_s": (0, 20),
    "charge_motor_idle_V": (0, 6),
    "charge_motor_load_V_per_bar": (0, 0.1),
    "charge_rated_bar": (0, 250),
    "cut_in_bar": (50, 250),
    "cut_out_bar": (60, 260),
}
B_RANGES = BOTH_RANGES | {
    "suction_cm3_per_bar": (0.01, 0.1),
    "suction_soft_cm3": (0.0005, 0.1),
    "suction_non_return_bore_mm": (0.5, 1.3),
    "inlet_coil_ohm": (1, 20),
    "outlet_coil_ohm": (1, 20),
    "isolating_coil_ohm": (1, 20),
    "priming_coil_ohm": (1, 20),
    "inlet_A": (0.3, 5),
    "outlet_A": (0.3, 6),
    "isolating_A": (0.3, 5),
    "priming_A": (0.3, 6),
}
TABLES = {"fluid": FLUID_RANGES, "gas": GAS_RANGES, "layout_a": A_RANGES, "layout_b": B_RANGES}


def hydraulics(folder=None):
    """Tables of data/hydraulics.toml by key: fluid, gas and both layouts; numbers with sources."""
    path = (folder or data_folder()) / "hydraulics.toml"
    return _read(path, path.stat().st_mtime_ns if path.exists() else 0)


@lru_cache(maxsize=8)
def _read(path, stamp):
    tables = read_toml(path)
    known = tables.pop("sources", {})
    missing = [key for key in TABLES if key not in tables]
    if missing:
        raise UserError(f"{path}: the table [{missing[0]}] is missing")
    for key in tables:
        if key not in TABLES:
            raise UserError(f"{path}: unknown table [{key}]; known are {', '.join(TABLES)}")
    found = {
        key: read_entry(path, key, table, known, TABLES[key], {}) for key, table in tables.items()
    }
    for key, low, high in (
        ("layout_a", "cut_in_bar", "cut_out_bar"),
        ("layout_a", "hold_from_A", "hold_at_A"),
        ("layout_a", "hold_at_A", "reduce_from_A"),
        ("layout_a", "reduce_from_A", "reduce_at_A"),
        ("layout_a", "suction_empty_bar", "suction_full_bar"),
        ("layout_b", "suction_empty_bar", "suction_full_bar"),
        ("layout_a", "moves_from_share", "moved_at_share"),
        ("layout_b", "moves_from_share", "moved_at_share"),
    ):
        if found[key][low] >= found[key][high]:
            raise UserError(
                f"{path}, [{key}]: {high} must be greater than {low}, {found[key][low]:g}; got"
                f" {found[key][high]:g}"
            )
    return found
