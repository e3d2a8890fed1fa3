"""The time loop: the only place where time advances. Runge-Kutta steps of the car, between cycles of the control unit."""
from math import cos, sin

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
)
from tractionlab.control.unit import cycle
from tractionlab.control.valve_drive import drive_valves
from tractionlab.driver import brake_at, pedal_at, steer_after
from tractionlab.physics import car as c
from tractionlab.physics import circuit as h
from tractionlab.physics.brake import HOLD
from tractionlab.physics.car import derivative
from tractionlab.physics.chassis import ground_speed, wheel_place
from tractionlab.physics.circuit_cycle import run_cycle, wheel_pressures
from tractionlab.physics.road import surfaces_under
from tractionlab.physics.tyre import PEAK, load_factor, rest_slip
from tractionlab.sensing import READ, count_flanks, read_signals, read_speeds

RING = 64

# The classical Runge-Kutta scheme: how far ahead the next slope is taken, where in the step that is, and how much each slope counts.
AHEAD = (0.5, 0.5, 1.0, 0.0)
AT = (0.0, 0.5, 0.5, 1.0)
WEIGHT = (1.0, 2.0, 2.0, 1.0)

# Columns of the record, one row a cycle.
(TIME, R_BODY, R_WHEEL, R_SLIP, R_SIDE_SLIP, R_DRIVE, R_SIDE, R_LOAD, R_LIMIT, R_PRESSURE, R_DISC, R_VALVE, R_ENGINE, R_TORQUE,
 R_THROTTLE, R_IGNITION, R_CUT, R_PEDAL, R_REFERENCE, R_REQUEST, R_LAMP, R_STEER, R_WORK,
 R_ANTILOCK, R_PEDAL_PRESSURE) = (
    0, 1, 7, 11, 15, 19, 23, 27, 31, 35, 39, 43, 47, 48, 49, 50, 51, 52, 53, 54, 55, 56, 57, 61, 62)
COLUMNS = 63

# Columns of the circuit's record: pressures and fluid at each place, mean flows of the cycle, plungers, commands, pulses, what the sensors told.
F_PRESSURE, F_FLUID, F_FLOW, F_TRAVEL, F_COMMAND, F_PULSE, F_SEEN = 0, 15, 30, 53, 66, 83, 96
FILM_COLUMNS = F_SEEN + SENSORS


def find_ground(t, y, ahead, held, body, patches):
    """Note in `held` what is under each wheel `ahead` seconds after time t, at which the state is `y`."""
    yaw = y[c.YAW] + ahead * y[c.YAW_RATE]
    yaw_cos, yaw_sin = cos(yaw), sin(yaw)
    x = y[c.X] + ahead * (yaw_cos * y[c.U] - yaw_sin * y[c.V])
    across = y[c.Y] + ahead * (yaw_sin * y[c.U] + yaw_cos * y[c.V])
    for i in range(4):
        dx, dy = wheel_place(i, body)
        held[c.GROUND + i], held[c.SECOND + i], held[c.SECOND_SHARE + i] = surfaces_under(
            x + yaw_cos * dx - yaw_sin * dy, across + yaw_sin * dx + yaw_cos * dy, t + ahead, patches)


def advance(t, steps, dt, y, held, car, road, space, plant):
    """Advance the state `y` by `steps` Runge-Kutta steps of `dt` [s]; the control unit's requests in `held` stay as they are.

    A circuit needs nothing of the car during a cycle, so it goes first, and the car takes its pressures.
    Source of the method: the classical fourth-order Runge-Kutta scheme.
    """
    soft, shares, surfaces, patches = road
    trial, rates, total, work = space
    pipes, rings, counters, seen = plant
    turned = pipes.space[3]
    if pipes.on == 1.0:
        run_cycle(steps * dt, pipes)
    for n in range(steps):
        find_ground(t + n * dt, y, 0.5 * dt, held, car.body, patches)
        if pipes.on == 1.0:
            for i in range(4):
                turned[i] = 0.0
        for i in range(c.STATES):
            trial[i] = y[i]
            total[i] = 0.0
        for stage in range(4):
            if pipes.on == 1.0:
                wheel_pressures((n + AT[stage]) / steps, pipes, trial[c.PRESSURE:c.PRESSURE + 4])
            derivative(trial, held, car, soft, shares, surfaces, rates, work)
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
                count_flanks(i, t + n * dt, dt, turned[i], y[c.WHEEL + i], rings, counters)
    if pipes.on == 1.0:
        for i in range(4):
            y[c.PRESSURE + i] = pipes.pressures[h.WHEEL + i]


def drive_and_sense(t, y, held, sensors, driver, car, road, space, period, plant, settings):
    """Let the driver act at time t, then fill what the sensors tell the control unit."""
    soft, shares, surfaces, patches = road
    held[c.STEER] = steer_after(held[c.STEER], y[c.Y], y[c.YAW], period if t > 0.0 else 0.0, driver)
    held[c.PEDAL_WISH] = pedal_at(t, driver)
    held[c.PEDAL_PLATE] = held[c.PEDAL_WISH]
    pedal_line = brake_at(t, driver)
    held[c.LINE] = max(pedal_line, driver.hand_fl)
    held[c.LINE + 1] = max(pedal_line, driver.hand_fr)
    held[c.LINE + 2] = max(pedal_line, driver.hand_rl)
    held[c.LINE + 3] = max(pedal_line, driver.hand_rr)
    pipes, rings, counters, seen = plant
    if pipes.on == 1.0:
        pipes.first[h.PEDAL], pipes.then[h.PEDAL] = pedal_line, pedal_line
        for i in range(4):
            held[c.LINE + i] = max(0.0, pipes.pressures[h.CHAMBER])
    find_ground(t, y, 0.0, held, car.body, patches)
    derivative(y, held, car, soft, shares, surfaces, space[1], space[3])
    for i in range(4):
        sensors[WHEELS + i] = y[c.WHEEL + i] * car.tyres.radius
    sensors[YAW_RATE] = y[c.YAW_RATE]
    sensors[ENGINE_SPEED] = y[c.ENGINE]
    sensors[ENGINE_TORQUE] = space[3][c.TORQUE]
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
        read_speeds(t, settings.tooth_pitch, counters)
        for i in range(4):
            sensors[WHEELS + i] = counters[READ, i]
        read_signals(sensors, pipes.pressures[h.CHAMBER], pipes.pressures[h.ACCUMULATOR], pipes.state[h.RESERVOIR], settings.hydraulics.layout,
                     settings.yaw_sensor, seen)


def obey(k, outputs, ring, held, settings, sensors, pipes):
    """Pass the requests of cycle k on to the actuators, each path after its own delay; with a circuit as currents to its valves."""
    for i in range(OUTPUTS):
        ring[k % RING, i] = outputs[i]
    period = settings.cycle
    held[c.SECOND_PLATE] = ring[max(0, k - int(settings.throttle_delay / period + 0.5)) % RING, PLATE]
    held[c.IGNITION] = ring[max(0, k - int(settings.ignition_delay / period + 0.5)) % RING, IGNITION]
    held[c.CUT] = ring[max(0, k - int(settings.fuel_delay / period + 0.5)) % RING, CUT]
    held[c.MOTOR_LIMIT] = ring[max(0, k - int(settings.motor_delay / period + 0.5)) % RING, MOTOR_LIMIT]
    for i in range(4):
        held[c.VALVE + i] = outputs[VALVES + i]
    if pipes.on == 1.0:
        drive_valves(outputs, sensors[BRAKE_SWITCH] == 1.0, settings.hydraulics, pipes.first, pipes.then, pipes.pulse)
        for i in range(4):
            held[c.VALVE + i] = HOLD


def note(t, y, held, outputs, car, surfaces, work, row):
    """Write one row of the record."""
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
        peak, second = surfaces[int(held[c.GROUND + i]), PEAK], surfaces[int(held[c.SECOND + i]), PEAK]
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
    row[R_PEDAL_PRESSURE] = max(max(held[c.LINE], held[c.LINE + 1]), max(held[c.LINE + 2], held[c.LINE + 3]))


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


def run(cycles, steps, y, held, memory, sensors, outputs, ring, record, car, driver, settings, road, space, plant, film):
    """Run a whole scenario into `record`, shape (cycles + 1, COLUMNS), and with a circuit into `film`, shape (cycles + 1, FILM_COLUMNS);
    every array is changed in place."""
    period = settings.cycle
    pipes = plant[0]
    for k in range(cycles + 1):
        t = k * period
        drive_and_sense(t, y, held, sensors, driver, car, road, space, period, plant, settings)
        cycle(sensors, memory, outputs, road[1], car.engine, car.brakes, settings)
        obey(k, outputs, ring, held, settings, sensors, pipes)
        note(t, y, held, outputs, car, road[2], space[3], record[k])
        if pipes.on == 1.0:
            note_state(pipes, sensors, film[k])
        if k < cycles:
            advance(t, steps, period / steps, y, held, car, road, space, plant)
        if pipes.on == 1.0:
            note_action(pipes, film[k])
