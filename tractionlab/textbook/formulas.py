"""Hand formulas of the lessons beside those of `longitudinal`: torque at the engine, fuel cut,
stepper, disc heat, thresholds.

Scalar, SI. Source unless a function says otherwise: derived from Newton's laws and energy, as any
mechanics textbook has it."""

from math import atan, sin

from tractionlab.textbook.longitudinal import GRAVITY
from tractionlab.units import IN_KMH


def engine_torque_for_force(force, radius, ratio, efficiency, brake_torque=0.0):
    """Engine torque [N m] for `force` [N] at the tyres while a brake takes `brake_torque` [N m];
    radius m, total ratio -.

    3000 N at 0.3 m are 900 N m at the wheels; over 10 x 0.9 that is 100 N m at the engine.

    >>> round(engine_torque_for_force(3000.0, 0.3, 10.0, 0.9), 9)
    100.0
    """
    return (force * radius + brake_torque) / (ratio * efficiency)


def slope_force(mass, slope):
    """Force [N] that holds `mass` [kg] on a slope given as rise over run [-].

    A slope of 3 up for 4 along has the sine 0.6: 1000 x 9.81 x 0.6.

    >>> round(slope_force(1000.0, 0.75), 6)
    5886.0
    """
    return mass * GRAVITY * sin(atan(slope))


def brake_torque_for_force(force, low_friction, wheel_load, radius):
    """Brake torque [N m] on the low side so that both wheels of an open axle pass `force` [N], the
    high side below its grip.

    2000 N wanted, 2 x 0.1 x 4000 = 800 N pass without a brake; 1200 N x 0.3 m are missing.

    >>> round(brake_torque_for_force(2000.0, 0.1, 4000.0, 0.3), 9)
    360.0
    """
    return (force - 2 * low_friction * wheel_load) * radius


def torque_with_cylinders_cut(indicated, friction, cylinders, cut):
    """Engine torque [N m] left when `cut` of the cylinders get no fuel: the friction torque [N m]
    stays.

    Three of four cylinders make 150 of 200 N m, less 30 of friction.

    >>> torque_with_cylinders_cut(200.0, 30.0, 4, 1)
    120.0
    """
    return indicated * (cylinders - cut) / cylinders - friction


def ignition_factor(torque, indicated, friction, cylinders, cut):
    """Factor [-] of late ignition that leaves `torque` [N m] when `cut` cylinders get no fuel."""
    return (torque + friction) / (indicated * (cylinders - cut) / cylinders)


def inertia_at_wheel(wheel_inertia, motor_inertia, ratio):
    """Inertia [kg m2] that speeds up with both driven wheels together, for one of them: its own and
    half the motor's.

    0.04 kg m^2 through a ratio of 10 are 4, half of it for each wheel.

    >>> round(inertia_at_wheel(1.0, 0.04, 10.0), 9)
    3.0
    """
    return wheel_inertia + motor_inertia * ratio**2 / 2


def brake_power(brake_torque, rim_speed, radius):
    """Heat [W] that a brake makes at a rim speed [m/s].

    15 m/s on a radius of 0.3 m are 50 rad/s, times 1000 N m.

    >>> round(brake_power(1000.0, 15.0, 0.3), 6)
    50000.0
    """
    return brake_torque * rim_speed / radius


def disc_warming(power, duration, disc_mass, heat_capacity=460.0):
    """Warming [K] of a disc [kg] by a power [W] over a time [s] without cooling; heat capacity of
    cast iron [J/(kg K)] from memory.

    20 kW for 5 s are 100 kJ; 8 kg of iron take 3.68 kJ a kelvin.

    >>> round(disc_warming(20e3, 5.0, 8.0), 1)
    27.2
    """
    return power * duration / (disc_mass * heat_capacity)


def applications_to_limit(start, limit, rise, cooling=0.0):
    """Which brake application peaks at or above `limit` [degC]; each warms the disc by `rise` [K],
    then it cools by `cooling` [K].

    From 100 the peaks are 200, 280, 360, 440 and 520 degC: the fifth is past 500.

    >>> applications_to_limit(100, 500, 100, cooling=20)
    5
    """
    number, peak = 1, start + rise
    while peak < limit:
        if cooling >= rise:
            raise ValueError(
                f"cooling of {cooling} K is not below the rise of {rise} K: the limit is never"
                " reached"
            )
        number, peak = number + 1, peak - cooling + rise
    return number


def slip_threshold(car_speed, factor=1.05, margin=3 / IN_KMH):
    """Wheel speed [m/s] at which control steps in; factor and margin [m/s] are a choice of this
    course.
    """
    return factor * car_speed + margin


def bend_speeds(car_speed, bend_radius, track):
    """Speeds [m/s] of the inner and the outer wheel of an axle rolling through a bend [m] without
    slip.

    Half a track of 1.5 m is 3.75 % of a bend of 20 m.

    >>> [round(speed, 3) for speed in bend_speeds(10.0, 20.0, 1.5)]
    [9.625, 10.375]
    """
    part = track / 2 / bend_radius
    return car_speed * (1 - part), car_speed * (1 + part)


def duty_for_current(current, resistance, voltage):
    """Share of the time [-] that a coil must be switched on for a mean current [A]; the drop of the
    free-wheel path is left out.

    Always on, 12 V drive 3 A through 4 ohm; for 1.5 A it is on half the time.

    >>> duty_for_current(1.5, 4.0, 12.0)
    0.5
    """
    return current * resistance / voltage


def largest_current(voltage, coil, extra=0.0):
    """Current [A] through a coil that is always on, with an extra resistance in its line [ohm]."""
    return voltage / (coil + extra)


def brake_fluid(pressure, first, per_pressure):
    """Fluid [m3] that brings a brake from rest to `pressure` [Pa]: `first` closes the gaps, then so
    much a pascal.
    """
    return first + per_pressure * pressure


def pulse_step(flow, open_time, per_pressure):
    """Pressure [Pa] that one opening of an inlet adds, at a flow [m3/s], in a brake that takes
    `per_pressure` [m3/Pa].

    10 cm^3/s for 5 ms are 0.05 cm^3; a brake that takes 0.02 cm^3 a bar gains 2.5 bar.

    >>> round(pulse_step(10e-6, 0.005, 0.02e-6 / 1e5) / 1e5, 6)
    2.5
    """
    return flow * open_time / per_pressure
