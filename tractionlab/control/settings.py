"""What the control unit knows: thresholds and gains, and how it has been coded for the car."""

from typing import NamedTuple

from tractionlab.control.hydraulics import Hydraulics
from tractionlab.slots import slots


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
    SENSE_WHEELS,
    SENSE_YAW_RATE,
    SENSE_ENGINE_SPEED,
    SENSE_ENGINE_TORQUE,
    SENSE_CHARGE,
    SENSE_PEDAL,
    SENSE_BRAKE_SWITCH,
    SENSE_DRIVER_OFF,
    SENSE_PEDAL_PRESSURE,
    SENSE_ACCELERATION,
    SENSE_LOW_PRESSURE,
    SENSE_LOW_LEVEL,
    SENSE_STEERING,
    SENSE_RATIO,
    SENSORS,
) = slots(
    wheels=4,
    yaw_rate=1,
    engine_speed=1,
    engine_torque=1,
    charge=1,
    pedal=1,
    brake_switch=1,
    driver_off=1,
    pedal_pressure=1,
    acceleration=1,
    low_pressure=1,
    low_level=1,
    steering=1,
    ratio=1,
)

# What the control unit asks for, and what it tells of itself: phases and reasons as numbers of
# control/phases.py, the two values that a reason compares in SI units (temperatures in degC).
(
    ASK_PLATE,
    ASK_IGNITION,
    ASK_FUEL_CUT,
    ASK_MOTOR_LIMIT,
    ASK_VALVES,
    ASK_LAMP,
    ASK_TORQUE,
    TELL_REFERENCE,
    TELL_ANTILOCK,
    TELL_PHASE,
    TELL_REASON,
    TELL_SEEN,
    TELL_LIMIT,
    TELL_TORQUE_PHASE,
    TELL_TORQUE_REASON,
    TELL_TORQUE_SEEN,
    TELL_TORQUE_LIMIT,
    OUTPUTS,
) = slots(
    plate=1,
    ignition=1,
    fuel_cut=1,
    motor_limit=1,
    valves=4,
    lamp=1,
    torque=1,
    reference=1,
    antilock=1,
    phase=4,
    reason=4,
    seen=4,
    limit=4,
    torque_phase=1,
    torque_reason=1,
    torque_seen=1,
    torque_limit=1,
)

# What it remembers from one cycle to the next: four places for each wheel, two for each fed line.
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
    M_PUMP,
    M_PEDAL,
    M_FED,
    M_BACK,
    M_SUPPLIED,
    M_SPEED,
    M_LEVEL,
    MEMORY,
) = slots(
    reference=1,
    engine_speed=1,
    case_speed=1,
    grip_torque=1,
    request=1,
    active=1,
    started=1,
    engine_torque=1,
    reference_rate=1,
    watch=1,
    braking=1,
    excess=4,
    pressure=4,
    disc=4,
    paused=4,
    last_speed=4,
    rate=4,
    locking=4,
    target=4,
    way=4,
    force=4,
    last_force=4,
    fluid=4,
    too_fast=4,
    calm=4,
    pump=1,
    pedal=1,
    fed=2,
    back=2,
    supplied=2,
    speed=4,
    level=1,
)
