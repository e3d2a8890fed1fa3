"""From the table of a layout and the calipers of a vehicle to the parameters of the circuit kernels
in SI.
"""

import numpy as np

from tractionlab.errors import UserError
from tractionlab.hydraulics.fluid import WARM_DEGC, fill_gas, pump_share, viscosity
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as h
from tractionlab.physics.hydraulics import (
    ATMOSPHERE,
    laminar_range,
    orifice_coefficient,
    pipe_resistance,
)
from tractionlab.units import BAR, CM3, MM

WIDE_MM = 1.13  # bore whose laminar range the wide passages share


def circuit_of(layout, brakes, driven="front", temperature=20.0, folder=None):
    """Circuit of layout "A" or "B" with the brakes of a vehicle.

    Parameters
    ----------
    brakes : mapping with the keys of CALIPER_RANGES, such as an Entry of a vehicle
    driven : "front", "rear" or "all": the axle whose calipers are the driven ones; layout A can
        brake one axle by itself ("all": the rear)
    temperature : float, of fluid and gas [degC]

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
    bores = _Bores(fluid, temperature, v["seat_overlap"])
    valves = _valves_a(v, bores) if layout == "A" else _valves_b(v, bores)
    for first in (h.INLET, h.OUTLET):
        for axle, name in ((0, "front"), (2, "rear")):
            pipe = bores.pipe(v[f"{name}_pipe_m"], v["pipe_bore_mm"])
            valves[first + axle : first + axle + 2, h.PIPE] = pipe
    share = pump_share(temperature, fluid)
    numbers = _numbers(v, bores, layout, 0.0 if driven == "front" else 1.0, share)
    if layout == "A":
        fill_gas(numbers, v["precharge_bar"] * BAR + ATMOSPHERE, temperature, tables["gas"])
    return h.Circuit(
        valves=valves,
        numbers=np.concatenate(
            [
                numbers,
                _places(v, layout).ravel(),
                _wheels(v, brakes, driven).ravel(),
            ]
        ),
    )


def _numbers(v, bores, layout, line_axle, flow_share):
    numbers = np.zeros(h.PLACE)
    numbers[h.LAYOUT], numbers[h.LINE_AXLE] = h.LAYOUT_A if layout == "A" else h.LAYOUT_B, line_axle
    numbers[h.QUICK], numbers[h.OVERLAP] = 1.0 / v["travel_time_s"], v["seat_overlap"]
    numbers[h.CRACK], numbers[h.SEAT_GAIN] = v["crack_bar"] * BAR, 1.0 / (v["seat_range_bar"] * BAR)
    numbers[h.WIDE_LAMINAR] = bores.laminar(WIDE_MM)
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
    numbers[h.BOOST] = 1.0
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
    numbers[h.PORT_LAMINAR] = bores.laminar(v["port_bore_mm"])
    numbers[h.PORT_ROOT] = numbers[h.PORT_LAMINAR] ** -0.5
    numbers[h.RETURN_FLOW : h.RETURN_FLOW + 2] = v["return_pump_cm3_per_s"] * flow_share * CM3
    numbers[h.SUCTION_EMPTY] = v["suction_empty_bar"] * BAR
    numbers[h.SUCTION_GAIN] = 1.0 / ((v["suction_full_bar"] - v["suction_empty_bar"]) * BAR)
    numbers[h.MOTOR_START], numbers[h.MOTOR_COAST] = (
        1.0 / v["motor_start_s"],
        1.0 / v["motor_coast_s"],
    )
    drive_pumps(numbers, v, v["supply_V"])
    if layout == "A":
        numbers[h.GAS], numbers[h.GAS_FIRST] = (
            v["gas_cm3"] * CM3,
            v["accumulator_first_cm3"] * CM3,
        )
        numbers[h.GAS_COOLING] = 1.0 / v["gas_thermal_time_s"]
        numbers[h.CHARGE_FLOW] = v["charge_pump_cm3_per_s"] * flow_share * CM3
        numbers[h.CUT_IN], numbers[h.CUT_OUT] = v["cut_in_bar"] * BAR, v["cut_out_bar"] * BAR
        numbers[h.BLEED_SCREW] = bores.flow(v["bleed_bore_mm"])
    else:
        numbers[h.DRAW], numbers[h.DRAW_GAIN] = (
            bores.flow(v["suction_non_return_bore_mm"]),
            1.0 / numbers[h.CRACK],
        )
    return numbers


def drive_pumps(numbers, v, voltage):
    """Enter in the numbers of a circuit how fast its pumps turn at a voltage [V] of their motors:
    at the supply and the rated pressure of the table `v` just at their rated speed.
    """
    pumps = [("return", h.RETURN_FREE, h.RETURN_DROP)]
    if numbers[h.LAYOUT] == h.LAYOUT_A:
        pumps.append(("charge", h.CHARGE_FREE, h.CHARGE_DROP))
    for name, free, drop in pumps:
        idle, per_bar = v[f"{name}_motor_idle_V"], v[f"{name}_motor_load_V_per_bar"]
        rated = v["supply_V"] - idle - per_bar * v[f"{name}_rated_bar"]
        numbers[free], numbers[drop] = (voltage - idle) / rated, per_bar / rated / BAR


class _Bores:
    """Flow coefficients and laminar ranges of bores given in mm."""

    def __init__(self, fluid, temperature, overlap):
        self.overlap, self.fluid, self.temperature = overlap, fluid, temperature
        self.discharge, self.density = fluid["discharge"], fluid["density_kg_per_m3"]

    def flow(self, bore):
        return orifice_coefficient(bore * MM, self.discharge, self.density)

    def laminar(self, bore):
        """Laminar range of a bore: seats and ports have sharp edges, whose flow thick fluid hardly
        changes; so it stays that of warm fluid, and is wide enough for a step of 1 ms.
        """
        return laminar_range(
            bore * MM,
            self.discharge,
            self.density,
            viscosity(WARM_DEGC, self.fluid) * MM * MM,
            self.fluid["transition_reynolds"],
        )

    def pipe(self, metres, bore):
        """Resistance of a brake pipe; its fluid is as thick as its temperature makes it."""
        thickness = viscosity(self.temperature, self.fluid) * MM * MM
        return pipe_resistance(metres, bore * MM, thickness, self.density)

    def row(self, bore, wire, rest, begin, done, most, beside=0.0):
        """A row of the valve table."""
        row = np.zeros(h.COLUMNS)
        row[h.FLOW], row[h.LAMINAR] = (
            self.flow(bore) / (1.0 - self.overlap),
            self.laminar(bore),
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
        (h.CUT_OFF + 1, v["cut_off_bore_mm"], 1.0, v["pedal_non_return_bore_mm"]),
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
        ("isolating", h.CUT_OFF, 2, v["cut_off_bore_mm"], 1.0, v["pedal_non_return_bore_mm"]),
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
