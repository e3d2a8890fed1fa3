"""What the control unit knows: its thresholds, and how it has been coded for the car; the order of
what it reads, asks for and remembers.
"""

from typing import NamedTuple

from tractionlab.control.hydraulics import Hydraulics
from tractionlab.slots import slots


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
    brake_step: float
    brake_far: float
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
    antilock_lead: float
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


# What the sensors and the other control units tell, once a cycle.
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
) = slots(
    wheels=4,
    yaw_rate=1,
    engine_speed=1,
    pedal=1,
    brake_switch=1,
    driver_off=1,
    pedal_pressure=1,
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
    ASK_OPEN,
    ASK_RECUPERATION,
    ASK_PUMP,
    ASK_LAMP,
    ASK_TORQUE,
    TELL_REFERENCE,
    TELL_BEST_SLIP_SPEED,
    TELL_ANTILOCK,
    TELL_TORQUE_PHASE,
    TELL_TORQUE_REASON,
    TELL_TORQUE_SEEN,
    TELL_TORQUE_LIMIT,
    ASK_VALVES,
    TELL_PHASE,
    TELL_REASON,
    TELL_SEEN,
    TELL_LIMIT,
    OUTPUTS,
) = slots(
    plate=1,
    ignition=1,
    fuel_cut=1,
    motor_limit=1,
    open=1,
    recuperation=1,
    pump=1,
    lamp=1,
    torque=1,
    reference=1,
    best_slip_speed=1,
    antilock=1,
    torque_phase=1,
    torque_reason=1,
    torque_seen=1,
    torque_limit=1,
    valves=4,
    phase=4,
    reason=4,
    seen=4,
    limit=4,
)

#: So many cycles back the unit remembers what it asked of ignition and fuel.
SENT = 12

# What it remembers from one cycle to the next; four places for what is kept for each wheel.
(
    M_STARTED,
    M_REFERENCE,
    M_CAR_RATE,
    M_WORSE,
    M_FOOT,
    M_ENGINE_SPEED,
    M_CASE_SPEED,
    M_CHARGE,
    M_ROAD_TORQUE,
    M_SPIN_TORQUE,
    M_BEST_TORQUE,
    M_BEST_SLIP_SPEED,
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
    M_SPEED,
    M_RATE,
    M_LIMIT,
    M_TARGET,
    M_RAISED,
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
    M_SENT_FUEL_CUT,
    MEMORY,
) = slots(
    started=1,
    reference=1,
    car_rate=1,
    worse=1,
    foot=1,
    engine_speed=1,
    case_speed=1,
    charge=1,
    road_torque=1,
    spin_torque=1,
    best_torque=1,
    best_slip_speed=1,
    request=1,
    torque_phase=1,
    torque_time=1,
    torque_reason=1,
    torque_seen=1,
    torque_limit=1,
    over_limit=1,
    fired=1,
    ignition=1,
    fuel_cut=1,
    plate=1,
    braking=1,
    run_on=1,
    pump=1,
    speed=4,
    rate=4,
    limit=4,
    target=4,
    raised=4,
    spun=4,
    over=4,
    phase=4,
    time=4,
    reason=4,
    seen=4,
    bound=4,
    pulse=4,
    since=4,
    steps=4,
    lock_pressure=4,
    top_rate=4,
    fluid=4,
    kept=4,
    pressure=4,
    disc=4,
    paused=4,
    sent_ignition=SENT,
    sent_fuel_cut=SENT,
)
