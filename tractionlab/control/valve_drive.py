"""Driver stage of the control unit: from what each wheel's valves shall do to currents, pulses and
pumps of layout A or B.
"""

from tractionlab.control.hydraulics import CODED_A, can_brake
from tractionlab.control.settings import ASK_PUMP, ASK_VALVES
from tractionlab.physics.brake import FOLLOW_PEDAL
from tractionlab.physics.circuit import CUT_OFF, DRAIN, FEED, INLET, OUTLET, RETURN_ON
from tractionlab.physics.circuit_b import circuit_of_wheel


def drive_valves(outputs, braking, h, first, then, pulse):
    """Fill the commands of one cycle, see `physics.circuit_cycle.Plant`, from outputs[ASK_VALVES]:
    FOLLOW_PEDAL, or the share of the cycle, up or down.

    Positions are those of the modes in data/hydraulics. While the foot is on the pedal, traction
    control's valves stand at rest."""
    for j in range(pulse.shape[0]):
        first[j], then[j], pulse[j] = 0.0, 0.0, 0.0
    if h.layout == CODED_A:
        drive_a(outputs, braking, h, first, then, pulse)
    else:
        drive_b(outputs, braking, h, first, then, pulse)
    pump = outputs[ASK_PUMP] if braking or h.layout != CODED_A else 0.0
    first[RETURN_ON], then[RETURN_ON] = pump, pump


def drive_a(outputs, braking, h, first, then, pulse):
    """Layout A: increase needs no current, hold `hold`, reduce `reduce`; both wheels of the braked
    axle hang on one fed line.
    """
    feeding = False
    for i in range(4):
        if outputs[ASK_VALVES + i] != FOLLOW_PEDAL and can_brake(i, h) and not braking:
            feeding = True
    if feeding:
        for j in (CUT_OFF + 1, FEED + 1, DRAIN):
            first[j], then[j] = h.switch, h.switch
    for i in range(4):
        wanted = outputs[ASK_VALVES + i]
        if wanted == FOLLOW_PEDAL:
            if feeding and can_brake(i, h):
                first[INLET + i], then[INLET + i] = h.hold, h.hold
        elif braking or can_brake(i, h):
            then[INLET + i] = h.hold
            first[INLET + i] = 0.0 if wanted >= 0.0 else h.reduce
            pulse[INLET + i] = abs(wanted)


def drive_b(outputs, braking, h, first, then, pulse):
    """Layout B: an inlet and an outlet a wheel; for traction control a circuit is shut off from the
    pedal and drinks through its priming valve.
    """
    for k in range(2):
        feeding, drinks = 0.0, 0.0
        for i in range(4):
            if circuit_of_wheel(i) == k and outputs[ASK_VALVES + i] != FOLLOW_PEDAL and not braking:
                feeding = 1.0
                drinks = max(drinks, outputs[ASK_VALVES + i])
        if feeding == 1.0:
            first[CUT_OFF + k], then[CUT_OFF + k] = h.isolating, h.isolating
            first[FEED + k], pulse[FEED + k] = h.priming, drinks
        for i in range(4):
            if circuit_of_wheel(i) == k:
                drive_pair(i, outputs[ASK_VALVES + i], feeding, h, first, then, pulse)


def drive_pair(i, wanted, feeding, h, first, then, pulse):
    """Inlet and outlet of wheel i in layout B."""
    if wanted == FOLLOW_PEDAL:
        if feeding == 1.0:
            first[INLET + i], then[INLET + i] = h.inlet, h.inlet
        return
    then[INLET + i] = h.inlet
    if wanted >= 0.0:
        pulse[INLET + i] = wanted
    else:
        first[INLET + i] = h.inlet
        first[OUTLET + i], pulse[OUTLET + i] = h.outlet, -wanted
