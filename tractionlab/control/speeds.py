"""Reference speed of the car from its wheels, bend allowance, and how much faster a driven wheel
may turn.
"""

import numpy as np

from tractionlab.control.settings import (
    M_LEVEL,
    M_REFERENCE,
    M_SPEED,
    SENSE_ACCELERATION,
    SENSE_ENGINE_SPEED,
    SENSE_PEDAL,
    SENSE_WHEELS,
    SENSE_YAW_RATE,
)

#: Between two teeth the unit assumes that the car gains no more than this [m/s^2], and below the
#: speed [m/s] that teeth come as at that speed. Chosen for this course.
MOST_GAIN, SLOWEST = 5.0, 0.2
#: So much faster than the car [m/s] every driven wheel counts when the motor's speed is shared out
#: among them. Found by trying.
SHARED_EVENLY = 0.15


def reference_speed(sensors, before, shares, settings):
    """Best guess of the car's speed [m/s] from its wheels.

    With undriven wheels: their mean. With all wheels driven: the slowest wheel, which may not gain
    faster than `reference_rise`.

    Parameters
    ----------
    sensors : array, rim speeds in the first four places [m/s]
    before : float, guess of the last cycle [m/s]
    shares : array (4,), torque share per wheel; 0 = undriven
    """
    if settings.all_wheel == 1.0:
        slowest = min(min(sensors[0], sensors[1]), min(sensors[2], sensors[3]))
        return max(0.0, min(slowest, before + settings.reference_rise * settings.cycle))
    total, count = 0.0, 0.0
    for i in range(4):
        if shares[i] == 0.0:
            total += sensors[SENSE_WHEELS + i]
            count += 1.0
    return max(0.0, total / max(count, 1.0))


def carry_on(reading, before, sensors, memory, settings):
    """Reference speed [m/s] of a unit that counts teeth: what the wheels told last, carried on with
    the acceleration sensor.

    At walking pace a tooth comes only every some hundredths of a second and tells the mean since
    the one before. On a hill the sensor feels the slope too: what it shows while the car stands
    with the pedal free counts as none.

    Parameters
    ----------
    reading : float, by the wheels alone [m/s]
    before : float, guess of the last cycle [m/s]
    """
    if sensors[SENSE_PEDAL] == 0.0 and reading == 0.0:
        memory[M_LEVEL] = sensors[SENSE_ACCELERATION]
    ahead = before + (sensors[SENSE_ACCELERATION] - memory[M_LEVEL]) * settings.cycle
    blended = ahead + settings.cycle / settings.reference_blend * (reading - ahead)
    most = reading + MOST_GAIN * (
        0.5 * settings.tooth_pitch / max(SLOWEST, reading) + settings.cycle
    )
    return min(max(reading, blended), most)


def share_out_motor_speed(sensors, memory, shares, settings):
    """Speeds of the driven wheels [m/s] into `memory`, where a motor is geared to them: it tells
    their mean sooner than teeth do.

    What the teeth miss of it goes to each wheel by how much faster than the car it turns.
    """
    missing, weights = sensors[SENSE_ENGINE_SPEED] / settings.ratio * settings.radius, 0.0
    for i in range(4):
        if shares[i] > 0.0:
            missing -= shares[i] * sensors[SENSE_WHEELS + i]
            weights += shares[i] * (
                max(0.0, sensors[SENSE_WHEELS + i] - memory[M_REFERENCE]) + SHARED_EVENLY
            )
    for i in range(4):
        if shares[i] > 0.0:
            part = (
                max(0.0, sensors[SENSE_WHEELS + i] - memory[M_REFERENCE]) + SHARED_EVENLY
            ) / weights
            memory[M_SPEED + i] = max(0.0, sensors[SENSE_WHEELS + i] + missing * part)


def yaw_rate_guess(sensors, shares, settings):
    """Yaw rate [rad/s], by the sensor, else from the speed difference of the undriven wheels."""
    if settings.yaw_sensor == 1.0:
        return sensors[SENSE_YAW_RATE]
    if settings.all_wheel == 1.0:
        return 0.0
    left = 0 if shares[0] == 0.0 else 2
    return (sensors[SENSE_WHEELS + left + 1] - sensors[SENSE_WHEELS + left]) / settings.track


def expected_speed(i, memory, yaw_rate, settings):
    """Speed [m/s] wheel i would have if it rolled freely: reference speed, corrected for the bend
    when that is allowed for.
    """
    if settings.bend_allowance == 0.0:
        return memory[M_REFERENCE]
    side = -0.5 if i == 0 or i == 2 else 0.5
    return max(0.0, memory[M_REFERENCE] + side * settings.track * yaw_rate)


def estimate(times, wheel_speeds, driven, settings):
    """Reference speed over a recording, cycle by cycle as the control unit does it.

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
    shares = np.array(driven, dtype=float)
    speeds = np.empty(len(times))
    guess = float(np.mean(wheel_speeds[0]))
    for k in range(len(times)):
        cycle = times[k] - times[k - 1] if k else settings.cycle
        guess = reference_speed(wheel_speeds[k], guess, shares, settings._replace(cycle=cycle))
        speeds[k] = guess
    return speeds
