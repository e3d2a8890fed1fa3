"""Anti-lock: eases the brake of a wheel that is about to lock, builds it up again, and feels its
way to the slip that brakes best.
"""

from tractionlab.control.brake_action import open_valves
from tractionlab.control.fluid import follow_pedal
from tractionlab.control.hydraulics import NO_CIRCUIT
from tractionlab.control.settings import (
    ASK_VALVES,
    M_CALM,
    M_FORCE,
    M_LAST_FORCE,
    M_LAST_SPEED,
    M_LOCKING,
    M_PRESSURE,
    M_RATE,
    M_REFERENCE_RATE,
    M_TARGET,
    M_WATCH,
    M_WAY,
    SENSE_ACCELERATION,
    SENSE_WHEELS,
)
from tractionlab.physics.brake import FOLLOW_PEDAL, pressure_rate

#: Deceleration by the air that the acceleration sensor does not feel [m/s^2]: about that of a car
#: at 50 km/h. Computed.
AIR = 0.05

#: The higher the pressure at which a wheel begins to lock, the better the road, and the more slip
#: is tried first: twice as much at this
#: pressure [Pa]. Found for the course's circuits by trying.
GRIP_PRESSURE = 60e5
#: Build-up grows quicker the longer it has gone on without a reduction: by once its first pace in
#: each CALM seconds, MOST_PACE times at most.
CALM, MOST_PACE = 0.25, 3.0


def read_rates(sensors, memory, settings):
    """Acceleration of the four wheels [m/s^2] into `memory`, smoothed with `rate_filter`."""
    share = settings.cycle / (settings.cycle + settings.rate_filter)
    for i in range(4):
        rate = (sensors[SENSE_WHEELS + i] - memory[M_LAST_SPEED + i]) / settings.cycle
        memory[M_RATE + i] += share * (rate - memory[M_RATE + i])
        memory[M_LAST_SPEED + i] = sensors[SENSE_WHEELS + i]


def brake_force(i, memory, brakes, settings):
    """Brake force of wheel i [N] as the unit works it out: brake torque of its pressure model, plus
    what slows the wheel itself.
    """
    per_pressure = brakes.front_torque if i < 2 else brakes.rear_torque
    return (
        per_pressure * memory[M_PRESSURE + i]
        + settings.wheel_inertia * memory[M_RATE + i] / settings.radius
    ) / settings.radius


def braking_reference(sensors, before, settings):
    """Best guess of the car's speed while it brakes [m/s]: the fastest wheel, or what the
    acceleration sensor leaves of the last guess.

    The sensor does not feel the drag of the air and may err by `antilock_margin` (a share), so the
    guess falls a little faster than it says."""
    fastest = max(max(sensors[0], sensors[1]), max(sensors[2], sensors[3]))
    fall = AIR + (1.0 + settings.antilock_margin) * max(0.0, -sensors[SENSE_ACCELERATION])
    return max(fastest, before - fall * settings.cycle)


def feel_the_way(i, memory, brakes, settings):
    """Move the target slip of wheel i the way in which its brake force grew, once every
    `antilock_watch` seconds.
    """
    memory[M_FORCE + i] += brake_force(i, memory, brakes, settings)
    if memory[M_WATCH] < settings.antilock_watch:
        return
    if memory[M_LOCKING + i] == 1.0:
        if memory[M_FORCE + i] < memory[M_LAST_FORCE + i]:
            memory[M_WAY + i] = -memory[M_WAY + i]
        target = memory[M_TARGET + i] * (1.0 + settings.antilock_step * memory[M_WAY + i])
        memory[M_TARGET + i] = min(settings.antilock_most, max(settings.antilock_least, target))
    memory[M_LAST_FORCE + i] = memory[M_FORCE + i]
    memory[M_FORCE + i] = 0.0


def excess_slip(i, reference, sensors, memory, settings):
    """How much slower wheel i turns than its target [m/s], seen `antilock_lead` seconds ahead."""
    target = reference * (1.0 - memory[M_TARGET + i]) - settings.antilock_offset
    soon = sensors[SENSE_WHEELS + i] + settings.antilock_lead * (
        memory[M_RATE + i] - memory[M_REFERENCE_RATE]
    )
    return target - soon


def brake_together(i, excess, pedal_pressure, memory, brakes, outputs, settings):
    """Set the valves of wheel i while the driver brakes: follow the pedal until the wheel is about
    to lock, then control its pressure.
    """
    pressure = memory[M_PRESSURE + i]
    if memory[M_LOCKING + i] == 0.0 and excess > 0.0:
        memory[M_LOCKING + i] = 1.0
        if settings.hydraulics.layout != NO_CIRCUIT:
            memory[M_TARGET + i] = min(
                settings.antilock_most, memory[M_TARGET + i] * (1.0 + pressure / GRIP_PRESSURE)
            )
    if memory[M_LOCKING + i] == 0.0:
        outputs[ASK_VALVES + i] = FOLLOW_PEDAL
        if settings.hydraulics.layout != NO_CIRCUIT:
            memory[M_PRESSURE + i] = follow_pedal(
                i, pedal_pressure, memory, settings.cycle, settings.hydraulics
            )
        else:
            memory[M_PRESSURE + i] += settings.cycle * pressure_rate(
                pressure, FOLLOW_PEDAL, pedal_pressure, brakes
            )
        return
    step = -settings.antilock_gain * excess * settings.cycle
    pace = 1.0
    if settings.hydraulics.layout != NO_CIRCUIT:
        pace = min(MOST_PACE, 1.0 + memory[M_CALM + i] / CALM)
        memory[M_CALM + i] = 0.0 if step < 0.0 else memory[M_CALM + i] + settings.cycle
    step = min(
        pace * settings.antilock_rise * settings.cycle,
        max(-settings.antilock_fall * settings.cycle, step),
    )
    step = min(step, pedal_pressure - pressure)
    memory[M_PRESSURE + i] = max(
        0.0, open_valves(i, step, pressure, pedal_pressure, memory, brakes, outputs, settings)
    )
