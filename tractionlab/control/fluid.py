"""The control unit's own count of the fluid in each wheel brake: it has no pressure sensor there, so it reckons what its valves let through."""
from math import exp

from tractionlab.control.hydraulics import LAYOUT_A
from tractionlab.control.settings import M_FLUID, M_PUMP, VALVES
from tractionlab.physics.brake import INCREASE, PEDAL, REDUCE
from tractionlab.physics.hydraulics import orifice_flow, soft_pressure, soft_volume

def can_brake(i, h):
    """True if traction control can brake wheel i: any in layout B, those of one axle in layout A."""
    return h.layout != LAYOUT_A or (i >= 2) == (h.braked_axle == 1.0)


def fluid_for(i, pressure, h):
    """Fluid that brake i takes at a pressure [Pa]."""
    if i < 2:
        return soft_volume(pressure, h.front_slope, h.front_gap, h.knee)
    return soft_volume(pressure, h.rear_slope, h.rear_gap, h.knee)


def pressure_of(i, fluid, h):
    """Pressure [Pa] of brake i that holds this fluid."""
    if i < 2:
        return soft_pressure(fluid, h.front_slope, h.front_gap, h.knee)
    return soft_pressure(fluid, h.rear_slope, h.rear_gap, h.knee)


def through(difference, coefficient, h):
    """Flow through an open valve [m^3/s] at a pressure difference [Pa], none backwards."""
    return orifice_flow(max(0.0, difference), coefficient, h.laminar, h.laminar ** -0.5)


def pedal_flow(i, h):
    """Flow coefficient of the way from the pedal to wheel i."""
    return h.front_flow if i < 2 else h.rear_flow


def full_flow(i, rises, pressure, line, memory, cycle, h):
    """Flow [m^3/s] into or out of brake i at this pressure while its valves increase or reduce all the time.

    `line` is the pressure from the pedal [Pa]; where it is zero, accumulator or pump build up.
    """
    if not rises:
        return through(pressure - h.back, h.out_flow, h)
    if line > 0.0:
        return through(line - pressure, pedal_flow(i, h), h)
    if h.layout == LAYOUT_A:
        return through(h.supply - pressure, h.supply_flow, h)
    turn = cycle * h.pump_start
    return h.pump_flow * (memory[M_PUMP] + (1.0 - memory[M_PUMP]) * turn / (2.0 + turn))


def let_fluid(i, step, line, memory, outputs, cycle, h):
    """Open the valves of wheel i for the share of the cycle that a step of pressure [Pa] takes; the pressure [Pa] that the unit then reckons with.

    The share is for the fluid, not for the pressure: closing the clearance of the brake takes fluid and makes no pressure.
    """
    fluid = memory[M_FLUID + i]
    pressure = pressure_of(i, fluid, h)
    wanted = fluid_for(i, max(0.0, pressure + step), h) - fluid
    middle = max(0.0, pressure + 0.5 * step)
    reach = full_flow(i, step >= 0.0, middle, line, memory, cycle, h) * cycle
    share = min(1.0, abs(wanted) / max(reach, 1e-12))
    outputs[VALVES + i] = (INCREASE if step >= 0.0 else REDUCE) * share
    fluid += share * reach if step >= 0.0 else -share * reach
    memory[M_FLUID + i] = max(0.0, fluid)
    return pressure_of(i, memory[M_FLUID + i], h)


def follow_pedal(i, pedal, memory, cycle, h):
    """Count the fluid while the valves of wheel i stand open to the pedal [Pa]; the pressure [Pa] that the unit reckons with."""
    fluid = memory[M_FLUID + i]
    pressure = pressure_of(i, fluid, h)
    goal = fluid_for(i, max(0.0, pedal), h)
    if goal >= fluid:
        fluid = min(goal, fluid + through(pedal - pressure, pedal_flow(i, h), h) * cycle)
    else:
        fluid = max(goal, fluid - through(pressure - pedal, pedal_flow(i, h), h) * cycle)
    memory[M_FLUID + i] = fluid
    return pressure_of(i, fluid, h)


def count_pump(outputs, memory, cycle, h):
    """Count how fast the return pump turns at the end of this cycle, as a share of its speed: it runs while a wheel is in control."""
    on = 0.0
    for i in range(4):
        if outputs[VALVES + i] != PEDAL:
            on = 1.0
    rate = h.pump_start if on > memory[M_PUMP] else h.pump_coast
    memory[M_PUMP] += (on - memory[M_PUMP]) * (1.0 - exp(-cycle * rate))
