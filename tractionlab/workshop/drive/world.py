"""What truly happens along a drive, sample by sample: a random drive by seed, a computed run, or a
wheel turned by hand in the bay.
"""

from dataclasses import dataclass, fields, replace
from functools import lru_cache

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.errors import UserError
from tractionlab.units import KMH
from tractionlab.workshop.drive.computed_runs import (
    CYCLE,
    STARTS,
    STEERING_RATIO,
    STOPS,
    Run,
    computed,
)
from tractionlab.workshop.drive.road_trip import Knots, smooth, wheel_speeds

OFF, ON, START, RUNNING = 0, 1, 2, 3  #: places of the key
_CALM = 40  # samples in which the slip at the end of a run dies away
_CATCH_UP = 300  # samples in which the car is back at the speed of the drive; invented
KINDS = {
    "mixed": "roads of all kinds",
    "straight": "a long straight road",
    "rough": "a rough road",
    "slippery": "a slippery start",
    "winter": "a stop on ice or snow",
}


@dataclass(frozen=True, kw_only=True, eq=False)
class World(Run):
    """A drive: the arrays of a Run, and what goes on around the car. Nothing here depends on a
    fault.

    key : OFF, ON, START or RUNNING; bump 0 to 1; accessory, switch: bool, something fitted is
        running, the traction button is pressed.
    ambient [degC], disc [degC at the start], stored_bar: pressure in a sound accumulator at the
    start; lifted: wheels hang free, turned by hand; run, run_from: which of
    `computed_runs.ROADS` is in it (-1: none), and from which sample on; seed of the noise."""

    vehicle: str
    seed: int
    time: np.ndarray
    key: np.ndarray
    bump: np.ndarray
    accessory: np.ndarray
    switch: np.ndarray
    ambient: float = 15.0
    disc: float = 30.0
    stored_bar: float = 170.0
    lifted: bool = False
    run: int = -1
    run_from: int = 0

    @property
    def kilometres(self):
        return float(np.sum(self.speed)) * CYCLE * 1e-3

    def with_(self, **changes):
        """The same drive with other arrays or numbers."""
        return replace(self, **changes)


def drive(vehicle, seed, kind="mixed", seconds=60.0):
    """A random drive of a car without accident or abuse: ignition on, start, moving off, bends,
    bumps, stops, control now and then.

    Parameters
    ----------
    vehicle : str, key of data/vehicles.toml
    seed : int, the same for the same drive
    kind : str, one of KINDS
    seconds : float, 20 to 600
    """
    car = catalogue.pick(catalogue.shipped().vehicles(), vehicle, "vehicle")
    catalogue.pick(KINDS, kind, "kind of drive")
    if not 20.0 <= seconds <= 600.0:
        raise UserError(f"a drive lasts 20 to 600 s, got {seconds!r}")
    rng = np.random.default_rng([int(seed), sorted(KINDS).index(kind)])
    n = int(round(seconds / CYCLE))
    away = rng.uniform(4.5, 7.0)
    turn_key = rng.uniform(1.0, away - 2.0)
    road = -1
    if kind == "winter":
        road = int(rng.choice(STOPS))
    elif kind == "slippery" or (kind == "mixed" and rng.random() < 0.35):
        road = STARTS[rng.integers(len(STARTS))]
    run = computed(vehicle, road) if road >= 0 else None
    knots, run_from = _plan(rng, away, seconds, 40.0 if kind == "straight" else 0.0, run)
    time = CYCLE * np.arange(n)
    speed, yaw_rate = knots.speed(time), knots.yaw_rate(time)
    key = np.where(
        time < turn_key, ON, np.where(time < turn_key + rng.uniform(0.5, 1.0), START, RUNNING)
    ).astype(np.int8)
    if car["motor"] == "electric":
        key[key == START] = RUNNING
    acceleration = np.gradient(speed, CYCLE)
    lateral = speed * yaw_rate
    bump = _bumps(rng, n, 40 if kind == "rough" else rng.integers(2, 14), speed)
    wheels = wheel_speeds(rng, car, speed, yaw_rate, acceleration, bump)
    brake = (acceleration < -0.6) | (speed < 0.05) & (time > 0.5 * away) & (time < away - 0.3)
    rolling = brake & (speed >= 0.05)
    world = World(
        vehicle=vehicle,
        seed=int(seed),
        time=time,
        key=key,
        speed=speed,
        wheel_speed=wheels,
        yaw_rate=yaw_rate,
        lateral=lateral,
        steer=_steering(car, speed, yaw_rate),
        accelerator=np.clip(0.08 + 0.18 * acceleration, 0.0, 1.0) * (speed > 0.02) * ~brake,
        brake=brake,
        pedal_bar=np.where(
            brake, np.where(rolling, np.clip(-9.0 * acceleration, 3.0, 90.0), 15.0), 0.0
        ),
        control=np.zeros(n, bool),
        antilock=np.zeros(n, bool),
        cutting=np.zeros(n, bool),
        valve=np.full((n, 4), 2, np.int8),
        wheel_bar=np.zeros((n, 4)),
        asked=np.zeros(n),
        given=np.zeros(n),
        plate=np.ones(n),
        bump=bump,
        accessory=time > rng.uniform(0.0, 20.0),
        switch=np.zeros(n, bool),
        ambient=float(rng.uniform(-15.0, 35.0)),
        disc=float(rng.uniform(20.0, 180.0)),
        stored_bar=float(rng.uniform(100.0, 184.0)),
    )
    torque = np.clip(
        car["mass_kg"] * acceleration * car["tyre_radius_m"] / car["gear_ratio"],
        0.0,
        car["max_torque_Nm"],
    )
    world = world.with_(asked=torque, given=torque)
    if run is None:
        return world
    return insert(world, run, run_from).with_(run=road, run_from=run_from)


def _plan(rng, away, seconds, longest, run):
    """Knots of the drive, and the sample from which the computed run has its place in them: moving
    off at `away`, then speeds, bends and stops until the end, the first of them held for
    `longest`."""
    knots = Knots(away)
    if run is not None and run.speed[0] > 0.0:
        knots.go(rng, run.speed[0])
        knots.hold(1.0)
    run_from = int(round(knots.time / CYCLE))
    if run is not None:
        knots.follow(CYCLE * len(run), run.speed[-1])
    while knots.time < seconds:
        if longest:
            knots.go(rng, rng.uniform(45.0, 90.0) * KMH)
            knots.hold(longest)
            longest = 0.0
            continue
        step = rng.choice(("speed", "bend", "stop"), p=(0.45, 0.4, 0.15))
        if step == "speed" or knots.now < 15.0 * KMH:
            knots.go(rng, rng.uniform(20.0, 95.0) * KMH)
            knots.hold(rng.uniform(1.0, 7.0))
        elif step == "bend":
            knots.bend(rng)
        else:
            knots.go(rng, 0.0)
            knots.hold(rng.uniform(1.0, 3.0))
    return knots, run_from


def _bumps(rng, n, count, speed):
    """Strength of the road's bumps 0 to 1; a standing car feels none."""
    bump = np.zeros(n)
    for at in rng.integers(0, n, count):
        length = int(rng.integers(4, 20))
        end = min(n, at + length)
        bump[at:end] = np.maximum(
            bump[at:end],
            rng.uniform(0.3, 1.0) * np.sin(np.linspace(0.0, np.pi, length))[: end - at],
        )
    return bump * (speed > 1.0)


def _steering(car, speed, yaw_rate):
    """Steering wheel angle [rad] of a car that follows its bend; it has to turn a little more the
    faster it goes (invented).
    """
    return (
        STEERING_RATIO
        * car["wheelbase_m"]
        * (1.0 + 0.0015 * speed**2)
        * yaw_rate
        / np.maximum(speed, 1.0)
    )


def insert(world, run, at):
    """The drive with a computed run from sample `at` on.

    After its end the slip dies away, and the driver comes back to the speed of the drive.
    """
    end = min(len(world), at + len(run))
    take, put = slice(0, end - at), slice(at, end)
    arrays = {}
    for field in fields(Run):
        arrays[field.name] = getattr(world, field.name).copy()
        arrays[field.name][put] = getattr(run, field.name)[take]
    radius = catalogue.shipped().vehicles()[world.vehicle]["tyre_radius_m"]
    late = arrays["speed"][end - 1] - world.speed[end - 1]
    slip = arrays["wheel_speed"][end - 1] - world.wheel_speed[end - 1] - late / radius
    after = np.arange(1, len(world) - end + 1)
    back = late * (1.0 - smooth(np.minimum(after / _CATCH_UP, 1.0)))
    arrays["speed"][end:] = np.maximum(arrays["speed"][end:] + back, 0.0)
    fade = np.maximum(1.0 - after / _CALM, 0.0)
    arrays["wheel_speed"][end:] = np.maximum(
        arrays["wheel_speed"][end:] + back[:, None] / radius + fade[:, None] * slip, 0.0
    )
    return world.with_(**arrays)


@lru_cache(maxsize=16)
def in_the_bay(vehicle, wheel=None, turns_per_s=1.0, seconds=10.0, key=ON):
    """The car on the lift, ignition on; one wheel is turned by hand at a steady speed, or none.

    Parameters
    ----------
    wheel : int, 0 to 3 for FL, FR, RL, RR, or None
    """
    n = int(round(seconds / CYCLE))
    wheels = np.zeros((n, 4))
    if wheel is not None:
        wheels[:, wheel] = (
            2.0 * np.pi * turns_per_s * smooth(np.clip(CYCLE * np.arange(n) / 2.0, 0.0, 1.0))
        )
    return still(vehicle, n, key).with_(wheel_speed=wheels, lifted=True)


def still(vehicle, n, key=ON):
    """A World of `n` samples in which nothing moves."""
    catalogue.pick(catalogue.shipped().vehicles(), vehicle, "vehicle")
    zero, no = np.zeros(n), np.zeros(n, bool)
    return World(
        vehicle=vehicle,
        seed=0,
        time=CYCLE * np.arange(n),
        key=np.full(n, key, np.int8),
        speed=zero,
        wheel_speed=np.zeros((n, 4)),
        yaw_rate=zero,
        lateral=zero,
        steer=zero,
        accelerator=zero,
        brake=no,
        pedal_bar=zero,
        control=no,
        antilock=no,
        cutting=no,
        valve=np.full((n, 4), 2, np.int8),
        wheel_bar=np.zeros((n, 4)),
        asked=zero,
        given=zero,
        plate=np.ones(n),
        bump=zero,
        accessory=no,
        switch=no,
    )


def on_rollers(vehicle, kmh=30.0, seconds=20.0):
    """The driven wheels turned on two rollers with the ignition on; the others stand."""
    car = catalogue.pick(catalogue.shipped().vehicles(), vehicle, "vehicle")
    n = int(round(seconds / CYCLE))
    wheels = np.zeros((n, 4))
    turn = (
        kmh
        * KMH
        / car["tyre_radius_m"]
        * smooth(np.clip((CYCLE * np.arange(n) - 5.0) / 5.0, 0.0, 1.0))
    )
    for i in range(4):
        if car["drive"] == "all" or (car["drive"] == "front") == (i < 2):
            wheels[:, i] = turn
    return still(vehicle, n, RUNNING).with_(wheel_speed=wheels)
