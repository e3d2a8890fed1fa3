"""Keys of the items on the hydraulic layouts.

Units as in the items: bar, cm3, s, ms, A, ohm, V, percent; modes and places as in data/hydraulics.
"""

from math import ceil

from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.paths import can_reach, positions_in
from tractionlab.physics.hydraulics import ATMOSPHERE
from tractionlab.textbook.formulas import brake_fluid, duty_for_current, largest_current, pulse_step
from tractionlab.textbook.hydraulics import (
    compressed,
    disc_brake_torque_per_pressure,
    fluid_over_gas,
)
from tractionlab.units import BAR


def gas_volume(gas, precharge, pressure):
    """Volume of the gas [cm3] at a gauge pressure [bar], slow change."""
    return gas - fluid_over_gas(pressure * BAR, gas, precharge * BAR + ATMOSPHERE, 1.0)


def usable(low_volume, high_volume):
    """Fluid [cm3] that comes out between two gas volumes."""
    return low_volume - high_volume


def usable_in_proportion(gas, low, high):
    """Trap: gas gets smaller in equal steps."""
    return gas * (high - low) / high


def time_of(volume, flow):
    """Time [s] for a volume at a flow."""
    return volume / flow


def time_turned(volume, flow):
    """Trap: flow over volume."""
    return flow / volume


def number_of(volume, each):
    """How many times `each` fits."""
    return volume / each


def duty(current, coil, voltage):
    """Share of the time on [%] for a current [A]."""
    return 100 * duty_for_current(current, coil, voltage)


def duty_without_coil(current, voltage):
    """Trap: current over voltage."""
    return 100 * current / voltage


def most_current(voltage, coil, extra):
    """Largest current [A] with an extra resistance."""
    return largest_current(voltage, coil, extra)


def current_of_coil(voltage, coil):
    """Trap: the extra resistance left out."""
    return voltage / coil


def current_of_extra(voltage, extra):
    """Trap: the coil left out."""
    return voltage / extra


def positions_left(voltage, coil, extra):
    """Which positions a three-position valve still reaches: "one", "two" or "three"."""
    most = most_current(voltage, coil, extra)
    return "three" if most >= 5.0 else "two" if most >= 2.0 else "one"


def clear_positions(voltage, coil, extra):
    """True if the current is not close to one of the limits."""
    return all(abs(most_current(voltage, coil, extra) / limit - 1) > 0.08 for limit in (2.0, 5.0))


def wheel_fluid(pressure, first, per_bar):
    """Fluid [cm3] for a pressure."""
    return brake_fluid(pressure, first, per_bar)


def wheel_fluid_no_gap(pressure, per_bar):
    """Trap: closing the gaps forgotten."""
    return pressure * per_bar


def wheel_fluid_gap_each(pressure, first, per_bar):
    """Trap: the gap counted for each bar."""
    return pressure * (first + per_bar)


def step(flow, open_ms, per_bar):
    """Step [bar] of one opening."""
    return pulse_step(flow, open_ms / 1000, per_bar)


def step_of_period(flow, period, per_bar):
    """Trap: open all the period."""
    return pulse_step(flow, period / 1000, per_bar)


def openings(rise, step_):
    """Whole openings that a rise [bar] needs.

    What is left of a thousandth of a step is the rounding of the step.
    """
    return ceil(rise / step_ - 1e-3)


def between_openings(rise, flow, open_ms, per_bar):
    """True if the rise ends well inside a step, so that a rounded step leads to the same number of
    openings.
    """
    return 0.15 < rise / step(flow, open_ms, per_bar) % 1 < 0.85


def pulses_time(rise, step_, period):
    """Time [s] of the whole periods [ms] that bring at least a rise [bar], one step each."""
    return openings(rise, step_) * period / 1000


def pulses_time_open(rise, step_, open_ms):
    """Trap: pauses left out."""
    return openings(rise, step_) * open_ms / 1000


def pulses_time_part(rise, step_, period):
    """Trap: a part of a period counted."""
    return rise / step_ * period / 1000


def air_volume(air, pressure):
    """Fluid [cm3] that an air bubble of 1 bar takes up at a gauge pressure, slow."""
    return compressed(air * 1e-6, pressure * BAR, 1e12, 1.0) * 1e6


def air_volume_gauge(air, pressure):
    """Trap: air shrinks to 1 / gauge pressure."""
    return air * (1 - 1 / pressure)


def torque_per_bar(piston, friction, radius):
    """Brake torque [N m] for one bar; piston in mm, radius in m."""
    return disc_brake_torque_per_pressure(piston / 1000, friction, radius) * BAR


def torque_per_bar_one_pad(piston, friction, radius):
    """Trap: one pad only."""
    return torque_per_bar(piston, friction, radius) / 2


def torque_per_bar_diameter(piston, friction, radius):
    """Trap: diameter taken for the radius of the piston."""
    return torque_per_bar(piston, friction, radius) * 4


def torque_at(per_bar, pressure):
    """Brake torque [N m] at a pressure."""
    return per_bar * pressure


def connected(key, mode, start, goal):
    """Can fluid get there: "yes" or "no"."""
    return "yes" if can_reach(layout(key), mode, start, goal) else "no"


def connected_with(key, mode, component, position, start, goal):
    """The same with one part standing otherwise."""
    shown = layout(key)
    return (
        "yes"
        if can_reach(shown, positions_in(shown, mode, **{component: position}), start, goal)
        else "no"
    )


def gauge_after(work, high):
    """Pressure [bar] on the accumulator's gauge of layout A after some work: "full" or "zero"."""
    from tractionlab.hydraulics.paths import shortest_path

    mode = {"strokes": "all_off", "wait": "all_off", "bleed": "depressurise"}[work]
    shown = layout("A")
    way = shortest_path(shown, mode, "ACC", "BOTTLE") or shortest_path(shown, mode, "ACC", "RES")
    return "zero" if way else "full"


def pressure_limit(relief, pressure):
    """What the relief valve of the isolating valve does at a pressure: "opens" or "shut"."""
    return "opens" if pressure > relief else "shut"


def not_at_limit(relief, pressure):
    """True if the pressure is clear of the limit."""
    return abs(pressure - relief) > 8


def usable_of(gas, precharge, high, low):
    """Fluid [cm3] that comes out between two gauge pressures [bar]."""
    return usable(gas_volume(gas, precharge, low), gas_volume(gas, precharge, high))
