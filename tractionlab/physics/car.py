"""Parameters of the whole car; order of its state, of what acts on it, and of what is found."""

from typing import NamedTuple

from tractionlab.physics.brake import Brakes
from tractionlab.physics.chassis import Body
from tractionlab.physics.engine import (
    Engine,
)
from tractionlab.slots import slots


class Tyres(NamedTuple):
    """Parameters of the tyres. Lengths in m, loads in N."""

    radius: float
    radius_loss: float
    rolling: float
    relaxation: float
    damping_time: float
    side_ratio: float
    sensitivity: float
    reference_load: float


class Driveline(NamedTuple):
    """Parameters of the driveline: overall ratios of `gears` gears, the first one first, zeros
    behind the last.

    Inertia in kg m^2, that of the gearbox as its input turns. What a limited-slip coupling moves
    is its preload [N m] and a share of the torque through it; zero in any other differential.
    """

    wheel_inertia: float
    gear_inertia: float
    ratios: tuple[float, ...]
    gears: float
    efficiency: float
    lock_preload: float
    lock_share: float
    centre_preload: float
    centre_share: float


class Car(NamedTuple):
    """All parameters of a car on a slope."""

    body: Body
    tyres: Tyres
    driveline: Driveline
    engine: Engine
    brakes: Brakes


# State: body, wheels, slip of the tyres (relaxation), discs, filtered accelerations, drive, work
# done so far.
(
    U,
    V,
    YAW_RATE,
    X,
    Y,
    YAW,
    WHEEL,
    SLIP,
    SIDE,
    DISC,
    FORWARD,
    SIDEWAYS,
    ENGINE,
    CHARGE,
    PLATE,
    MOTOR,
    WORK_IN,
    WORK_TYRES,
    WORK_BRAKES,
    WORK_OTHER,
    STATES,
) = slots(
    u=1,
    v=1,
    yaw_rate=1,
    x=1,
    y=1,
    yaw=1,
    wheel=4,
    slip=4,
    side=4,
    disc=4,
    forward=1,
    sideways=1,
    engine=1,
    charge=1,
    plate=1,
    motor=1,
    work_in=1,
    work_tyres=1,
    work_brakes=1,
    work_other=1,
)

# What acts on it: steering, plates, ignition, fuel, motor, overall ratio of the gear, how far the
# clutch pedal lets the clutch close (0 to 1), torque that the hand brake holds at each rear wheel,
# and per wheel brake pressure, surface, second surface at an edge and its share.
(
    STEER,
    PEDAL_PLATE,
    SECOND_PLATE,
    IGNITION,
    FUEL_CUT,
    MOTOR_LIMIT,
    RECUPERATE,
    PEDAL_WISH,
    RATIO,
    CLUTCH,
    HAND_BRAKE,
    PRESSURE,
    GROUND,
    SECOND,
    SECOND_SHARE,
    INPUTS,
) = slots(
    steer=1,
    pedal_plate=1,
    second_plate=1,
    ignition=1,
    fuel_cut=1,
    motor_limit=1,
    recuperate=1,
    pedal_wish=1,
    ratio=1,
    clutch=1,
    hand_brake=1,
    pressure=4,
    ground=4,
    second=4,
    second_share=4,
)

# Scratch of the derivative, also what a trace wants to know.
(
    LOAD,
    DRIVE_FORCE,
    SIDE_FORCE,
    WHEEL_RATE,
    FRICTION,
    CAPACITY,
    WHEEL_TORQUE,
    TORQUE,
    SCRATCH,
) = slots(
    load=4,
    drive_force=4,
    side_force=4,
    wheel_rate=4,
    friction=4,
    capacity=4,
    wheel_torque=4,
    torque=1,
)
