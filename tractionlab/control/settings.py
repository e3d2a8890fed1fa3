"""What the control unit knows: its thresholds, and how it has been coded for the car; the order of
what it reads, asks for and remembers.
"""

from typing import NamedTuple

from tractionlab.control.hydraulics import Hydraulics


class Settings(NamedTuple):
    """Parameters of the control unit. Speeds in m/s, times in s, accelerations in m/s^2, pressures
    in Pa, torques in N m, temperatures in degC; the rest are shares.

    What each one does, its range and its source stand in data/control.toml under the same name
    with its unit. Switches are 1.0 or 0.0. The last block repeats data of the car, as coded at the
    factory.
    """

    cycle: float
    rate_filter: float
    reference_rise: float
    reference_fall: float
    reference_brakes: float
    reference_spare: float
    settle: float
    limit_slip: float
    limit_offset: float
    target_part: float
    confirm: float
    fall_time: float
    return_lead: float
    return_time: float
    return_least: float
    road_filter: float
    ignition_min: float
    ignition_delay: float
    fuel_delay: float
    message_delay: float
    split: float
    fast_wheel: float
    brake_lead: float
    brake_fall_time: float
    brake_step: float
    step_every: float
    shortest_pulse: float
    brake_max: float
    brake_speed_limit: float
    brake_fade: float
    brake_empty: float
    heat_pause: float
    heat_resume: float
    antilock_slowing: float
    antilock_slip: float
    antilock_offset: float
    antilock_deep: float
    antilock_gain: float
    antilock_first_step: float
    antilock_step: float
    antilock_end: float
    bend_lateral: float
    pedal_free: float
    pedal_pressure: float
    pedal_time: float
    torque_on: float
    brake_on: float
    antilock_on: float
    drag_on: float
    bend_allowance: float
    throttle_path: float
    ignition_path: float
    fuel_path: float
    all_wheel: float
    yaw_sensor: float
    blind_speed: float
    tooth_pitch: float
    wheel_inertia: float
    radius: float
    track: float
    mass: float
    gear_inertia: float
    driven_wheels: float
    engine_inertia: float
    efficiency: float
    hydraulics: Hydraulics


# What the sensors and the other control units tell, once a cycle: four wheel speeds, then one
# value each.
(
    SENSE_WHEELS,
    SENSE_YAW_RATE,
    SENSE_ENGINE_SPEED,
    SENSE_PEDAL,
    SENSE_BRAKE_SWITCH,
    SENSE_DRIVER_OFF,
    SENSE_PEDAL_PRESSURE,
    SENSE_LOW_PRESSURE,
    SENSE_LOW_LEVEL,
    SENSE_STEERING,
    SENSE_RATIO,
    SENSORS,
) = (0, *range(4, 15))

# What the control unit asks for, and what it tells of itself: phases and reasons as numbers of
# control/phases.py, the two values that a reason compares in SI units (temperatures in degC). One
# place for what is one value ...
(
    ASK_PLATE,
    ASK_IGNITION,
    ASK_FUEL_CUT,
    ASK_MOTOR_LIMIT,
    ASK_OPEN,
    ASK_RECUPERATION,
    ASK_PUMP,
    ASK_LAMP,
    ASK_TORQUE,
    TELL_REFERENCE,
    TELL_ANTILOCK,
    TELL_TORQUE_PHASE,
    TELL_TORQUE_REASON,
    TELL_TORQUE_SEEN,
    TELL_TORQUE_LIMIT,
    _ASK_WHEELS,
) = range(16)
# ... and four for what is one value a wheel.
(
    ASK_VALVES,
    TELL_PHASE,
    TELL_REASON,
    TELL_SEEN,
    TELL_LIMIT,
    OUTPUTS,
) = range(_ASK_WHEELS, _ASK_WHEELS + 24, 4)

#: So many cycles back the unit remembers what it asked of ignition and fuel.
SENT = 12

# What it remembers from one cycle to the next: one place for what is one value ...
(
    M_STARTED,
    M_REFERENCE,
    M_WORSE,
    M_FOOT,
    M_ENGINE_SPEED,
    M_CASE_SPEED,
    M_CHARGE,
    M_ROAD_TORQUE,
    M_SPIN_TORQUE,
    M_REQUEST,
    M_TORQUE_PHASE,
    M_TORQUE_TIME,
    M_TORQUE_REASON,
    M_TORQUE_SEEN,
    M_TORQUE_LIMIT,
    M_OVER_LIMIT,
    M_FIRED,
    M_IGNITION,
    M_FUEL_CUT,
    M_PLATE,
    M_BRAKING,
    M_RUN_ON,
    M_PUMP,
    _M_WHEELS,
) = range(24)
# ... four for what is one value a wheel ...
(
    M_SPEED,
    M_RATE,
    M_LIMIT,
    M_TARGET,
    M_SPUN,
    M_OVER,
    M_PHASE,
    M_TIME,
    M_REASON,
    M_SEEN,
    M_BOUND,
    M_PULSE,
    M_SINCE,
    M_STEPS,
    M_LOCK_PRESSURE,
    M_TOP_RATE,
    M_FLUID,
    M_KEPT,
    M_PRESSURE,
    M_DISC,
    M_PAUSED,
    M_SENT_IGNITION,
) = range(_M_WHEELS, _M_WHEELS + 88, 4)
# ... and what it asked of ignition and fuel, the last cycle first.
M_SENT_FUEL_CUT, MEMORY = M_SENT_IGNITION + SENT, M_SENT_IGNITION + 2 * SENT
