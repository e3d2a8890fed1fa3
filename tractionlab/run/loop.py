"""The time loop: the only place where time advances.

Runge-Kutta steps of the car, between cycles of the control unit.
"""

from math import cos, sin

from tractionlab.control.settings import (
    ASK_FUEL_CUT,
    ASK_IGNITION,
    ASK_MOTOR_LIMIT,
    ASK_OPEN,
    ASK_PLATE,
    ASK_RECUPERATION,
    OUTPUTS,
    SENSE_BRAKE_SWITCH,
    SENSE_DRIVER_OFF,
    SENSE_ENGINE_SPEED,
    SENSE_PEDAL,
    SENSE_RATIO,
    SENSE_STEERING,
    SENSE_WHEELS,
    SENSE_YAW_RATE,
    SENSORS,
)
from tractionlab.control.unit import cycle
from tractionlab.control.valve_drive import drive_valves
from tractionlab.physics import car as c
from tractionlab.physics import circuit as h
from tractionlab.physics.car_motion import derivative
from tractionlab.physics.chassis import wheel_place
from tractionlab.physics.circuit_cycle import run_cycle, wheel_pressures
from tractionlab.physics.road import surfaces_under
from tractionlab.run.driver import brake_at, lets_go, pedal_at, steer_after
from tractionlab.run.gear_change import H_CLUTCH, H_FOOT, H_HOLDS, H_RATIO, change_gear
from tractionlab.run.noting import note, note_action, note_state
from tractionlab.run.run import RING
from tractionlab.run.sensing import READ, count_flanks, read_signals, read_speeds

# The classical Runge-Kutta scheme: how far ahead the next slope is taken, where in the step that
# is, and how much each slope counts.
AHEAD = (0.5, 0.5, 1.0, 0.0)
AT = (0.0, 0.5, 0.5, 1.0)
WEIGHT = (1.0, 2.0, 2.0, 1.0)


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


def advance(t, run, road):
    """Advance the car by one cycle of the control unit from time t on, in Runge-Kutta steps; what
    acts on it stays as it is.

    The circuit needs nothing of the car during a cycle, so it goes first, and the car takes its
    pressures. Source of the method: the classical fourth-order Runge-Kutta scheme."""
    car, pipes, y, held, steps = run.car, run.pipes, run.y, run.held, run.steps
    trial, rates, total = run.work.trial, run.work.rates, run.work.total
    turned, dt = pipes.space[3], run.settings.cycle / run.steps
    run_cycle(steps * dt, pipes)
    for n in range(steps):
        find_ground(t + n * dt, y, 0.5 * dt, held, car.body, road.patches)
        for i in range(4):
            turned[i] = 0.0
        for i in range(c.STATES):
            trial[i] = y[i]
            total[i] = 0.0
        for stage in range(4):
            wheel_pressures((n + AT[stage]) / steps, pipes, held[c.PRESSURE : c.PRESSURE + 4])
            derivative(
                trial, held, car, run.work.soft, run.shares, road.surfaces, rates, run.work.found
            )
            ahead, weight = AHEAD[stage] * dt, WEIGHT[stage]
            for i in range(4):
                turned[i] += dt / 6.0 * weight * trial[c.WHEEL + i]
            for i in range(c.STATES):
                total[i] += weight * rates[i]
                trial[i] = y[i] + ahead * rates[i]
        for i in range(c.STATES):
            y[i] += dt / 6.0 * total[i]
        for i in range(4):
            count_flanks(i, t + n * dt, dt, turned[i], y[c.WHEEL + i], run.rings, run.counters)


def hold_on_hill(t, run):
    """The hand brake of a car that pulls away uphill: pulled until the driver lets go of it."""
    body, tyres, found, pull = run.car.body, run.car.tyres, run.work.found, 0.0
    for i in range(4):
        pull += found[c.WHEEL_TORQUE + i] / tyres.radius + found[c.DRIVE_FORCE + i]
    hill = body.mass * body.gravity * body.slope_sin
    if run.hands[H_HOLDS] == 1.0 and lets_go(t, pull, hill, run.driver):
        run.hands[H_HOLDS] = 0.0
    run.held[c.HAND_BRAKE] = run.hands[H_HOLDS] * run.driver.hold_torque


def begin_cycle(k, run, road):
    """The part of cycle k before the control unit acts: the driver does, then the sensors are
    filled with what they tell it.
    """
    t = k * run.settings.cycle
    car, driver, settings, pipes = run.car, run.driver, run.settings, run.pipes
    y, held, sensors, found = run.y, run.held, run.sensors, run.work.found
    elapsed = settings.cycle if t > 0.0 else 0.0
    held[c.STEER] = steer_after(held[c.STEER], y[c.Y], y[c.YAW], elapsed, driver)
    pedal, foot = pedal_at(t, driver), brake_at(t, driver)
    change_gear(elapsed, pedal, foot > 0.0, run)
    held[c.RATIO], held[c.CLUTCH] = run.hands[H_RATIO], run.hands[H_CLUTCH]
    held[c.PEDAL_WISH] = pedal * run.hands[H_FOOT]
    held[c.PEDAL_PLATE] = held[c.PEDAL_WISH]
    pipes.first[h.COMMAND_PEDAL], pipes.then[h.COMMAND_PEDAL] = foot, foot
    for i in range(4):
        held[c.PRESSURE + i] = pipes.pressures[h.WHEEL + i]
    find_ground(t, y, 0.0, held, car.body, road.patches)
    derivative(y, held, car, run.work.soft, run.shares, road.surfaces, run.work.rates, found)
    hold_on_hill(t, run)
    read_speeds(t, settings.tooth_pitch, run.counters)
    for i in range(4):
        sensors[SENSE_WHEELS + i] = run.counters[READ, run.channels[i]]
    sensors[SENSE_YAW_RATE] = y[c.YAW_RATE]
    sensors[SENSE_ENGINE_SPEED] = y[c.ENGINE]
    sensors[SENSE_PEDAL] = held[c.PEDAL_WISH]
    sensors[SENSE_BRAKE_SWITCH] = 1.0 if foot > 0.0 else 0.0
    sensors[SENSE_DRIVER_OFF] = driver.control_off
    sensors[SENSE_STEERING] = held[c.STEER]
    sensors[SENSE_RATIO] = held[c.RATIO] if held[c.CLUTCH] == 1.0 else 0.0
    read_signals(
        sensors,
        pipes.pressures[h.CHAMBER],
        pipes.pressures[h.ACCUMULATOR],
        pipes.state[h.RESERVOIR],
        settings.hydraulics.layout,
        settings.yaw_sensor,
        run.signal_steps,
    )
    for i in range(SENSORS):
        sensors[i] = run.told[i, 0] * sensors[i] + run.told[i, 1]


def sent(k, delay, place, run):
    """What the control unit asked for at `place` of its outputs so many seconds before cycle k."""
    back = int(delay / run.settings.cycle + 0.5)
    return run.sent[max(0, k - back) % RING, place]


def obey(k, run):
    """Pass the requests of cycle k on to the actuators, each path after its own delay, and those
    for the brakes as currents to the valves.
    """
    outputs, ring, held, settings, pipes = run.outputs, run.sent, run.held, run.settings, run.pipes
    for i in range(OUTPUTS):
        ring[k % RING, i] = outputs[i]
    held[c.SECOND_PLATE] = sent(k, settings.message_delay, ASK_PLATE, run)
    if run.car.engine.second_plate == 0.0:
        opened = sent(k, settings.message_delay, ASK_OPEN, run)
        held[c.PEDAL_PLATE] = max(held[c.PEDAL_PLATE], opened)
    held[c.IGNITION] = sent(k, settings.ignition_delay, ASK_IGNITION, run)
    held[c.FUEL_CUT] = sent(k, settings.fuel_delay, ASK_FUEL_CUT, run)
    held[c.MOTOR_LIMIT] = sent(k, settings.message_delay, ASK_MOTOR_LIMIT, run)
    held[c.RECUPERATE] = sent(k, settings.message_delay, ASK_RECUPERATION, run)
    drive_valves(
        outputs,
        run.sensors[SENSE_BRAKE_SWITCH] == 1.0,
        settings.hydraulics,
        pipes.first,
        pipes.then,
        pipes.pulse,
    )


def end_cycle(k, run, road, rows):
    """The part of cycle k after the control unit acted: its requests are obeyed, the row is
    written, and the car moves on.
    """
    pipes, t = run.pipes, k * run.settings.cycle
    obey(k, run)
    note(t, run, road.surfaces, rows.record[k])
    note_state(pipes, run.sensors, rows.film[k])
    if k < run.cycles:
        advance(t, run, road)
    note_action(pipes, rows.film[k])


def go(run, road, rows, first, after):
    """Run a scenario from cycle `first` on, up to the one before `after`."""
    for k in range(first, after):
        begin_cycle(k, run, road)
        cycle(
            run.sensors[:],
            run.memory[:],
            run.outputs[:],
            run.shares[:],
            run.car.engine,
            run.car.brakes,
            run.settings,
        )
        end_cycle(k, run, road, rows)
