"""The brake circuit of a car, layout A or B: rates, time steps, and the circuit at rest."""

from tractionlab.physics.circuit import (
    ACCUMULATOR,
    CHAMBER,
    CHARGE_ON,
    CUT_IN,
    CUT_OUT,
    GAS,
    GAS_COVOLUME,
    GAS_PULL,
    GAS_WARMTH,
    GAS_WORK,
    LAYOUT,
    LAYOUT_A,
    PLACES,
    RESERVOIR,
    REST,
    REST_VOLUME,
    STATES,
    VALVE,
    VALVES,
)
from tractionlab.physics.circuit_a import rates_a
from tractionlab.physics.circuit_b import rates_b
from tractionlab.physics.circuit_parts import aim_valves
from tractionlab.physics.hydraulics import gas_fluid, switch_after

# The classical Runge-Kutta scheme: how far ahead the next slope is taken, and how much each slope
# counts.
AHEAD = (0.5, 0.5, 1.0, 0.0)
WEIGHT = (1.0, 2.0, 2.0, 1.0)


def circuit_rates(state, command, parts, rates, pressures, flows):
    """Time derivative of a brake circuit.

    Parameters
    ----------
    state : array (STATES,), see `circuit`
    command : array (COMMANDS,): valve currents [A], pedal pressure [Pa], pumps on 0..1, bleed screw
        0..1; constant during a step
    parts : Circuit
    rates (STATES,), pressures (PLACES,) [Pa], flows (FLOWS,) [m^3/s] : filled. The rates of all
    volumes add up to zero."""
    if parts.numbers[LAYOUT] == LAYOUT_A:
        rates_a(state, command, parts, rates, pressures, flows)
    else:
        rates_b(state, command, parts, rates, pressures, flows)


def circuit_at_rest(parts, accumulator_pressure, reservoir, state):
    """Fill `state` with the circuit at rest, pedal free, pressures at zero but for the accumulator
    of layout A [Pa]; reservoir in m^3.
    """
    numbers = parts.numbers
    for n in range(STATES):
        state[n] = 0.0
    state[RESERVOIR] = reservoir
    state[GAS_WARMTH] = 1.0
    state[CHAMBER] = numbers[REST_VOLUME]
    state[CHAMBER + 1] = numbers[REST_VOLUME]
    if numbers[LAYOUT] == LAYOUT_A:
        state[ACCUMULATOR] = gas_fluid(
            accumulator_pressure,
            numbers[GAS],
            numbers[GAS_WORK],
            numbers[GAS_COVOLUME],
            numbers[GAS_PULL],
        )
    for j in range(VALVES):
        state[VALVE + j] = parts.valves[j, REST]


def watch_accumulator(command, parts, pressures):
    """Let the pressure switch of layout A start and stop the charge pump; called between steps."""
    if parts.numbers[LAYOUT] == LAYOUT_A:
        command[CHARGE_ON] = switch_after(
            command[CHARGE_ON],
            pressures[ACCUMULATOR],
            parts.numbers[CUT_IN],
            parts.numbers[CUT_OUT],
        )


def advance_circuit(steps, dt, state, command, parts, pressures, flows, space):
    """Advance a circuit that stands on the bench, without a car, by `steps` Runge-Kutta steps of
    `dt` [s]; `command` stays as it is.

    Parameters
    ----------
    space : array (3, STATES), scratch
    """
    trial, rates, total = space[0], space[1], space[2]
    aim_valves(command, parts.valves)
    for _ in range(steps):
        for j in range(STATES):
            trial[j] = state[j]
            total[j] = 0.0
        for stage in range(4):
            circuit_rates(trial, command, parts, rates, pressures, flows)
            for j in range(STATES):
                total[j] += WEIGHT[stage] * rates[j]
                trial[j] = state[j] + AHEAD[stage] * dt * rates[j]
        for j in range(STATES):
            state[j] += dt / 6.0 * total[j]
    circuit_rates(state, command, parts, rates, pressures, flows)


def fluid_in(state):
    """All fluid of a circuit [m^3]: it never changes."""
    total = 0.0
    for n in range(PLACES):
        total += state[n]
    return total
