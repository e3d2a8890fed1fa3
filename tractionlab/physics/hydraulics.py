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


def pipe_resistance(length, bore, viscosity, density):
    """Pressure difference over flow [Pa s/m^3] of a pipe in which the flow is laminar: the law of
    Hagen and Poiseuille, any textbook.

    Parameters
    ----------
    length, bore : float [m]
    viscosity : float, kinematic [m^2/s]
    """
    return 128.0 * viscosity * density * length / (3.141592653589793 * bore * bore * bore * bore)


def piped_flow(difference, coefficient, laminar, pipe):
    """Flow [m^3/s] through an orifice and a pipe behind it, for the pressure difference [Pa] over
    both: the root of flow^2 / coefficient^2 + pipe x flow = difference.

    Parameters
    ----------
    laminar : float, range [Pa] that makes it as smooth about zero as `orifice_flow`
    pipe : float, resistance of the pipe [Pa s/m^3]

    Where the pipe takes as much as the orifice, 50 of 100 bar each, the flow is 0.71 of that
    through the orifice alone.

    >>> alone = piped_flow(100e5, 1e-8, 1.0, 0.0)
    >>> round(piped_flow(100e5, 1e-8, 1.0, 50e5 / (alone * 0.5**0.5)) / alone, 4)
    0.7071
    """
    drag = pipe * coefficient
    root = sqrt(drag * drag + 4.0 * abs(difference) + 2.56 * laminar)
    return 2.0 * coefficient * difference / (drag + root)


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


def gas_pressure(volume, warmth, size, work, covolume, pull, first):
    """Pressure [Pa] of a gas accumulator that holds a volume of fluid: the gas of van der Waals,
    which for `covolume` = `pull` = 0 is the ideal one.

    Parameters
    ----------
    size : float, gas volume when empty of fluid
    warmth : float, absolute temperature of the gas over that of the unit around it
    work : float, amount of gas x gas constant x absolute temperature of the unit [J]
    covolume : float, volume that the molecules themselves take
    pull : float, of the molecules on each other [Pa m^6]
    first : float, fluid that lifts the diaphragm off its port

    Slowly pressed to half its volume, ideal gas of 60 bar has 120 bar absolute, 119 bar on a gauge.

    >>> round(gas_pressure(1e-4, 1.0, 2e-4, 60e5 * 2e-4, 0.0, 0.0, 1e-6) / 1e5, 6)
    119.0
    """
    left = max(size - volume, 1.05 * covolume + 0.02 * size)
    absolute = work * warmth / (left - covolume) - pull / (left * left)
    return (absolute - ATMOSPHERE) * min(1.0, volume / first)


def gas_fluid(pressure, size, work, covolume, pull):
    """Fluid in a gas accumulator at a pressure [Pa], its gas as warm as the unit around it: the
    inverse of `gas_pressure`, by Newton's steps.
    """
    absolute = pressure + ATMOSPHERE
    left = covolume + work / absolute
    for _ in range(10):
        free = left - covolume
        missing = work / free - pull / (left * left) - absolute
        left += missing / (work / (free * free) - 2.0 * pull / (left * left * left))
    return max(0.0, size - left)


def gas_warming(warmth, left, filled, covolume, stiffness, cooling):
    """Change of the warmth [1/s] of an accumulator's gas: fluid that flows in works on it, and it
    cools towards the unit around it.

    Parameters
    ----------
    left : float, volume of the gas [m^3]
    filled : float, fluid that flows in [m^3/s]
    stiffness : float, gas constant over heat capacity at constant volume, 0.4 for nitrogen
    cooling : float, 1 / thermal time constant [1/s]

    Energy balance of a gas with one thermal time constant: Pourmovahed & Otis, An experimental
    thermal time-constant correlation for hydraulic accumulators, ASME J. Dyn. Syst. Meas. Control
    112 (1990), abstract seen. Very slow it keeps its temperature, very quick its entropy.
    """
    return (1.0 - warmth) * cooling + stiffness * warmth * filled / (left - covolume)


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


def motor_rate(speed, on, free, drop, load, start, coast):
    """Change of a pump motor's speed [1/s], as a share of its rated speed: towards where voltage
    and load let it turn while it is `on` (0 or 1), and running out without current.

    Parameters
    ----------
    free : float, speed without back pressure at the voltage that the motor gets
    drop : float, speed that each Pa of back pressure takes [1/Pa]
    load : float, mean back pressure of the pump's elements [Pa]
    start, coast : float, 1 / time constant [1/s]

    A motor with permanent magnets: voltage less what its current loses in the winding is its speed,
    and its current follows the torque (any textbook of electrical machines).
    """
    if on > 0.0:
        return (max(0.0, free - drop * load) - speed) * start
    return -speed * coast


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
