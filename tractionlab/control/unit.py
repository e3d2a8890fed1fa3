"""One cycle of the control unit: sensors in, requests out.

Anti-lock when the driver brakes, traction control when not.
"""

from tractionlab.control.antilock import (
    brake_together,
    braking_reference,
    excess_slip,
    feel_the_way,
    read_rates,
)
from tractionlab.control.fed_line import end_of_cycle
from tractionlab.control.fluid import count_pump
from tractionlab.control.hydraulics import CODED_A, NO_CIRCUIT
from tractionlab.control.settings import (
    ASK_FUEL_CUT,
    ASK_IGNITION,
    ASK_LAMP,
    ASK_MOTOR_LIMIT,
    ASK_PLATE,
    ASK_TORQUE,
    ASK_VALVES,
    M_ACTIVE,
    M_BRAKING,
    M_CALM,
    M_CASE_SPEED,
    M_ENGINE_SPEED,
    M_EXCESS,
    M_FORCE,
    M_LAST_FORCE,
    M_LAST_SPEED,
    M_LOCKING,
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
    SENSE_ACCELERATION,
    SENSE_BRAKE_SWITCH,
    SENSE_ENGINE_SPEED,
    SENSE_PEDAL_PRESSURE,
    SENSE_WHEELS,
    TELL_ANTILOCK,
    TELL_REFERENCE,
)
from tractionlab.control.speeds import carry_on, reference_speed, share_out_motor_speed
from tractionlab.control.torque import driver_wish, grip_torque
from tractionlab.control.traction import traction
from tractionlab.physics.brake import FOLLOW_PEDAL

#: How a driver is taken to go on pushing where nothing measures it: pressure at most [Pa], and how
#: fast it grows [Pa/s]. Chosen for this course.
HARD_PEDAL, HARD_PUSH = 100e5, 300e5


def all_open(outputs):
    """Requests of a unit that does nothing: plates open, full ignition and fuel, valves to the
    pedal, lamp off.
    """
    outputs[ASK_PLATE] = 1.0
    outputs[ASK_IGNITION] = 1.0
    outputs[ASK_FUEL_CUT] = 0.0
    outputs[ASK_MOTOR_LIMIT] = 1.0
    for i in range(4):
        outputs[ASK_VALVES + i] = FOLLOW_PEDAL
    outputs[ASK_LAMP] = 0.0
    outputs[TELL_ANTILOCK] = 0.0


def cycle(sensors, memory, outputs, shares, engine, brakes, settings):
    """Run one cycle: fill `outputs` (OUTPUTS,) from `sensors` (SENSORS,), and keep `memory`
    (MEMORY,) up to date.

    Parameters
    ----------
    shares : array (4,), torque share per wheel
    engine, brakes : Engine, Brakes
        What the engine control unit knows of its engine, and the model of the brakes.
    settings : Settings
    """
    if memory[M_STARTED] == 0.0:
        memory[M_STARTED] = 1.0
        memory[M_REFERENCE] = reference_speed(sensors, sensors[SENSE_WHEELS], shares, settings)
        memory[M_ENGINE_SPEED] = sensors[SENSE_ENGINE_SPEED]
        for i in range(4):
            memory[M_LAST_SPEED + i] = sensors[SENSE_WHEELS + i]
            memory[M_EXCESS + i] = -settings.target_offset
            memory[M_TOO_FAST + i] = -settings.target_offset
            memory[M_CASE_SPEED] += shares[i] * sensors[SENSE_WHEELS + i] / settings.radius
    for i in range(4):
        memory[M_SPEED + i] = sensors[SENSE_WHEELS + i]
    before = memory[M_REFERENCE]
    braking = sensors[SENSE_BRAKE_SWITCH] == 1.0
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
    memory[M_REFERENCE_RATE] += share * (
        (reference - before) / settings.cycle - memory[M_REFERENCE_RATE]
    )
    memory[M_REFERENCE] = reference
    grip_torque(sensors, memory, shares, settings)
    all_open(outputs)
    outputs[TELL_REFERENCE] = reference
    outputs[ASK_TORQUE] = driver_wish(sensors, engine)
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
    """Pressure from the pedal [Pa]: measured where there is a sensor, which layout A lacks. There
    the unit takes it from the deceleration while the wheels follow the pedal; from the moment one
    would lock it assumes that the driver goes on pushing."""
    if settings.hydraulics.layout != CODED_A:
        return sensors[SENSE_PEDAL_PRESSURE]
    if (
        max(memory[M_LOCKING], memory[M_LOCKING + 1], memory[M_LOCKING + 2], memory[M_LOCKING + 3])
        == 1.0
    ):
        memory[M_PEDAL] = min(HARD_PEDAL, memory[M_PEDAL] + HARD_PUSH * settings.cycle)
    else:
        memory[M_PEDAL] = settings.hydraulics.per_deceleration * max(
            0.0, -sensors[SENSE_ACCELERATION]
        )
    return memory[M_PEDAL]


def antilock(reference, sensors, memory, brakes, outputs, settings):
    """Anti-lock control of four wheels: the front ones each for itself, the rear ones together by
    the one that would lock first.
    """
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
        brake_together(
            i, memory[M_EXCESS + i] if i < 2 else worst, pedal, memory, brakes, outputs, settings
        )
        if memory[M_LOCKING + i] == 1.0:
            outputs[TELL_ANTILOCK] = 1.0
