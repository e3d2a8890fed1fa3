"""The farthest launch that a car's own engine, tyres and brakes allow: no controller gets it
farther.
"""

import dataclasses

import numpy as np

from tractionlab.control.settings import ASK_PUMP, ASK_VALVES
from tractionlab.figures.best_drive import GRIPS, STEP, Drive
from tractionlab.figures.grip import Grip
from tractionlab.physics.brake import INCREASE
from tractionlab.physics.car_motion import wheel_radius
from tractionlab.physics.chassis import wheel_loads
from tractionlab.run import assembly
from tractionlab.run.driver import pedal_at
from tractionlab.run.driver_assembly import driver_of
from tractionlab.run.simulation import simulate
from tractionlab.units import KMH

#: How often a step looks for its acceleration.
_ROUNDS = 3


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
    brakes are built up as fast as the hydraulics can. A car that nobody holds on a hill, and whose
    accelerator stays pressed, rolls back until engine or brakes stop it; the hand brake holds it as
    long as it is pulled at most. So it lies above any launch, by little where a launch is good. It
    does not see what lies across the road: steering costs time. Source: derived.

    Where the sides differ there are two ways, see `Hands`: with wheels that roll, or with the one
    of least grip slower than the car from when the driver would change on; it pushes nothing then.
    """
    ways = (False,) if scenario.right in ("", scenario.left) else (False, True)
    grip, built = Grip(scenario), fastest_build_up(scenario)
    return max(_launch(scenario, grip, built, late) for late in ways)


def _launch(scenario, grip, built, late):
    """The best launch one way."""
    car, driver = assembly.car_of(scenario), driver_of(scenario)
    shares = assembly.road_of(scenario)[1]
    body, tyres, line, drive = car.body, car.tyres, car.driveline, Drive(scenario, late)
    driven = [i for i in range(4) if shares[i] > 0.0]
    axles = [axle for axle in (0, 1) if 2 * axle in driven]
    brakes = (car.brakes.front_torque, car.brakes.rear_torque)
    brakes = [brakes[axle] * max(car.brakes.pads[2 * axle : 2 * axle + 2]) for axle in (0, 1)]
    hill = body.mass * body.gravity * body.slope_sin
    mass = body.mass + (4 - len(driven)) * line.wheel_inertia / tyres.radius**2
    loads, pitch = np.zeros(4), body.gravity * body.slope_sin
    stands = scenario.brake_bar > 0.0 or max(scenario.hand_brake_bar) > 0.0
    stands = stands or scenario.pedal_until_s < scenario.duration_s
    held_until = driver.start + driver.hold_longest if driver.hold_torque > 0.0 else 0.0
    speed, distance, rate, store = scenario.initial_speed_kmh * KMH, 0.0, 0.0, 0.0
    top = drive.engine.top_speed * tyres.radius / drive.ratio
    spins = dict.fromkeys(axles, 2.0 * top * line.wheel_inertia / tyres.radius**2)
    for k in range(1, int(round(scenario.duration_s / STEP)) + 1):
        wheel_loads(pitch, 0.0, body, loads)
        radii = [wheel_radius(loads[i], tyres) for i in driven]
        near, far = min(radii), max(radii)
        case, pedal = speed / far, pedal_at(k * STEP, driver)
        turning = max(0.0, min(case, speed / tyres.radius))
        store += drive.change_gear(pedal, case, turning) / near
        drive.answer(pedal * drive.hands.foot(), case)
        if drive.bites:
            store += drive.bite(case) / near
        torque, inertia = drive.in_best_gear(case, rate / far)
        inertia /= far**2
        rolling = [tyres.rolling * load for load in loads]
        force = torque / near
        if speed >= 0.0:  # of a car that rolls back, rolling drag pushes, too: see `back`
            force -= sum(rolling[i] for i in driven)
        capacity = line.lock_preload + line.lock_share * abs(torque)
        forces, found, back = grip(speed, loads), [], sum(rolling)
        if drive.hands.waits:
            forces[min(driven, key=forces.__getitem__)] = 0.0
        for axle in axles:
            share, wheels = 2.0 * shares[2 * axle], slice(2 * axle, 2 * axle + 2)
            if scenario.centre != "open":
                share = 1.0
            brake, coupling = (
                brakes[axle] * built[min(k, len(built) - 1), axle] / near,
                share * capacity / near,
            )
            back += min(2.0 * brake, sum(forces[wheels]))
            locked = scenario.differential == "locked"
            found.append((share, Axle(forces[wheels], brake, coupling, spins[axle] / STEP, locked)))
            spins[axle] -= found[-1][1].used * STEP
        against = body.drag * speed * abs(speed) + hill
        idle = sum(rolling) - sum(rolling[i] for i in driven)
        for _ in range(_ROUNDS):
            offer = max(0.0, force + store / STEP - inertia * rate)
            push = min(offer, sum(axle.push(share * offer) for share, axle in found))
            if speed > 0.0 or stands or k * STEP <= held_until:
                held = idle if speed > 0.0 else min(idle, max(0.0, push - against))
            else:
                held = -back if speed < 0.0 else min(idle, max(-back, push - against))
            rate += ((push - held - against) / mass - rate) / (1.0 + inertia / mass)
        if (stands or k * STEP <= held_until) and speed <= 0.0:
            rate = max(0.0, rate)
        if any(0.5 * share * offer + capacity > GRIPS * axle.low for share, axle in found):
            drive.grips = False
        needs = [axle.need / share for share, axle in found]
        taken = min(offer, max(needs) if scenario.centre == "open" else sum(needs))
        store += (force - inertia * rate - taken) * STEP
        top = drive.engine.top_speed * far / drive.ratio
        if speed < 0.0:
            inertia += drive.engine.inertia * (drive.ratio / far) ** 2
        store = min(max(0.0, store), max(0.0, inertia * (top - speed)))
        pitch += (push / body.mass - pitch) * STEP / body.load_time
        distance += speed * STEP + 0.5 * rate * STEP * STEP
        speed += rate * STEP
    return distance
