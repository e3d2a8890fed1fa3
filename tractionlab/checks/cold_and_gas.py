"""Checks of what temperature, pipes and real gas do in the brake circuit. The computed side."""

from math import pi

from tractionlab.catalogue import entries as catalogue
from tractionlab.hydraulics.circuit_values import circuit_of
from tractionlab.hydraulics.fluid import GAS_CONSTANT, viscosity, walther_viscosity
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as h
from tractionlab.physics import hydraulics as parts
from tractionlab.units import BAR, CM3, MM

QUICK_S, SLOW_S = 0.05, 3000.0
_FULL_BAR, _LOW_BAR = 185.0, 145.0  # of layout A; gauge
_CRITICAL_K, _CRITICAL_PA = 126.1, 33.99 * BAR  # of nitrogen, see H11


def accumulator_numbers(temperature=20.0):
    """Numbers of the circuit of layout A with its gas at a temperature [degC]."""
    car = catalogue.shipped().vehicles()["rear_petrol"]
    return circuit_of("A", car, "rear", temperature=temperature).numbers.copy()


def discharge(seconds, numbers):
    """Fluid [cm3] that an even flow takes from the full accumulator down to where its pump starts,
    in so many seconds.
    """
    size = numbers[[h.GAS, h.GAS_WORK, h.GAS_COVOLUME, h.GAS_PULL]]
    start = parts.gas_fluid(_FULL_BAR * BAR, *size)
    smallest, most = 0.0, 60.0 * CM3
    for _ in range(30):
        taken = 0.5 * (smallest + most)
        pressure = _pressure_after(taken, start, seconds, numbers, size)
        smallest, most = (taken, most) if pressure > _LOW_BAR * BAR else (smallest, taken)
    return taken / CM3


def _pressure_after(taken, start, seconds, numbers, size, steps=400):
    volume, warmth = start, 1.0
    for _ in range(steps):
        left = numbers[h.GAS] - volume + 0.5 * taken / steps
        rate = parts.gas_warming(
            warmth,
            left,
            -taken / seconds,
            numbers[h.GAS_COVOLUME],
            numbers[h.GAS_STIFFNESS],
            numbers[h.GAS_COOLING],
        )
        warmth += seconds / steps * rate / (1.0 + seconds / steps * numbers[h.GAS_COOLING])
        volume -= taken / steps
    return parts.gas_pressure(volume, warmth, *size, numbers[h.GAS_FIRST])


def precharge(temperature):
    """Absolute pressure [bar] of the gas alone in its room at a temperature [degC]."""
    numbers = accumulator_numbers(temperature)
    gauge = parts.gas_pressure(
        numbers[h.GAS_FIRST],
        1.0,
        *numbers[[h.GAS, h.GAS_WORK, h.GAS_COVOLUME, h.GAS_PULL]],
        1e-12,
    )
    return (gauge + parts.ATMOSPHERE) / BAR


def real_gas():
    values = {
        f"185 to 145 bar {name}: fluid given": discharge(seconds, accumulator_numbers())
        for name, seconds in (("quickly", QUICK_S), ("slowly", SLOW_S))
    }
    return values | {
        f"precharge of 81 bar at {degc:g} degC": precharge(degc) for degc in (-20.0, 60.0)
    }


def gas_constants():
    """Constants of the course's gas over those that its critical point gives."""
    gas, warmth = hydraulics()["gas"], GAS_CONSTANT * _CRITICAL_K
    return {
        "pull": gas["pull_Pa_m6_per_mol2"] / (27.0 * warmth**2 / (64.0 * _CRITICAL_PA)),
        "own volume": gas["covolume_cm3_per_mol"] * CM3 / (warmth / (8.0 * _CRITICAL_PA)),
    }


def cold_fluid():
    fluid = hydraulics()["fluid"]
    warm = viscosity(20.0, fluid)
    return {
        "oil of 32 at 40 degC and 5.4 at 100: at 80 degC": walther_viscosity(
            80.0, (40.0, 32.0), (100.0, 5.4)
        )
    } | {
        f"course's fluid at {degc:g} degC over that at 20": viscosity(degc, fluid) / warm
        for degc in (-40.0, -20.0, 60.0)
    }


def pipe_friction():
    values = {
        "oil of 0.1 Pa s, 300 m of 50 mm, 3.5 l/s": 3.5e-3
        * parts.pipe_resistance(300.0, 50.0 * MM, 0.1 / 900.0, 900.0)
        / 1e3
    }
    fluid = hydraulics()["fluid"]
    for degc in (20.0, -20.0):
        thick = 1e-6 * viscosity(degc, fluid)
        pipe = parts.pipe_resistance(5.0, 3.0 * MM, thick, fluid["density_kg_per_m3"])
        values[f"rear pipe, 5 ml/s at {degc:g} degC"] = 5.0 * CM3 * pipe / 1e3
    speed = 5.0 * CM3 / (pi / 4.0 * (3.0 * MM) ** 2)
    return values | {
        "Reynolds number at 20 degC": speed * 3.0 * MM / (1e-6 * viscosity(20.0, fluid))
    }


def library_examples():
    """The course's orifice and pipe with the numbers of the examples."""
    bore, pipe, density = 0.0222, 0.0739, 1.1646
    approach = (1.0 - (bore / pipe) ** 4) ** 0.5
    orifice = parts.orifice_coefficient(bore, 0.5988 * 0.9975 / approach, density)
    values = {
        "orifice of 22.2 mm in 73.9 mm, 1 kPa": density * parts.orifice_flow(1e3, orifice, 1.0, 1.0)
    }
    for reynolds in (128.0, 179.4, 206.4, 228.0):
        speed, bore, viscosity, length = 2.0, 3.0 * MM, 2.0 * 3.0 * MM / reynolds, 1.0
        flow = speed * pi / 4.0 * bore**2
        lost = parts.pipe_resistance(length, bore, viscosity, 1000.0) * flow
        values[f"friction factor, Reynolds number {reynolds:g}"] = (
            lost * bore / length / (0.5 * 1000.0 * speed**2)
        )
    return values


CHECKS = {
    "H08": cold_fluid,
    "H09": pipe_friction,
    "H12": library_examples,
    "H10": real_gas,
    "H11": gas_constants,
}
