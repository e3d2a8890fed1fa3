"""Hydraulic layout B: two diagonal circuits, each with isolating and priming valve, valve pairs,
return pump, low-pressure accumulator.
"""

from tractionlab.physics.circuit import (
    CHAMBER,
    COMMAND_PEDAL,
    CUT_OFF,
    DRAIN,
    DRAW,
    DRAW_GAIN,
    DRAWN,
    FEED,
    GALLERY,
    INLET,
    LINE,
    OUTLET,
    PUMPED,
    RELIEVED,
    RETURN_FLOW,
    RETURN_SPEED,
    SUCTION,
    SUCTION_EMPTY,
    SUCTION_GAIN,
    WHEEL,
    WIDE_LAMINAR,
    WIDE_ROOT,
)
from tractionlab.physics.circuit_parts import (
    fill_pressure,
    fill_pressures,
    move_parts,
    move_pedal,
    pass_valves,
    relief_flow,
    turn_return_pump,
)
from tractionlab.physics.hydraulics import lift, orifice_flow, suction_share


def circuit_of_wheel(i):
    """Circuit 0 or 1 of wheel i: the split is diagonal, front left with rear right."""
    return 0 if i == 0 or i == 3 else 1


def rates_b(state, command, parts, rates, pressures, flows):
    """Fill `rates` (STATES,), `pressures` (PLACES,) and `flows` (FLOWS,) of layout B."""
    valves, numbers = parts.valves, parts.numbers
    fill_pressures(state, numbers, pressures)
    for n in (LINE, LINE + 1, SUCTION, SUCTION + 1):
        fill_pressure(n, state, numbers, pressures)
    move_parts(state, command, numbers, rates)
    move_pedal(state, command[COMMAND_PEDAL], numbers, rates, pressures, flows)
    for i in range(4):
        k = circuit_of_wheel(i)
        pressure = pressures[WHEEL + i]
        flows[INLET + i] = pressures[LINE + k] - pressure
        flows[OUTLET + i] = max(0.0, pressure - pressures[GALLERY + k])
    for k in range(2):
        flows[CUT_OFF + k] = pressures[CHAMBER + k] - pressures[LINE + k]
        flows[FEED + k] = max(0.0, pressures[CHAMBER + k] - pressures[SUCTION + k])
    flows[DRAIN] = 0.0
    pass_valves(state, valves, numbers, flows)

    for i in range(4):
        k = circuit_of_wheel(i)
        rates[LINE + k] -= flows[INLET + i]
        rates[WHEEL + i] += flows[INLET + i] - flows[OUTLET + i]
        rates[GALLERY + k] += flows[OUTLET + i]
    load = 0.0
    for k in range(2):
        relieved = relief_flow(pressures[LINE + k] - pressures[CHAMBER + k], numbers)
        drawn, difference = 0.0, pressures[GALLERY + k] - pressures[SUCTION + k]
        if difference > 0.0:
            drawn = orifice_flow(
                difference,
                numbers[DRAW] * lift(difference, 0.0, numbers[DRAW_GAIN]),
                numbers[WIDE_LAMINAR],
                numbers[WIDE_ROOT],
            )
        share = suction_share(pressures[SUCTION + k], numbers[SUCTION_EMPTY], numbers[SUCTION_GAIN])
        pumped = numbers[RETURN_FLOW + k] * state[RETURN_SPEED] * share
        load += 0.5 * share * max(0.0, pressures[LINE + k] - pressures[SUCTION + k])
        flows[RELIEVED + k], flows[DRAWN + k], flows[PUMPED + k] = relieved, drawn, pumped
        rates[CHAMBER + k] += relieved - flows[CUT_OFF + k] - flows[FEED + k]
        rates[LINE + k] += flows[CUT_OFF + k] - relieved + pumped
        rates[GALLERY + k] -= drawn
        rates[SUCTION + k] += flows[FEED + k] + drawn - pumped
    turn_return_pump(state, command, load, numbers, rates)
