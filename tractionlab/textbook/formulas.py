"""Hand formulas of the lessons beside those of `longitudinal`: torque at the engine, fuel cut,
stepper, disc heat, thresholds.

Scalar, SI. Source unless a function says otherwise: derived from Newton's laws and energy, as any
mechanics textbook has it."""

from math import atan, sin

from tractionlab.textbook.longitudinal import GRAVITY


def engine_torque_for_force(force, radius, ratio, efficiency, brake_torque=0.0):
    """Engine torque [N m] for `force` [N] at the tyres while a brake takes `brake_torque` [N m];
    radius m, total ratio -.
    """
    return (force * radius + brake_torque) / (ratio * efficiency)


def slope_force(mass, slope):
    """Force [N] that holds `mass` [kg] on a slope given as rise over run [-]."""
    return mass * GRAVITY * sin(atan(slope))


def brake_torque_for_force(force, low_friction, wheel_load, radius):
    """Brake torque [N m] on the low side so that both wheels of an open axle pass `force` [N], the
    high side below its grip.
    """
    return (force - 2 * low_friction * wheel_load) * radius


def torque_with_cylinders_cut(indicated, friction, cylinders, cut):
    """Engine torque [N m] left when `cut` of the cylinders get no fuel: the friction torque [N m]
    stays.
    """
    return indicated * (cylinders - cut) / cylinders - friction


def ignition_factor(torque, indicated, friction, cylinders, cut):
    """Factor [-] of late ignition that leaves `torque` [N m] when `cut` cylinders get no fuel."""
    return (torque + friction) / (indicated * (cylinders - cut) / cylinders)


def inertia_at_wheel(wheel_inertia, motor_inertia, ratio):
    """Inertia [kg m2] that speeds up with both driven wheels together, for one of them: its own and
    half the motor's.
    """
    return wheel_inertia + motor_inertia * ratio**2 / 2


def brake_power(brake_torque, rim_speed, radius):
    """Heat [W] that a brake makes at a rim speed [m/s]."""
    return brake_torque * rim_speed / radius


def disc_warming(power, duration, disc_mass, heat_capacity=460.0):
    """Warming [K] of a disc [kg] by a power [W] over a time [s] without cooling; heat capacity of
    cast iron [J/(kg K)] from memory.
    """
    return power * duration / (disc_mass * heat_capacity)


def applications_to_limit(start, limit, rise, cooling=0.0):
    """Which brake application peaks at or above `limit` [degC]; each warms the disc by `rise` [K],
    then it cools by `cooling` [K].
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


def slip_threshold(car_speed, factor=1.05, margin=3 / 3.6):
    """Wheel speed [m/s] at which control steps in; factor and margin [m/s] are a choice of this
    course.
    """
    return factor * car_speed + margin


def bend_speeds(car_speed, bend_radius, track):
    """Speeds [m/s] of the inner and the outer wheel of an axle rolling through a bend [m] without
    slip.
    """
    part = track / 2 / bend_radius
    return car_speed * (1 - part), car_speed * (1 + part)


def duty_for_current(current, resistance, voltage):
    """Share of the time [-] that a coil must be switched on for a mean current [A]; the drop of the
    free-wheel path is left out.
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
    """
    return flow * open_time / per_pressure
