"""The farthest launch that a car's own engine, tyres and brakes allow: no controller gets it
farther.
"""

import dataclasses
from math import exp

import numpy as np

from tractionlab.control.settings import ASK_PUMP, ASK_VALVES
from tractionlab.figures.grip import Grip
from tractionlab.physics.brake import INCREASE
from tractionlab.physics.car_motion import wheel_radius
from tractionlab.physics.chassis import wheel_loads
from tractionlab.physics.driveline import geared_torque
from tractionlab.physics.engine import air_charge, full_torque, plate_area
from tractionlab.run import assembly
from tractionlab.run.driver import pedal_at
from tractionlab.run.simulation import simulate
from tractionlab.units import KMH

#: Step of the launch [s]: a row of a trace, so that pressures of a run fit.
STEP = 0.01
#: Engine speeds for which the torque is tabled, and how often a step looks for its acceleration.
_SPEEDS, _ROUNDS = 400, 3


def fastest_build_up(scenario):
    """Pressure [Pa] at the left wheel of the front and of the rear axle in each row of the
    scenario, (n, 2), when the brakes of driven ones are built up from the moment the accelerator
    goes down, with the pump at full speed by then, and nothing else is done."""
    shares = assembly.road_of(scenario)[1]

    def build_up(time, sensors, outputs):
        outputs[ASK_PUMP] = 1.0
        for left in (0, 2):
            if shares[left] > 0.0 and time >= scenario.pedal_from_s:
                outputs[ASK_VALVES + left] = INCREASE

    run = simulate(dataclasses.replace(scenario, pedal_percent=0.0), controller=build_up)
    return run.pressure[:, ::2]


class Drive:
    """Engine or motor and gears as a bound: after pedal and filling, with the most torque of any
    engine speed that is not below that of the rolling car, in the best gear.

    A wheel may spin, so the engine may turn faster than the car needs; never slower.
    """

    def __init__(self, scenario):
        car = assembly.car_of(scenario)
        self.engine, self.line = car.engine, car.driveline
        self.ratios = car.driveline.ratios[: int(car.driveline.gears)]
        if scenario.gear != "auto":
            self.ratios = (self.ratios[scenario.gear - 1],)
        self.wheels = int(np.count_nonzero(assembly.road_of(scenario)[1]))
        self.state, self.ratio = 0.0, self.ratios[0]
        self.step = self.engine.top_speed / _SPEEDS
        full = [full_torque(k * self.step, self.engine) for k in range(_SPEEDS + 1)]
        self.most = [*np.maximum.accumulate(full[::-1])[::-1].tolist(), 0.0]

    def full(self, speed):
        """Most torque of a fully open engine [N m] at an engine speed of at least `speed`
        [rad/s].
        """
        return self.most[min(_SPEEDS + 1, int(speed / self.step))]

    def answer(self, pedal, case):
        """Let the filling, of a motor the torque, follow the pedal for a step, the differential's
        case turning at least at `case` [rad/s].
        """
        engine, speed = self.engine, self.ratio * case
        if engine.electric == 1.0:
            self.state = min(pedal * self.full(speed), self.state + engine.torque_rate * STEP)
        else:
            wanted = air_charge(plate_area(pedal), max(speed, engine.idle_speed), engine)
            self.state += (wanted - self.state) * (1.0 - exp(-STEP / engine.intake_time))

    def in_gear(self, ratio, case):
        """(torque at the case [N m], inertia of all that turns with the driven wheels [kg m^2])."""
        engine, line, speed = self.engine, self.line, ratio * case
        inertia = self.wheels * line.wheel_inertia + line.gear_inertia * ratio**2
        torque = min(self.state, self.full(speed))
        if engine.electric == 0.0:
            torque = self.state * (self.full(speed) + engine.friction) - engine.friction
            inertia += engine.inertia * ratio**2 if speed > engine.idle_speed else 0.0
        return geared_torque(torque, case, ratio, line.efficiency), inertia

    def in_best_gear(self, case, gain):
        """As `in_gear`, in the gear with most torque left while the case gains speed [rad/s^2]."""

        def left(ratio):
            torque, inertia = self.in_gear(ratio, case)
            return torque - inertia * gain

        self.ratio = max(self.ratios, key=left)
        return self.in_gear(self.ratio, case)


class Axle:
    """A driven axle in one step: what its wheels push for the force that comes to the axle [N].

    Both sides get the same, the better one more by what a coupling moves, until each is at its
    best adhesion. What the worse side cannot push, its brake takes, as far as it is built up, and
    so does its own inertia while it spins up (`spin`: force for this step).
    """

    def __init__(self, grip, brake, coupling, spin, locked):
        self.low, high = sorted(grip)
        self.coupling, self.locked = coupling, locked
        self.short = 0.0 if locked else max(0.0, high - self.low - brake - 2.0 * coupling)
        self.used = min(self.short, spin)
        self.high = high - self.short + self.used
        full = max(self.low, self.high - coupling)
        self.need = self.low + self.high if locked else 2.0 * full

    def push(self, force):
        """Force of both wheels [N]."""
        if self.locked:
            return min(force, self.need)
        half = 0.5 * force
        return min(force, min(self.low, half) + min(self.high, half + self.coupling))


def best_launch(scenario):
    """Distance [m] in the scenario's time that no controller can beat.

    A car that runs straight on, with load transfer, air and rolling drag, slope, and the inertia
    of all that turns. Each driven wheel is at most at its best adhesion, whatever its slip; the
    engine gives at most what `Drive` says; what it gives beyond what the tyres take is not lost
    but stored in spinning parts, as momentum up to the top speed of the engine, and pushes later;
    brakes are built up as fast as the hydraulics can. So it lies above any launch, by little where
    a launch is good. It does not see what lies across the road: steering costs time. Source:
    derived."""
    car, driver = assembly.car_of(scenario), assembly.driver_of(scenario)
    shares, grip, built = assembly.road_of(scenario)[1], Grip(scenario), fastest_build_up(scenario)
    body, tyres, line, drive = car.body, car.tyres, car.driveline, Drive(scenario)
    driven = [i for i in range(4) if shares[i] > 0.0]
    axles = [axle for axle in (0, 1) if 2 * axle in driven]
    brakes = (car.brakes.front_torque, car.brakes.rear_torque)
    brakes = [brakes[axle] * max(car.brakes.pads[2 * axle : 2 * axle + 2]) for axle in (0, 1)]
    hill = body.mass * body.gravity * body.slope_sin
    mass = body.mass + (4 - len(driven)) * line.wheel_inertia / tyres.radius**2
    loads, pitch = np.zeros(4), body.gravity * body.slope_sin
    speed, distance, rate, store = scenario.initial_speed_kmh * KMH, 0.0, 0.0, 0.0
    top = drive.engine.top_speed * tyres.radius / drive.ratio
    spins = dict.fromkeys(axles, 2.0 * top * line.wheel_inertia / tyres.radius**2)
    for k in range(1, int(round(scenario.duration_s / STEP)) + 1):
        wheel_loads(pitch, 0.0, body, loads)
        radii = [wheel_radius(loads[i], tyres) for i in driven]
        near, far = min(radii), max(radii)
        drive.answer(pedal_at(k * STEP, driver), speed / far)
        torque, inertia = drive.in_best_gear(speed / far, rate / far)
        inertia /= far**2
        rolling = [tyres.rolling * load for load in loads]
        force = torque / near - sum(rolling[i] for i in driven)
        capacity = line.lock_preload + line.lock_share * abs(torque)
        forces, found = grip(speed, loads), []
        for axle in axles:
            share, wheels = 2.0 * shares[2 * axle], slice(2 * axle, 2 * axle + 2)
            if scenario.centre != "open":
                share = 1.0
            brake, coupling = (
                brakes[axle] * built[min(k, len(built) - 1), axle] / near,
                share * capacity / near,
            )
            locked = scenario.differential == "locked"
            found.append((share, Axle(forces[wheels], brake, coupling, spins[axle] / STEP, locked)))
            spins[axle] -= found[-1][1].used * STEP
        against = body.drag * speed * speed + hill
        idle = sum(rolling) - sum(rolling[i] for i in driven)
        for _ in range(_ROUNDS):
            offer = max(0.0, force + store / STEP - inertia * rate)
            push = min(offer, sum(axle.push(share * offer) for share, axle in found))
            held = idle if speed > 0.0 else min(idle, max(0.0, push - against))
            rate += ((push - held - against) / mass - rate) / (1.0 + inertia / mass)
        if speed <= 0.0:
            rate = max(0.0, rate)
        needs = [axle.need / share for share, axle in found]
        taken = min(offer, max(needs) if scenario.centre == "open" else sum(needs))
        store += (force - inertia * rate - taken) * STEP
        top = drive.engine.top_speed * far / drive.ratio
        store = min(max(0.0, store), max(0.0, inertia * (top - speed)))
        pitch += (push / body.mass - pitch) * STEP / body.load_time
        distance += speed * STEP + 0.5 * rate * STEP * STEP
        speed += rate * STEP
    return distance
