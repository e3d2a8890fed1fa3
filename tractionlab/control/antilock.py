"""Anti-lock control in phases: follow the pedal, hold, reduce, wait for the wheel, increase in
steps. The front wheels each for itself, the rear axle by its worse wheel.

           slows faster than a car can        slips, or will soon
    FREE ------------------> HOLD_PRESSURE ----------------> RELEASE <---------.
      '------------------- slips, or will soon ----------------^  |            |
                                                no longer slows   v            | slips
                             STEP_UP <-- picks up, is back -- AWAIT_WHEEL      |
                                '----------------------------------------------'
"""

from tractionlab.control.phases import (
    AWAIT_WHEEL,
    FREE,
    HOLD_PRESSURE,
    NEXT_STEP,
    NO_LONGER_SLOWS,
    OTHER_FRONT_WHEEL,
    PEDAL_FREE,
    PEDAL_REACHED,
    PICKS_UP,
    RELEASE,
    SLIPS,
    SLIPS_SOON,
    SLOWS_TOO_FAST,
    STEP_UP,
    TOO_SLOW_TO_CONTROL,
    WHEEL_IS_BACK,
)
from tractionlab.control.pressure import count_fluid, step_up_time
from tractionlab.control.settings import (
    ASK_VALVES,
    M_BOUND,
    M_LOCK_PRESSURE,
    M_PHASE,
    M_PRESSURE,
    M_RATE,
    M_REFERENCE,
    M_SEEN,
    M_SINCE,
    M_SPEED,
    M_TIME,
    M_TOP_RATE,
    M_WORSE,
)
from tractionlab.control.steps import enter, free_all, note, order, step

#: The phases of the rear axle are kept at its left wheel.
REAR = 2


def control_wheel(i, speed, rate, pedal, memory, outputs, settings):
    """One cycle of the phases of wheel i, by a wheel speed [m/s] and acceleration [m/s^2]."""
    reference = memory[M_REFERENCE]
    lowest = reference * (1.0 - settings.antilock_slip) - settings.antilock_offset
    fast = rate < -settings.antilock_slowing
    soon = max(0.0, speed + settings.antilock_lead * rate)
    phase = memory[M_PHASE + i]
    memory[M_TIME + i] += settings.cycle
    if phase == FREE or phase == HOLD_PRESSURE or phase == STEP_UP:
        if speed < lowest:
            let_go(i, SLIPS, speed, lowest, memory)
        elif fast and soon < lowest:
            let_go(i, SLIPS_SOON, soon, lowest, memory)
        elif fast and speed < 0.5 * (reference + lowest) and phase != HOLD_PRESSURE:
            enter(i, HOLD_PRESSURE, SLOWS_TOO_FAST, -rate, settings.antilock_slowing, memory)
        elif phase == HOLD_PRESSURE and rate > -settings.reference_fall:
            after = FREE if memory[M_LOCK_PRESSURE + i] == 0.0 else STEP_UP
            enter(i, after, NO_LONGER_SLOWS, rate, -settings.reference_fall, memory)
        elif phase == STEP_UP:
            climb(i, pedal, memory, settings)
    elif phase == RELEASE:
        worst = min(memory[M_TOP_RATE + i], rate)
        memory[M_TOP_RATE + i] = worst
        enough = max(0.5 * worst, -settings.antilock_slowing)
        if rate > enough and speed > settings.antilock_deep * reference:
            enter(i, AWAIT_WHEEL, NO_LONGER_SLOWS, rate, enough, memory)
    elif phase == AWAIT_WHEEL:
        await_wheel(i, speed, rate, lowest, pedal, memory, settings)
    order(i, memory, outputs, settings)


def let_go(i, reason, seen, lowest, memory):
    """Begin to reduce at wheel i, and keep the pressure at which it slipped."""
    enter(i, RELEASE, reason, seen, lowest, memory)
    memory[M_LOCK_PRESSURE + i] = memory[M_PRESSURE + i]


def await_wheel(i, speed, rate, lowest, pedal, memory, settings):
    """What ends the wait of wheel i: it is back, it has grip again, or it does not pick up. Where a
    road grips best at much slip a wheel stays short of the car's speed: that will do, too, once it
    has settled.
    """
    back = memory[M_REFERENCE] * (1.0 - 0.5 * settings.antilock_slip)
    if memory[M_TIME + i] > settings.settle - 1e-9:
        back = lowest
    top = max(memory[M_TOP_RATE + i], rate)
    memory[M_TOP_RATE + i] = top
    waited = memory[M_TIME + i] > settings.step_every
    if speed > back and rate <= 0.0:
        enter(i, STEP_UP, WHEEL_IS_BACK, speed, back, memory)
        come_back(i, pedal, memory, settings)
    elif top > settings.antilock_slowing and rate < 0.5 * top:
        enter(i, STEP_UP, PICKS_UP, top, rate, memory)
        come_back(i, pedal, memory, settings)
    elif speed < lowest and rate < settings.antilock_slowing and waited:
        enter(i, RELEASE, SLIPS, speed, lowest, memory)


def come_back(i, pedal, memory, settings):
    """The first step after a release gives back a share of the pressure that was let out."""
    missing = memory[M_LOCK_PRESSURE + i] - memory[M_PRESSURE + i]
    rise = settings.antilock_first_step * missing
    step(i, step_up_time(i, rise, pedal, memory, settings), memory, settings)


def climb(i, pedal, memory, settings):
    """The next step of wheel i when it is due: a share of the pressure at which it last slipped, or
    of what it bears beyond that, where the road has got better.
    """
    if memory[M_SINCE + i] < settings.step_every - 1e-9:
        return
    note(i, NEXT_STEP, memory[M_SINCE + i], settings.step_every, memory)
    slipped, now = memory[M_LOCK_PRESSURE + i], memory[M_PRESSURE + i]
    rise = max(settings.antilock_step * slipped, settings.antilock_first_step * (now - slipped))
    step(i, step_up_time(i, rise, pedal, memory, settings), memory, settings)
    if memory[M_PRESSURE + i] >= pedal:
        enter(i, FREE, PEDAL_REACHED, memory[M_PRESSURE + i], pedal, memory)


def delay_yaw(lateral, memory, settings):
    """When one front wheel is let go, the other one's pressure rises in steps until its own lock,
    so that the driver has time to steer against the turn; not in a bend, where it would turn the
    car out.

    Parameters
    ----------
    lateral : float, lateral acceleration [m/s^2]
    """
    if abs(lateral) > settings.bend_lateral:
        return
    for i in range(2):
        other = 1 - i
        if memory[M_PHASE + i] == FREE and memory[M_PHASE + other] == RELEASE:
            memory[M_LOCK_PRESSURE + i] = memory[M_PRESSURE + i]
            seen, lowest = memory[M_SEEN + other], memory[M_BOUND + other]
            enter(i, STEP_UP, OTHER_FRONT_WHEEL, seen, lowest, memory)


def antilock(lateral, pedal, memory, outputs, settings):
    """Anti-lock control of four wheels while the driver brakes with a pressure [Pa]."""
    reference = memory[M_REFERENCE]
    if settings.antilock_on == 0.0 or reference < settings.antilock_end:
        free_all(TOO_SLOW_TO_CONTROL, reference, settings.antilock_end, memory)
    else:
        delay_yaw(lateral, memory, settings)
        worse = 2 if memory[M_SPEED + 2] <= memory[M_SPEED + 3] else 3
        memory[M_WORSE] = worse
        for i, wheel in ((0, 0), (1, 1), (REAR, worse)):
            speed, rate = memory[M_SPEED + wheel], memory[M_RATE + wheel]
            control_wheel(i, speed, rate, pedal, memory, outputs, settings)
        memory[M_PHASE + REAR + 1] = memory[M_PHASE + REAR]
        outputs[ASK_VALVES + REAR + 1] = outputs[ASK_VALVES + REAR]
    for i in range(4):
        count_fluid(i, pedal, memory, outputs, settings)


def end_antilock(memory):
    """The foot has left the pedal."""
    free_all(PEDAL_FREE, 0.0, 0.0, memory)
    for i in range(4):
        memory[M_LOCK_PRESSURE + i] = 0.0
