"""Phases and pulses of a wheel's valves: how a phase begins and ends, and how an order in seconds
is spread over cycles.
"""

from tractionlab.control.phases import EASE, FREE, KEEP, RELEASE
from tractionlab.control.settings import (
    ASK_VALVES,
    M_BOUND,
    M_PHASE,
    M_PULSE,
    M_REASON,
    M_SEEN,
    M_SINCE,
    M_STEPS,
    M_TIME,
    M_TOP_RATE,
)
from tractionlab.physics.brake import FOLLOW_PEDAL

#: A rest of a pulse under this [s] is a rounding error.
ROUNDING = 1e-9


def enter(i, phase, reason, seen, limit, memory):
    """Begin a phase of wheel i, with the reason and the two values it compared. While the unit
    holds or reduces its own braking, the time since the last step runs on.
    """
    if phase != KEEP and phase != EASE:
        memory[M_SINCE + i] = 0.0
    memory[M_PHASE + i] = phase
    memory[M_TIME + i] = 0.0
    memory[M_PULSE + i] = 0.0
    memory[M_STEPS + i] = 0.0
    memory[M_TOP_RATE + i] = 0.0
    note(i, reason, seen, limit, memory)


def note(i, reason, seen, limit, memory):
    """Keep why wheel i is in its phase."""
    memory[M_REASON + i] = reason
    memory[M_SEEN + i] = seen
    memory[M_BOUND + i] = limit


def busy(memory):
    """True if the pressure of a wheel is controlled."""
    for i in range(4):
        if memory[M_PHASE + i] != FREE:
            return True
    return False


def free_all(reason, seen, limit, memory):
    """Every brake follows the pedal again."""
    for i in range(4):
        if memory[M_PHASE + i] != FREE:
            enter(i, FREE, reason, seen, limit, memory)


def step(i, seconds, memory, settings):
    """Order a pulse of wheel i [s]: up, or down where negative."""
    if seconds >= 0.0:
        memory[M_PULSE + i] = max(settings.shortest_pulse, seconds)
    else:
        memory[M_PULSE + i] = min(-settings.shortest_pulse, seconds)
    memory[M_SINCE + i] = 0.0
    memory[M_STEPS + i] += 1.0


def order(i, memory, outputs, settings):
    """Ask the valves of wheel i for what its phase wants: follow the pedal, reduce without end, or
    what this cycle holds of its pulse.
    """
    phase = memory[M_PHASE + i]
    if phase == FREE or phase == RELEASE:
        outputs[ASK_VALVES + i] = FOLLOW_PEDAL if phase == FREE else -1.0
        return
    share = min(1.0, max(-1.0, memory[M_PULSE + i] / settings.cycle))
    outputs[ASK_VALVES + i] = share
    left = memory[M_PULSE + i] - share * settings.cycle
    memory[M_PULSE + i] = left if abs(left) > ROUNDING else 0.0
    memory[M_SINCE + i] += settings.cycle
