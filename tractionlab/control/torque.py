"""Torque reduction in phases: as the driver asks, cut to what the road takes, hold, return in a
ramp; engine-drag control is in `drag`.

              spins                          under target
    DRIVER ----------> CUT ------> HELD ------------------> RETURN ---.
      ^ ^               ^------------'  or stays under limit   | |    |
      | |                 still spins                          | |    |
      | '--- wish reached ------------------------------------' '----' spins: CUT again
      '---- rolls again ---- DRAG <---- a driven wheel is dragged, accelerator free
"""

from tractionlab.control.brake_action import may_brake
from tractionlab.control.hydraulics import neighbour
from tractionlab.control.phases import (
    BRAKE_PEDAL,
    BUILD_UP,
    CLUTCH_OPEN,
    CUT,
    CUT_ORDERED,
    CUT_TO_ROAD,
    DRIVER,
    HELD,
    NOT_ABLE,
    RETURN,
    ROOM_FOR_MORE,
    STAYS_UNDER,
    STILL_SPINS,
    SWITCHED_OFF,
    WISH_REACHED,
)
from tractionlab.control.settings import (
    M_BEST_SLIP_SPEED,
    M_BEST_TORQUE,
    M_CASE_SPEED,
    M_ENGINE_SPEED,
    M_LIMIT,
    M_OVER_LIMIT,
    M_PHASE,
    M_PRESSURE,
    M_RAISED,
    M_REFERENCE,
    M_REQUEST,
    M_ROAD_TORQUE,
    M_SPEED,
    M_SPIN_TORQUE,
    M_TARGET,
    M_TORQUE_LIMIT,
    M_TORQUE_PHASE,
    M_TORQUE_REASON,
    M_TORQUE_SEEN,
    M_TORQUE_TIME,
    SENSE_DRIVER_OFF,
    SENSE_ENGINE_SPEED,
    SENSE_LOW_LEVEL,
    SENSE_RATIO,
)
from tractionlab.control.speeds import gains_on_car


def begin_phase(phase, reason, seen, limit, memory):
    """Begin a phase of the drive torque, with the reason and the two values it compared."""
    memory[M_TORQUE_PHASE] = phase
    memory[M_TORQUE_TIME] = 0.0
    memory[M_TORQUE_REASON] = reason
    memory[M_TORQUE_SEEN] = seen
    memory[M_TORQUE_LIMIT] = limit


def driveline_inertia(ratio, settings):
    """Inertia of engine, gears and driven wheels [kg m^2] as the engine feels it."""
    wheels = settings.driven_wheels * settings.wheel_inertia / (ratio * ratio)
    return settings.engine_inertia + settings.gear_inertia + wheels


def road_torque(given, sensors, memory, shares, settings):
    """Torque that road and brakes take up [N m at the engine], into `memory`: what the engine gives
    less what speeds up engine and wheels, smoothed with `road_filter`.

    Parameters
    ----------
    given : float, torque of the engine as the unit works it out [N m]

    Source: derived (torque balance)."""
    ratio = sensors[SENSE_RATIO]
    case = 0.0
    for i in range(4):
        case += shares[i] * memory[M_SPEED + i] / settings.radius
    case_rate = (case - memory[M_CASE_SPEED]) / settings.cycle
    if memory[M_CASE_SPEED] == 0.0:
        case_rate = 0.0
    engine_rate = (sensors[SENSE_ENGINE_SPEED] - memory[M_ENGINE_SPEED]) / settings.cycle
    memory[M_CASE_SPEED] = case
    memory[M_ENGINE_SPEED] = sensors[SENSE_ENGINE_SPEED]
    if ratio == 0.0:
        return
    through = (given - settings.engine_inertia * engine_rate) * settings.efficiency
    gears = driveline_inertia(ratio, settings) - settings.engine_inertia
    now = (through - gears * ratio * case_rate) / settings.efficiency
    share = settings.cycle / (settings.cycle + settings.road_filter)
    memory[M_ROAD_TORQUE] += share * (now - memory[M_ROAD_TORQUE])


def wheel_in_control(sensors, memory, shares, settings):
    """Number of the wheel by which the torque goes, and how far beyond its limit and target it may
    turn [m/s].

    It is the faster driven wheel. Where this one is braked, and harder than the other, or is about
    to be, it is left to its brake up to `fast_wheel`, and the torque goes by the slower one."""
    fast, slow = 0, 0
    most, fewest = -1e3, 1e3
    for i in range(4):
        if shares[i] > 0.0:
            beyond = memory[M_SPEED + i] - memory[M_TARGET + i]
            if beyond > most:
                fast, most = i, beyond
            if beyond < fewest:
                slow, fewest = i, beyond
    by_brake = memory[M_PHASE + fast] >= BUILD_UP or may_brake(fast, sensors, memory, settings)
    if by_brake and memory[M_PRESSURE + fast] >= memory[M_PRESSURE + slow]:
        if most - settings.fast_wheel > fewest:
            return fast, settings.fast_wheel
        return slow, 0.0
    return fast, 0.0


def beyond_target(memory, shares):
    """How much faster than at their targets the driven wheels turn the driveline [m/s]: a
    differential turns at the mean of its wheels.
    """
    beyond = 0.0
    for i in range(4):
        beyond += shares[i] * (memory[M_SPEED + i] - memory[M_TARGET + i])
    return beyond


def cut_torque(beyond, wish, sensors, memory, engine, settings):
    """Torque [N m] with which the driveline, so much too fast [m/s], is back at its targets after
    `fall_time`: what the road takes, less what slows the driveline; without fuel an engine
    holds back. A wheel that is left to its brake is brought back by it.
    """
    ratio = sensors[SENSE_RATIO]
    slowing = max(0.0, beyond) / settings.fall_time * ratio / settings.radius
    request = memory[M_ROAD_TORQUE] - driveline_inertia(ratio, settings) * slowing
    return min(wish, max(-engine.friction, request))


def returned(wish, engine, memory, settings):
    """Request [N m] one cycle further up the ramp: within `return_time` it grows by what the road
    takes.
    """
    road = max(memory[M_ROAD_TORQUE], settings.return_least * engine.max_torque)
    pace = road / settings.return_time * settings.cycle
    return min(wish, max(memory[M_ROAD_TORQUE], memory[M_REQUEST] + pace))


def road_again(i, memory):
    """Torque [N m] to which it returns at once after a cut: what the road took when wheel i began
    to spin, or takes now. Where a brake helped then, it has given way since: what road and brake
    take now.
    """
    if braked(i, memory):
        return memory[M_ROAD_TORQUE]
    return max(memory[M_ROAD_TORQUE], memory[M_SPIN_TORQUE])


def braked(i, memory):
    """True if the unit brakes wheel i or the other one of its axle."""
    return max(memory[M_PHASE + i], memory[M_PHASE + neighbour(i)]) >= BUILD_UP


def learn_slip(i, memory, settings):
    """Let target and limit follow a road that takes more, the more wheel i slips: loose gravel, dry
    cobblestone, some snow.

    While torque returns and the wheel gains on the car, the difference of their speeds is kept
    whenever the road takes more than ever since the last cut. A cut ends it, for the road took less
    then; so does a brake, for what it takes is not the road's; control that has ended forgets it
    within `return_time`."""
    phase, speed, reference = memory[M_TORQUE_PHASE], memory[M_SPEED + i], memory[M_REFERENCE]
    if phase == CUT or braked(i, memory):
        memory[M_BEST_TORQUE], memory[M_BEST_SLIP_SPEED] = 0.0, 0.0
    elif phase == DRIVER:
        memory[M_BEST_SLIP_SPEED] *= 1.0 - settings.cycle / settings.return_time
    elif phase == RETURN and reference > 0.0 and gains_on_car(i, memory) > 0.0:
        if memory[M_ROAD_TORQUE] > memory[M_BEST_TORQUE]:
            memory[M_BEST_TORQUE] = memory[M_ROAD_TORQUE]
            memory[M_BEST_SLIP_SPEED] = speed - reference


def reduce_torque(wish, sensors, memory, shares, engine, settings):
    """One cycle of the phases of the drive torque; the torque that the engine may give [N m].

    Parameters
    ----------
    wish : float, torque the driver asks for [N m]
    """
    phase = memory[M_TORQUE_PHASE]
    memory[M_TORQUE_TIME] += settings.cycle
    off = sensors[SENSE_DRIVER_OFF] == 1.0 or settings.torque_on == 0.0
    unable = sensors[SENSE_LOW_LEVEL] == 1.0
    if off or unable or sensors[SENSE_RATIO] == 0.0:
        if phase != DRIVER:
            why = NOT_ABLE if unable else SWITCHED_OFF if off else CLUTCH_OPEN
            begin_phase(DRIVER, why, 0.0, 0.0, memory)
        memory[M_REQUEST] = wish
        return wish
    i, spare = wheel_in_control(sensors, memory, shares, settings)
    learn_slip(i, memory, settings)
    speed, gain = memory[M_SPEED + i], gains_on_car(i, memory)
    target, limit = memory[M_TARGET + i] + spare, memory[M_LIMIT + i] + spare
    beyond = beyond_target(memory, shares) if spare == 0.0 else 0.0
    memory[M_OVER_LIMIT] = memory[M_OVER_LIMIT] + settings.cycle if speed > limit else 0.0
    over = memory[M_OVER_LIMIT] >= settings.confirm - 1e-9
    request = min(wish, memory[M_REQUEST])
    if phase == DRIVER or phase == RETURN:
        if over and (phase == DRIVER or gain > 0.0):
            memory[M_SPIN_TORQUE] = memory[M_ROAD_TORQUE]
            request = cut_torque(beyond, wish, sensors, memory, engine, settings)
            begin_phase(CUT, CUT_TO_ROAD, wish, memory[M_ROAD_TORQUE], memory)
        elif phase == DRIVER:
            request = wish
        else:
            request = returned(wish, engine, memory, settings)
            rolls = speed < limit - memory[M_RAISED + i]
            if request >= wish and rolls:
                begin_phase(DRIVER, WISH_REACHED, request, wish, memory)
    elif phase == CUT:
        begin_phase(HELD, CUT_ORDERED, speed, target, memory)
    elif phase == HELD:
        soon = max(0.0, speed + settings.return_lead * gain)
        if soon < target:
            request = max(request, min(wish, road_again(i, memory)))
            begin_phase(RETURN, ROOM_FOR_MORE, soon, target, memory)
        elif over and gain > 0.0 and memory[M_TORQUE_TIME] > settings.return_lead:
            request = cut_torque(beyond, wish, sensors, memory, engine, settings)
            begin_phase(CUT, STILL_SPINS, speed, limit, memory)
        elif speed < limit and gain >= 0.0 and memory[M_TORQUE_TIME] > settings.return_lead:
            begin_phase(RETURN, STAYS_UNDER, speed, limit, memory)
    memory[M_REQUEST] = request
    return request


def end_torque_at_pedal(memory):
    """The driver brakes: torque control ends, what the driver asks for counts."""
    if memory[M_TORQUE_PHASE] != DRIVER:
        begin_phase(DRIVER, BRAKE_PEDAL, 0.0, 0.0, memory)
    memory[M_OVER_LIMIT] = 0.0
