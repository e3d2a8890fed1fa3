"""One cycle of the control unit: sensors in, requests out."""
from tractionlab.control.brake_action import brake_wheel, watch_heat
from tractionlab.control.settings import (
    BRAKE_SWITCH,
    CUT,
    DRIVER_OFF,
    ENGINE_SPEED,
    IGNITION,
    LAMP,
    M_ACTIVE,
    M_CASE_SPEED,
    M_ENGINE_SPEED,
    M_GRIP_TORQUE,
    M_EXCESS,
    M_PAUSED,
    M_PRESSURE,
    M_REFERENCE,
    M_REFERENCE_RATE,
    M_STARTED,
    MOTOR_LIMIT,
    PLATE,
    REFERENCE,
    REQUEST,
    VALVES,
    WHEELS,
)
from tractionlab.control.speeds import expected_speed, reference_speed, yaw_rate_guess
from tractionlab.control.torque import choose_paths, driver_wish, grip_torque, torque_request
from tractionlab.physics.brake import PEDAL as FOLLOW_PEDAL


def all_open(outputs):
    """Requests of a unit that does nothing: plates open, full ignition and fuel, valves to the pedal, lamp off."""
    outputs[PLATE] = 1.0
    outputs[IGNITION] = 1.0
    outputs[CUT] = 0.0
    outputs[MOTOR_LIMIT] = 1.0
    for i in range(4):
        outputs[VALVES + i] = FOLLOW_PEDAL
    outputs[LAMP] = 0.0


def cycle(sensors, memory, outputs, shares, engine, brakes, settings):
    """Run one cycle: fill `outputs` (OUTPUTS,) from `sensors` (SENSORS,), and keep `memory` (MEMORY,) up to date.

    Parameters
    ----------
    shares : array (4,), torque share per wheel
    engine, brakes : Engine, Brakes
        What the engine control unit knows of its engine, and the model of the brakes.
    settings : Settings
    """
    if memory[M_STARTED] == 0.0:
        memory[M_STARTED] = 1.0
        memory[M_REFERENCE] = reference_speed(sensors, sensors[WHEELS], shares, settings)
        memory[M_ENGINE_SPEED] = sensors[ENGINE_SPEED]
        for i in range(4):
            memory[M_EXCESS + i] = -settings.target_offset
            memory[M_CASE_SPEED] += shares[i] * sensors[WHEELS + i] / settings.radius
    reference = reference_speed(sensors, memory[M_REFERENCE], shares, settings)
    share = settings.cycle / (settings.cycle + settings.torque_filter)
    memory[M_REFERENCE_RATE] += share * ((reference - memory[M_REFERENCE]) / settings.cycle - memory[M_REFERENCE_RATE])
    memory[M_REFERENCE] = reference
    yaw_rate = yaw_rate_guess(sensors, shares, settings)
    grip_torque(sensors, memory, shares, settings)
    all_open(outputs)
    brake_pressed = sensors[BRAKE_SWITCH] == 1.0

    fastest, slowest, over_limit, paused = -1e3, 1e3, False, False
    for i in range(4):
        if shares[i] > 0.0:
            expected = expected_speed(i, memory, yaw_rate, settings)
            limit = expected * (1.0 + settings.limit_share) + settings.limit_offset
            target = expected * (1.0 + settings.target_share) + settings.target_offset
            excess = sensors[WHEELS + i] - target
            soon = excess + settings.torque_lead * (excess - memory[M_EXCESS + i]) / settings.cycle
            over = target + soon > limit
            over_limit = over_limit or over
            fastest = max(fastest, soon)
            slowest = min(slowest, soon)
            watch_heat(i, sensors, memory, brakes, brakes.front_torque if i < 2 else brakes.rear_torque, settings)
            paused = paused or memory[M_PAUSED + i] == 1.0
            allowed = (settings.brake_on == 1.0 and reference < settings.brake_speed_limit
                       and memory[M_PAUSED + i] == 0.0)
            brake_wheel(i, excess, over, allowed, brake_pressed, memory, brakes, outputs, settings)
            memory[M_EXCESS + i] = excess
            if memory[M_PRESSURE + i] > 0.0:
                outputs[LAMP] = 1.0

    wish = driver_wish(sensors, engine)
    outputs[REQUEST] = wish
    if settings.torque_on == 1.0 and sensors[DRIVER_OFF] == 0.0 and not brake_pressed:
        excess = fastest
        if settings.brake_on == 1.0 and not paused:
            band = settings.fast_wheel_band * max(0.0, 1.0 - reference / settings.brake_speed_limit)
            excess = max(slowest, fastest - band)
        request = torque_request(excess, over_limit, wish, memory, settings)
        outputs[REQUEST] = request
        if memory[M_ACTIVE] == 1.0:
            choose_paths(request, memory[M_GRIP_TORQUE], sensors, engine, outputs, settings)
            outputs[LAMP] = 1.0
    else:
        memory[M_ACTIVE] = 0.0
    outputs[REFERENCE] = reference
