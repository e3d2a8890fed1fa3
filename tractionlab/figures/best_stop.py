"""The shortest stop that a car's tyres and its driver's foot allow."""

import dataclasses

import numpy as np

from tractionlab.figures.best_drive import STEP
from tractionlab.figures.grip import Grip
from tractionlab.physics.chassis import wheel_loads
from tractionlab.run import assembly
from tractionlab.run.simulation import simulate
from tractionlab.units import KMH

#: Pressures count as they are so many steps later: within a step they rise.
SOONER = 1


def best_deceleration(scenario, speed):
    """Deceleration [m/s^2] at a speed [m/s] with every wheel braked at its best slip, with load
    transfer. Source: derived.
    """
    body, grip, loads, rate = assembly.car_of(scenario).body, Grip(scenario), np.zeros(4), 0.0
    for _ in range(10):
        wheel_loads(-rate, 0.0, body, loads)
        rate = sum(grip(speed, loads)) / body.mass
    return rate


def best_stop(scenario):
    """Distance [m] until the car stands, or in the scenario's time, below which no controller gets.

    Straight on, with load transfer, air drag, slope and the inertia of the wheels: each wheel is
    braked with the pressure that the pedal makes there without control, and at most at its best
    adhesion. Engine drag or recuperation counts on top while the clutch is closed, and all that the
    clutch can pull while it comes. Source: derived."""
    car, grip = assembly.car_of(scenario), Grip(scenario)
    body, tyres, brakes, line = car.body, car.tyres, car.brakes, car.driveline
    shares = assembly.road_of(scenario)[1]
    plain = simulate(dataclasses.replace(scenario, antilock=False, control="off"))
    comes = (plain.clutch < 1.0) & (np.diff(plain.clutch, prepend=1.0) >= 0.0)
    pull = np.where(comes, plain.clutch * car.engine.clutch_capacity, car.engine.friction)
    pull += car.engine.recuperation
    pull *= plain.gear_ratio * (plain.clutch > 0.0)
    torques = np.repeat([brakes.front_torque, brakes.rear_torque], 2) * brakes.pads
    drag = (2.0 - line.efficiency) * pull[:, None] * shares
    wheel = line.wheel_inertia / tyres.radius**2
    loads, pitch = np.zeros(4), body.gravity * body.slope_sin
    speed, distance, rate = scenario.initial_speed_kmh * KMH, 0.0, 0.0
    for k in range(1, int(round(scenario.duration_s / STEP)) + 1):
        wheel_loads(pitch, 0.0, body, loads)
        row = min(k, len(plain) - 1)
        soon = min(k + SOONER, len(plain) - 1)
        braked = (torques * plain.pressure[soon] + drag[row]) / tyres.radius + tyres.rolling * loads
        force = np.minimum(grip(speed, loads), np.maximum(0.0, braked + wheel * rate)).sum()
        pitch -= (force / body.mass + pitch) * STEP / body.load_time
        resistance = body.drag * speed * speed + body.mass * body.gravity * body.slope_sin
        rate = -(force + resistance) / body.mass
        if speed + rate * STEP <= 0.0:
            return distance + 0.5 * speed * speed / -rate
        distance += speed * STEP + 0.5 * rate * STEP * STEP
        speed += rate * STEP
    return distance
