"""Traction control of the driven wheels when the foot is off the brake: brakes wheel by wheel,
torque reduction for the axle.
"""

from tractionlab.control.brake_action import brake_wheel, watch_heat
from tractionlab.control.fed_line import can_brake
from tractionlab.control.fluid import follow_pedal, make_ready
from tractionlab.control.hydraulics import NO_CIRCUIT
from tractionlab.control.settings import (
    ASK_LAMP,
    ASK_TORQUE,
    ASK_VALVES,
    M_ACTIVE,
    M_EXCESS,
    M_GRIP_TORQUE,
    M_PAUSED,
    M_PRESSURE,
    M_SPEED,
    M_TOO_FAST,
    SENSE_DRIVER_OFF,
    SENSE_LOW_LEVEL,
    SENSE_LOW_PRESSURE,
    SENSE_PEDAL,
)
from tractionlab.control.speeds import expected_speed, yaw_rate_guess
from tractionlab.control.torque import choose_paths, torque_request
from tractionlab.physics.brake import FOLLOW_PEDAL

#: Time constant [s] with which the lower of two brake pressures on an axle goes while torque is
#: being reduced. Found by trying.
BRAKE_SETTLE = 0.05
#: Where only brakes act, a wheel that is too slow lets its brake go as if it were so many times as
#: slow: else two brakes that hold both wheels
#: keep holding them. Found by trying.
SLOW_COUNTS = 20.0
#: Brakes of the driven wheels are filled to this pressure [Pa] while the car pulls away with at
#: least this share of the throttle and slower than
#: this [m/s], so that they grip at once. Common practice, no source; values found by trying.
READY_PRESSURE, READY_THROTTLE, READY_SPEED = 3e4, 0.05, 3.0


def alone_too_fast(i, excess, sensors, memory, settings):
    """How much too fast wheel i turns for its brake [m/s].

    Where torque can be reduced, a brake only evens out what one wheel turns faster than its
    neighbour, beyond `brake_band`; what both have too much the engine takes away. So of two brakes
    the one with less pressure lets go, within about BRAKE_SETTLE."""
    if settings.torque_on == 0.0 or sensors[SENSE_DRIVER_OFF] == 1.0:
        return excess if excess > 0.0 else SLOW_COUNTS * excess
    other = i + 1 - 2 * (i % 2)
    faster = min(excess, memory[M_SPEED + i] - memory[M_SPEED + other] - settings.brake_band)
    if memory[M_PRESSURE + i] < memory[M_PRESSURE + other]:
        faster -= memory[M_PRESSURE + i] / (settings.brake_gain * BRAKE_SETTLE)
    return faster


def split(apart, memory, settings):
    """How surely [0..1] the road is split, so that the faster wheel is left to its brake and the
    slower one sets the torque: by how far apart the driven wheels turn [m/s], and by how unlike
    their brakes are pressed."""
    unlike = max(
        abs(memory[M_PRESSURE] - memory[M_PRESSURE + 1]),
        abs(memory[M_PRESSURE + 2] - memory[M_PRESSURE + 3]),
    )
    return min(
        1.0,
        max(0.0, apart - settings.split_from) / settings.split_over
        + unlike / settings.split_pressure,
    )


def wait_ready(i, ready, memory, outputs, settings):
    """A brake that does nothing is filled to the touch where it will soon be needed, else its fluid
    leaves by the path to the pedal.
    """
    if ready:
        make_ready(i, READY_PRESSURE, memory, outputs, settings.cycle, settings.hydraulics)
    else:
        follow_pedal(i, 0.0, memory, settings.cycle, settings.hydraulics)


def traction(reference, sensors, memory, shares, engine, brakes, outputs, settings):
    """Traction control of the driven wheels: brake application wheel by wheel, torque reduction for
    the axle. With too little fluid in the reservoir it is off and the lamp says so; anti-lock
    stays, for the pedal works."""
    yaw_rate = yaw_rate_guess(sensors, shares, settings)
    fastest, slowest, over_limit, paused = -1e3, 1e3, False, False
    able = sensors[SENSE_LOW_LEVEL] == 0.0
    if not able:
        outputs[ASK_LAMP] = 1.0
    for i in range(4):
        if shares[i] > 0.0:
            expected = expected_speed(i, memory, yaw_rate, settings)
            limit = expected * (1.0 + settings.limit_share) + settings.limit_offset
            target = expected * (1.0 + settings.target_share) + settings.target_offset
            excess = memory[M_SPEED + i] - target
            soon = excess + settings.torque_lead * (excess - memory[M_EXCESS + i]) / settings.cycle
            over = target + soon > limit
            over_limit = over_limit or over
            fastest = max(fastest, soon)
            slowest = min(slowest, soon)
            watch_heat(
                i, memory, brakes, brakes.front_torque if i < 2 else brakes.rear_torque, settings
            )
            paused = paused or memory[M_PAUSED + i] == 1.0
            allowed = (
                able
                and settings.brake_on == 1.0
                and reference < settings.brake_speed_limit
                and memory[M_PAUSED + i] == 0.0
            )
            if settings.hydraulics.layout != NO_CIRCUIT:
                allowed = (
                    allowed
                    and can_brake(i, settings.hydraulics)
                    and sensors[SENSE_LOW_PRESSURE] == 0.0
                )
                too_fast = alone_too_fast(i, excess, sensors, memory, settings)
                brake_wheel(
                    i,
                    too_fast,
                    memory[M_TOO_FAST + i],
                    over,
                    allowed,
                    memory,
                    brakes,
                    outputs,
                    settings,
                )
                memory[M_TOO_FAST + i] = too_fast
                if outputs[ASK_VALVES + i] == FOLLOW_PEDAL:
                    wait_ready(
                        i,
                        allowed
                        and sensors[SENSE_PEDAL] > READY_THROTTLE
                        and reference < READY_SPEED,
                        memory,
                        outputs,
                        settings,
                    )
            else:
                brake_wheel(
                    i,
                    excess,
                    memory[M_EXCESS + i],
                    over,
                    allowed,
                    memory,
                    brakes,
                    outputs,
                    settings,
                )
            memory[M_EXCESS + i] = excess
            if memory[M_PRESSURE + i] > 0.0:
                outputs[ASK_LAMP] = 1.0

    if able and settings.torque_on == 1.0 and sensors[SENSE_DRIVER_OFF] == 0.0:
        excess = fastest
        if settings.brake_on == 1.0 and not paused:
            band = settings.fast_wheel_band * max(0.0, 1.0 - reference / settings.brake_speed_limit)
            if settings.hydraulics.layout != NO_CIRCUIT:
                band *= split(fastest - slowest, memory, settings)
            excess = max(slowest, fastest - band)
        common = 0.0 if settings.hydraulics.layout == NO_CIRCUIT else slowest
        request = torque_request(excess, common, over_limit, outputs[ASK_TORQUE], memory, settings)
        if memory[M_ACTIVE] == 1.0:
            choose_paths(request, memory[M_GRIP_TORQUE], sensors, engine, outputs, settings)
            outputs[ASK_LAMP] = 1.0
        elif request < outputs[ASK_TORQUE]:
            choose_paths(request, request, sensors, engine, outputs, settings)
        outputs[ASK_TORQUE] = request
    else:
        memory[M_ACTIVE] = 0.0
