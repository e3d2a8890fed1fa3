"""Computed runs with control at work, as pieces of a drive: starts and stops on slippery ground,
with all of the control or what is left of it.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tractionlab.catalogue.entries import shipped_only
from tractionlab.control.phases import BUILD_UP, CUT, EASE, HELD, KEEP, LET_GO, RETURN
from tractionlab.diagnosis.reduced import PARTS
from tractionlab.physics import circuit as h
from tractionlab.physics.brake import FOLLOW_PEDAL
from tractionlab.run.scenario import Scenario
from tractionlab.run.scenario_fields import Patch
from tractionlab.run.simulation import simulate
from tractionlab.units import BAR

STEERING_RATIO = 16.0  #: steering wheel over road wheel; invented
CYCLE = 0.01  #: s between samples
_CUTTING, _PRESSING = (CUT, HELD, RETURN), (BUILD_UP, KEEP, EASE, LET_GO)

#: What the roads differ in, as fields of a Scenario: first starts from standstill, then stops.
ROADS = (
    {"left": "packed_snow", "pedal_percent": 50.0},
    {"left": "packed_snow", "pedal_percent": 90.0},
    {"left": "ice", "right": "wet_asphalt", "pedal_percent": 70.0},
    {"left": "wet_asphalt", "right": "ice", "pedal_percent": 60.0},
    {"left": "ice", "pedal_percent": 40.0},
    {"left": "wet_asphalt", "pedal_percent": 80.0, "patches": (Patch(surface="ice", x_from=6.0),)},
    {"left": "ice", "initial_speed_kmh": 20.0, "brake_bar": 40.0},
    {"left": "packed_snow", "initial_speed_kmh": 50.0, "brake_bar": 70.0},
    {"left": "wet_asphalt", "right": "ice", "initial_speed_kmh": 40.0, "brake_bar": 50.0},
    {
        "left": "wet_asphalt",
        "initial_speed_kmh": 30.0,
        "brake_bar": 60.0,
        "patches": (Patch(surface="ice", x_from=6.0),),
    },
)
STARTS, STOPS = range(6), range(6, len(ROADS))  #: their places in ROADS
_START, _STOP = (
    {"duration_s": 6.0},
    {
        "duration_s": 11.0,
        "pedal_percent": 0.0,
        "brake_from_s": 0.3,
        "brake_until_s": 20.0,
    },
)


@dataclass(frozen=True, kw_only=True, eq=False)
class Run:
    """How a car goes, arrays over time of shape (n,) or (n, 4) in wheel order FL, FR, RL, RR.

    speed [m/s]; wheel_speed [rad/s] of wheels with sound tyres; yaw_rate [rad/s], left positive;
    lateral [m/s^2], left positive; steer [rad] at the steering wheel; accelerator 0 to 1; brake:
    bool; pedal_bar [bar]; control, antilock, cutting: bool, traction control, anti-lock, and of the
    former the torque reduction are at work; valve: what the unit asks for, 1 building, 0 holding,
    -1 letting out, 2 left alone; wheel_bar [bar]; asked, given [N m]: torque that control asks for,
    and the torque there is; plate: of the second throttle, 1 open."""

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
    cutting: np.ndarray
    valve: np.ndarray
    wheel_bar: np.ndarray
    asked: np.ndarray
    given: np.ndarray
    plate: np.ndarray

    def __len__(self):
        return len(self.speed)


def scenario_of(vehicle, road, car=None, left=()):
    """Scenario of a vehicle on one of ROADS.

    Parameters
    ----------
    car : AsDriven of a faulty car, or None for a sound one
    left : pairs (sample of the run, (torque, brake, antilock) that work from there on)
    """
    taken = [
        (CYCLE * sample, [part for part, works in zip(PARTS, left_over) if not works])
        for sample, left_over in left
    ]
    return Scenario(
        vehicle=vehicle,
        taken_away=taken,
        **(car.fields() if car else {}),
        **{**(_START if road in STARTS else _STOP), **ROADS[road]},
    )


@lru_cache(maxsize=512)
@shipped_only()
def computed(vehicle, road, car=None, left=()):
    """Run of a vehicle on one of ROADS, as `scenario_of` has it; a car that turns round stands
    still after that.
    """
    scenario = scenario_of(vehicle, road, car, left)
    trace = simulate(scenario)
    cutting, antilock = np.isin(trace.torque_phase, _CUTTING), trace.antilock > 0.0
    braking = np.any(np.isin(trace.phase, _PRESSING), axis=1)
    valves = trace.valve_mode
    mode = np.where(
        valves == FOLLOW_PEDAL, 2.0, np.sign(np.where(np.abs(valves) < 0.02, 0.0, valves))
    )
    return Run(
        speed=np.maximum(trace.speed, 0.0),
        wheel_speed=np.abs(trace.wheel_speed),
        yaw_rate=trace.yaw_rate,
        lateral=trace.speed * trace.yaw_rate,
        steer=STEERING_RATIO * trace.steer,
        accelerator=trace.pedal,
        brake=trace.circuit.command[:, h.COMMAND_PEDAL] > 0.0,
        pedal_bar=trace.pedal_pressure / BAR,
        control=cutting | braking,
        antilock=antilock,
        cutting=cutting,
        valve=mode.astype(np.int8),
        wheel_bar=trace.pressure / BAR,
        asked=np.where(cutting, trace.torque_request, trace.engine_torque),
        given=trace.engine_torque,
        plate=np.where(cutting, trace.throttle_order, 1.0),
    )
