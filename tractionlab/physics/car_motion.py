"""How the whole car moves: the time derivative of its state.

No special case at standstill.
"""

from math import cos, sin

from tractionlab.physics.brake import cooling_rate
from tractionlab.physics.car import (
    CAPACITY,
    CHARGE,
    CLUTCH,
    DISC,
    DRIVE_FORCE,
    ENGINE,
    FORWARD,
    FRICTION,
    FUEL_CUT,
    GROUND,
    HAND_BRAKE,
    IGNITION,
    LOAD,
    MOTOR,
    MOTOR_LIMIT,
    PEDAL_PLATE,
    PEDAL_WISH,
    PLATE,
    PRESSURE,
    RATIO,
    RECUPERATE,
    SECOND,
    SECOND_PLATE,
    SECOND_SHARE,
    SIDE,
    SIDE_FORCE,
    SIDEWAYS,
    SLIP,
    STEER,
    TORQUE,
    WHEEL,
    WHEEL_RATE,
    WHEEL_TORQUE,
    WORK_BRAKES,
    WORK_IN,
    WORK_OTHER,
    WORK_TYRES,
    YAW,
    YAW_RATE,
    U,
    V,
    X,
    Y,
)
from tractionlab.physics.chassis import ground_speed, wheel_loads, wheel_place
from tractionlab.physics.driveline import (
    case_speed,
    geared_torque,
    hold_with_friction,
    lock_torque,
)
from tractionlab.physics.engine import (
    air_charge,
    clutch_torque,
    combustion_torque,
    full_torque,
    plate_area,
    recuperation_torque,
    two_plates,
)
from tractionlab.physics.tyre import combined_force, relaxation_at, rolling_radius


def drive_torque(y, held, engine, rates):
    """Torque of engine or motor [N m]; fills the rates of intake filling, plate and motor in
    `rates`.
    """
    speed = y[ENGINE]
    rates[CHARGE] = 0.0
    rates[PLATE] = 0.0
    rates[MOTOR] = 0.0
    if engine.electric == 1.0:
        full = full_torque(speed, engine)
        target = full * min(held[PEDAL_WISH], held[MOTOR_LIMIT])
        target -= held[RECUPERATE] * recuperation_torque(speed, held[PEDAL_WISH], engine)
        rate = (target - y[MOTOR]) / 0.002
        rates[MOTOR] = min(engine.torque_rate, max(-engine.torque_rate, rate))
        return min(y[MOTOR], full)
    gap = (held[SECOND_PLATE] - y[PLATE]) / 0.005
    rates[PLATE] = min(engine.plate_rate, max(-engine.plate_rate, gap))
    area = two_plates(plate_area(held[PEDAL_PLATE]), plate_area(y[PLATE]))
    if engine.second_plate == 0.0:
        area = plate_area(min(held[PEDAL_PLATE], y[PLATE]))
    rates[CHARGE] = (air_charge(area, speed, engine) - y[CHARGE]) / engine.intake_time
    torque = combustion_torque(y[CHARGE], held[IGNITION], held[FUEL_CUT], speed, engine)
    if held[IGNITION] < 1.0 or held[FUEL_CUT] > 0.0 or held[SECOND_PLATE] < 1.0:
        torque += engine.excess
    return torque


def wheel_radius(load, tyres):
    """Rolling radius of a wheel [m] under its load [N]; see `tyre.rolling_radius`."""
    return rolling_radius(load, tyres.radius, tyres.radius_loss, tyres.reference_load)


def tyre_relaxation(i, y, speed, held, surfaces, tyres):
    """Relaxation length [m] of wheel i; on an edge between two surfaces that of both, by their
    shares. See `tyre.relaxation_at`.
    """
    here = surfaces[int(held[GROUND + i])]
    length = relaxation_at(
        y[SLIP + i], y[SIDE + i], speed, tyres.relaxation, here, tyres.side_ratio
    )
    share = held[SECOND_SHARE + i]
    if share > 0.0:
        second = surfaces[int(held[SECOND + i])]
        length += share * (
            relaxation_at(
                y[SLIP + i], y[SIDE + i], speed, tyres.relaxation, second, tyres.side_ratio
            )
            - length
        )
    return length


def tyre_forces(i, slip, side_slip, load, speed, held, surfaces, tyres):
    """(drive force, side force) [N] of wheel i; on an edge between two surfaces those of both, by
    their shares. See `tyre.combined_force`.
    """
    fx, fy = combined_force(
        slip,
        side_slip,
        load,
        speed,
        surfaces[int(held[GROUND + i])],
        tyres.side_ratio,
        tyres.sensitivity,
        tyres.reference_load,
    )
    share = held[SECOND_SHARE + i]
    if share > 0.0:
        fx_there, fy_there = combined_force(
            slip,
            side_slip,
            load,
            speed,
            surfaces[int(held[SECOND + i])],
            tyres.side_ratio,
            tyres.sensitivity,
            tyres.reference_load,
        )
        fx += share * (fx_there - fx)
        fy += share * (fy_there - fy)
    return fx, fy


def derivative(y, held, car, compliance, shares, surfaces, rates, found):
    """Fill `rates` (STATES,) with the time derivative of the state `y`; `found` (SCRATCH,) holds
    loads, forces and torques.

    Parameters
    ----------
    y : array (STATES,)
    held : array (INPUTS,), what acts on the car
    car : Car
    compliance : array (4, 4), shares : array (4,), from `driveline.add_gearbox` for the ratio in
        `held`, and `torque_shares`
    surfaces : array (n, 8), rows of `tyre.adhesion`
    """
    body, tyres, driveline, engine, brakes = (
        car.body,
        car.tyres,
        car.driveline,
        car.engine,
        car.brakes,
    )
    u, v, yaw_rate = y[U], y[V], y[YAW_RATE]
    loads = found[LOAD : LOAD + 4]
    wheel_loads(y[FORWARD], y[SIDEWAYS], body, loads)

    steer_cos, steer_sin = cos(held[STEER]), sin(held[STEER])
    push_x, push_y, turn, tyre_loss = 0.0, 0.0, 0.0, 0.0
    for i in range(4):
        x, lever = wheel_place(i, body)
        gx, gy = ground_speed(i, u, v, yaw_rate, body)
        if i < 2:
            gx, gy = steer_cos * gx + steer_sin * gy, steer_cos * gy - steer_sin * gx
        rim = y[WHEEL + i] * wheel_radius(loads[i], tyres)
        carry = max(abs(rim), abs(gx))
        length = tyre_relaxation(i, y, carry, held, surfaces, tyres)
        slip_rate = (rim - gx - carry * y[SLIP + i]) / length
        side_rate = (-gy - carry * y[SIDE + i]) / length
        rates[SLIP + i] = slip_rate
        rates[SIDE + i] = side_rate
        lead = tyres.damping_time / (1.0 + 0.4 * carry)
        fx, fy = tyre_forces(
            i,
            y[SLIP + i] + lead * slip_rate,
            y[SIDE + i] + lead * side_rate,
            loads[i],
            carry,
            held,
            surfaces,
            tyres,
        )
        found[DRIVE_FORCE + i] = fx
        found[SIDE_FORCE + i] = fy
        tyre_loss += fx * (rim - gx) - fy * gy
        if i < 2:
            fx, fy = steer_cos * fx - steer_sin * fy, steer_sin * fx + steer_cos * fy
        push_x += fx
        push_y += fy
        turn += x * fy - lever * fx

    air = body.drag * u * abs(u)
    hill = body.mass * body.gravity * body.slope_sin
    rates[U] = (push_x - air - hill * cos(y[YAW])) / body.mass + v * yaw_rate
    rates[V] = (push_y + hill * sin(y[YAW])) / body.mass - u * yaw_rate
    rates[YAW_RATE] = turn / body.yaw_inertia
    rates[X] = u * cos(y[YAW]) - v * sin(y[YAW])
    rates[Y] = u * sin(y[YAW]) + v * cos(y[YAW])
    rates[YAW] = yaw_rate
    rates[FORWARD] = (push_x / body.mass - y[FORWARD]) / body.load_time
    rates[SIDEWAYS] = (push_y / body.mass - y[SIDEWAYS]) / body.load_time

    torque = drive_torque(y, held, engine, rates)
    found[TORQUE] = torque
    case, ratio = case_speed(y[WHEEL : WHEEL + 4], shares), held[RATIO]
    through = torque
    if engine.electric == 0.0:
        through = held[CLUTCH] * clutch_torque(y[ENGINE], case * ratio, engine)
    geared = geared_torque(through, case, ratio, driveline.efficiency)

    accel = found[WHEEL_RATE : WHEEL_RATE + 4]
    torques = found[WHEEL_TORQUE : WHEEL_TORQUE + 4]
    for i in range(4):
        torques[i] = shares[i] * geared - found[DRIVE_FORCE + i] * wheel_radius(loads[i], tyres)
    locking = 0.0
    capacity = driveline.lock_preload + driveline.lock_share * abs(geared)
    if capacity > 0.0:
        for left in range(0, 4, 2):
            if shares[left] > 0.0:
                moved = lock_torque(
                    y[WHEEL + left], y[WHEEL + left + 1], 2.0 * shares[left] * capacity
                )
                torques[left] -= moved
                torques[left + 1] += moved
                locking += moved * (y[WHEEL + left] - y[WHEEL + left + 1])
    capacity = driveline.centre_preload + driveline.centre_share * abs(geared)
    if capacity > 0.0:
        front, rear = (
            0.5 * (y[WHEEL] + y[WHEEL + 1]),
            0.5 * (y[WHEEL + 2] + y[WHEEL + 3]),
        )
        moved = lock_torque(front, rear, capacity)
        for i in range(4):
            torques[i] += -0.5 * moved if i < 2 else 0.5 * moved
        locking += moved * (front - rear)
    for i in range(4):
        accel[i] = 0.0
        for j in range(4):
            accel[i] += compliance[i, j] * torques[j]
        per_pressure = brakes.front_torque if i < 2 else brakes.rear_torque
        found[CAPACITY + i] = (
            brakes.pads[i] * per_pressure * max(0.0, held[PRESSURE + i])
            + tyres.rolling * loads[i] * tyres.radius
            + (held[HAND_BRAKE] if i >= 2 else 0.0)
        )
    hold_with_friction(
        accel,
        found[FRICTION : FRICTION + 4],
        found[CAPACITY : CAPACITY + 4],
        y[WHEEL : WHEEL + 4],
        compliance,
    )

    braking, rolling = 0.0, 0.0
    for i in range(4):
        rates[WHEEL + i] = accel[i]
        whole = found[FRICTION + i] * y[WHEEL + i]
        roll_share = tyres.rolling * loads[i] * tyres.radius / (found[CAPACITY + i] + 1e-9)
        heat = whole * (1.0 - roll_share)
        braking += heat
        rolling += whole * roll_share
        rates[DISC + i] = max(0.0, heat) / brakes.disc_heat - cooling_rate(y[DISC + i], u, brakes)

    clutch_loss = 0.0
    if engine.electric == 1.0:
        gear_rate = 0.0
        for i in range(4):
            gear_rate += shares[i] * accel[i]
        rates[ENGINE] = ratio * gear_rate
        rates[WORK_IN] = torque * case * ratio
    else:
        rates[ENGINE] = (torque - through) / engine.inertia
        rates[WORK_IN] = torque * y[ENGINE]
        clutch_loss = through * (y[ENGINE] - case * ratio)
    gear_loss = through * ratio * case - geared * case
    rates[WORK_TYRES] = tyre_loss
    rates[WORK_BRAKES] = braking
    rates[WORK_OTHER] = rolling + air * u + clutch_loss + gear_loss + locking
