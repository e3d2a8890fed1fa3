"""Scenario -> Run: parameters in SI, the state at the beginning, room for what will be noted."""

import numpy as np

from tractionlab.control import settings as s
from tractionlab.physics import car as c
from tractionlab.physics import circuit as h
from tractionlab.physics.car import Car
from tractionlab.physics.car_motion import wheel_radius
from tractionlab.physics.chassis import wheel_loads
from tractionlab.run import assembly, circuit_assembly, kernels
from tractionlab.run.record_layout import COLUMNS, FILM_COLUMNS
from tractionlab.run.records import record, records
from tractionlab.run.run import RING, Road, Run, Work
from tractionlab.units import KMH

_PRESSED_S = 0.8  # how long the foot has been on the pedal when a run begins with it down


def run_of(scenario):
    """The Run of a scenario, at its first moment."""
    settings, driver, car = (
        assembly.settings_of(scenario),
        assembly.driver_of(scenario),
        assembly.car_of(scenario),
    )
    speed = scenario.initial_speed_kmh * KMH
    cycles = int(round(scenario.duration_s / settings.cycle))
    road = Road(*assembly.road_of(scenario))
    pipes = circuit_assembly.plant_of(scenario, settings.cycle)
    if scenario.brake_from_s == 0.0 and driver.brake_pressure > 0.0:
        _press(pipes, driver.brake_pressure, settings.cycle)
    memory = np.zeros(s.MEMORY)
    memory[s.M_DISC : s.M_DISC + 4] = scenario.disc_degC
    rings = circuit_assembly.rings_of(scenario)
    return Run(
        cycles=cycles,
        steps=max(1, int(round(settings.cycle / scenario.step_s))),
        car=Car(*map(record, car)),
        driver=record(driver),
        settings=record(settings),
        signal_steps=record(circuit_assembly.steps_of(scenario)),
        road=road,
        pipes=pipes,
        rings=records(rings),
        counters=circuit_assembly.counters_of(speed, car.tyres.radius, rings),
        y=_state(scenario, speed, car, road.shares),
        held=np.zeros(c.INPUTS),
        sensors=np.zeros(s.SENSORS),
        memory=memory,
        outputs=np.zeros(s.OUTPUTS),
        sent=np.zeros((RING, s.OUTPUTS)),
        record=np.zeros((cycles + 1, COLUMNS)),
        film=np.zeros((cycles + 1, FILM_COLUMNS)),
        work=Work(*(np.zeros(c.STATES) for _ in range(3)), np.zeros(c.SCRATCH)),
    )


def _state(scenario, speed, car, shares):
    """State of a car that rolls at a speed [m/s], pedals free."""
    y = np.zeros(c.STATES)
    y[c.U] = speed
    lean, loads = car.body.gravity * car.body.slope_sin, np.zeros(4)
    wheel_loads(lean, 0.0, car.body, loads)
    wheels = np.array([speed / wheel_radius(load, car.tyres) for load in loads])
    y[c.WHEEL : c.WHEEL + 4] = wheels
    y[c.ENGINE] = max(car.engine.idle_speed, car.driveline.ratio * float(shares @ wheels))
    y[c.PLATE] = 1.0
    y[c.FORWARD] = lean
    y[c.DISC : c.DISC + 4] = scenario.disc_degC
    return y


def _press(pipes, foot, period):
    """Let the foot stand on the pedal [Pa] until nothing moves any more."""
    kernel = kernels.compiled("physics.circuit_cycle")
    pipes.first[h.COMMAND_PEDAL] = pipes.then[h.COMMAND_PEDAL] = foot
    for _ in range(round(_PRESSED_S / period)):
        kernel.run_cycle(period, pipes)
