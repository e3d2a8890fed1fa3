"""Pieces that random drives are made of: speeds and bends from knot to knot, wheel speeds of a rolling car, computed runs with control at work."""
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tractionlab.control.brake_action import PEDAL
from tractionlab.hydraulic_parts import BAR

STEERING_RATIO = 16.0     # steering wheel over road wheel; invented
CYCLE = 0.01
_SIDE_MOST = 3.5          # m/s^2 in a bend; invented
_RUN_SECONDS = 6.0


def smooth(share):
    """From 0 to 1 with level ends."""
    return share * share * (3.0 - 2.0 * share)


class Knots:
    """Speed and path curvature of a drive, written down knot by knot; between two knots they change smoothly."""

    def __init__(self, away):
        self.points = [(0.0, 0.0, 0.0), (away, 0.0, 0.0)]     # time [s], speed [m/s], curvature [1/m]

    @property
    def time(self):
        return self.points[-1][0]

    @property
    def now(self):
        return self.points[-1][1]

    def follow(self, seconds, speed):
        """Leave room for a computed run that ends at `speed`."""
        self.points.append((self.time + seconds, speed, 0.0))

    def go(self, rng, speed):
        """Change to `speed` at a pace of everyday driving."""
        pace = rng.uniform(0.8, 2.2) if speed > self.now else rng.uniform(1.0, 3.0)
        self.points.append((self.time + max(0.8, 1.5 * abs(speed - self.now) / pace), speed, 0.0))

    def hold(self, seconds):
        self.points.append((self.time + seconds, self.now, 0.0))

    def bend(self, rng):
        """A bend to either side: in, round, out."""
        tightest = min(0.08, _SIDE_MOST / max(self.now, 3.0) ** 2)
        curve = rng.uniform(0.3, 1.0) * tightest * rng.choice((-1.0, 1.0))
        seconds = rng.uniform(1.5, 4.0)
        self.points += [(self.time + 1.5, self.now, curve), (self.time + 1.5 + seconds, self.now, curve), (self.time + 3.0 + seconds, self.now, 0.0)]

    def speed(self, time):
        return self._between(time, 1)

    def yaw_rate(self, time):
        return self._between(time, 1) * self._between(time, 2)

    def _between(self, time, column):
        at = np.array([point[0] for point in self.points])
        value = np.array([point[column] for point in self.points])
        k = np.clip(np.searchsorted(at, time, side="right") - 1, 0, len(at) - 2)
        return value[k] + (value[k + 1] - value[k]) * smooth(np.clip((time - at[k]) / (at[k + 1] - at[k]), 0.0, 1.0))


def wheel_speeds(rng, car, speed, yaw_rate, acceleration, bump):
    """Wheel speeds [rad/s], (n, 4), of a car that rolls without control at work.

    In a bend the outer wheels go further, and the front ones further than the rear ones. Driven wheels turn a little faster under drive:
    0.3 % for each m/s^2, the slope of the measured wheel speeds in data/measured. Tyres differ by up to 0.4 % (invented).
    """
    turn = 0.5 * car["track_m"] * yaw_rate
    forward = np.hypot(speed, car["wheelbase_m"] * yaw_rate)
    driven = 0.003 * np.maximum(acceleration, 0.0)
    coarse = rng.standard_normal((4, len(speed) // 5 + 2))
    rough = np.repeat(coarse, 5, axis=1)[:, :len(speed)] * (0.0006 + 0.006 * bump)
    tyre = rng.uniform(-0.004, 0.004, 4)
    wheels = np.empty((len(speed), 4))
    for i in range(4):
        own = forward if i < 2 else speed
        drives = car["drive"] == "all" or (car["drive"] == "front") == (i < 2)
        path = own + (-turn if i % 2 == 0 else turn)
        wheels[:, i] = np.maximum(path, 0.0) * (1.0 + tyre[i] + (driven if drives else 0.0) + rough[i]) / car["tyre_radius_m"]
    return wheels


@dataclass(frozen=True, kw_only=True, eq=False)
class Run:
    """A computed run as arrays of a World, from standstill."""

    speed: np.ndarray
    wheel_speed: np.ndarray
    yaw_rate: np.ndarray
    lateral: np.ndarray
    steer: np.ndarray
    accelerator: np.ndarray
    brake: np.ndarray
    pedal_bar: np.ndarray
    control: np.ndarray
    antilock: np.ndarray
    valve: np.ndarray
    wheel_bar: np.ndarray
    asked: np.ndarray
    given: np.ndarray
    plate: np.ndarray

    @property
    def seconds(self):
        return CYCLE * len(self.speed)


#: Surface left, surface right (empty: the same), pedal [%], where ice begins on both sides [m] of each run.
ROADS = (("packed_snow", "", 50.0, None), ("packed_snow", "", 90.0, None), ("ice", "wet_asphalt", 70.0, None), ("wet_asphalt", "ice", 60.0, None),
         ("ice", "", 40.0, None), ("wet_asphalt", "", 80.0, 6.0))


@lru_cache(maxsize=16)
def control_runs(vehicle, *changes):
    """Runs of this car from standstill on slippery ground, computed once; `changes`: pairs (value of data/vehicles.toml, number)."""
    from tractionlab.scenario import Patch, Scenario
    from tractionlab.simulation import simulate_many

    starts = [Scenario(vehicle=vehicle, left=left, right=right, pedal_percent=pedal, duration_s=_RUN_SECONDS, vehicle_values=dict(changes),
                       patches=() if ice is None else (Patch(surface="ice", x_from=ice),)) for left, right, pedal, ice in ROADS]
    return tuple(control_run(trace) for trace in simulate_many(starts))


def control_run(trace):
    """The arrays of a Trace that a World needs.

    Valve mode: 2 where the wheel's valves are left alone, else 1, 0 or -1 for building up, holding and letting out in that sample.
    """
    mode = np.where(trace.valve_mode == PEDAL, 2.0, np.sign(np.where(np.abs(trace.valve_mode) < 0.02, 0.0, trace.valve_mode)))
    antilock = trace.antilock > 0.0
    control = (trace.lamp > 0.0) & ~antilock
    return Run(
        speed=np.maximum(trace.speed, 0.0), wheel_speed=np.abs(trace.wheel_speed), yaw_rate=trace.yaw_rate, lateral=trace.speed * trace.yaw_rate,
        steer=STEERING_RATIO * trace.steer, accelerator=trace.pedal, brake=trace.pedal_pressure > 0.0, pedal_bar=trace.pedal_pressure / BAR, control=control,
        antilock=antilock, valve=mode.astype(np.int8), wheel_bar=trace.pressure / BAR, asked=np.where(control, trace.torque_request, trace.engine_torque),
        given=trace.engine_torque, plate=np.where(control, trace.throttle, 1.0))
