"""From data/hydraulics.toml and the calipers of a vehicle to the parameters of the circuit kernels
in SI.
"""

from functools import lru_cache
from math import log

import numpy as np

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_entry, read_toml
from tractionlab.errors import UserError
from tractionlab.physics import circuit as h
from tractionlab.physics.hydraulics import ATMOSPHERE, laminar_range, orifice_coefficient

BAR, CM3, MM = 1e5, 1e-6, 1e-3
WARM_DEGC = 20.0
WIDE_MM = 1.13  # bore whose laminar range the wide passages share

FLUID_RANGES = {
    "density_kg_per_m3": (700, 1300),
    "discharge": (0.4, 1),
    "viscosity_mm2_per_s": (0.5, 200),
    "transition_reynolds": (50, 2300),
    "cold_degC": (-40, 10),
    "cold_pump_share": (0.05, 1),
    "cold_viscosity_ratio": (1, 100),
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
    "line_cm3_per_bar": (0.0015, 0.05),
    "line_soft_cm3": (0.0005, 0.1),
    "chamber_cm3_per_bar": (0.01, 0.1),
    "chamber_soft_cm3": (0.01, 1),
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
    "gas_exponent": (1, 1.7),
    "accumulator_first_cm3": (0.1, 2),
    "charge_pump_cm3_per_s": (0, 20),
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
TABLES = {"fluid": FLUID_RANGES, "layout_a": A_RANGES, "layout_b": B_RANGES}


def hydraulics(folder=None):
    """Tables of data/hydraulics.toml by key: the fluid and both layouts; numbers with sources."""
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


def cold(temperature, fluid):
    """(share of the return pump's flow, viscosity over that at 20 degC) for fluid at `temperature`
    [degC]; no better than at 20 degC.
    """
    share = max(0.0, (WARM_DEGC - temperature) / (WARM_DEGC - fluid["cold_degC"]))
    return 1.0 - (1.0 - fluid["cold_pump_share"]) * min(1.0, share), np.exp(
        log(fluid["cold_viscosity_ratio"]) * min(1.5, share)
    )


def circuit_of(layout, brakes, driven="front", temperature=20.0, folder=None):
    """Circuit of layout "A" or "B" with the brakes of a vehicle.

    Parameters
    ----------
    brakes : mapping with the keys of CALIPER_RANGES, such as an Entry of a vehicle
    driven : "front", "rear" or "all": the axle whose calipers are the driven ones; layout A can
        brake one axle by itself ("all": the rear)
    temperature : float, of the fluid [degC]

    Returns
    -------
    physics.circuit.Circuit
        Its arrays are its own: faults may be written into them.
    """
    tables = hydraulics(folder)
    key = f"layout_{str(layout).lower()}"
    if layout not in ("A", "B"):
        raise UserError(f"layout must be A or B, got {layout!r}")
    v, fluid = tables[key], tables["fluid"]
    pump_share, thickness = cold(temperature, fluid)
    bores = _Bores(fluid, thickness, v["seat_overlap"])
    valves = _valves_a(v, bores) if layout == "A" else _valves_b(v, bores)
    return h.Circuit(
        valves=valves,
        numbers=np.concatenate(
            [
                _numbers(v, bores, layout, 0.0 if driven == "front" else 1.0, pump_share),
                _places(v, layout).ravel(),
                _wheels(v, brakes, driven).ravel(),
            ]
        ),
    )


def _numbers(v, bores, layout, line_axle, pump_share):
    numbers = np.zeros(h.PLACE)
    numbers[h.LAYOUT], numbers[h.LINE_AXLE] = h.LAYOUT_A if layout == "A" else h.LAYOUT_B, line_axle
    numbers[h.QUICK], numbers[h.OVERLAP] = 1.0 / v["travel_time_s"], v["seat_overlap"]
    numbers[h.CRACK], numbers[h.SEAT_GAIN] = v["crack_bar"] * BAR, 1.0 / (v["seat_range_bar"] * BAR)
    numbers[h.WIDE_LAMINAR] = bores.laminar(WIDE_MM, 1.0)
    numbers[h.WIDE_ROOT] = numbers[h.WIDE_LAMINAR] ** -0.5
    numbers[h.RELIEF_PRESSURE], numbers[h.RELIEF_GAIN] = (
        v["relief_bar"] * BAR,
        1.0 / (v["relief_range_bar"] * BAR),
    )
    numbers[h.RELIEF] = bores.flow(v["relief_bore_mm"])
    numbers[h.PRELOAD], numbers[h.FULL], numbers[h.GALLERY_FIRST] = (
        v["gallery_preload_bar"] * BAR,
        v["gallery_full_cm3"] * CM3,
        v["gallery_first_cm3"] * CM3,
    )
    numbers[h.SPRING], numbers[h.STOP] = (
        v["gallery_bar_per_cm3"] * BAR / CM3,
        v["gallery_wall_bar_per_cm3"] * BAR / CM3,
    )
    numbers[h.FOOT], numbers[h.FASTEST] = (
        v["foot_cm3_per_s_per_bar"] * CM3 / BAR,
        v["fastest_stroke_cm3_per_s"] * CM3,
    )
    numbers[h.RETURN_SPRING], numbers[h.MOST_STROKE] = (
        v["return_spring_bar"] * BAR,
        v["most_stroke_cm3"] * CM3,
    )
    numbers[h.REST_VOLUME] = numbers[h.MOST_STROKE]
    numbers[h.STROKE_GAIN], numbers[h.PORT_GAIN] = (
        1.0 / (v["stroke_stop_cm3"] * CM3),
        1.0 / (v["port_stroke_cm3"] * CM3),
    )
    numbers[h.PORT_FLOW], numbers[h.CUP] = (
        bores.flow(v["port_bore_mm"]),
        bores.flow(v["cup_bore_mm"]),
    )
    numbers[h.PORT_LAMINAR] = bores.laminar(v["port_bore_mm"], 1.0)
    numbers[h.PORT_ROOT] = numbers[h.PORT_LAMINAR] ** -0.5
    numbers[h.RETURN_FLOW : h.RETURN_FLOW + 2] = v["return_pump_cm3_per_s"] * pump_share * CM3
    numbers[h.SUCTION_EMPTY] = v["suction_empty_bar"] * BAR
    numbers[h.SUCTION_GAIN] = 1.0 / ((v["suction_full_bar"] - v["suction_empty_bar"]) * BAR)
    numbers[h.MOTOR_START], numbers[h.MOTOR_COAST] = (
        1.0 / v["motor_start_s"],
        1.0 / v["motor_coast_s"],
    )
    if layout == "A":
        numbers[h.GAS], numbers[h.PRECHARGE] = (
            v["gas_cm3"] * CM3,
            v["precharge_bar"] * BAR + ATMOSPHERE,
        )
        numbers[h.EXPONENT], numbers[h.GAS_FIRST] = (
            v["gas_exponent"],
            v["accumulator_first_cm3"] * CM3,
        )
        numbers[h.CHARGE_FLOW] = v["charge_pump_cm3_per_s"] * pump_share * CM3
        numbers[h.CUT_IN], numbers[h.CUT_OUT] = v["cut_in_bar"] * BAR, v["cut_out_bar"] * BAR
        numbers[h.BLEED_SCREW] = bores.flow(v["bleed_bore_mm"])
    else:
        numbers[h.DRAW], numbers[h.DRAW_GAIN] = (
            bores.flow(v["suction_non_return_bore_mm"]),
            1.0 / numbers[h.CRACK],
        )
    return numbers


class _Bores:
    """Flow coefficients and laminar ranges of bores given in mm."""

    def __init__(self, fluid, thickness, overlap):
        self.overlap = overlap
        self.discharge, self.density = fluid["discharge"], fluid["density_kg_per_m3"]
        self.viscosity, self.reynolds, self.thickness = (
            fluid["viscosity_mm2_per_s"] * 1e-6,
            fluid["transition_reynolds"],
            thickness,
        )

    def flow(self, bore):
        return orifice_coefficient(bore * MM, self.discharge, self.density)

    def laminar(self, bore, thickness):
        return laminar_range(
            bore * MM, self.discharge, self.density, self.viscosity * thickness, self.reynolds
        )

    def row(self, bore, wire, rest, begin, done, most, beside=0.0, wide=False):
        """A row of the valve table."""
        row = np.zeros(h.COLUMNS)
        row[h.FLOW], row[h.LAMINAR] = (
            self.flow(bore) / (1.0 - self.overlap),
            self.laminar(bore, 1.0 if wide else self.thickness),
        )
        row[h.ROOT] = row[h.LAMINAR] ** -0.5
        row[h.NON_RETURN] = np.sign(beside) * self.flow(abs(beside))
        row[h.HIGH] = 1.0
        row[h.WIRE], row[h.REST], row[h.BEGIN], row[h.DONE], row[h.MOST_CURRENT] = (
            wire,
            rest,
            begin,
            done,
            most,
        )
        return row


def _valves_a(v, bores):
    valves = np.array([_absent(j) for j in range(h.VALVES)])
    most = v["supply_V"] / v["wheel_coil_ohm"]
    for i in range(4):
        valves[h.INLET + i] = bores.row(
            v["inlet_bore_mm"],
            h.INLET + i,
            1.0,
            v["hold_from_A"],
            v["hold_at_A"],
            most,
            -v["wheel_non_return_bore_mm"],
        )
        valves[h.OUTLET + i] = bores.row(
            v["outlet_bore_mm"], h.INLET + i, 0.0, v["reduce_from_A"], v["reduce_at_A"], most
        )
    begin, done = v["moves_from_share"] * v["switch_A"], v["moved_at_share"] * v["switch_A"]
    most = v["supply_V"] / v["switch_coil_ohm"]
    for j, bore, rest, beside in (
        (h.CUT + 1, v["cut_off_bore_mm"], 1.0, v["pedal_non_return_bore_mm"]),
        (h.FEED + 1, v["feed_bore_mm"], 0.0, 0.0),
        (h.DRAIN, v["drain_bore_mm"], 0.0, 0.0),
    ):
        valves[j] = bores.row(bore, j, rest, begin, done, most, beside)
    return valves


def _valves_b(v, bores):
    valves = np.array([_absent(j) for j in range(h.VALVES)])
    kinds = (
        ("inlet", h.INLET, 4, v["inlet_bore_mm"], 1.0, -v["wheel_non_return_bore_mm"]),
        ("outlet", h.OUTLET, 4, v["outlet_bore_mm"], 0.0, 0.0),
        ("isolating", h.CUT, 2, v["cut_off_bore_mm"], 1.0, v["pedal_non_return_bore_mm"]),
        ("priming", h.FEED, 2, v["feed_bore_mm"], 0.0, 0.0),
    )
    for name, first, count, bore, rest, beside in kinds:
        rated = v[f"{name}_A"]
        for j in range(first, first + count):
            valves[j] = bores.row(
                bore,
                j,
                rest,
                v["moves_from_share"] * rated,
                v["moved_at_share"] * rated,
                v["supply_V"] / v[f"{name}_coil_ohm"],
                beside,
                wide=name == "priming",
            )
    return valves


def _absent(wire):
    row = np.zeros(h.COLUMNS)
    row[h.LAMINAR], row[h.ROOT], row[h.WIRE], row[h.DONE] = 1.0, 1.0, wire, 1.0
    return row


def _wheels(v, brakes, driven):
    rows = np.zeros((4, 4))
    for i in range(4):
        kind = "driven" if driven == "all" or (driven == "front") == (i < 2) else "other"
        rows[i] = (
            brakes[f"{kind}_gap_cm3"] * CM3,
            brakes["gap_knee_bar"] * BAR,
            (brakes[f"{kind}_cm3_per_bar"] - v["line_cm3_per_bar"]) * CM3 / BAR,
            0.0,
        )
    return rows


def _places(v, layout):
    rows = np.full((h.PLACES, 2), CM3 / BAR)
    for first, name in (
        (h.CHAMBER, "chamber"),
        (h.LINE, "line"),
        (h.SUCTION, "suction" if layout == "B" else "line"),
    ):
        rows[first : first + 2] = v[f"{name}_cm3_per_bar"] * CM3 / BAR, v[f"{name}_soft_cm3"] * CM3
    return rows
