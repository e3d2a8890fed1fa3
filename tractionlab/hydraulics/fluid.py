"""What temperature and filling do: viscosity of brake fluid, share of the pumps' flow in the cold,
and the nitrogen in an accumulator.
"""

from math import log10

from tractionlab.physics import circuit as h
from tractionlab.units import CM3

WARM_DEGC, COLD_DEGC, HOT_DEGC = 20.0, -40.0, 100.0
ZERO_DEGC = 273.15  # K
GAS_CONSTANT = 8.314462618  # J/(mol K), exact in the SI


def viscosity(temperature, fluid):
    """Kinematic viscosity [mm2/s] of the fluid at a temperature [degC], by `walther_viscosity`
    through its values at -40 and 100 degC.

    Parameters
    ----------
    fluid : mapping with viscosity_cold_mm2_per_s and viscosity_hot_mm2_per_s
    """
    cold, hot = (fluid[f"viscosity_{end}_mm2_per_s"] for end in ("cold", "hot"))
    return walther_viscosity(temperature, (COLD_DEGC, cold), (HOT_DEGC, hot))


def walther_viscosity(temperature, cold, hot):
    """Kinematic viscosity [mm2/s] at a temperature [degC], by the line of Walther (ASTM D341) on
    which log log (v + 0.7) falls with log T.

    Parameters
    ----------
    cold, hot : (temperature [degC], viscosity [mm2/s]), two points of the line
    """
    (start, end), here = (
        (log10(t + ZERO_DEGC) for t, _ in (cold, hot)),
        log10(temperature + ZERO_DEGC),
    )
    low, high = (log10(log10(value + 0.7)) for _, value in (cold, hot))
    return 10.0**10.0 ** (low + (high - low) * (here - start) / (end - start)) - 0.7


def pump_share(temperature, fluid):
    """Share of their flow that the pumps give with fluid at a temperature [degC]; no more than at
    20 degC, no less than in the cold that the table names.
    """
    share = (WARM_DEGC - temperature) / (WARM_DEGC - fluid["cold_degC"])
    return 1.0 - (1.0 - fluid["cold_pump_share"]) * min(1.0, max(0.0, share))


def fill_gas(numbers, precharge, temperature, gas):
    """Enter the gas of an accumulator of known size in the numbers of a circuit.

    Parameters
    ----------
    precharge : float, absolute pressure [Pa] of the gas at 20 degC, without fluid
    temperature : float, of gas and unit [degC]
    gas : mapping, the table [gas] of data/hydraulics.toml
    """
    pull, covolume = gas["pull_Pa_m6_per_mol2"], gas["covolume_cm3_per_mol"] * CM3
    amount = _amount(precharge, numbers[h.GAS], pull, covolume)
    numbers[h.GAS_WORK] = amount * GAS_CONSTANT * (temperature + ZERO_DEGC)
    numbers[h.GAS_COVOLUME] = amount * covolume
    numbers[h.GAS_PULL] = pull * amount * amount
    numbers[h.GAS_STIFFNESS] = GAS_CONSTANT / gas["heat_capacity_J_per_mol_K"]


def refill_gas(numbers, precharge, gas):
    """Another precharge [Pa, absolute, at 20 degC] for a circuit whose gas has its temperature."""
    amount = numbers[h.GAS_COVOLUME] / (gas["covolume_cm3_per_mol"] * CM3)
    kelvin = numbers[h.GAS_WORK] / (amount * GAS_CONSTANT)
    fill_gas(numbers, precharge, kelvin - ZERO_DEGC, gas)


def _amount(pressure, size, pull, covolume):
    """Gas [mol] that has a pressure [Pa] in a volume [m3] at 20 degC, by Newton's steps."""
    work = GAS_CONSTANT * (WARM_DEGC + ZERO_DEGC)
    density = pressure / work
    for _ in range(20):
        free = 1.0 - covolume * density
        over = work * density / free - pull * density * density - pressure
        density -= over / (work / (free * free) - 2.0 * pull * density)
    return density * size
