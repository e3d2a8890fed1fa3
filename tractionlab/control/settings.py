"""What the control unit knows: thresholds and gains, and how it has been coded for the car."""

from typing import NamedTuple

from tractionlab.control.hydraulics import Hydraulics


class Settings(NamedTuple):
    """Parameters of the control unit. Speeds in m/s, times in s, pressures in Pa, torques in N m,
    temperatures in degC.

    Switches are 1.0 or 0.0. The last block repeats data of the car, as coded at the factory.
    """

    cycle: float
    torque_on: float
    brake_on: float
    limit_share: float
    limit_offset: float
    target_share: float
    target_offset: float
    reference_rise: float
    reference_blend: float
    bend_allowance: float
    torque_gain: float
    torque_lead: float
    torque_filter: float
    torque_return: float
    torque_return_full: float
    pull_away: float
    torque_floor: float
    torque_floor_until: float
    fast_wheel_band: float
    split_from: float
    split_over: float
    split_pressure: float
    throttle_path: float
    ignition_path: float
    fuel_path: float
    ignition_least: float
    ignition_delay: float
    fuel_delay: float
    motor_delay: float
    throttle_delay: float
    brake_gain: float
    brake_lead: float
    brake_lead_least: float
    brake_lead_full: float
    brake_band: float
    brake_ramp: float
    brake_release: float
    brake_most: float
    brake_speed_limit: float
    antilock_on: float
    antilock_margin: float
    antilock_watch: float
    antilock_step: float
    antilock_least: float
    antilock_most: float
    antilock_start: float
    antilock_offset: float
    antilock_lead: float
    antilock_gain: float
    antilock_rise: float
    antilock_fall: float
    antilock_speed: float
    rate_filter: float
    heat_pause: float
    heat_resume: float
    all_wheel: float
    yaw_sensor: float
    tooth_pitch: float
    wheel_inertia: float
    radius: float
    track: float
    ratio: float
    gear_inertia: float
    engine_inertia: float
    efficiency: float
    hydraulics: Hydraulics


# What the sensors and the other control units tell, once a cycle.
(
    WHEELS,
    YAW_RATE,
    ENGINE_SPEED,
    ENGINE_TORQUE,
    CHARGE,
    PEDAL,
    BRAKE_SWITCH,
    DRIVER_OFF,
    PEDAL_PRESSURE,
    ACCELERATION,
    LOW_PRESSURE,
    LOW_LEVEL,
    STEERING,
) = (0, *range(4, 16))
SENSORS = 16

# What the control unit asks for.
PLATE, IGNITION, CUT, MOTOR_LIMIT, VALVES, LAMP, REQUEST, REFERENCE, ANTILOCK = (
    0,
    1,
    2,
    3,
    4,
    8,
    9,
    10,
    11,
)
OUTPUTS = 12

# What it remembers from one cycle to the next.
(
    M_REFERENCE,
    M_ENGINE_SPEED,
    M_CASE_SPEED,
    M_GRIP_TORQUE,
    M_REQUEST,
    M_ACTIVE,
    M_STARTED,
    M_ENGINE_TORQUE,
    M_REFERENCE_RATE,
    M_WATCH,
    M_BRAKING,
) = range(11)
(
    M_EXCESS,
    M_PRESSURE,
    M_DISC,
    M_PAUSED,
    M_LAST_SPEED,
    M_RATE,
    M_LOCKING,
    M_TARGET,
    M_WAY,
    M_FORCE,
    M_LAST_FORCE,
    M_FLUID,
    M_TOO_FAST,
    M_CALM,
) = range(11, 67, 4)
M_PUMP, M_PEDAL, M_FED, M_BACK, M_SUPPLIED, M_SPEED, M_LEVEL = 67, 68, 69, 71, 73, 75, 79
MEMORY = 80
