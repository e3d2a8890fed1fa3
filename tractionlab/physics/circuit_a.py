"""Hydraulic layout A: accumulator with charge pump, cut-off, feed and drain valve, three-position
wheel valves, return galleries.
"""

from tractionlab.physics.circuit import (
    ACCUMULATOR,
    BLED,
    BLEED,
    BLEED_SCREW,
    BOTTLE,
    CHAMBER,
    CHARGE_DROP,
    CHARGE_FLOW,
    CHARGE_FREE,
    CHARGE_ON,
    CHARGE_SPEED,
    CHARGED,
    COMMAND_PEDAL,
    CUT_OFF,
    DRAIN,
    FEED,
    GALLERY,
    GAS,
    GAS_COOLING,
    GAS_COVOLUME,
    GAS_FIRST,
    GAS_PULL,
    GAS_STIFFNESS,
    GAS_WARMTH,
    GAS_WORK,
    INLET,
    LINE,
    LINE_AXLE,
    MOTOR_COAST,
    MOTOR_START,
    OUTLET,
    PUMPED,
    RELIEVED,
    RESERVOIR,
    RETURN_FLOW,
    RETURN_SPEED,
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
from tractionlab.physics.hydraulics import (
    gas_pressure,
    gas_warming,
    motor_rate,
    orifice_flow,
    suction_share,
)


def stored_pressure(state, numbers):
    """Gauge pressure of the accumulator [Pa]."""
    return gas_pressure(
        state[ACCUMULATOR],
        state[GAS_WARMTH],
        numbers[GAS],
        numbers[GAS_WORK],
        numbers[GAS_COVOLUME],
        numbers[GAS_PULL],
        numbers[GAS_FIRST],
    )


def rates_a(state, command, parts, rates, pressures, flows):
    """Fill `rates` (STATES,), `pressures` (PLACES,) and `flows` (FLOWS,) of layout A.

    Chamber 0 feeds the wheels of the axle without control (the front axle of a rear-wheel drive
    car), chamber 1 and line 1 the driven axle. A three-position wheel valve is an inlet and an
    outlet on one plunger: both rows hang on the same wire."""
    valves, numbers = parts.valves, parts.numbers
    fill_pressures(state, numbers, pressures)
    fill_pressure(LINE + 1, state, numbers, pressures)
    pressures[ACCUMULATOR] = stored_pressure(state, numbers)
    move_parts(state, command, numbers, rates)
    move_pedal(state, command[COMMAND_PEDAL], numbers, rates, pressures, flows)
    driven, line, stored = CHAMBER + 1, LINE + 1, pressures[ACCUMULATOR]

    first = 2 * int(numbers[LINE_AXLE])
    for i in range(4):
        k = 1 if first <= i < first + 2 else 0
        pressure, above = pressures[WHEEL + i], pressures[line] if k == 1 else pressures[CHAMBER]
        flows[INLET + i] = above - pressure
        flows[OUTLET + i] = max(0.0, pressure - pressures[GALLERY + k])
    flows[CUT_OFF], flows[FEED] = 0.0, 0.0
    flows[CUT_OFF + 1] = pressures[driven] - pressures[line]
    flows[FEED + 1] = max(0.0, stored - pressures[line])
    flows[DRAIN] = pressures[GALLERY + 1]
    pass_valves(state, valves, numbers, flows)

    for i in range(4):
        k = 1 if first <= i < first + 2 else 0
        rates[line if k == 1 else CHAMBER] -= flows[INLET + i]
        rates[WHEEL + i] += flows[INLET + i] - flows[OUTLET + i]
        rates[GALLERY + k] += flows[OUTLET + i]
    rates[driven] -= flows[CUT_OFF + 1]
    rates[line] += flows[CUT_OFF + 1] + flows[FEED + 1]
    rates[GALLERY + 1] -= flows[DRAIN]

    load = 0.0
    for k in range(2):
        share = suction_share(pressures[GALLERY + k], numbers[SUCTION_EMPTY], numbers[SUCTION_GAIN])
        flow = numbers[RETURN_FLOW + k] * state[RETURN_SPEED] * share
        load += 0.5 * share * max(0.0, pressures[CHAMBER + k] - pressures[GALLERY + k])
        flows[PUMPED + k] = flow
        rates[GALLERY + k] -= flow
        rates[CHAMBER + k] += flow
    turn_return_pump(state, command, load, numbers, rates)

    rates[CHARGE_SPEED] = motor_rate(
        state[CHARGE_SPEED],
        command[CHARGE_ON],
        numbers[CHARGE_FREE],
        numbers[CHARGE_DROP],
        max(0.0, stored),
        numbers[MOTOR_START],
        numbers[MOTOR_COAST],
    )
    charged = numbers[CHARGE_FLOW] * state[CHARGE_SPEED]
    relieved = relief_flow(stored, numbers)
    bled = 0.0
    if command[BLEED] > 0.0:
        bled = orifice_flow(
            max(0.0, stored),
            numbers[BLEED_SCREW] * command[BLEED],
            numbers[WIDE_LAMINAR],
            numbers[WIDE_ROOT],
        )
    flows[CHARGED] = charged
    flows[RELIEVED] = relieved
    flows[BLED] = bled
    filled = charged - relieved - bled - flows[FEED + 1]
    rates[ACCUMULATOR] += filled
    rates[GAS_WARMTH] = gas_warming(
        state[GAS_WARMTH],
        numbers[GAS] - state[ACCUMULATOR],
        filled,
        numbers[GAS_COVOLUME],
        numbers[GAS_STIFFNESS],
        numbers[GAS_COOLING],
    )
    rates[RESERVOIR] += relieved - charged + flows[DRAIN]
    rates[BOTTLE] += bled
