"""What both hydraulic layouts share: order of state, commands and flows, parameters, chambers,
pedal, valves and pumps.
"""

from typing import NamedTuple

import numpy as np

from tractionlab.physics.hydraulics import (
    ATMOSPHERE,
    caliper_pressure,
    lift,
    orifice_flow,
    pump_rate,
    soft_pressure,
    spring_pressure,
)

LAYOUT_A, LAYOUT_B = 0.0, 1.0

# State: fluid at each place [m^3] (its pressure stands at the same index in `pressures`), strokes
# [m^3], pump speeds, valve travels.
RESERVOIR, BOTTLE, CHAMBER, LINE, WHEEL, ACCUMULATOR, GALLERY, SUCTION = 0, 1, 2, 4, 6, 10, 11, 13
PLACES = 15
STROKE, RETURN_SPEED, CHARGE_SPEED, VALVE = 15, 17, 18, 19
STATES = 32

# Valves, in the order of the state from VALVE on, of the rows of `valves`, and of the first
# commands and flows.
INLET, OUTLET, CUT, FEED, DRAIN = 0, 4, 8, 10, 12
VALVES = 13
FLOW, LAMINAR, ROOT, LEAK, NON_RETURN, LOW, HIGH, WIRE, MOST_CURRENT, REST, BEGIN, DONE = range(12)
COLUMNS = 12

# Commands, constant during a step: a current for each valve [A], then these, then what `aim_valves`
# makes of the currents.
PEDAL, RETURN_ON, CHARGE_ON, BLEED, AIM = 13, 14, 15, 16, 17
COMMANDS = 30

# Flows [m^3/s], positive the way the fluid is meant to go: through each valve, then these.
PORT, PUMPED, DRAWN, CHARGED, RELIEVED, BLED = 13, 15, 17, 19, 20, 22
FLOWS = 23

# What a wheel brake is described by.
GAP, KNEE, SLOPE, AIR = range(4)

# Numbers of a circuit. Pressures in Pa, volumes in m^3, flows in m^3/s, gains in 1/Pa or 1/m^3,
# coefficients in m^3/s/Pa^0.5.
LAYOUT, LINE_AXLE, QUICK, OVERLAP, CRACK, SEAT_GAIN, DRAW, DRAW_GAIN, WIDE_LAMINAR, WIDE_ROOT = (
    range(10)
)
RELIEF_PRESSURE, RELIEF_GAIN, RELIEF, BLEED_SCREW = range(10, 14)
GAS, PRECHARGE, EXPONENT, GAS_FIRST, PRELOAD, SPRING, STOP, FULL, GALLERY_FIRST = range(14, 23)
(
    FOOT,
    FASTEST,
    RETURN_SPRING,
    MOST_STROKE,
    STROKE_GAIN,
    PORT_GAIN,
    PORT_FLOW,
    PORT_LAMINAR,
    PORT_ROOT,
    CUP,
    REST_VOLUME,
) = range(23, 34)
RETURN_FLOW, SUCTION_EMPTY, SUCTION_GAIN, CHARGE_FLOW, MOTOR_START, MOTOR_COAST, CUT_IN, CUT_OUT = (
    34,
    36,
    37,
    38,
    39,
    40,
    41,
    42,
)
# Behind them, in the same array: compliance [m^3/Pa] and soft volume [m^3] of each place, then GAP,
# KNEE, SLOPE, AIR of each wheel.
PLACE = 43
BRAKE = PLACE + 2 * PLACES
NUMBERS = BRAKE + 16


class Circuit(NamedTuple):
    """All parameters of a brake circuit: valves (VALVES, COLUMNS) and numbers (NUMBERS,).

    A fault is a changed cell.
    """

    valves: np.ndarray
    numbers: np.ndarray


def fill_pressure(n, state, numbers, pressures):
    """Gauge pressure [Pa] of line or suction chamber `n` into `pressures`."""
    pressures[n] = soft_pressure(
        state[n], numbers[PLACE + 2 * n], numbers[PLACE + 2 * n + 1], ATMOSPHERE
    )


def fill_pressures(state, numbers, pressures):
    """Gauge pressures [Pa] of chambers, galleries and wheels into `pressures` (PLACES,), from
    volumes and strokes in `state` (STATES,).
    """
    for k in range(2):
        n = CHAMBER + k
        pushed = state[n] - numbers[REST_VOLUME] + state[STROKE + k]
        pressures[n] = soft_pressure(
            pushed, numbers[PLACE + 2 * n], numbers[PLACE + 2 * n + 1], ATMOSPHERE
        )
        pressures[GALLERY + k] = spring_pressure(
            state[GALLERY + k],
            numbers[PRELOAD],
            numbers[SPRING],
            numbers[STOP],
            numbers[FULL],
            numbers[GALLERY_FIRST],
        )
    for i in range(4):
        n = BRAKE + 4 * i
        pressures[WHEEL + i] = caliper_pressure(
            state[WHEEL + i],
            numbers[n + SLOPE],
            numbers[n + GAP],
            numbers[n + KNEE],
            numbers[n + AIR],
        )


def pass_valves(state, valves, numbers, flows):
    """Turn the pressure difference [Pa] that stands in `flows` for each valve into its flow
    [m^3/s].

    A seat may leak (LEAK); a non-return valve beside it helps forward (NON_RETURN > 0) or backward
    (< 0)."""
    overlap, crack, gain = numbers[OVERLAP], numbers[CRACK], numbers[SEAT_GAIN]
    for j in range(VALVES):
        difference = flows[j]
        coefficient = valves[j, FLOW] * max(0.0, state[VALVE + j] - overlap) + valves[j, LEAK]
        beside = valves[j, NON_RETURN]
        if beside * difference > 0.0:
            coefficient += abs(beside) * lift(abs(difference), crack, gain)
        if coefficient == 0.0:
            flows[j] = 0.0
        else:
            flows[j] = orifice_flow(difference, coefficient, valves[j, LAMINAR], valves[j, ROOT])


def relief_flow(difference, numbers):
    """Flow through the relief valve [m^3/s]: opens above its set pressure."""
    if difference <= numbers[RELIEF_PRESSURE]:
        return 0.0
    return orifice_flow(
        difference,
        numbers[RELIEF] * lift(difference, numbers[RELIEF_PRESSURE], numbers[RELIEF_GAIN]),
        numbers[WIDE_LAMINAR],
        numbers[WIDE_ROOT],
    )


def aim_valves(command, valves):
    """From the currents in `command` to where each plunger goes, 0 shut .. 1 open; to be called
    whenever a current has changed.

    First what the coil lets through, then how far that moves the plunger, then what it is stuck at.
    """
    for j in range(VALVES):
        carried = min(command[int(valves[j, WIRE])], valves[j, MOST_CURRENT])
        share = min(
            1.0, max(0.0, (carried - valves[j, BEGIN]) / (valves[j, DONE] - valves[j, BEGIN]))
        )
        target = valves[j, REST] + share * (1.0 - 2.0 * valves[j, REST])
        command[AIM + j] = min(valves[j, HIGH], max(valves[j, LOW], target))


def move_parts(state, command, numbers, rates):
    """Rates of valve travels and pump speeds; all other rates start at zero."""
    for n in range(STROKE):
        rates[n] = 0.0
    rates[RETURN_SPEED] = pump_rate(
        state[RETURN_SPEED], command[RETURN_ON], numbers[MOTOR_START], numbers[MOTOR_COAST]
    )
    rates[CHARGE_SPEED] = pump_rate(
        state[CHARGE_SPEED], command[CHARGE_ON], numbers[MOTOR_START], numbers[MOTOR_COAST]
    )
    for j in range(VALVES):
        rates[VALVE + j] = (command[AIM + j] - state[VALVE + j]) * numbers[QUICK]


def move_pedal(state, foot, numbers, rates, pressures, flows):
    """Strokes of the two master-cylinder pistons under a foot [Pa], and flow through their ports; a
    piston shuts its port early on.
    """
    push = foot - numbers[RETURN_SPRING] * max(0.0, 1.0 - foot / (2.0 * numbers[RETURN_SPRING]))
    for k in range(2):
        stroke, pressure = state[STROKE + k], pressures[CHAMBER + k]
        speed = min(numbers[FASTEST], max(-numbers[FASTEST], numbers[FOOT] * (push - pressure)))
        room = stroke if speed < 0.0 else numbers[MOST_STROKE] - stroke
        rates[STROKE + k] = speed * min(1.0, room * numbers[STROKE_GAIN])
        coefficient = numbers[PORT_FLOW] * min(1.0, max(0.0, 1.0 - stroke * numbers[PORT_GAIN]))
        coefficient += numbers[CUP] * lift(-pressure, 0.0, 1.0 / ATMOSPHERE)
        flow = 0.0
        if coefficient != 0.0:
            flow = orifice_flow(pressure, coefficient, numbers[PORT_LAMINAR], numbers[PORT_ROOT])
        flows[PORT + k] = flow
        rates[CHAMBER + k] -= flow
        rates[RESERVOIR] += flow
