"""Parts of a hydraulic brake circuit: orifice, caliper, accumulators, valves, pump, pressure
switch. Gauge pressures in Pa, volumes in m^3.
"""

from math import sqrt

#: Absolute pressure = gauge pressure + this [Pa]; the course counts with 1 bar.
ATMOSPHERE = 1e5


def orifice_coefficient(diameter, discharge, density):
    """Flow over the root of the pressure difference [m^3/s/Pa^0.5] of a sharp-edged orifice.

    Source: Bernoulli, any textbook.
    """
    return discharge * 0.7853981633974483 * diameter * diameter * sqrt(2.0 / density)


def laminar_range(diameter, discharge, density, viscosity, reynolds):
    """Pressure difference [Pa] below which the flow of an orifice turns laminar: where its Reynolds
    number falls under `reynolds`.

    Parameters
    ----------
    viscosity : float, kinematic [m^2/s]
    """
    speed = reynolds * viscosity / (discharge * diameter)
    return 0.5 * density * speed * speed


def orifice_flow(difference, coefficient, laminar, root):
    """Flow [m^3/s] for a pressure difference [Pa]: the orifice law above `laminar` [Pa]; below, an
    odd curve that meets it with equal slope.

    Parameters
    ----------
    root : float, 1 / sqrt(laminar), kept ready because it never changes

    Through 0.5 mm with discharge 0.7 at 100 bar: fluid of 1050 kg/m^3 gets
    sqrt(2 x 100e5 / 1050) = 138 m/s, times 0.7 x 0.196 mm^2 makes 19 cm^3/s.

    >>> coefficient = orifice_coefficient(0.5e-3, 0.7, 1050.0)
    >>> round(orifice_flow(100e5, coefficient, 1e4, 1e4**-0.5) * 1e6, 1)
    19.0
    """
    if difference > laminar:
        return coefficient * sqrt(difference)
    if difference < -laminar:
        return -coefficient * sqrt(-difference)
    share = difference * root * root
    return coefficient * difference * root * (1.25 - 0.25 * share * share)


def lift(difference, crack, gain):
    """Opening 0..1 of a spring-loaded seat (non-return valve, relief valve): starts at `crack`
    [Pa], then grows with `gain` [1/Pa].
    """
    return min(1.0, max(0.0, gain * (difference - crack)))


def soft_volume(pressure, compliance, soft, knee):
    """Fluid a chamber takes at a pressure [m^3]: elastic part, and a soft part (clearance, gas)
    that is half used up at `knee` [Pa].
    """
    return compliance * pressure + soft * pressure / (pressure + knee)


def soft_pressure(volume, compliance, soft, knee):
    """Pressure [Pa] at which a chamber holds a volume: inverse of `soft_volume`, for any volume; it
    always lies above -knee.
    """
    linear = soft + compliance * knee - volume
    apart = compliance * knee + volume - soft
    root = sqrt(apart * apart + 4.0 * soft * compliance * knee)
    if linear > 0.0:
        return 2.0 * volume * knee / (linear + root)
    return (root - linear) / (2.0 * compliance)


def caliper_volume(pressure, slope, gap, knee, air):
    """Fluid in a wheel brake [m^3]: clearance `gap` closed at about `knee`, elastic `slope`, and
    trapped air (volume at 1 bar absolute).
    """
    return soft_volume(pressure, slope, gap, knee) + air * pressure / (pressure + ATMOSPHERE)


def caliper_pressure(volume, slope, gap, knee, air):
    """Pressure in a wheel brake [Pa]: inverse of `caliper_volume`.

    With air there is no short closed form: Newton steps from below, which cannot overshoot because
    the curve bends one way only."""
    pressure = soft_pressure(volume, slope, gap + air, knee)
    if air == 0.0:
        return pressure
    if volume <= 0.0:
        return soft_pressure(volume, slope, gap, knee)
    for _ in range(12):
        over_knee, over_air = pressure + knee, pressure + ATMOSPHERE
        missing = volume - caliper_volume(pressure, slope, gap, knee, air)
        pressure += missing / (
            slope + gap * knee / (over_knee * over_knee) + air * ATMOSPHERE / (over_air * over_air)
        )
    return pressure


def gas_pressure(volume, size, precharge, exponent, first):
    """Pressure [Pa] of a gas accumulator that holds a volume of fluid.

    Parameters
    ----------
    size : float, gas volume when empty of fluid
    precharge : float, absolute pressure of the gas then [Pa]
    exponent : float, 1 = slow (isothermal), 1.4 = fast (adiabatic)
    first : float, fluid that lifts the diaphragm off its port

    Slowly pressed to half its volume, gas of 60 bar has 120 bar absolute, 119 bar on a gauge.

    >>> round(gas_pressure(1e-4, 2e-4, 60e5, 1.0, 1e-6) / 1e5, 6)
    119.0
    """
    left = max(size - volume, 0.02 * size)
    ratio = size / left
    if exponent != 1.0:
        ratio = ratio**exponent
    return (precharge * ratio - ATMOSPHERE) * min(1.0, volume / first)


def gas_fluid(pressure, size, precharge, exponent):
    """Fluid in a gas accumulator at a pressure [Pa] over its precharge: `gas_pressure` inverted."""
    ratio = precharge / (pressure + ATMOSPHERE)
    if exponent != 1.0:
        ratio = ratio ** (1.0 / exponent)
    return max(0.0, size * (1.0 - ratio))


def spring_pressure(volume, preload, slope, wall, full, first):
    """Pressure [Pa] of a spring-loaded low-pressure accumulator; empty, it falls towards vacuum.

    Parameters
    ----------
    preload : float [Pa], reached with the `first` fluid [m^3]
    slope, wall : float [Pa/m^3], of the spring, and of the stop on which the piston stands past the
        volume `full` [m^3]
    """
    if volume < 0.0:
        return ATMOSPHERE * volume / (ATMOSPHERE * first / preload - volume)
    return preload * volume / (volume + first) + slope * volume + wall * max(0.0, volume - full)


def pump_rate(speed, on, start, coast):
    """Change of a pump's speed [1/s], as a share of its full speed: quick to start (`start` 1/s),
    slower to coast down (`coast` 1/s).
    """
    return (on - speed) * (start if on > speed else coast)


def suction_share(pressure, empty, gain):
    """Share of its volume a pump element fills at a suction pressure [Pa]: none at `empty`, then
    more by `gain` [1/Pa] up to all.
    """
    return min(1.0, max(0.0, gain * (pressure - empty)))


def switch_after(on, pressure, cut_in, cut_out):
    """State (1 on, 0 off) of a pressure switch: on from `cut_in` down, off from `cut_out` up,
    unchanged in between.
    """
    if pressure <= cut_in:
        return 1.0
    if pressure >= cut_out:
        return 0.0
    return on
