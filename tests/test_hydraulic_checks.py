"""Hydraulics against general libraries at test time: the orifice of fluids, the real nitrogen of
CoolProp.
"""

import CoolProp.CoolProp as gas
import fluids.flow_meter as meter
import pytest

from tractionlab.physics import hydraulics as parts

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
    """How many percent the ideal gas, with which the course computes, falls short of the room that
    real nitrogen takes.
    """
    before = gas.PropsSI("D", "P", low * BAR, "T", 293.15, "Nitrogen")
    entropy = gas.PropsSI("S", "P", low * BAR, "T", 293.15, "Nitrogen")
    after = {
        "slow": gas.PropsSI("D", "P", high * BAR, "T", 293.15, "Nitrogen"),
        "fast": gas.PropsSI("D", "P", high * BAR, "S", entropy, "Nitrogen"),
    }
    for (name, exponent), percent in zip((("slow", 1.0), ("fast", 1.4)), (slow, fast)):
        ideal = 1.0 - parts.gas_fluid(high * BAR - parts.ATMOSPHERE, 1.0, low * BAR, exponent)
        assert 100.0 * (1.0 - ideal / (before / after[name])) == pytest.approx(percent, abs=0.08)
