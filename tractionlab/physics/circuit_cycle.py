"""A brake circuit beside the car: one cycle of the control unit with its pulses of current, and the
pressures the wheels have meanwhile.
"""

from typing import NamedTuple

import numpy as np

from tractionlab.physics.brake_circuit import circuit_rates, watch_accumulator
from tractionlab.physics.circuit import (
    ACCUMULATOR,
    AIM,
    CHARGE_ON,
    FLOWS,
    GAS_COOLING,
    GAS_WARMTH,
    LAYOUT,
    LAYOUT_A,
    PLACES,
    STATES,
    VALVE,
    VALVES,
    WHEEL,
    WIRE,
    Circuit,
)
from tractionlab.physics.circuit_a import stored_pressure
from tractionlab.physics.circuit_parts import aim_valves

#: A circuit is still when no volume changes faster than this [m^3/s] and no plunger or pump faster
#: than this [1/s]. The gas of the accumulator may warm or cool meanwhile.
STILL_FLOW, STILL_MOTION = 1e-11, 1e-6
#: Most steps of a cycle for which there is always room.
MOST_STEPS = 20


class Plant(NamedTuple):
    """A circuit in a car, with the arrays that one cycle works on: one record, see `run.records`.

    steps : of a cycle
    state (STATES,), pressures (PLACES,) : now
    first, then (COMMANDS,) : what is commanded at the beginning of a cycle, and from the end of
    each valve's pulse on
    pulse (VALVES,) : share of the cycle that `first` holds for each valve, by its wire
    command (COMMANDS,) : at work in a step
    flows (FLOWS,), travel, current (VALVES,) : of the last cycle: mean flow, and plunger and
    current at the end of its pulse
    wheel (MOST_STEPS + 1 or more, 4) : pressure at the wheels [Pa], step by step through the cycle
    before (2, COMMANDS), rest (2,) : commands of the cycle before; 1.0 if nothing moved then
    space (4, STATES), now (FLOWS,) : scratch
    """

    steps: int
    parts: Circuit
    state: np.ndarray
    pressures: np.ndarray
    first: np.ndarray
    then: np.ndarray
    pulse: np.ndarray
    command: np.ndarray
    flows: np.ndarray
    travel: np.ndarray
    current: np.ndarray
    wheel: np.ndarray
    before: np.ndarray
    rest: np.ndarray
    space: np.ndarray
    now: np.ndarray


def run_cycle(period, plant):
    """Advance the circuit by one cycle of the control unit [s], in midpoint steps that are the same
    whatever steps the car takes.

    A pulse that ends within a step counts there by its share, so that what flows grows evenly with
    the length of the pulse. What the bench calls, too, gets plain arrays, `[:]`, as from there: it
    is compiled once."""
    steps, parts, state, command = plant.steps, plant.parts, plant.state[:], plant.command[:]
    first, then, pressures, now = plant.first[:], plant.then[:], plant.pressures[:], plant.now[:]
    watch_accumulator(then, parts, pressures)
    first[CHARGE_ON] = then[CHARGE_ON]
    if stays_still(plant):
        for k in range(steps):
            for i in range(4):
                plant.wheel[k, i] = plant.wheel[steps, i]
        cool_gas(period, plant)
        return
    trial, rates, total = plant.space[0], plant.space[1], plant.space[2]
    aim_valves(first, parts.valves)
    aim_valves(then, parts.valves)
    for n in range(command.shape[0]):
        command[n] = then[n]
    for j in range(FLOWS):
        total[j] = 0.0
    dt = period / steps
    for k in range(steps):
        for j in range(VALVES):
            share = pulse_in_step(j, k, steps, plant)
            command[AIM + j] = then[AIM + j] + share * (first[AIM + j] - then[AIM + j])
        circuit_rates(state, command, parts, rates, pressures, now)
        for i in range(4):
            plant.wheel[k, i] = pressures[WHEEL + i]
        for n in range(STATES):
            trial[n] = state[n] + 0.5 * dt * rates[n]
        circuit_rates(trial, command, parts, rates, pressures, now)
        for n in range(STATES):
            state[n] += dt * rates[n]
        for j in range(FLOWS):
            total[j] += now[j]
        for j in range(VALVES):
            if k == 0 or pulse_in_step(j, k, steps, plant) > 0.0:
                plant.travel[j] = state[VALVE + j]
    circuit_rates(state, command, parts, rates, pressures, now)
    for i in range(4):
        plant.wheel[steps, i] = pressures[WHEEL + i]
    for j in range(FLOWS):
        plant.flows[j] = total[j] / steps
    show_valves(plant)
    remember(rates, plant)


def cool_gas(period, plant):
    """Let the gas of layout A take the warmth of the unit around it while all else stands still."""
    state, numbers = plant.state[:], plant.parts.numbers
    if numbers[LAYOUT] == LAYOUT_A and state[GAS_WARMTH] != 1.0:
        state[GAS_WARMTH] += period * numbers[GAS_COOLING] * (1.0 - state[GAS_WARMTH])
        plant.pressures[ACCUMULATOR] = stored_pressure(state, numbers)


def pulse_in_step(j, k, steps, plant):
    """Share of step k in which the pulse of valve j is on."""
    return min(1.0, max(0.0, plant.pulse[int(plant.parts.valves[j, WIRE])] * steps - k))


def show_valves(plant):
    """Current and travel of each valve for the record: at the end of its pulse, or of the cycle
    where it had none.
    """
    for j in range(VALVES):
        if plant.pulse[int(plant.parts.valves[j, WIRE])] == 0.0:
            plant.travel[j] = plant.state[VALVE + j]
        plant.current[j] = plant.first[j] if plant.pulse[j] > 0.0 else plant.then[j]


def remember(rates, plant):
    """Note the commands of this cycle, and whether the circuit came to rest in it."""
    for n in range(AIM):
        plant.before[0, n], plant.before[1, n] = plant.first[n], plant.then[n]
    still = 1.0
    for n in range(STATES):
        limit = STILL_FLOW if n < PLACES else STILL_MOTION
        if n != GAS_WARMTH and abs(rates[n]) > limit:
            still = 0.0
    plant.rest[0] = still


def stays_still(plant):
    """True if nothing moves and nothing is commanded that was not commanded before."""
    if plant.rest[0] == 0.0:
        return False
    for n in range(AIM):
        if plant.before[0, n] != plant.first[n] or plant.before[1, n] != plant.then[n]:
            return False
    for j in range(VALVES):
        if plant.pulse[j] > 0.0:
            return False
    return True


def wheel_pressures(share, plant, pressures):
    """Pressures at the wheels [Pa] at a share of the cycle, by straight lines between the steps,
    into `pressures` (4,).
    """
    place = share * plant.steps
    k = min(int(place), plant.steps - 1)
    part = place - k
    for i in range(4):
        pressures[i] = plant.wheel[k, i] + part * (plant.wheel[k + 1, i] - plant.wheel[k, i])
