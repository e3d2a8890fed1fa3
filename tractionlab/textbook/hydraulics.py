"""Textbook formulas of hydraulics and actuators, for checks and exercises; the circuit does not use
them.
"""

from math import exp, log, pi

from tractionlab.physics.hydraulics import ATMOSPHERE

#: Lowest boiling points (dry, wet = 3.7 % water) [degC] of brake fluid by class. Source: 49 CFR
#: 571.116, seen second-hand.
BOILING_DEGC = {
    "DOT 3": (205, 140),
    "DOT 4": (230, 155),
    "DOT 5": (260, 180),
    "DOT 5.1": (260, 180),
}


def disc_brake_torque_per_pressure(piston, friction, radius):
    """Brake torque over pressure [N m/Pa] of a disc with two pads: 2 x friction x piston area x
    effective radius. Derived.

    Parameters
    ----------
    piston, radius : float [m]

    A piston of 54 mm has 22.9 cm^2: 1 bar presses with 229 N, and
    2 x 0.4 x 229 N x 0.12 m = 22 N m.

    >>> round(disc_brake_torque_per_pressure(0.054, 0.4, 0.12) * 1e5, 1)
    22.0
    """
    return 2.0 * friction * 0.25 * pi * piston * piston * radius


def compressed(volume, pressure, modulus, air):
    """Loss of volume [m^3] of fluid under a pressure [Pa]; `air` is its share of free air at 1 bar,
    compressed slowly (isothermal).

    Parameters
    ----------
    modulus : float, bulk modulus of the fluid [Pa]
    """
    return volume * ((1.0 - air) * pressure / modulus + air * pressure / (pressure + ATMOSPHERE))


def fluid_over_gas(pressure, size, precharge, exponent):
    """Fluid [m^3] in a gas accumulator at a gauge pressure [Pa] over its precharge, ideal gas.

    Parameters
    ----------
    size : float, gas volume when empty of fluid [m^3]
    precharge : float, absolute pressure of the gas then [Pa]
    exponent : float, 1 = slow, at one temperature; 1.4 = fast, without exchange of heat

    Slowly pressed from 60 to 120 bar absolute, 200 cm^3 of gas leave room for 100 cm^3 of fluid.

    >>> round(fluid_over_gas(119e5, 200e-6, 60e5, 1.0) * 1e6, 6)
    100.0
    """
    ratio = precharge / (pressure + ATMOSPHERE)
    return max(0.0, size * (1.0 - ratio ** (1.0 / exponent)))


def coil_current(voltage, resistance, inductance, time):
    """Current of a coil [A] a time [s] after switching on. Derived.

    After one time constant, here 8 mH / 4 ohm = 2 ms, 1 - 1/e = 63.2 % of 3 A flow.

    >>> round(coil_current(12.0, 4.0, 0.008, 0.002), 3)
    1.896
    """
    return voltage / resistance * (1.0 - exp(-time * resistance / inductance))


def coil_time(voltage, resistance, inductance, current):
    """Time [s] until a coil carries a current [A] below its final one. Derived."""
    return -inductance / resistance * log(1.0 - current * resistance / voltage)


def step_angle(steps, parts=1):
    """Angle of a step [degrees] of a motor with `steps` steps a turn, each divided into `parts`."""
    return 360.0 / (steps * parts)
