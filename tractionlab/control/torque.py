"""Torque reduction: how much drive torque the wheels can use, and by which path the rest is taken
away.
"""

from tractionlab.control.hydraulics import NO_CIRCUIT
from tractionlab.control.settings import (
    ASK_FUEL_CUT,
    ASK_IGNITION,
    ASK_MOTOR_LIMIT,
    ASK_PLATE,
    M_ACTIVE,
    M_CASE_SPEED,
    M_ENGINE_SPEED,
    M_ENGINE_TORQUE,
    M_GRIP_TORQUE,
    M_REFERENCE_RATE,
    M_REQUEST,
    M_SPEED,
    SENSE_CHARGE,
    SENSE_ENGINE_SPEED,
    SENSE_ENGINE_TORQUE,
    SENSE_PEDAL,
)
from tractionlab.physics.engine import (
    air_charge,
    area_for,
    combustion_torque,
    full_torque,
    plate_area,
    plate_opening,
    second_area_for,
)

#: Excess speed of both driven wheels [m/s] at which the floor of the torque is gone. Found by
#: trying.
COMMON_UNTIL = 4.0
#: However little grip there is, torque returns at this share of its full pace. Found by trying.
LEAST_RETURN = 0.05
#: How many times as fast torque may grow once wheels are seen to turn. Found by trying.
FREELY = 4.0


def grip_torque(sensors, memory, shares, settings):
    """Torque that road and brakes take up [N m at the engine]: what the engine gives less what
    speeds up wheels and engine.

    Smoothed with `torque_filter`. The first reading of a wheel that stood says nothing of how fast
    it gains. Source: derived (torque balance)."""
    case = 0.0
    for i in range(4):
        case += shares[i] * memory[M_SPEED + i] / settings.radius
    case_rate = (case - memory[M_CASE_SPEED]) / settings.cycle
    if settings.hydraulics.layout != NO_CIRCUIT and memory[M_CASE_SPEED] == 0.0:
        case_rate = 0.0
    engine_rate = (sensors[SENSE_ENGINE_SPEED] - memory[M_ENGINE_SPEED]) / settings.cycle
    given = 0.5 * (sensors[SENSE_ENGINE_TORQUE] + memory[M_ENGINE_TORQUE])
    now = (
        given - settings.engine_inertia * engine_rate
    ) * settings.efficiency - settings.gear_inertia * settings.ratio * case_rate
    memory[M_CASE_SPEED] = case
    memory[M_ENGINE_SPEED] = sensors[SENSE_ENGINE_SPEED]
    memory[M_ENGINE_TORQUE] = sensors[SENSE_ENGINE_TORQUE]
    share = settings.cycle / (settings.cycle + settings.torque_filter)
    memory[M_GRIP_TORQUE] += share * (now / settings.efficiency - memory[M_GRIP_TORQUE])
    return memory[M_GRIP_TORQUE]


def driver_wish(sensors, engine):
    """Torque the driver asks for with the pedal, once the intake has filled [N m]."""
    speed = sensors[SENSE_ENGINE_SPEED]
    if engine.electric == 1.0:
        return full_torque(speed, engine) * sensors[SENSE_PEDAL]
    return combustion_torque(
        air_charge(plate_area(sensors[SENSE_PEDAL]), speed, engine), 1.0, 0.0, speed, engine
    )


def pull_away(wish, memory, settings):
    """Torque the engine may give [N m] while no driven wheel is over its limit, up to the driver's
    `wish`.

    Before the first teeth have passed the unit cannot see a wheel spin, so the torque grows at
    `pull_away`; once wheels are seen to turn, FREELY times as fast."""
    rate = settings.pull_away * (1.0 if memory[M_CASE_SPEED] == 0.0 else FREELY)
    return min(wish, max(0.0, memory[M_REQUEST]) + rate * settings.cycle)


def torque_request(excess, common, over_limit, wish, memory, settings):
    """Torque the engine may give [N m]; `wish` where the driver's demand needs no cut.

    Parameters
    ----------
    excess : float
        How much faster the wheel in control turns than its target speed [m/s].
    common : float
        How much faster than its target even the slower driven wheel turns [m/s]: then the torque
        may fall below its floor.
    over_limit : bool
        A driven wheel is over the limit where control begins.
    wish : float
        Torque the driver asks for [N m].
    """
    if memory[M_ACTIVE] == 0.0:
        if not over_limit:
            if settings.hydraulics.layout != NO_CIRCUIT:
                wish = pull_away(wish, memory, settings)
            memory[M_REQUEST] = wish
            return wish
        memory[M_ACTIVE] = 1.0
        memory[M_REQUEST] = min(wish, max(0.0, memory[M_GRIP_TORQUE]))
    inertia = settings.engine_inertia + settings.gear_inertia
    wheel_rate = memory[M_REFERENCE_RATE] - settings.torque_gain * excess
    allowed = memory[M_GRIP_TORQUE] + inertia * settings.ratio * wheel_rate / settings.radius
    rise = settings.torque_return * settings.cycle
    if settings.hydraulics.layout != NO_CIRCUIT:
        rise *= min(1.0, max(LEAST_RETURN, memory[M_GRIP_TORQUE] / settings.torque_return_full))
    if excess < 0.0:
        allowed = max(
            allowed, memory[M_REQUEST] + rise * min(1.0, -excess / settings.target_offset)
        )
    floor = (
        settings.torque_floor
        * memory[M_GRIP_TORQUE]
        * max(
            0.0,
            1.0 - max(0.0, excess) / settings.torque_floor_until - max(0.0, common) / COMMON_UNTIL,
        )
    )
    request = min(max(allowed, floor, 0.0), max(memory[M_REQUEST], memory[M_GRIP_TORQUE]) + rise)
    if request >= wish:
        request = wish
        memory[M_ACTIVE] = 0.0
    memory[M_REQUEST] = request
    return request


def choose_paths(request, lasting, sensors, engine, outputs, settings):
    """Fill throttle plate, ignition, fuel cut or motor limit in `outputs` so that the drive gives
    `request` [N m].

    The plate is set for the `lasting` torque [N m], which the road takes up, unless it has to do
    everything alone; ignition and fuel take away at once what the filling of the cylinders still
    gives too much. Fuel is cut by whole cylinders of four, only for what ignition cannot do."""
    speed = sensors[SENSE_ENGINE_SPEED]
    full = full_torque(speed, engine)
    if engine.electric == 1.0:
        outputs[ASK_MOTOR_LIMIT] = min(1.0, max(0.0, request / max(full, 1.0)))
        return
    most = max(full + engine.friction, 1.0)
    if settings.throttle_path == 1.0:
        wanted = request
        if settings.ignition_path == 1.0 or settings.fuel_path == 1.0:
            wanted = max(request, lasting)
        area = area_for((wanted + engine.friction) / most, speed, engine)
        if engine.second_plate == 1.0:
            area = second_area_for(area, plate_area(sensors[SENSE_PEDAL]))
        outputs[ASK_PLATE] = plate_opening(area)
    left = min(1.0, max(0.0, (request + engine.friction) / max(sensors[SENSE_CHARGE] * most, 1.0)))
    least, rounding = 1.0, 0.125
    if settings.ignition_path == 1.0:
        least, rounding = settings.ignition_least, 0.0
    if settings.fuel_path == 1.0:
        for cylinders in range(5):
            outputs[ASK_FUEL_CUT] = 0.25 * cylinders
            if left >= least * (1.0 - outputs[ASK_FUEL_CUT]) - rounding:
                break
    if settings.ignition_path == 1.0:
        outputs[ASK_IGNITION] = min(
            1.0, max(settings.ignition_least, left / max(1.0 - outputs[ASK_FUEL_CUT], 0.25))
        )
