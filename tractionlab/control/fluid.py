"""The control unit's own count of the fluid in each wheel brake: it has no pressure sensor there,
so it works out what its valves let through.
"""

from math import exp

from tractionlab.control.fed_line import draw, fluid_for, give_back, line_of, pressure_of, through
from tractionlab.control.settings import ASK_VALVES, M_FED, M_FLUID, M_PUMP
from tractionlab.physics.brake import FOLLOW_PEDAL, HOLD, INCREASE, REDUCE

#: A waiting brake is filled in steps of this pressure [Pa], so that two on one line share it
#: evenly. Found by trying.
READY_STEP = 1e4


def pedal_flow(i, h):
    """Flow coefficient of the path from the pedal to wheel i."""
    return h.front_flow if i < 2 else h.rear_flow


def reach_of(i, step, pressure, line, memory, cycle, h):
    """Fluid [m^3] that brake i gains or loses in a whole cycle of increase or reduction, roughly.

    `line` is the pressure from the pedal [Pa]; where it is zero, accumulator or pump build up.
    """
    middle = max(0.0, pressure + 0.5 * step)
    if step < 0.0:
        return through(middle - h.back, h.out_flow, h) * cycle
    if line > 0.0:
        return through(line - middle, pedal_flow(i, h), h) * cycle
    stored = max(0.0, memory[M_FED + line_of(i, h)] - middle) * h.line
    return max(
        1e-12,
        min(
            through(memory[M_FED + line_of(i, h)] - middle, h.in_flow, h) * cycle,
            stored
            + h.pump_flow * memory[M_PUMP] * cycle
            + through(h.supply - middle, h.feed_flow, h) * cycle,
        ),
    )


def let_fluid(i, step, line, memory, outputs, cycle, h):
    """Open the valves of wheel i for the share of the cycle that a step of pressure [Pa] takes; the
    pressure [Pa] that the unit then assumes.

    The share is for the fluid, not for the pressure: closing the clearance of the brake takes fluid
    and makes no pressure."""
    fluid = memory[M_FLUID + i]
    pressure = pressure_of(i, fluid, h)
    wanted = fluid_for(i, max(0.0, pressure + step), h) - fluid
    reach = reach_of(i, step, pressure, line, memory, cycle, h)
    share = min(1.0, abs(wanted) / max(reach, 1e-12))
    outputs[ASK_VALVES + i] = (INCREASE if step >= 0.0 else REDUCE) * share
    if step < 0.0:
        fluid = max(0.0, fluid - share * reach)
        give_back(i, fluid, memory, h)
    elif line > 0.0:
        fluid += share * reach
    else:
        fluid = draw(i, fluid, share * cycle, memory, h)
    memory[M_FLUID + i] = fluid
    return pressure_of(i, fluid, h)


def make_ready(i, goal, memory, outputs, cycle, h):
    """Fill brake i up to a pressure [Pa] that just closes its clearance, while it waits."""
    step = min(READY_STEP, goal - pressure_of(i, memory[M_FLUID + i], h))
    if step > 0.0:
        let_fluid(i, step, 0.0, memory, outputs, cycle, h)
    else:
        outputs[ASK_VALVES + i] = HOLD


def follow_pedal(i, pedal, memory, cycle, h):
    """Count the fluid while the valves of wheel i stand open to the pedal [Pa]; the pressure [Pa]
    that the unit assumes.
    """
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
    """Count how fast the return pump turns at the end of this cycle, as a share of its speed: it
    runs while a wheel is in control.
    """
    on = 0.0
    for i in range(4):
        if outputs[ASK_VALVES + i] != FOLLOW_PEDAL:
            on = 1.0
    rate = h.pump_start if on > memory[M_PUMP] else h.pump_coast
    memory[M_PUMP] += (on - memory[M_PUMP]) * (1.0 - exp(-cycle * rate))
