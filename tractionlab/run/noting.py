"""Writes what happened in a cycle into its row of the record, and of the circuit's film."""

from math import cos, sin

from tractionlab.control.settings import (
    ASK_FUEL_CUT,
    ASK_IGNITION,
    ASK_LAMP,
    ASK_MOTOR_LIMIT,
    ASK_PLATE,
    ASK_TORQUE,
    ASK_VALVES,
    SENSORS,
    TELL_ANTILOCK,
    TELL_BEST_SLIP_SPEED,
    TELL_LIMIT,
    TELL_PHASE,
    TELL_REASON,
    TELL_REFERENCE,
    TELL_SEEN,
    TELL_TORQUE_LIMIT,
    TELL_TORQUE_PHASE,
    TELL_TORQUE_REASON,
    TELL_TORQUE_SEEN,
)
from tractionlab.physics import car as c
from tractionlab.physics import circuit as h
from tractionlab.physics.car_motion import wheel_radius
from tractionlab.physics.chassis import ground_speed
from tractionlab.physics.tyre import PEAK, load_factor, rest_slip
from tractionlab.run.record_layout import (
    F_COMMAND,
    F_FLOW,
    F_FLUID,
    F_PRESSURE,
    F_PULSE,
    F_SEEN,
    F_TRAVEL,
    R_ANTILOCK,
    R_BEST_SLIP_SPEED,
    R_BODY,
    R_CLUTCH,
    R_COMPARED,
    R_CUT,
    R_CUT_ORDER,
    R_DISC,
    R_DRIVE,
    R_ENGINE,
    R_GEAR_RATIO,
    R_IGNITION,
    R_IGNITION_ORDER,
    R_LAMP,
    R_LIMIT,
    R_LOAD,
    R_MOTOR_ORDER,
    R_PEDAL,
    R_PEDAL_PRESSURE,
    R_PHASE,
    R_PRESSURE,
    R_REASON,
    R_REFERENCE,
    R_REQUEST,
    R_SEEN,
    R_SIDE,
    R_SIDE_SLIP,
    R_SLIP,
    R_STEER,
    R_THROTTLE,
    R_THROTTLE_ORDER,
    R_TORQUE,
    R_TORQUE_COMPARED,
    R_TORQUE_PHASE,
    R_TORQUE_REASON,
    R_TORQUE_SEEN,
    R_VALVE,
    R_WHEEL,
    R_WORK,
    TIME,
)


def note(t, run, surfaces, row):
    """Write one row of the record."""
    car, y, held, outputs, work = run.car, run.y, run.held, run.outputs, run.work.found
    body, tyres = car.body, car.tyres
    row[TIME] = t
    for i in range(6):
        row[R_BODY + i] = y[i]
    steer_cos, steer_sin = cos(held[c.STEER]), sin(held[c.STEER])
    for i in range(4):
        gx, gy = ground_speed(i, y[c.U], y[c.V], y[c.YAW_RATE], body)
        if i < 2:
            gx = steer_cos * gx + steer_sin * gy
        row[R_WHEEL + i] = y[c.WHEEL + i]
        row[R_SLIP + i] = rest_slip(y[c.WHEEL + i] * wheel_radius(work[c.LOAD + i], tyres), gx)
        row[R_SIDE_SLIP + i] = y[c.SIDE + i]
        row[R_DRIVE + i] = work[c.DRIVE_FORCE + i]
        row[R_SIDE + i] = work[c.SIDE_FORCE + i]
        load = work[c.LOAD + i]
        row[R_LOAD + i] = load
        peak, second = (
            surfaces[int(held[c.GROUND + i]), PEAK],
            surfaces[int(held[c.SECOND + i]), PEAK],
        )
        peak += held[c.SECOND_SHARE + i] * (second - peak)
        row[R_LIMIT + i] = peak * load_factor(load, tyres.sensitivity, tyres.reference_load) * load
        row[R_PRESSURE + i] = held[c.PRESSURE + i]
        row[R_DISC + i] = y[c.DISC + i]
        row[R_VALVE + i] = outputs[ASK_VALVES + i]
        row[R_WORK + i] = y[c.WORK_IN + i]
        row[R_PHASE + i] = outputs[TELL_PHASE + i]
        row[R_REASON + i] = outputs[TELL_REASON + i]
        row[R_SEEN + i] = outputs[TELL_SEEN + i]
        row[R_COMPARED + i] = outputs[TELL_LIMIT + i]
    row[R_ENGINE] = y[c.ENGINE]
    row[R_TORQUE] = work[c.TORQUE]
    row[R_THROTTLE] = min(held[c.PEDAL_WISH], held[c.MOTOR_LIMIT])
    if car.engine.electric == 0.0:
        row[R_THROTTLE] = min(held[c.PEDAL_PLATE], y[c.PLATE])
    row[R_IGNITION] = held[c.IGNITION]
    row[R_CUT] = held[c.FUEL_CUT]
    row[R_PEDAL] = held[c.PEDAL_WISH]
    row[R_REFERENCE] = outputs[TELL_REFERENCE]
    row[R_BEST_SLIP_SPEED] = outputs[TELL_BEST_SLIP_SPEED]
    row[R_REQUEST] = outputs[ASK_TORQUE]
    row[R_LAMP] = outputs[ASK_LAMP]
    row[R_STEER] = held[c.STEER]
    row[R_GEAR_RATIO] = held[c.RATIO]
    row[R_CLUTCH] = held[c.CLUTCH]
    row[R_ANTILOCK] = outputs[TELL_ANTILOCK]
    row[R_TORQUE_PHASE] = outputs[TELL_TORQUE_PHASE]
    row[R_TORQUE_REASON] = outputs[TELL_TORQUE_REASON]
    row[R_TORQUE_SEEN] = outputs[TELL_TORQUE_SEEN]
    row[R_TORQUE_COMPARED] = outputs[TELL_TORQUE_LIMIT]
    row[R_THROTTLE_ORDER] = outputs[ASK_PLATE]
    row[R_IGNITION_ORDER] = outputs[ASK_IGNITION]
    row[R_CUT_ORDER] = outputs[ASK_FUEL_CUT]
    row[R_MOTOR_ORDER] = outputs[ASK_MOTOR_LIMIT]
    row[R_PEDAL_PRESSURE] = max(0.0, run.pipes.pressures[h.CHAMBER])


def note_state(pipes, sensors, row):
    """Write what the circuit holds and what the sensors tell into its row of the record."""
    for n in range(h.PLACES):
        row[F_PRESSURE + n] = pipes.pressures[n]
        row[F_FLUID + n] = pipes.state[n]
    for i in range(SENSORS):
        row[F_SEEN + i] = sensors[i]


def note_action(pipes, row):
    """Write what the circuit did in the cycle that begins with this row."""
    for j in range(h.FLOWS):
        row[F_FLOW + j] = pipes.flows[j]
    for j in range(h.VALVES):
        row[F_TRAVEL + j] = pipes.travel[j]
        row[F_COMMAND + j] = pipes.current[j]
        row[F_PULSE + j] = pipes.pulse[j]
    for n in range(h.COMMAND_PEDAL, h.AIM):
        row[F_COMMAND + n] = pipes.then[n]
