"""By which path the drive torque changes: throttle plate for the long run, ignition and fuel at
once, or the electric motor; and what torque that gives.
"""

from math import pi

from tractionlab.control.settings import (
    ASK_FUEL_CUT,
    ASK_IGNITION,
    ASK_MOTOR_LIMIT,
    ASK_OPEN,
    ASK_PLATE,
    ASK_RECUPERATION,
    M_CHARGE,
    M_FIRED,
    M_FUEL_CUT,
    M_IGNITION,
    M_PLATE,
    M_SENT_FUEL_CUT,
    M_SENT_IGNITION,
    SENSE_ENGINE_SPEED,
    SENSE_PEDAL,
    SENT,
)
from tractionlab.physics.engine import (
    air_charge,
    area_for,
    combustion_torque,
    full_torque,
    plate_area,
    plate_opening,
    recuperation_torque,
    second_area_for,
    two_plates,
)

#: Angle from one firing of a four-cylinder engine to the next [rad].
FIRING = pi
#: Fuel is cut by whole cylinders: where ignition is not used, the nearest number counts.
HALF_CYLINDER = 0.125


def driver_wish(sensors, engine):
    """Torque the driver asks for with the pedal, once the intake has filled [N m]."""
    speed, pedal = sensors[SENSE_ENGINE_SPEED], sensors[SENSE_PEDAL]
    if engine.electric == 1.0:
        return full_torque(speed, engine) * pedal - recuperation_torque(speed, pedal, engine)
    return combustion_torque(air_charge(plate_area(pedal), speed, engine), 1.0, 0.0, speed, engine)


def given_torque(sensors, memory, outputs, engine, settings):
    """Torque of engine or motor [N m] as the unit works it out from what it asked for in the last
    cycle, which still stands in `outputs`: plates take their time, and the filling follows them
    with the time of the intake.
    """
    speed, pedal = sensors[SENSE_ENGINE_SPEED], sensors[SENSE_PEDAL]
    if engine.electric == 1.0:
        drive = full_torque(speed, engine) * min(pedal, outputs[ASK_MOTOR_LIMIT])
        return drive - outputs[ASK_RECUPERATION] * recuperation_torque(speed, pedal, engine)
    move = engine.plate_rate * settings.cycle
    memory[M_PLATE] += min(move, max(-move, outputs[ASK_PLATE] - memory[M_PLATE]))
    first = max(pedal, outputs[ASK_OPEN])
    area = plate_area(min(first, memory[M_PLATE]))
    if engine.second_plate == 1.0:
        area = two_plates(plate_area(first), plate_area(memory[M_PLATE]))
    share = min(1.0, settings.cycle / engine.intake_time)
    memory[M_CHARGE] += share * (air_charge(area, speed, engine) - memory[M_CHARGE])
    ignition = remember(
        memory, M_SENT_IGNITION, memory[M_IGNITION], settings.ignition_delay, settings
    )
    cut = remember(memory, M_SENT_FUEL_CUT, memory[M_FUEL_CUT], settings.fuel_delay, settings)
    return combustion_torque(memory[M_CHARGE], ignition, cut, speed, engine)


def remember(memory, place, value, delay, settings):
    """Keep an order, and return the one that is at work now: sent so many seconds [s] before."""
    for k in range(SENT - 1, 0, -1):
        memory[place + k] = memory[place + k - 1]
    memory[place] = value
    return memory[place + min(SENT - 1, int(delay / settings.cycle + 0.5))]


def choose_paths(request, lasting, sensors, memory, engine, outputs, settings):
    """Fill the requests to the drive in `outputs` so that it gives `request` [N m].

    The plate is set for the `lasting` torque [N m], which the road takes up, unless it has to do
    everything alone; ignition and fuel take away at once what the filling of the cylinders still
    gives too much, and change no oftener than a cylinder fires. Fuel is cut by whole cylinders of
    four, only for what ignition cannot do."""
    speed = sensors[SENSE_ENGINE_SPEED]
    full = full_torque(speed, engine)
    if engine.electric == 1.0:
        ask_motor(request, full, sensors, engine, outputs)
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
    memory[M_FIRED] += speed * settings.cycle / FIRING
    if memory[M_FIRED] >= 1.0:
        memory[M_FIRED] = min(memory[M_FIRED] - 1.0, 1.0)
        left = (request + engine.friction) / max(memory[M_CHARGE] * most, 1.0)
        retard_and_cut(min(1.0, max(0.0, left)), memory, settings)
    outputs[ASK_IGNITION] = memory[M_IGNITION]
    outputs[ASK_FUEL_CUT] = memory[M_FUEL_CUT]


def ask_motor(request, full, sensors, engine, outputs):
    """Limit of an electric motor's drive, and how much of its recuperation is left [-]."""
    outputs[ASK_MOTOR_LIMIT] = min(1.0, max(0.0, request / max(full, 1.0)))
    holding = recuperation_torque(sensors[SENSE_ENGINE_SPEED], sensors[SENSE_PEDAL], engine)
    outputs[ASK_RECUPERATION] = min(1.0, max(0.0, -request / max(holding, 1.0)))


def retard_and_cut(left, memory, settings):
    """Ignition and cylinders without fuel, so that this share of the torque is left."""
    least, rounding = 1.0, HALF_CYLINDER
    if settings.ignition_path == 1.0:
        least, rounding = settings.ignition_min, 0.0
    memory[M_IGNITION], memory[M_FUEL_CUT] = 1.0, 0.0
    if settings.fuel_path == 1.0:
        for cylinders in range(5):
            memory[M_FUEL_CUT] = 0.25 * cylinders
            if left >= least * (1.0 - memory[M_FUEL_CUT]) - rounding:
                break
    if settings.ignition_path == 1.0:
        burning = max(1.0 - memory[M_FUEL_CUT], 0.25)
        memory[M_IGNITION] = min(1.0, max(settings.ignition_min, left / burning))


def ask_more(request, sensors, engine, outputs):
    """Let the drive give `request` [N m] with the accelerator free: an electronic throttle opens, a
    motor recuperates less. A car with a second plate cannot.
    """
    speed = sensors[SENSE_ENGINE_SPEED]
    if engine.electric == 1.0:
        ask_motor(min(0.0, request), 1.0, sensors, engine, outputs)
    elif engine.second_plate == 0.0:
        most = max(full_torque(speed, engine) + engine.friction, 1.0)
        outputs[ASK_OPEN] = plate_opening(
            area_for((request + engine.friction) / most, speed, engine)
        )
