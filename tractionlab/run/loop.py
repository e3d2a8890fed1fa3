"""The time loop: the only place where time advances.

Runge-Kutta steps of the car, between cycles of the control unit.
"""

from math import cos, sin
from typing import NamedTuple

import numpy as np

from tractionlab.control.settings import (
    ACCELERATION,
    ANTILOCK,
    BRAKE_SWITCH,
    CHARGE,
    CUT,
    DRIVER_OFF,
    ENGINE_SPEED,
    ENGINE_TORQUE,
    IGNITION,
    LAMP,
    LOW_LEVEL,
    LOW_PRESSURE,
    MOTOR_LIMIT,
    OUTPUTS,
    PEDAL,
    PEDAL_PRESSURE,
    PLATE,
    REFERENCE,
    REQUEST,
    SENSORS,
    STEERING,
    VALVES,
    WHEELS,
    YAW_RATE,
    Settings,
)
from tractionlab.control.unit import cycle
from tractionlab.control.valve_drive import drive_valves
from tractionlab.physics import car as c
from tractionlab.physics import circuit as h
from tractionlab.physics.brake import HOLD
from tractionlab.physics.car import Car, derivative
from tractionlab.physics.chassis import ground_speed, wheel_place
from tractionlab.physics.circuit_cycle import Plant, run_cycle, wheel_pressures
from tractionlab.physics.road import surfaces_under
from tractionlab.physics.tyre import PEAK, load_factor, rest_slip
from tractionlab.run.driver import Driver, brake_at, pedal_at, steer_after
from tractionlab.run.sensing import READ, Steps, count_flanks, read_signals, read_speeds
from tractionlab.slots import slots

RING = 64

# The classical Runge-Kutta scheme: how far ahead the next slope is taken, where in the step that
# is, and how much each slope counts.
AHEAD = (0.5, 0.5, 1.0, 0.0)
AT = (0.0, 0.5, 0.5, 1.0)
WEIGHT = (1.0, 2.0, 2.0, 1.0)

#: A row of the record, one a cycle: name -> (how many numbers, unit). What is counted for each
#: wheel stands in wheel order.
RECORD = {
    "time": (1, "s"),
    "speed": (1, "m/s"),
    "side_speed": (1, "m/s"),
    "yaw_rate": (1, "rad/s"),
    "x": (1, "m"),
    "y": (1, "m"),
    "yaw": (1, "rad"),
    "wheel_speed": (4, "rad/s"),
    "slip": (4, "-"),
    "side_slip": (4, "-"),
    "drive_force": (4, "N"),
    "side_force": (4, "N"),
    "load": (4, "N"),
    "grip_limit": (4, "N"),
    "pressure": (4, "Pa"),
    "disc_temperature": (4, "degC"),
    "valve_mode": (4, "-"),
    "engine_speed": (1, "rad/s"),
    "engine_torque": (1, "N m"),
    "throttle": (1, "-"),
    "ignition": (1, "-"),
    "fuel_cut": (1, "-"),
    "pedal": (1, "-"),
    "reference_speed": (1, "m/s"),
    "torque_request": (1, "N m"),
    "lamp": (1, "-"),
    "steer": (1, "rad"),
    "antilock": (1, "-"),
    "pedal_pressure": (1, "Pa"),
    "work_in": (1, "J"),
    "work_tyres": (1, "J"),
    "work_brakes": (1, "J"),
    "work_other": (1, "J"),
}
(
    TIME,
    R_BODY,
    _,
    _,
    _,
    _,
    _,
    R_WHEEL,
    R_SLIP,
    R_SIDE_SLIP,
    R_DRIVE,
    R_SIDE,
    R_LOAD,
    R_LIMIT,
    R_PRESSURE,
    R_DISC,
    R_VALVE,
    R_ENGINE,
    R_TORQUE,
    R_THROTTLE,
    R_IGNITION,
    R_CUT,
    R_PEDAL,
    R_REFERENCE,
    R_REQUEST,
    R_LAMP,
    R_STEER,
    R_ANTILOCK,
    R_PEDAL_PRESSURE,
    R_WORK,
    _,
    _,
    _,
    COLUMNS,
) = slots(**{name: width for name, (width, _) in RECORD.items()})

# A row of the circuit's record: pressures and fluid at each place, mean flows of the cycle,
# plungers, commands, pulses, what the sensors told.
F_PRESSURE, F_FLUID, F_FLOW, F_TRAVEL, F_COMMAND, F_PULSE, F_SEEN, FILM_COLUMNS = slots(
    pressure=h.PLACES,
    fluid=h.PLACES,
    flow=h.FLOWS,
    travel=h.VALVES,
    command=h.AIM,
    pulse=h.VALVES,
    seen=SENSORS,
)


class Road(NamedTuple):
    """What the driveline and the ground are to the car.

    compliance (4, 4) [1/(kg m^2)], shares (4,) [-] : from `driveline.compliance` and
    `driveline.torque_shares`
    surfaces (n, 8) : rows of `tyre.adhesion`; patches (m, 7) : rows of `road.surfaces_under`
    """

    compliance: np.ndarray
    shares: np.ndarray
    surfaces: np.ndarray
    patches: np.ndarray


class Work(NamedTuple):
    """Scratch of the Runge-Kutta steps: trial state, rates, their sum (STATES,), and what the
    derivative finds on its way (SCRATCH,).
    """

    trial: np.ndarray
    rates: np.ndarray
    total: np.ndarray
    found: np.ndarray


class Run(NamedTuple):
    """All that one run needs; the arrays in it are changed in place.

    cycles, steps : cycles of the control unit, Runge-Kutta steps in each
    car : Car; driver : Driver; settings : Settings; signal_steps : Steps; each parameter set a
        record, see `records`
    road : Road; pipes : Plant; rings (4,) : records of WheelSensor; counters (COUNTERS, 4) : of
        their teeth
    y (STATES,) : state of the car; held (INPUTS,) : what acts on it in a step
    sensors (SENSORS,), memory (MEMORY,), outputs (OUTPUTS,) : of the control unit; sent (RING,
    OUTPUTS) : its last requests
    record (cycles + 1, COLUMNS); film (cycles + 1, FILM_COLUMNS), one row without a circuit
    """

    cycles: int
    steps: int
    car: Car
    driver: Driver
    settings: Settings
    signal_steps: Steps
    road: Road
    pipes: Plant
    rings: np.ndarray
    counters: np.ndarray
    y: np.ndarray
    held: np.ndarray
    sensors: np.ndarray
    memory: np.ndarray
    outputs: np.ndarray
    sent: np.ndarray
    record: np.ndarray
    film: np.ndarray
    work: Work


def find_ground(t, y, ahead, held, body, patches):
    """Note in `held` what is under each wheel `ahead` seconds after time t, at which the state is
    `y`.
    """
    yaw = y[c.YAW] + ahead * y[c.YAW_RATE]
    yaw_cos, yaw_sin = cos(yaw), sin(yaw)
    x = y[c.X] + ahead * (yaw_cos * y[c.U] - yaw_sin * y[c.V])
    across = y[c.Y] + ahead * (yaw_sin * y[c.U] + yaw_cos * y[c.V])
    for i in range(4):
        dx, dy = wheel_place(i, body)
        held[c.GROUND + i], held[c.SECOND + i], held[c.SECOND_SHARE + i] = surfaces_under(
            x + yaw_cos * dx - yaw_sin * dy,
            across + yaw_sin * dx + yaw_cos * dy,
            t + ahead,
            patches,
        )


def advance(t, run):
    """Advance the car by one cycle of the control unit from time t on, in Runge-Kutta steps; what
    acts on it stays as it is.

    A circuit needs nothing of the car during a cycle, so it goes first, and the car takes its
    pressures. Source of the method: the classical fourth-order Runge-Kutta scheme."""
    car, road, pipes, y, held, steps = run.car, run.road, run.pipes, run.y, run.held, run.steps
    trial, rates, total = run.work.trial, run.work.rates, run.work.total
    turned, dt = pipes.space[3], run.settings.cycle / run.steps
    if pipes.on == 1.0:
        run_cycle(steps * dt, pipes)
    for n in range(steps):
        find_ground(t + n * dt, y, 0.5 * dt, held, car.body, road.patches)
        if pipes.on == 1.0:
            for i in range(4):
                turned[i] = 0.0
        for i in range(c.STATES):
            trial[i] = y[i]
            total[i] = 0.0
        for stage in range(4):
            if pipes.on == 1.0:
                wheel_pressures((n + AT[stage]) / steps, pipes, trial[c.PRESSURE : c.PRESSURE + 4])
            derivative(
                trial, held, car, road.compliance, road.shares, road.surfaces, rates, run.work.found
            )
            ahead, weight = AHEAD[stage] * dt, WEIGHT[stage]
            for i in range(4):
                turned[i] += dt / 6.0 * weight * trial[c.WHEEL + i]
            for i in range(c.STATES):
                total[i] += weight * rates[i]
                trial[i] = y[i] + ahead * rates[i]
        for i in range(c.STATES):
            y[i] += dt / 6.0 * total[i]
        if pipes.on == 1.0:
            for i in range(4):
                count_flanks(i, t + n * dt, dt, turned[i], y[c.WHEEL + i], run.rings, run.counters)
    if pipes.on == 1.0:
        for i in range(4):
            y[c.PRESSURE + i] = pipes.pressures[h.WHEEL + i]


def drive_and_sense(t, run):
    """Let the driver act at time t, then fill what the sensors tell the control unit."""
    car, driver, settings, road, pipes = run.car, run.driver, run.settings, run.road, run.pipes
    y, held, sensors, found = run.y, run.held, run.sensors, run.work.found
    held[c.STEER] = steer_after(
        held[c.STEER], y[c.Y], y[c.YAW], settings.cycle if t > 0.0 else 0.0, driver
    )
    held[c.PEDAL_WISH] = pedal_at(t, driver)
    held[c.PEDAL_PLATE] = held[c.PEDAL_WISH]
    pedal_line = brake_at(t, driver)
    held[c.LINE] = max(pedal_line, driver.hand_fl)
    held[c.LINE + 1] = max(pedal_line, driver.hand_fr)
    held[c.LINE + 2] = max(pedal_line, driver.hand_rl)
    held[c.LINE + 3] = max(pedal_line, driver.hand_rr)
    if pipes.on == 1.0:
        pipes.first[h.PEDAL], pipes.then[h.PEDAL] = pedal_line, pedal_line
        for i in range(4):
            held[c.LINE + i] = max(0.0, pipes.pressures[h.CHAMBER])
    find_ground(t, y, 0.0, held, car.body, road.patches)
    derivative(y, held, car, road.compliance, road.shares, road.surfaces, run.work.rates, found)
    for i in range(4):
        sensors[WHEELS + i] = y[c.WHEEL + i] * car.tyres.radius
    sensors[YAW_RATE] = y[c.YAW_RATE]
    sensors[ENGINE_SPEED] = y[c.ENGINE]
    sensors[ENGINE_TORQUE] = found[c.TORQUE]
    sensors[CHARGE] = y[c.CHARGE]
    sensors[PEDAL] = held[c.PEDAL_WISH]
    sensors[BRAKE_SWITCH] = 1.0 if pedal_line > 0.0 else 0.0
    sensors[PEDAL_PRESSURE] = pedal_line
    sensors[ACCELERATION] = y[c.FORWARD]
    sensors[DRIVER_OFF] = driver.control_off
    sensors[STEERING] = held[c.STEER]
    sensors[LOW_PRESSURE] = 0.0
    sensors[LOW_LEVEL] = 0.0
    if pipes.on == 1.0:
        read_speeds(t, settings.tooth_pitch, run.counters)
        for i in range(4):
            sensors[WHEELS + i] = run.counters[READ, i]
        read_signals(
            sensors,
            pipes.pressures[h.CHAMBER],
            pipes.pressures[h.ACCUMULATOR],
            pipes.state[h.RESERVOIR],
            settings.hydraulics.layout,
            settings.yaw_sensor,
            run.signal_steps,
        )


def obey(k, run):
    """Pass the requests of cycle k on to the actuators, each path after its own delay; with a
    circuit as currents to its valves.
    """
    outputs, ring, held, settings, pipes = run.outputs, run.sent, run.held, run.settings, run.pipes
    for i in range(OUTPUTS):
        ring[k % RING, i] = outputs[i]
    period = settings.cycle
    held[c.SECOND_PLATE] = ring[
        max(0, k - int(settings.throttle_delay / period + 0.5)) % RING, PLATE
    ]
    held[c.IGNITION] = ring[
        max(0, k - int(settings.ignition_delay / period + 0.5)) % RING, IGNITION
    ]
    held[c.CUT] = ring[max(0, k - int(settings.fuel_delay / period + 0.5)) % RING, CUT]
    held[c.MOTOR_LIMIT] = ring[
        max(0, k - int(settings.motor_delay / period + 0.5)) % RING, MOTOR_LIMIT
    ]
    for i in range(4):
        held[c.VALVE + i] = outputs[VALVES + i]
    if pipes.on == 1.0:
        drive_valves(
            outputs,
            run.sensors[BRAKE_SWITCH] == 1.0,
            settings.hydraulics,
            pipes.first,
            pipes.then,
            pipes.pulse,
        )
        for i in range(4):
            held[c.VALVE + i] = HOLD


def note(t, run, row):
    """Write one row of the record."""
    car, surfaces, y, held, outputs, work = (
        run.car,
        run.road.surfaces,
        run.y,
        run.held,
        run.outputs,
        run.work.found,
    )
    body, tyres = car.body, car.tyres
    row[TIME] = t
    for i in range(6):
        row[R_BODY + i] = y[i]
    steer_cos, steer_sin = cos(held[c.STEER]), sin(held[c.STEER])
    for i in range(4):
        gx, gy = ground_speed(i, y[c.U], y[c.V], y[c.YAW_RATE], body)
        if i < 2:
            gx = steer_cos * gx + steer_sin * gy
        row[R_WHEEL + i] = y[c.WHEEL + i]
        row[R_SLIP + i] = rest_slip(y[c.WHEEL + i] * tyres.radius, gx)
        row[R_SIDE_SLIP + i] = y[c.SIDE + i]
        row[R_DRIVE + i] = work[c.DRIVE_FORCE + i]
        row[R_SIDE + i] = work[c.SIDE_FORCE + i]
        load = work[c.LOAD + i]
        row[R_LOAD + i] = load
        peak, second = (
            surfaces[int(held[c.GROUND + i]), PEAK],
            surfaces[int(held[c.SECOND + i]), PEAK],
        )
        peak += held[c.SECOND_SHARE + i] * (second - peak)
        row[R_LIMIT + i] = peak * load_factor(load, tyres.sensitivity, tyres.reference_load) * load
        row[R_PRESSURE + i] = y[c.PRESSURE + i]
        row[R_DISC + i] = y[c.DISC + i]
        row[R_VALVE + i] = outputs[VALVES + i]
        row[R_WORK + i] = y[c.WORK_IN + i]
    row[R_ENGINE] = y[c.ENGINE]
    row[R_TORQUE] = work[c.TORQUE]
    row[R_THROTTLE] = min(held[c.PEDAL_WISH], held[c.MOTOR_LIMIT])
    if car.engine.electric == 0.0:
        row[R_THROTTLE] = min(held[c.PEDAL_PLATE], y[c.PLATE])
    row[R_IGNITION] = held[c.IGNITION]
    row[R_CUT] = held[c.CUT]
    row[R_PEDAL] = held[c.PEDAL_WISH]
    row[R_REFERENCE] = outputs[REFERENCE]
    row[R_REQUEST] = outputs[REQUEST]
    row[R_LAMP] = outputs[LAMP]
    row[R_STEER] = held[c.STEER]
    row[R_ANTILOCK] = outputs[ANTILOCK]
    row[R_PEDAL_PRESSURE] = max(
        max(held[c.LINE], held[c.LINE + 1]), max(held[c.LINE + 2], held[c.LINE + 3])
    )


def note_state(pipes, sensors, row):
    """Write what the circuit holds and what the sensors tell into its row of the record."""
    for n in range(h.PLACES):
        row[F_PRESSURE + n] = pipes.pressures[n]
        row[F_FLUID + n] = pipes.state[n]
    for i in range(SENSORS):
        row[F_SEEN + i] = sensors[i]


def note_action(pipes, row):
    """Write what the circuit did in the cycle that begins with this row."""
    for j in range(h.FLOWS):
        row[F_FLOW + j] = pipes.flows[j]
    for j in range(h.VALVES):
        row[F_TRAVEL + j] = pipes.travel[j]
        row[F_COMMAND + j] = pipes.current[j]
        row[F_PULSE + j] = pipes.pulse[j]
    for n in range(h.PEDAL, h.AIM):
        row[F_COMMAND + n] = pipes.then[n]


def begin_cycle(k, run):
    """The part of cycle k before the control unit acts."""
    drive_and_sense(k * run.settings.cycle, run)


def end_cycle(k, run):
    """The part of cycle k after the control unit acted: its requests are obeyed, the row is
    written, and the car moves on.
    """
    pipes, t = run.pipes, k * run.settings.cycle
    obey(k, run)
    note(t, run, run.record[k])
    if pipes.on == 1.0:
        note_state(pipes, run.sensors, run.film[k])
    if k < run.cycles:
        advance(t, run)
    if pipes.on == 1.0:
        note_action(pipes, run.film[k])


def go(run):
    """Run a whole scenario, from its first cycle to its last."""
    for k in range(run.cycles + 1):
        begin_cycle(k, run)
        cycle(
            run.sensors,
            run.memory,
            run.outputs,
            run.road.shares,
            run.car.engine,
            run.car.brakes,
            run.settings,
        )
        end_cycle(k, run)
