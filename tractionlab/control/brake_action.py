"""Brake application in phases: at rest, increase, hold, reduce, end.

       spins alone              spin falls            under target
FREE -------------> BUILD_UP <------------> KEEP <----------------> EASE
  ^                     '---- under target --------------------------^ |
  '--- no pressure left --- LET_GO <--- spin is gone, hot, too fast ---'
"""

from tractionlab.control.hydraulics import can_brake, neighbour
from tractionlab.control.phases import (
    BUILD_UP,
    DISC_HOT,
    EASE,
    FREE,
    KEEP,
    LET_GO,
    NEXT_STEP,
    NOT_ABLE,
    PRESSURE_LIMIT,
    SPEED_LIMIT,
    SPIN_FALLS,
    SPIN_IS_GONE,
    SPINS,
    SPINS_FASTER,
    UNDER_TARGET,
)
from tractionlab.control.pressure import is_empty, step_down_time, step_up_time
from tractionlab.control.settings import (
    M_DISC,
    M_LIMIT,
    M_PAUSED,
    M_PHASE,
    M_PRESSURE,
    M_PULSE,
    M_RATE,
    M_REFERENCE,
    M_SINCE,
    M_SPEED,
    M_STEPS,
    M_TARGET,
    M_TIME,
    SENSE_LOW_LEVEL,
    SENSE_LOW_PRESSURE,
)
from tractionlab.control.speeds import gains_on_car, spins
from tractionlab.control.steps import enter, note, order, step


def able(i, sensors, memory, settings):
    """True if the unit may brake wheel i by itself now, but for speed and heat."""
    return (
        settings.brake_on == 1.0
        and can_brake(i, settings.hydraulics)
        and sensors[SENSE_LOW_LEVEL] == 0.0
        and sensors[SENSE_LOW_PRESSURE] == 0.0
    )


def pressure_allowed(memory, settings):
    """Pressure at most [Pa]: fades out over `brake_fade` above the speed limit."""
    over = (memory[M_REFERENCE] - settings.brake_speed_limit) / settings.brake_fade
    return settings.brake_max * min(1.0, max(0.0, 1.0 - over))


def leave(i, sensors, memory, settings):
    """Begin the end of brake action at wheel i where something forbids it; True if so."""
    if not able(i, sensors, memory, settings):
        enter(i, LET_GO, NOT_ABLE, 0.0, 0.0, memory)
    elif memory[M_PAUSED + i] == 1.0:
        enter(i, LET_GO, DISC_HOT, memory[M_DISC + i], settings.heat_pause, memory)
    elif memory[M_REFERENCE] >= settings.brake_speed_limit + settings.brake_fade:
        enter(i, LET_GO, SPEED_LIMIT, memory[M_REFERENCE], settings.brake_speed_limit, memory)
    else:
        return False
    return True


def may_brake(i, sensors, memory, settings):
    """True if the unit may begin to brake wheel i by itself: it spins alone, at a speed and a disc
    temperature that allow it.
    """
    return (
        spins_alone(i, memory, settings)
        and able(i, sensors, memory, settings)
        and memory[M_PAUSED + i] == 0.0
        and memory[M_REFERENCE] < settings.brake_speed_limit
    )


def spins_alone(i, memory, settings):
    """True if wheel i is much faster than its neighbour, and not because that one is braked harder;
    what both have too much is the engine's. Without torque reduction each wheel counts.
    """
    other = neighbour(i)
    return settings.torque_on == 0.0 or (
        memory[M_SPEED + i] - memory[M_SPEED + other] > settings.split
        and memory[M_PRESSURE + i] >= memory[M_PRESSURE + other]
    )


def brake_wheel(i, sensors, memory, outputs, brakes, settings):
    """One cycle of the phases of driven wheel i."""
    phase, speed = memory[M_PHASE + i], memory[M_SPEED + i]
    memory[M_TIME + i] += settings.cycle
    if phase == FREE:
        if spins(i, memory, settings) and may_brake(i, sensors, memory, settings):
            enter(i, BUILD_UP, SPINS, speed, memory[M_LIMIT + i], memory)
            build(i, memory, settings)
    elif phase == LET_GO:
        if is_empty(i, memory, settings):
            enter(i, FREE, SPIN_IS_GONE, memory[M_PRESSURE + i], settings.brake_step, memory)
    elif not leave(i, sensors, memory, settings):
        choose(i, speed, memory, brakes, settings)
    if memory[M_PHASE + i] == LET_GO:
        let_go(i, memory, settings)
    order(i, memory, outputs, settings)


def choose(i, speed, memory, brakes, settings):
    """Increase, hold or reduce at wheel i: by its speed, by where it will be once the fluid has
    followed an order, by how much faster than the car it gains, and by the unit's count of its
    pressure. A wheel that gains with the car comes no nearer to its target, which rises as well.

    A wheel that comes down fast enough is not braked further."""
    phase, target = memory[M_PHASE + i], memory[M_TARGET + i]
    gain = gains_on_car(i, memory)
    soon = speed_soon(i, memory, settings)
    enough = (target - speed) / settings.fall_time
    pressure, most = memory[M_PRESSURE + i], pressure_allowed(memory, settings)
    due = memory[M_SINCE + i] >= settings.step_every - 1e-9
    if phase == BUILD_UP:
        if soon < target:
            enter(i, KEEP, UNDER_TARGET, soon, target, memory)
        elif gain < enough and memory[M_PULSE + i] <= 0.0:
            enter(i, KEEP, SPIN_FALLS, gain, enough, memory)
        elif pressure >= most:
            enter(i, KEEP, PRESSURE_LIMIT, pressure, most, memory)
        elif due and memory[M_PULSE + i] <= 0.0:
            note(i, SPINS_FASTER, speed, target, memory)
            build(i, memory, settings)
    elif phase == KEEP:
        if soon < target:
            enter(i, EASE, UNDER_TARGET, soon, target, memory)
            if due:
                ease(i, memory, brakes, settings)
        elif pressure > most:
            enter(i, EASE, PRESSURE_LIMIT, pressure, most, memory)
        elif gain > enough and due and pressure < most:
            enter(i, BUILD_UP, SPINS_FASTER, speed, target, memory)
            build(i, memory, settings)
    elif is_empty(i, memory, settings) and memory[M_TIME + i] > settings.settle:
        enter(i, LET_GO, SPIN_IS_GONE, pressure, settings.brake_step, memory)
    elif speed > target and pressure <= most:
        enter(i, KEEP, SPINS_FASTER, speed, target, memory)
    elif due:
        if memory[M_STEPS + i] > 0.0:
            note(i, NEXT_STEP, memory[M_SINCE + i], settings.step_every, memory)
        ease(i, memory, brakes, settings)


def speed_soon(i, memory, settings):
    """Speed of wheel i [m/s] once the fluid has followed an order, beside a car as fast as now."""
    return max(0.0, memory[M_SPEED + i] + settings.brake_lead * gains_on_car(i, memory))


def build(i, memory, settings):
    """The next step up of wheel i: `brake_step`, as many times as the wheel will be `brake_far`
    over its target once the fluid has followed.
    """
    over = speed_soon(i, memory, settings) - memory[M_TARGET + i]
    up = settings.brake_step * max(1.0, over / settings.brake_far)
    step(i, step_up_time(i, up, 0.0, memory, settings), memory, settings)


def ease(i, memory, brakes, settings):
    """The next step down of wheel i, at least `brake_step`.

    A differential gives both wheels of an axle the same torque. So where one loses speed and the
    other gains it, the brake of the first holds too much by inertia x difference of accelerations:
    that goes at once. Where the brake makes its wheel slower than the car, half of all does."""
    other = neighbour(i)
    torque = brakes.front_torque if i < 2 else brakes.rear_torque
    apart = (memory[M_RATE + other] - memory[M_RATE + i]) / settings.radius
    down = settings.wheel_inertia * apart / max(torque, 1e-9)
    if memory[M_SPEED + i] < memory[M_REFERENCE]:
        down = max(down, 2.0 * settings.brake_step, 0.5 * memory[M_PRESSURE + i])
    down = max(settings.brake_step, min(down, memory[M_PRESSURE + i]))
    step(i, -step_down_time(i, down, memory, settings), memory, settings)


def let_go(i, memory, settings):
    """The next step down of wheel i, so long that nothing is left after `brake_end`."""
    each = 0.5 * settings.step_every
    if memory[M_SINCE + i] < each:
        return
    left = max(each, settings.settle - memory[M_TIME + i])
    down = max(settings.brake_step, memory[M_PRESSURE + i] * each / left)
    step(i, -step_down_time(i, down, memory, settings), memory, settings)
