"""What both hydraulic layouts are built of: pressures of chambers, valves, pumps, the pedal."""

from tractionlab.physics.circuit import (
    AIM,
    AIR,
    BEGIN,
    BOOST,
    BRAKE,
    CHAMBER,
    CRACK,
    CUP,
    DONE,
    FASTEST,
    FLOW,
    FOOT,
    FULL,
    GALLERY,
    GALLERY_FIRST,
    GAP,
    HIGH,
    KNEE,
    LAMINAR,
    LEAK,
    LOW,
    MOST_CURRENT,
    MOST_STROKE,
    MOTOR_COAST,
    MOTOR_START,
    NON_RETURN,
    OVERLAP,
    PIPE,
    PLACE,
    PORT,
    PORT_FLOW,
    PORT_GAIN,
    PORT_LAMINAR,
    PORT_ROOT,
    PRELOAD,
    QUICK,
    RELIEF,
    RELIEF_GAIN,
    RELIEF_PRESSURE,
    RESERVOIR,
    REST,
    REST_VOLUME,
    RETURN_DROP,
    RETURN_FREE,
    RETURN_ON,
    RETURN_SPEED,
    RETURN_SPRING,
    ROOT,
    SEAT_GAIN,
    SLOPE,
    SPRING,
    STOP,
    STROKE,
    STROKE_GAIN,
    VALVE,
    VALVES,
    WHEEL,
    WIDE_LAMINAR,
    WIDE_ROOT,
    WIRE,
)
from tractionlab.physics.hydraulics import (
    ATMOSPHERE,
    caliper_pressure,
    lift,
    motor_rate,
    orifice_flow,
    piped_flow,
    soft_pressure,
    spring_pressure,
)


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

    A seat may leak (LEAK); a pipe may lie behind it (PIPE); a non-return valve beside it helps
    forward (NON_RETURN > 0) or backward (< 0)."""
    overlap, crack, gain = numbers[OVERLAP], numbers[CRACK], numbers[SEAT_GAIN]
    for j in range(VALVES):
        difference = flows[j]
        coefficient = valves[j, FLOW] * max(0.0, state[VALVE + j] - overlap) + valves[j, LEAK]
        beside = valves[j, NON_RETURN]
        if beside * difference > 0.0:
            coefficient += abs(beside) * lift(abs(difference), crack, gain)
        if coefficient == 0.0:
            flows[j] = 0.0
        elif valves[j, PIPE] > 0.0:
            flows[j] = piped_flow(difference, coefficient, valves[j, LAMINAR], valves[j, PIPE])
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
    """Rates of valve travels; all other rates start at zero."""
    for n in range(VALVE):
        rates[n] = 0.0
    for j in range(VALVES):
        rates[VALVE + j] = (command[AIM + j] - state[VALVE + j]) * numbers[QUICK]


def turn_return_pump(state, command, load, numbers, rates):
    """Rate of the return pump's speed under the mean back pressure of its elements [Pa]."""
    rates[RETURN_SPEED] = motor_rate(
        state[RETURN_SPEED],
        command[RETURN_ON],
        numbers[RETURN_FREE],
        numbers[RETURN_DROP],
        load,
        numbers[MOTOR_START],
        numbers[MOTOR_COAST],
    )


def move_pedal(state, pedal, numbers, rates, pressures, flows):
    """Strokes of the two master-cylinder pistons under a foot, and flow through their ports; a
    piston shuts its port early on. `pedal` is the pressure [Pa] that the foot makes with a sound
    booster; without it BOOST of that is left.
    """
    foot = numbers[BOOST] * pedal
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
