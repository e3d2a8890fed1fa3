"""Computed runs with control at work, as pieces of a drive: starts and stops on slippery ground,
with all of the control or what is left of it.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tractionlab.catalogue.entries import shipped_only
from tractionlab.control import settings as s
from tractionlab.control.paths import choose_paths
from tractionlab.control.phases import DRAG, DRIVER
from tractionlab.control.unit import cycle
from tractionlab.diagnosis.reduced import ALL_WORKS
from tractionlab.physics.brake import FOLLOW_PEDAL
from tractionlab.run.assembly import car_of, road_of, settings_of
from tractionlab.run.scenario import Patch, Scenario
from tractionlab.run.simulation import simulate
from tractionlab.units import BAR

STEERING_RATIO = 16.0  #: steering wheel over road wheel; invented
CYCLE = 0.01  #: s between samples
SOUND_PADS = (1.0, 1.0, 1.0, 1.0)

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


def scenario_of(vehicle, road, changes=(), pads=SOUND_PADS):
    """Scenario of a vehicle on one of ROADS; `changes`: pairs (value of data/vehicles.toml,
    number); `pads`: friction of each wheel's pads as a share.
    What faulty hydraulics and sensors do to the drive comes from the workshop's own bench and
    wiring, see `felt`.
    """
    return Scenario(
        vehicle=vehicle,
        vehicle_values=dict(changes),
        pad_friction=pads,
        **{**(_START if road in STARTS else _STOP), **ROADS[road]},
    )


@lru_cache(maxsize=256)
@shipped_only()
def computed(
    vehicle, road, changes=(), left=(), hindered=(), excess=0.0, reads=(), pads=SOUND_PADS
):
    """Run of a vehicle on one of ROADS.

    Parameters
    ----------
    changes, pads : see `scenario_of`
    left : triples (torque, brake, antilock) of bool with the sample from which on they hold, as
        pairs (sample, triple): what is left of the control
    hindered : triples (wheel, s of building up until pressure comes, True if it can be let out) of
        brakes that do not do what traction control asks
    excess : float, torque that the engine gives above what control asks for [N m]
    reads : for each channel of wheel speed (wheel that it reads, what it shows over the true speed,
        speed [m/s] under which it shows none); empty: all
        read as they should
    """
    scenario = scenario_of(vehicle, road, changes, pads)
    unit = _Unit(scenario, left, hindered, excess, reads)
    trace = simulate(scenario, unit)
    valves, cutting, antilock = np.array(unit.valves), np.array(unit.cutting), trace.antilock > 0.0
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
        brake=trace.circuit.seen[:, s.SENSE_BRAKE_SWITCH] == 1.0,
        pedal_bar=trace.pedal_pressure / BAR,
        control=(trace.lamp > 0.0) & ~antilock,
        antilock=antilock,
        cutting=cutting,
        valve=mode.astype(np.int8),
        wheel_bar=trace.pressure / BAR,
        asked=np.where(cutting, trace.torque_request, trace.engine_torque),
        given=trace.engine_torque,
        plate=np.where(cutting, trace.throttle, 1.0),
    )


class _Unit:
    """The control unit of a run, from which parts of the control are taken while it drives, between
    wheel speeds that it reads wrongly and valves and an engine that do not do what it asks."""

    def __init__(self, scenario, left, hindered, excess, reads):
        car, self.settings = car_of(scenario), settings_of(scenario)
        self.engine, self.brakes, self.shares = (
            car.engine,
            car.brakes,
            road_of(scenario)[1].tolist(),
        )
        self.left, self.hindered, self.excess, self.reads = dict(left), hindered, excess, reads
        self.works, self.valves, self.cutting, self.built = ALL_WORKS, [], [], [0.0] * 4
        self.memory = [0.0] * s.MEMORY
        self.memory[s.M_DISC : s.M_DISC + 4] = scenario.disc_degC

    def __call__(self, time, sensors, outputs):
        self.works = self.left.get(len(self.cutting), self.works)
        torque, brake, antilock = self.works
        settings = self.settings._replace(
            torque_on=float(torque), brake_on=float(brake), antilock_on=float(antilock)
        )
        seen, wanted = sensors.tolist(), outputs.tolist()
        for channel, (wheel, share, least) in enumerate(self.reads):
            true = float(sensors[s.SENSE_WHEELS + wheel])
            seen[s.SENSE_WHEELS + channel] = share * true if true >= least else 0.0
        cycle(seen, self.memory, wanted, self.shares, self.engine, self.brakes, settings)
        self.cutting.append(DRIVER < self.memory[s.M_TORQUE_PHASE] < DRAG)
        self.valves.append(wanted[s.ASK_VALVES : s.ASK_VALVES + 4])
        if self.excess and self.cutting[-1]:
            choose_paths(
                wanted[s.ASK_TORQUE] + self.excess,
                self.memory[s.M_ROAD_TORQUE] + self.excess,
                seen,
                self.memory,
                self.engine,
                wanted,
                settings,
            )
        outputs[:] = wanted
        if sensors[s.SENSE_BRAKE_SWITCH] == 0.0:
            for wheel, late, lets_out in self.hindered:
                valve = wanted[s.ASK_VALVES + wheel]
                if valve == FOLLOW_PEDAL:
                    self.built[wheel] = 0.0
                elif valve > 0.0 and self.built[wheel] < late:
                    self.built[wheel] += valve * self.settings.cycle
                    outputs[s.ASK_VALVES + wheel] = 0.0
                elif valve < 0.0 and not lets_out:
                    outputs[s.ASK_VALVES + wheel] = 0.0
