"""Checks of hydraulics and actuators: orifice, accumulator gas, brake torque, fluid,
compressibility, solenoid, stepper. The computed side.
"""

from tractionlab.physics import hydraulics as parts
from tractionlab.textbook import hydraulics as book
from tractionlab.units import BAR, CM3, MM
from tractionlab.workshop.drive.running_car import boiling_point

DENSITY, DISCHARGE = 1060.0, 0.62


def orifice():
    values = {}
    for bore, bar in ((0.7, 50), (0.7, 150), (1.0, 50), (0.4, 100)):
        coefficient = parts.orifice_coefficient(bore * MM, DISCHARGE, DENSITY)
        values[f"{bore:g} mm, {bar} bar"] = (
            parts.orifice_flow(bar * BAR, coefficient, BAR, BAR**-0.5) / CM3
        )
    return values


def accumulator():
    values = {}
    for size, low, high in ((1000.0, 60.0, 180.0), (500.0, 20.0, 60.0)):
        for name, exponent in (("slow", 1.0), ("fast", 1.4)):
            fluid = book.fluid_over_gas(
                high * BAR - parts.ATMOSPHERE, size * CM3, low * BAR, exponent
            )
            values[f"{size:g} ml from {low:g} to {high:g} bar, {name}: gas left"] = (
                size - fluid / CM3
            )
    return values


def brake_torque():
    area = book.disc_brake_torque_per_pressure(57 * MM, 0.38, 0.118)
    return {f"{bar} bar": area * bar * BAR for bar in (20, 50, 100)} | {
        "pressure for 378 N m": 378.0 / area / BAR
    }


def boiling_points():
    return {
        f"course's fluid with {water:g} % water": boiling_point(
            {"brake_fluid.water_percent": water}
        )
        for water in (0.0, 3.7)
    }


def compressibility():
    values = {
        f"30 ml, 100 bar, {gpa:g} GPa": book.compressed(30.0 * CM3, 100 * BAR, gpa * 1e9, 0.0) / CM3
        for gpa in (1.0, 1.5, 2.0)
    }
    return values | {
        f"30 ml with 1 % air, {bar} bar": book.compressed(30.0 * CM3, bar * BAR, 1.5e9, 0.01) / CM3
        for bar in (20, 50, 100)
    }


def solenoid():
    return {
        "current after one time constant": book.coil_current(12.0, 6.0, 0.030, 0.005),
        "time to 1 A": 1e3 * book.coil_time(12.0, 6.0, 0.030, 1.0),
        "time to 90 %": 1e3 * book.coil_time(12.0, 6.0, 0.030, 1.8),
    }


def stepper():
    return {
        "200 steps": book.step_angle(200),
        "48 steps": book.step_angle(48),
        "200 steps of 16 parts": book.step_angle(200, 16),
        "200 steps on a screw of 1 mm": 1e3 * book.step_angle(200) / 360.0,
    }


CHECKS = {
    "H01": orifice,
    "H02": accumulator,
    "H03": brake_torque,
    "H04": boiling_points,
    "H05": compressibility,
    "H06": solenoid,
    "H07": stepper,
}
