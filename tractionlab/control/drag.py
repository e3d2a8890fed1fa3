"""Engine-drag control: where a driven wheel is dragged with the accelerator free and the clutch
shut, the drive gives so much that it rolls.
"""

from tractionlab.control.phases import DRAG, DRAGS, DRIVER, ROLLS_AGAIN, WISH_REACHED
from tractionlab.control.settings import (
    M_REFERENCE,
    M_REQUEST,
    M_SPEED,
    M_TORQUE_PHASE,
    M_TORQUE_TIME,
    SENSE_PEDAL,
    SENSE_RATIO,
)
from tractionlab.control.torque import begin_phase, driveline_inertia


def lift_drag(wish, sensors, memory, shares, engine, settings):
    """Engine-drag control: torque [N m] that the drive shall give where a driven wheel turns too
    slowly with the accelerator free and the clutch shut. It never pushes: the wheel is let roll.
    """
    ratio = sensors[SENSE_RATIO]
    slowest, reference = 1e3, memory[M_REFERENCE]
    for i in range(4):
        if shares[i] > 0.0:
            slowest = min(slowest, memory[M_SPEED + i])
    lowest = reference * (1.0 - settings.limit_slip) - settings.limit_offset
    roll = reference - settings.target_part * (reference - lowest)
    dragging = memory[M_TORQUE_PHASE] == DRAG
    if dragging:
        memory[M_TORQUE_TIME] += settings.cycle
    if ratio == 0.0 or sensors[SENSE_PEDAL] > settings.pedal_free:
        if dragging:
            begin_phase(DRIVER, WISH_REACHED, memory[M_REQUEST], wish, memory)
        return wish
    if not dragging and slowest < lowest and settings.drag_on == 1.0:
        begin_phase(DRAG, DRAGS, slowest, lowest, memory)
        dragging = True
        memory[M_REQUEST] = wish
    if not dragging:
        return wish
    if slowest < roll:
        missing = (reference - slowest) / settings.fall_time * ratio / settings.radius
        request = max(memory[M_REQUEST], driveline_inertia(ratio, settings) * missing)
    else:
        request = memory[M_REQUEST] - engine.max_torque / settings.return_time * settings.cycle
        if request <= wish:
            begin_phase(DRIVER, ROLLS_AGAIN, slowest, roll, memory)
    memory[M_REQUEST] = max(wish, request)
    return memory[M_REQUEST]
