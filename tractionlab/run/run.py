"""All that the time loop needs for one run."""

from typing import NamedTuple

import numpy as np

from tractionlab.control.settings import Settings
from tractionlab.physics.car import Car
from tractionlab.physics.circuit_cycle import Plant
from tractionlab.run.driver import Driver
from tractionlab.run.sensing import Steps

#: How many cycles the requests of the control unit are kept: the longest delay of an actuator.
RING = 64


class Road(NamedTuple):
    """What the ground is to the car.

    surfaces (n, 8) : rows of `tyre.adhesion`; patches (m, 7) : rows of `road.surfaces_under`
    """

    surfaces: np.ndarray
    patches: np.ndarray


class Rows(NamedTuple):
    """What is written down of a run.

    record (cycles + 1, COLUMNS); film (cycles + 1, FILM_COLUMNS) : of the circuit
    """

    record: np.ndarray
    film: np.ndarray


class Work(NamedTuple):
    """Scratch of the Runge-Kutta steps: trial state, rates, their sum (STATES,), what the
    derivative finds besides (SCRATCH,), and the compliance with the gear that is in (4, 4).
    """

    trial: np.ndarray
    rates: np.ndarray
    total: np.ndarray
    found: np.ndarray
    soft: np.ndarray


class Run(NamedTuple):
    """All that one run needs besides Road and Rows, as one record, see `records`; the arrays in it
    are changed in place.

    cycles, steps : cycles of the control unit, Runge-Kutta steps in each
    car : Car; driver : Driver; settings : Settings; signal_steps : Steps
    compliance (4, 4) [1/(kg m^2)], without gearbox, shares (4,) [-] : from `driveline.compliance`
        and `driveline.torque_shares`
    pipes : Plant; rings (4,) : records of WheelSensor; counters (COUNTERS, 4) : of their teeth;
        channels (4,) : which of them each channel of the control unit reads; told (SENSORS, 2) : it
        reads gain x signal + offset
    y (STATES,) : state of the car; held (INPUTS,) : what acts on it in a step; hands (HANDS,) :
        what the driver's hands and feet do, see `gear_change`
    sensors (SENSORS,), memory (MEMORY,), outputs (OUTPUTS,) : of the control unit; sent (RING,
    OUTPUTS) : its last requests
    """

    cycles: int
    steps: int
    car: Car
    driver: Driver
    settings: Settings
    signal_steps: Steps
    compliance: np.ndarray
    shares: np.ndarray
    pipes: Plant
    rings: np.ndarray
    channels: np.ndarray
    told: np.ndarray
    counters: np.ndarray
    y: np.ndarray
    held: np.ndarray
    hands: np.ndarray
    sensors: np.ndarray
    memory: np.ndarray
    outputs: np.ndarray
    sent: np.ndarray
    work: Work
