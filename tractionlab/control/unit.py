"""One cycle of the control unit: sensors in, requests out. Anti-lock when the driver brakes, traction control when not."""
from tractionlab.control.antilock import brake_together, braking_reference, excess_slip, feel_the_way, read_rates
from tractionlab.control.brake_action import brake_wheel, watch_heat
from tractionlab.control.fed_line import can_brake, end_of_cycle
from tractionlab.control.fluid import count_pump, follow_pedal, make_ready
from tractionlab.control.hydraulics import LAYOUT_A, NO_CIRCUIT
from tractionlab.control.settings import (
    ACCELERATION,
    ANTILOCK,
    BRAKE_SWITCH,
    CUT,
    DRIVER_OFF,
    ENGINE_SPEED,
    IGNITION,
    LAMP,
    LOW_LEVEL,
    LOW_PRESSURE,
    M_ACTIVE,
    M_BRAKING,
    M_CALM,
    M_CASE_SPEED,
    M_ENGINE_SPEED,
    M_FORCE,
    M_GRIP_TORQUE,
    M_LAST_FORCE,
    M_LAST_SPEED,
    M_LOCKING,
    M_EXCESS,
    M_PAUSED,
    M_PEDAL,
    M_PRESSURE,
    M_REFERENCE,
    M_REFERENCE_RATE,
    M_SPEED,
    M_STARTED,
    M_TARGET,
    M_TOO_FAST,
    M_WATCH,
    M_WAY,
    MOTOR_LIMIT,
    PEDAL,
    PEDAL_PRESSURE,
    PLATE,
    REFERENCE,
    REQUEST,
    VALVES,
    WHEELS,
)
from tractionlab.control.speeds import carry_on, expected_speed, reference_speed, share_out_motor_speed, yaw_rate_guess
from tractionlab.control.torque import choose_paths, driver_wish, grip_torque, torque_request
from tractionlab.physics.brake import PEDAL as FOLLOW_PEDAL


#: Time constant [s] with which the lower of two brake pressures on an axle goes while torque is being reduced. Found by trying.
BRAKE_SETTLE = 0.05
#: Where only brakes act, a wheel that is too slow lets its brake go as if it were so many times as slow: else two brakes that hold both wheels
#: keep holding them. Found by trying.
LET_GO = 20.0
#: How a driver is reckoned to go on pushing where nothing measures it: pressure at most [Pa], and how fast it grows [Pa/s]. Chosen for this course.
HARD_PEDAL, HARD_PUSH = 100e5, 300e5
#: Brakes of the driven wheels are filled to this pressure [Pa] while the car pulls away with at least this share of the throttle and slower than
#: this [m/s], so that they grip at once. Common practice, no source; values found by trying.
READY_PRESSURE, READY_THROTTLE, READY_SPEED = 3e4, 0.05, 3.0


def all_open(outputs):
    """Requests of a unit that does nothing: plates open, full ignition and fuel, valves to the pedal, lamp off."""
    outputs[PLATE] = 1.0
    outputs[IGNITION] = 1.0
    outputs[CUT] = 0.0
    outputs[MOTOR_LIMIT] = 1.0
    for i in range(4):
        outputs[VALVES + i] = FOLLOW_PEDAL
    outputs[LAMP] = 0.0
    outputs[ANTILOCK] = 0.0


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
            memory[M_LAST_SPEED + i] = sensors[WHEELS + i]
            memory[M_EXCESS + i] = -settings.target_offset
            memory[M_TOO_FAST + i] = -settings.target_offset
            memory[M_CASE_SPEED] += shares[i] * sensors[WHEELS + i] / settings.radius
    for i in range(4):
        memory[M_SPEED + i] = sensors[WHEELS + i]
    before = memory[M_REFERENCE]
    braking = sensors[BRAKE_SWITCH] == 1.0
    read_rates(sensors, memory, settings)
    if braking:
        reference = braking_reference(sensors, before, settings)
    else:
        reference = reference_speed(sensors, before, shares, settings)
        if settings.hydraulics.layout != NO_CIRCUIT:
            if settings.all_wheel == 0.0:
                reference = carry_on(reference, before, sensors, memory, settings)
            if engine.electric == 1.0:
                share_out_motor_speed(sensors, memory, shares, settings)
    share = settings.cycle / (settings.cycle + settings.torque_filter)
    memory[M_REFERENCE_RATE] += share * ((reference - before) / settings.cycle - memory[M_REFERENCE_RATE])
    memory[M_REFERENCE] = reference
    grip_torque(sensors, memory, shares, settings)
    all_open(outputs)
    outputs[REFERENCE] = reference
    outputs[REQUEST] = driver_wish(sensors, engine)
    if braking:
        if memory[M_BRAKING] == 0.0:
            begin_braking(memory, settings)
        antilock(reference, sensors, memory, brakes, outputs, settings)
    else:
        if memory[M_BRAKING] == 1.0:
            end_braking(memory, settings)
        traction(reference, sensors, memory, shares, engine, brakes, outputs, settings)
    if settings.hydraulics.layout != NO_CIRCUIT:
        count_pump(outputs, memory, settings.cycle, settings.hydraulics)
        if not braking:
            end_of_cycle(outputs, memory, settings.cycle, settings.hydraulics)


def begin_braking(memory, settings):
    """Forget the traction control and take up the anti-lock control with its first target slip."""
    memory[M_BRAKING] = 1.0
    memory[M_ACTIVE] = 0.0
    memory[M_WATCH] = 0.0
    for i in range(4):
        memory[M_LOCKING + i] = 0.0
        memory[M_CALM + i] = 0.0
        memory[M_TARGET + i] = settings.antilock_start
        memory[M_WAY + i] = 1.0
        memory[M_FORCE + i] = 0.0
        memory[M_LAST_FORCE + i] = 0.0


def end_braking(memory, settings):
    """The pedal is free: its pressure is gone, so the pressure model starts from zero."""
    memory[M_BRAKING] = 0.0
    for i in range(4):
        memory[M_PRESSURE + i] = 0.0
        memory[M_TOO_FAST + i] = -settings.target_offset


def pedal_pressure(sensors, memory, settings):
    """Pressure from the pedal [Pa]: measured where there is a sensor, which layout A lacks. There the unit takes it from the deceleration while
    the wheels follow the pedal; from the moment one would lock it reckons that the driver goes on pushing."""
    if settings.hydraulics.layout != LAYOUT_A:
        return sensors[PEDAL_PRESSURE]
    if max(memory[M_LOCKING], memory[M_LOCKING + 1], memory[M_LOCKING + 2], memory[M_LOCKING + 3]) == 1.0:
        memory[M_PEDAL] = min(HARD_PEDAL, memory[M_PEDAL] + HARD_PUSH * settings.cycle)
    else:
        memory[M_PEDAL] = settings.hydraulics.per_deceleration * max(0.0, -sensors[ACCELERATION])
    return memory[M_PEDAL]


def antilock(reference, sensors, memory, brakes, outputs, settings):
    """Anti-lock control of four wheels: the front ones each for itself, the rear ones together by the one that would lock first."""
    pedal = pedal_pressure(sensors, memory, settings)
    memory[M_WATCH] += settings.cycle
    worst = -1e3
    for i in range(4):
        if settings.antilock_on == 1.0 and reference > settings.antilock_speed:
            feel_the_way(i, memory, brakes, settings)
            memory[M_EXCESS + i] = excess_slip(i, reference, sensors, memory, settings)
        else:
            memory[M_EXCESS + i] = -1e3
            memory[M_LOCKING + i] = 0.0
        if i >= 2:
            worst = max(worst, memory[M_EXCESS + i])
    if memory[M_WATCH] >= settings.antilock_watch:
        memory[M_WATCH] = 0.0
    for i in range(4):
        brake_together(i, memory[M_EXCESS + i] if i < 2 else worst, pedal, memory, brakes, outputs, settings)
        if memory[M_LOCKING + i] == 1.0:
            outputs[ANTILOCK] = 1.0


def alone_too_fast(i, excess, sensors, memory, settings):
    """How much too fast wheel i turns for its brake [m/s].

    Where torque can be reduced, a brake only evens out what one wheel turns faster than its neighbour, beyond `brake_band`; what both have
    too much the engine takes away. So of two brakes the one with less pressure lets go, within about BRAKE_SETTLE.
    """
    if settings.torque_on == 0.0 or sensors[DRIVER_OFF] == 1.0:
        return excess if excess > 0.0 else LET_GO * excess
    other = i + 1 - 2 * (i % 2)
    faster = min(excess, memory[M_SPEED + i] - memory[M_SPEED + other] - settings.brake_band)
    if memory[M_PRESSURE + i] < memory[M_PRESSURE + other]:
        faster -= memory[M_PRESSURE + i] / (settings.brake_gain * BRAKE_SETTLE)
    return faster


def split(apart, memory, settings):
    """How surely [0..1] the road is split, so that the faster wheel is left to its brake and the slower one sets the torque: by how far apart
    the driven wheels turn [m/s], and by how unlike their brakes are pressed."""
    unlike = max(abs(memory[M_PRESSURE] - memory[M_PRESSURE + 1]), abs(memory[M_PRESSURE + 2] - memory[M_PRESSURE + 3]))
    return min(1.0, max(0.0, apart - settings.split_from) / settings.split_over + unlike / settings.split_pressure)


def wait_ready(i, ready, memory, outputs, settings):
    """A brake that does nothing is filled to the touch where it will soon be needed, else its fluid leaves by the way to the pedal."""
    if ready:
        make_ready(i, READY_PRESSURE, memory, outputs, settings.cycle, settings.hydraulics)
    else:
        follow_pedal(i, 0.0, memory, settings.cycle, settings.hydraulics)


def traction(reference, sensors, memory, shares, engine, brakes, outputs, settings):
    """Traction control of the driven wheels: brake application wheel by wheel, torque reduction for the axle. With too little fluid in the reservoir
    it is off and the lamp says so; anti-lock stays, for the pedal works."""
    yaw_rate = yaw_rate_guess(sensors, shares, settings)
    fastest, slowest, over_limit, paused = -1e3, 1e3, False, False
    able = sensors[LOW_LEVEL] == 0.0
    if not able:
        outputs[LAMP] = 1.0
    geared = settings.hydraulics.layout != NO_CIRCUIT and engine.electric == 1.0
    for i in range(4):
        if shares[i] > 0.0:
            expected = expected_speed(i, memory, yaw_rate, settings)
            limit = expected * (1.0 + settings.limit_share) + settings.limit_offset
            target = expected * (1.0 + settings.target_share) + settings.target_offset
            excess = memory[M_SPEED + i] - target
            if geared:
                over_limit = over_limit or sensors[ENGINE_SPEED] / settings.ratio * settings.radius > limit
            soon = excess + settings.torque_lead * (excess - memory[M_EXCESS + i]) / settings.cycle
            over = target + soon > limit
            over_limit = over_limit or over
            fastest = max(fastest, soon)
            slowest = min(slowest, soon)
            watch_heat(i, memory, brakes, brakes.front_torque if i < 2 else brakes.rear_torque, settings)
            paused = paused or memory[M_PAUSED + i] == 1.0
            allowed = able and settings.brake_on == 1.0 and reference < settings.brake_speed_limit and memory[M_PAUSED + i] == 0.0
            if settings.hydraulics.layout != NO_CIRCUIT:
                allowed = allowed and can_brake(i, settings.hydraulics) and sensors[LOW_PRESSURE] == 0.0
                too_fast = alone_too_fast(i, excess, sensors, memory, settings)
                brake_wheel(i, too_fast, memory[M_TOO_FAST + i], over, allowed, memory, brakes, outputs, settings)
                memory[M_TOO_FAST + i] = too_fast
                if outputs[VALVES + i] == FOLLOW_PEDAL:
                    wait_ready(i, allowed and sensors[PEDAL] > READY_THROTTLE and reference < READY_SPEED, memory, outputs, settings)
            else:
                brake_wheel(i, excess, memory[M_EXCESS + i], over, allowed, memory, brakes, outputs, settings)
            memory[M_EXCESS + i] = excess
            if memory[M_PRESSURE + i] > 0.0:
                outputs[LAMP] = 1.0

    if able and settings.torque_on == 1.0 and sensors[DRIVER_OFF] == 0.0:
        excess = fastest
        if settings.brake_on == 1.0 and not paused:
            band = settings.fast_wheel_band * max(0.0, 1.0 - reference / settings.brake_speed_limit)
            if settings.hydraulics.layout != NO_CIRCUIT:
                band *= split(fastest - slowest, memory, settings)
            excess = max(slowest, fastest - band)
        common = 0.0 if settings.hydraulics.layout == NO_CIRCUIT else slowest
        request = torque_request(excess, common, over_limit, outputs[REQUEST], memory, settings)
        if memory[M_ACTIVE] == 1.0:
            choose_paths(request, memory[M_GRIP_TORQUE], sensors, engine, outputs, settings)
            outputs[LAMP] = 1.0
        elif request < outputs[REQUEST]:
            choose_paths(request, request, sensors, engine, outputs, settings)
        outputs[REQUEST] = request
    else:
        memory[M_ACTIVE] = 0.0
