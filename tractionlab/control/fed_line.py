"""The control unit's count of the line that it feeds in traction control: by the accumulator in
layout A, by the return pump in layout B.
"""

from tractionlab.control.hydraulics import CODED_A, CODED_B
from tractionlab.control.settings import ASK_VALVES, M_BACK, M_FED, M_FLUID, M_PUMP, M_SUPPLIED
from tractionlab.physics.brake import FOLLOW_PEDAL
from tractionlab.physics.circuit_b import circuit_of_wheel
from tractionlab.physics.hydraulics import orifice_flow, soft_pressure, soft_volume

#: Parts of a pulse in which the unit counts what goes into and out of the line.
PARTS = 4


def can_brake(i, h):
    """True if traction control can brake wheel i: any in layout B, one axle's in layout A."""
    return h.layout != CODED_A or (i >= 2) == (h.braked_axle == 1.0)


def line_of(i, h):
    """Number of the line that feeds wheel i: one for each circuit of layout B, the first one in
    layout A.
    """
    return circuit_of_wheel(i) if h.layout == CODED_B else 0


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
    return orifice_flow(max(0.0, difference), coefficient, h.laminar, h.laminar**-0.5)


def supply(k, seconds, drinks, memory, h):
    """Let accumulator or pump deliver into line k for a time [s]. In layout B the pump draws
    through the priming valve while that `drinks`, else what came back from the brakes and what is
    left in its suction chamber."""
    if h.layout == CODED_A:
        gained = through(h.supply - memory[M_FED + k], h.feed_flow, h) * seconds
    else:
        gained = h.pump_flow * memory[M_PUMP] * seconds
        if drinks:
            memory[M_BACK + k] = max(memory[M_BACK + k], h.suction)
        else:
            gained = min(gained, memory[M_BACK + k])
            memory[M_BACK + k] -= gained
    memory[M_FED + k] = min(h.supply, memory[M_FED + k] + gained / h.line)


def draw(i, fluid, seconds, memory, h):
    """Fluid in brake i after its inlet was open to its line for a time [s]; what the line gives, it
    loses, and meanwhile it is supplied.
    """
    k = line_of(i, h)
    fresh = max(0.0, seconds - memory[M_SUPPLIED + k])
    for _ in range(PARTS):
        supply(k, fresh / PARTS, True, memory, h)
        let = through(memory[M_FED + k] - pressure_of(i, fluid, h), h.in_flow, h) * seconds / PARTS
        fluid += let
        memory[M_FED + k] -= let / h.line
    memory[M_SUPPLIED + k] += fresh
    return fluid


def end_of_cycle(outputs, memory, cycle, h):
    """Supply the lines for the rest of this cycle; a line whose wheels are all free is open to the
    pedal and empties.
    """
    for k in range(2):
        fed = False
        for i in range(4):
            fed = fed or (
                line_of(i, h) == k and can_brake(i, h) and outputs[ASK_VALVES + i] != FOLLOW_PEDAL
            )
        if fed:
            supply(k, max(0.0, cycle - memory[M_SUPPLIED + k]), False, memory, h)
        else:
            memory[M_FED + k] = 0.0
            memory[M_BACK + k] = 0.0
        memory[M_SUPPLIED + k] = 0.0


def give_back(i, fluid, memory, h):
    """What brake i lets out in layout B the pump brings into its line again."""
    memory[M_BACK + line_of(i, h)] += memory[M_FLUID + i] - fluid
