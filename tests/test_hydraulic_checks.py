"""Hydraulics against general libraries at test time: the orifice of fluids, the real nitrogen of
CoolProp.
"""

from math import pi

import CoolProp.CoolProp as gas
import fluids.flow_meter as meter
import pytest
from fluids import Reynolds, friction_factor

from tractionlab.checks import run_checks
from tractionlab.checks.cold_and_gas import accumulator_numbers, discharge, precharge
from tractionlab.hydraulics.fluid import viscosity
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as h
from tractionlab.physics import hydraulics as parts
from tractionlab.textbook.hydraulics import fluid_over_gas

BAR = 1e5


@pytest.mark.parametrize("bore", [0.4, 0.7, 1.0])
@pytest.mark.parametrize("bar", [20, 50, 150])
def test_orifice_against_the_library_fluids(bore, bar):
    mass = meter.flow_meter_discharge(
        D=0.05, Do=bore * 1e-3, P1=(bar + 1) * BAR, P2=BAR, rho=1060.0, C=0.62
    )
    own = parts.orifice_flow(
        bar * BAR, parts.orifice_coefficient(bore * 1e-3, 0.62, 1060.0), BAR, BAR**-0.5
    )
    assert own == pytest.approx(mass / 1060.0, rel=1e-4)


@pytest.mark.parametrize(
    "low, high, slow, fast", [(60, 180, 4.2, 8.8), (20, 60, -0.2, 2.8), (5, 15, -0.2, 0.6)]
)
def test_accumulator_against_real_nitrogen(low, high, slow, fast):
    """How many percent the ideal gas, with which learners compute, falls short of the room that
    real nitrogen takes.
    """
    before = gas.PropsSI("D", "P", low * BAR, "T", 293.15, "Nitrogen")
    entropy = gas.PropsSI("S", "P", low * BAR, "T", 293.15, "Nitrogen")
    after = {
        "slow": gas.PropsSI("D", "P", high * BAR, "T", 293.15, "Nitrogen"),
        "fast": gas.PropsSI("D", "P", high * BAR, "S", entropy, "Nitrogen"),
    }
    for (name, exponent), percent in zip((("slow", 1.0), ("fast", 1.4)), (slow, fast)):
        ideal = 1.0 - fluid_over_gas(high * BAR - parts.ATMOSPHERE, 1.0, low * BAR, exponent)
        assert 100.0 * (1.0 - ideal / (before / after[name])) == pytest.approx(percent, abs=0.08)


@pytest.mark.parametrize("degC, ratio", [(-40.0, 134.5), (-20.0, 12.6), (20.0, 1.0)])
def test_thick_fluid_in_a_pipe_against_the_library_fluids(degC, ratio):
    """Viscosity: limits of ISO 4925 class 4 at -40 and 100 degC (second-hand), between them ASTM
    D341. Pipe: laminar friction of the library.
    """
    table = hydraulics()["fluid"]
    thick = viscosity(degC, table) * 1e-6
    assert thick / (viscosity(20.0, table) * 1e-6) == pytest.approx(ratio, rel=0.005)
    speed = 5e-6 / (pi / 4.0 * 3e-3**2)
    friction = friction_factor(Re=Reynolds(V=speed, D=3e-3, nu=thick))
    loss = friction * 5.0 / 3e-3 * 0.5 * 1060.0 * speed**2
    resistance = parts.pipe_resistance(5.0, 3e-3, thick, 1060.0)
    assert resistance * 5e-6 == pytest.approx(loss, rel=1e-9)


def room(bar, start_bar, entropy_kept):
    """Volume of 250 cm3 of real nitrogen of 81 bar and 293.15 K [cm3] at a pressure, at its
    temperature or at the entropy it has at `start_bar`.
    """
    if entropy_kept:
        entropy = gas.PropsSI("S", "P", start_bar * BAR, "T", 293.15, "Nitrogen")
        density = gas.PropsSI("D", "P", bar * BAR, "S", entropy, "Nitrogen")
    else:
        density = gas.PropsSI("D", "P", bar * BAR, "T", 293.15, "Nitrogen")
    return 250.0 * gas.PropsSI("D", "P", 81 * BAR, "T", 293.15, "Nitrogen") / density


@pytest.mark.parametrize("seconds, quick", [(0.05, True), (3000.0, False)])
def test_accumulator_between_both_limits_of_real_nitrogen(seconds, quick):
    """Discharge from 185 to 145 bar: within 5 % of CoolProp, quick and slow."""
    own = discharge(seconds, accumulator_numbers())
    real = room(146.0, 186.0, quick) - room(186.0, 186.0, False)
    assert own == pytest.approx(real, rel=0.05)


def test_quick_discharge_gives_about_half_the_fluid_of_a_slow_one():
    numbers = accumulator_numbers()
    quick, slow = discharge(0.05, numbers), discharge(3000.0, numbers)
    assert 0.5 < quick / slow < 0.6
    assert quick < discharge(10.0, numbers) < slow


@pytest.mark.parametrize("seconds, exponent", [(0.02, 1.4), (10000.0, 1.0)])
def test_ideal_gas_keeps_its_closed_forms(seconds, exponent):
    numbers = accumulator_numbers()
    numbers[h.GAS_WORK] = 81 * BAR * numbers[h.GAS]
    numbers[h.GAS_COVOLUME] = numbers[h.GAS_PULL] = 0.0
    full = 1e6 * numbers[h.GAS] * 81.0 / 186.0
    expected = full * ((186.0 / 146.0) ** (1.0 / exponent) - 1.0)
    assert discharge(seconds, numbers) == pytest.approx(expected, rel=0.005)


@pytest.mark.parametrize("degC", [-20.0, 60.0])
def test_precharge_follows_temperature(degC):
    """Gas alone in its room, against CoolProp at the same density."""
    density = gas.PropsSI("D", "P", 81 * BAR, "T", 293.15, "Nitrogen")
    real = gas.PropsSI("P", "D", density, "T", degC + 273.15, "Nitrogen")
    assert precharge(degC) * BAR == pytest.approx(real, rel=0.01)


def test_what_the_table_of_checks_expects_of_real_gas_is_what_the_library_says():
    """H10 and the pipes of H09, worked out by the libraries themselves."""
    expected = {row.quantity: row.expected for row in run_checks(topic="hydraulics and act")}
    full = room(186.0, 186.0, False)
    for words, quick in (("quickly", True), ("slowly", False)):
        given = expected[f"185 to 145 bar {words}: fluid given"]
        assert given == pytest.approx(room(146.0, 186.0, quick) - full, abs=0.01)
    density = gas.PropsSI("D", "P", 81 * BAR, "T", 293.15, "Nitrogen")
    for degC in (-20, 60):
        real = gas.PropsSI("P", "D", density, "T", degC + 273.15, "Nitrogen") / BAR
        assert expected[f"precharge of 81 bar at {degC} degC"] == pytest.approx(real, abs=0.01)
