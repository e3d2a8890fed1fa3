"""One cycle of the control unit: what it reads, decides and asks for.

    wheel speeds --> acceleration, reference speed --> limits, targets
                                                          |
    brake pedal? -- yes --> anti-lock: a phase for each front wheel, one for the rear axle
                -- no  --> torque: a phase for the drive       --> plate, ignition, fuel, motor
                           brake action: a phase for each driven wheel
                                                          |
    phases --> orders of the valves, pump, lamp; phase and reason of each, for who asks why

It reads only what sensors can tell; the true speed of the car is unknown here. Its phases and
reasons are numbers of `phases`, their words stand in data/reasons.toml.
"""

from tractionlab.control.antilock import antilock, end_antilock
from tractionlab.control.brake_action import brake_wheel
from tractionlab.control.drag import lift_drag
from tractionlab.control.paths import (
    ask_more,
    choose_paths,
    driver_wish,
    given_torque,
)
from tractionlab.control.phases import BRAKE_PEDAL, DRAG, DRIVER, FREE, WORSE_REAR_WHEEL
from tractionlab.control.pressure import count_fluid, count_pump, pedal_pressure, watch_heat
from tractionlab.control.settings import (
    ASK_IGNITION,
    ASK_LAMP,
    ASK_MOTOR_LIMIT,
    ASK_PLATE,
    ASK_PUMP,
    ASK_RECUPERATION,
    ASK_TORQUE,
    ASK_VALVES,
    M_BEST_SLIP_SPEED,
    M_BOUND,
    M_BRAKING,
    M_ENGINE_SPEED,
    M_FOOT,
    M_FUEL_CUT,
    M_IGNITION,
    M_PHASE,
    M_PLATE,
    M_PUMP,
    M_REASON,
    M_REFERENCE,
    M_ROAD_TORQUE,
    M_RUN_ON,
    M_SEEN,
    M_SENT_IGNITION,
    M_SPEED,
    M_STARTED,
    M_TORQUE_LIMIT,
    M_TORQUE_PHASE,
    M_TORQUE_REASON,
    M_TORQUE_SEEN,
    M_WORSE,
    SENSE_BRAKE_SWITCH,
    SENSE_ENGINE_SPEED,
    SENSE_LOW_LEVEL,
    SENSE_WHEELS,
    SENT,
    TELL_ANTILOCK,
    TELL_BEST_SLIP_SPEED,
    TELL_LIMIT,
    TELL_PHASE,
    TELL_REASON,
    TELL_REFERENCE,
    TELL_SEEN,
    TELL_TORQUE_LIMIT,
    TELL_TORQUE_PHASE,
    TELL_TORQUE_REASON,
    TELL_TORQUE_SEEN,
)
from tractionlab.control.speeds import (
    braking_reference,
    driving_reference,
    keep_reference,
    read_wheels,
    set_limits,
    yaw_rate_of,
)
from tractionlab.control.steps import busy, free_all
from tractionlab.control.torque import (
    end_torque_at_pedal,
    reduce_torque,
    road_torque,
)
from tractionlab.physics.brake import FOLLOW_PEDAL


def all_open(outputs):
    """Requests of a unit that does nothing: plates open, full ignition and fuel, valves to the
    pedal, pump and lamp off.
    """
    for i in range(len(outputs)):
        outputs[i] = 0.0
    outputs[ASK_PLATE] = 1.0
    outputs[ASK_IGNITION] = 1.0
    outputs[ASK_MOTOR_LIMIT] = 1.0
    outputs[ASK_RECUPERATION] = 1.0
    for i in range(4):
        outputs[ASK_VALVES + i] = FOLLOW_PEDAL


def wake(sensors, memory, outputs, settings):
    """The first cycle: the wheels are believed."""
    memory[M_STARTED], memory[M_PLATE], memory[M_IGNITION] = 1.0, 1.0, 1.0
    memory[M_ENGINE_SPEED] = sensors[SENSE_ENGINE_SPEED]
    all_open(outputs)
    for k in range(SENT):
        memory[M_SENT_IGNITION + k] = 1.0
    for i in range(4):
        memory[M_SPEED + i] = sensors[SENSE_WHEELS + i]
        memory[M_REFERENCE] = max(memory[M_REFERENCE], sensors[SENSE_WHEELS + i])


def cycle(sensors, memory, outputs, shares, engine, brakes, settings):
    """Run one cycle: fill `outputs` (OUTPUTS,) from `sensors` (SENSORS,), and keep `memory`
    (MEMORY,) up to date.

    Parameters
    ----------
    shares : array (4,), torque share per wheel
    engine, brakes : Engine, Brakes
        What the engine control unit knows of its engine, and what was coded of the brakes.
    settings : Settings
    """
    if memory[M_STARTED] == 0.0:
        wake(sensors, memory, outputs, settings)
    braking = sensors[SENSE_BRAKE_SWITCH] == 1.0
    read_wheels(sensors, memory, settings)
    given = given_torque(sensors, memory, outputs, engine, settings)
    all_open(outputs)
    if braking:
        reference = braking_reference(sensors, memory, shares, brakes, settings)
    else:
        reference = driving_reference(memory, shares, sensors, settings)
    keep_reference(reference, memory, settings)
    road_torque(given, sensors, memory, shares, settings)
    yaw_rate = yaw_rate_of(sensors, memory, shares, settings)
    if braking:
        brake_with_driver(yaw_rate * reference, sensors, memory, outputs, engine, settings)
    else:
        if memory[M_BRAKING] == 1.0:
            memory[M_BRAKING] = 0.0
            end_antilock(memory)
        set_limits(yaw_rate, memory, settings)
        control_drive(sensors, memory, outputs, shares, engine, settings)
        control_brakes(sensors, memory, outputs, shares, brakes, settings)
    run_pump(memory, outputs, settings)
    tell(memory, outputs)


def brake_with_driver(lateral, sensors, memory, outputs, engine, settings):
    """The driver brakes: traction control ends at once, anti-lock watches."""
    if memory[M_BRAKING] == 0.0:
        memory[M_BRAKING], memory[M_FOOT] = 1.0, 0.0
        free_all(BRAKE_PEDAL, 0.0, 0.0, memory)
        end_torque_at_pedal(memory)
    antilock(lateral, pedal_pressure(sensors, memory, settings), memory, outputs, settings)
    outputs[ASK_TORQUE] = driver_wish(sensors, engine)
    if busy(memory):
        outputs[TELL_ANTILOCK] = 1.0
        outputs[ASK_RECUPERATION] = 0.0


def control_drive(sensors, memory, outputs, shares, engine, settings):
    """Torque reduction, or engine-drag control; what the drive may give goes out by its paths."""
    wish = driver_wish(sensors, engine)
    request = wish
    if memory[M_TORQUE_PHASE] != DRAG:
        request = reduce_torque(wish, sensors, memory, shares, engine, settings)
    if memory[M_TORQUE_PHASE] == DRIVER or memory[M_TORQUE_PHASE] == DRAG:
        request = max(request, lift_drag(wish, sensors, memory, shares, engine, settings))
    outputs[ASK_TORQUE] = request
    if memory[M_TORQUE_PHASE] == DRAG:
        ask_more(request, sensors, engine, outputs)
    elif memory[M_TORQUE_PHASE] != DRIVER:
        choose_paths(request, memory[M_ROAD_TORQUE], sensors, memory, engine, outputs, settings)
        outputs[ASK_LAMP] = 1.0
    if memory[M_TORQUE_PHASE] == DRIVER or memory[M_TORQUE_PHASE] == DRAG:
        memory[M_IGNITION], memory[M_FUEL_CUT] = 1.0, 0.0


def control_brakes(sensors, memory, outputs, shares, brakes, settings):
    """Brake action of the driven wheels. With too little fluid it is off and the lamp says so;
    anti-lock stays, for the pedal works.
    """
    if sensors[SENSE_LOW_LEVEL] == 1.0:
        outputs[ASK_LAMP] = 1.0
    for i in range(4):
        if shares[i] > 0.0:
            brake_wheel(i, sensors, memory, outputs, brakes, settings)
            count_fluid(i, 0.0, memory, outputs, settings)
            watch_heat(i, memory, brakes, settings)
            if memory[M_PHASE + i] != FREE:
                outputs[ASK_LAMP] = 1.0


def run_pump(memory, outputs, settings):
    """The pump runs while a wheel's pressure is controlled, and some time after."""
    memory[M_RUN_ON] = settings.settle if busy(memory) else memory[M_RUN_ON] - settings.cycle
    if memory[M_RUN_ON] > 0.0:
        outputs[ASK_PUMP] = 1.0
        count_pump(memory, settings)
    else:
        memory[M_PUMP] = 0.0


def tell(memory, outputs):
    """What the unit tells of itself: its reference speed, and phase and reason of each decision."""
    outputs[TELL_REFERENCE] = memory[M_REFERENCE]
    outputs[TELL_BEST_SLIP_SPEED] = memory[M_BEST_SLIP_SPEED]
    for i in range(4):
        outputs[TELL_PHASE + i] = memory[M_PHASE + i]
        outputs[TELL_REASON + i] = memory[M_REASON + i]
        outputs[TELL_SEEN + i] = memory[M_SEEN + i]
        outputs[TELL_LIMIT + i] = memory[M_BOUND + i]
    if outputs[TELL_ANTILOCK] == 1.0 and memory[M_PHASE + 2] != FREE:
        tell_rear(int(memory[M_WORSE]), memory, outputs)
    outputs[TELL_TORQUE_PHASE] = memory[M_TORQUE_PHASE]
    outputs[TELL_TORQUE_REASON] = memory[M_TORQUE_REASON]
    outputs[TELL_TORQUE_SEEN] = memory[M_TORQUE_SEEN]
    outputs[TELL_TORQUE_LIMIT] = memory[M_TORQUE_LIMIT]


def tell_rear(worse, memory, outputs):
    """The worse rear wheel has the reasons of its axle; the other one goes with it."""
    other = 5 - worse
    outputs[TELL_REASON + worse] = memory[M_REASON + 2]
    outputs[TELL_SEEN + worse] = memory[M_SEEN + 2]
    outputs[TELL_LIMIT + worse] = memory[M_BOUND + 2]
    outputs[TELL_REASON + other] = WORSE_REAR_WHEEL
    outputs[TELL_SEEN + other] = memory[M_SPEED + worse]
    outputs[TELL_LIMIT + other] = memory[M_SPEED + other]
