"""Speeds and accelerations of the wheels, reference speed of the car, and how fast a driven wheel
may turn.
"""

import numpy as np

from tractionlab.control.settings import (
    M_BEST_SLIP_SPEED,
    M_CAR_RATE,
    M_LIMIT,
    M_OVER,
    M_PRESSURE,
    M_RAISED,
    M_RATE,
    M_REFERENCE,
    M_ROAD_TORQUE,
    M_SPEED,
    M_SPUN,
    M_TARGET,
    MEMORY,
    SENSE_PEDAL,
    SENSE_RATIO,
    SENSE_WHEELS,
    SENSE_YAW_RATE,
    SENSORS,
)

#: Torque [N m] of a car of which only the wheel speeds are known: it may gain what any car can.
UNKNOWN = 1e9


def read_wheels(sensors, memory, settings):
    """Speeds [m/s] and smoothed accelerations [m/s^2] of the four wheels into `memory`.

    The first reading of a wheel that stood says nothing of how fast it gains."""
    share = settings.cycle / (settings.cycle + settings.rate_filter)
    for i in range(4):
        rate = (sensors[SENSE_WHEELS + i] - memory[M_SPEED + i]) / settings.cycle
        if memory[M_SPEED + i] == 0.0:
            rate = 0.0
        memory[M_RATE + i] += share * (rate - memory[M_RATE + i])
        memory[M_SPEED + i] = sensors[SENSE_WHEELS + i]


def driving_reference(memory, shares, sensors, settings):
    """Best guess of the car's speed [m/s] while it is not braked: the mean of the undriven wheels,
    with all wheels driven the slowest.

    It rises and falls no faster than a car can. An all-wheel drive car can gain no more than what
    its wheels push it with, see `torque.road_torque`. Wheels that are seen for the first time are
    believed at once."""
    before, rise = memory[M_REFERENCE], settings.reference_rise
    if settings.all_wheel == 1.0:
        reading = min(
            min(memory[M_SPEED], memory[M_SPEED + 1]), min(memory[M_SPEED + 2], memory[M_SPEED + 3])
        )
        thrust = memory[M_ROAD_TORQUE] * sensors[SENSE_RATIO] / settings.radius
        rise = min(rise, max(0.0, thrust / settings.mass) + settings.reference_spare)
    else:
        total, count = 0.0, 0.0
        for i in range(4):
            if shares[i] == 0.0:
                total += memory[M_SPEED + i]
                count += 1.0
        reading = total / count
        if before == 0.0:
            return reading
    return towards(reading, rise, settings.reference_fall, before, settings)


def keep_reference(reference, memory, settings):
    """Keep the reference speed [m/s], and how fast it rises, smoothed with `road_filter`.

    The first reading of a car that was too slow to be seen says nothing of how fast it gains."""
    rise = (reference - memory[M_REFERENCE]) / settings.cycle
    if memory[M_REFERENCE] == 0.0:
        rise = 0.0
    share = settings.cycle / (settings.cycle + settings.road_filter)
    memory[M_CAR_RATE] += share * (rise - memory[M_CAR_RATE])
    memory[M_REFERENCE] = reference


def gains_on_car(i, memory):
    """How much faster than the car wheel i gains speed [m/s^2]."""
    return memory[M_RATE + i] - memory[M_CAR_RATE]


def towards(reading, rise, fall, before, settings):
    """The reference speed [m/s] a cycle later: a reading, but no faster up or down than so
    [m/s^2].
    """
    up, down = before + rise * settings.cycle, before - fall * settings.cycle
    return max(0.0, min(up, max(down, reading)))


def braking_reference(sensors, memory, shares, brakes, settings):
    """Best guess of the car's speed [m/s] while it is braked: the fastest wheel that is believed.

    It rises and falls no faster than a car can; unless the four wheels agree, it falls no faster
    than the brakes can slow the car down, by the unit's count of their pressures. A wheel that spun
    is not believed until it has been back under its limit for the time `settle`; one that is driven
    while the accelerator is down may spin, so it is not believed either where others roll."""
    before = memory[M_REFERENCE]
    limit = limit_of(before, settings)
    pushed = sensors[SENSE_PEDAL] > settings.pedal_free and settings.all_wheel == 0.0
    fastest = 0.0
    for i in range(4):
        if pushed and shares[i] > 0.0:
            memory[M_SPUN + i] = settings.settle
        if memory[M_SPUN + i] > 0.0:
            memory[M_SPUN + i] -= settings.cycle
            if memory[M_SPEED + i] > limit:
                memory[M_SPUN + i] = settings.settle
        else:
            fastest = max(fastest, memory[M_SPEED + i])
    fall = settings.reference_fall
    if not agree(memory, settings):
        fall = min(fall, braked_by(memory, brakes, settings) + settings.reference_spare)
    return towards(fastest, settings.reference_rise, fall, before, settings)


def braked_by(memory, brakes, settings):
    """Deceleration [m/s^2] that the counted pressures give the car at most. A wheel that slows down
    brakes it less, for part of its brake's torque slows the wheel.
    """
    torque = brakes.front_torque * (memory[M_PRESSURE] + memory[M_PRESSURE + 1])
    torque += brakes.rear_torque * (memory[M_PRESSURE + 2] + memory[M_PRESSURE + 3])
    return settings.reference_brakes * torque / (settings.radius * settings.mass)


def agree(memory, settings):
    """True if the four wheels turn alike and slow down together, no faster than a car can: then
    they roll, and the car slows down as they do. Four that hardly turn say nothing of the car: they
    lock.
    """
    fastest, slowest = memory[M_SPEED], memory[M_SPEED]
    for i in range(4):
        if memory[M_RATE + i] > 0.0 or memory[M_RATE + i] < -settings.reference_fall:
            return False
        fastest = max(fastest, memory[M_SPEED + i])
        slowest = min(slowest, memory[M_SPEED + i])
    reference = memory[M_REFERENCE]
    alike = fastest - slowest < 0.5 * settings.antilock_slip * reference
    return alike and slowest > settings.antilock_deep * reference


def yaw_rate_of(sensors, memory, shares, settings):
    """Yaw rate [rad/s], by the sensor, else from the speed difference of the undriven wheels."""
    if settings.yaw_sensor == 1.0:
        return sensors[SENSE_YAW_RATE]
    if settings.all_wheel == 1.0:
        return 0.0
    left = 0 if shares[0] == 0.0 else 2
    return (memory[M_SPEED + left + 1] - memory[M_SPEED + left]) / settings.track


def limit_of(expected, settings):
    """Speed [m/s] over which a driven wheel is in control that would roll at `expected` [m/s]."""
    return expected * (1.0 + settings.limit_slip) + settings.limit_offset


def set_limits(yaw_rate, memory, settings):
    """Limit and target speed [m/s] of each wheel into `memory`, and how long it has been over its
    limit.

    Expected is the reference speed, corrected for the bend where that is allowed for; a wheel that
    its sensor cannot see yet may go up to where it can. Where the road takes more from a wheel that
    slips more, see `torque.learn_slip`, target and limit are raised to that."""
    for i in range(4):
        expected = memory[M_REFERENCE]
        if settings.bend_allowance == 1.0:
            expected += (-0.5 if i == 0 or i == 2 else 0.5) * settings.track * yaw_rate
        expected = max(settings.blind_speed, expected)
        limit = limit_of(expected, settings)
        target = expected + settings.target_part * (limit - expected)
        raised = max(0.0, expected + memory[M_BEST_SLIP_SPEED] - target)
        memory[M_RAISED + i] = raised
        memory[M_LIMIT + i] = limit = limit + raised
        memory[M_TARGET + i] = target + raised
        if memory[M_SPEED + i] > limit:
            memory[M_OVER + i] += settings.cycle
            memory[M_SPUN + i] = settings.settle
        else:
            memory[M_OVER + i] = 0.0
            memory[M_SPUN + i] = max(0.0, memory[M_SPUN + i] - settings.cycle)


def spins(i, memory, settings):
    """True if wheel i has been over its limit for the time that confirms it."""
    return memory[M_OVER + i] >= settings.confirm - 1e-9


def estimate(times, wheel_speeds, driven, settings):
    """Reference speed over a recording of a drive, cycle by cycle as the control unit does it.

    Parameters
    ----------
    times : array (n,) [s], rising
    wheel_speeds : array (n, 4), rim speeds FL, FR, RL, RR [m/s]
    driven : sequence of 4 bools
    settings : Settings

    Returns
    -------
    array (n,) [m/s]
    """
    shares, memory = np.array(driven, dtype=float), np.zeros(MEMORY)
    speeds, sensors = np.empty(len(times)), np.zeros(SENSORS)
    memory[M_REFERENCE] = np.mean(wheel_speeds[0])
    memory[M_ROAD_TORQUE], sensors[SENSE_RATIO] = UNKNOWN, 1.0
    for k in range(len(times)):
        cycle = times[k] - times[k - 1] if k else settings.cycle
        memory[M_SPEED : M_SPEED + 4] = wheel_speeds[k]
        step = settings._replace(cycle=cycle)
        memory[M_REFERENCE] = driving_reference(memory, shares, sensors, step)
        speeds[k] = memory[M_REFERENCE]
    return speeds
