"""Scenario -> Run, Road, Rows: parameters in SI, the state at the beginning, room for notes."""

import numpy as np

from tractionlab.control import settings as s
from tractionlab.physics import car as c
from tractionlab.physics import circuit as h
from tractionlab.physics.car_motion import wheel_radius
from tractionlab.physics.chassis import wheel_loads
from tractionlab.physics.driveline import add_gearbox
from tractionlab.run import assembly, circuit_assembly, kernels
from tractionlab.run import gear_change as g
from tractionlab.run.driver_assembly import driver_of
from tractionlab.run.record_layout import COLUMNS, FILM_COLUMNS
from tractionlab.run.records import record, records
from tractionlab.run.run import RING, Road, Rows, Run, Work
from tractionlab.run.signal_faults import sensor_plugs, signals_as_told
from tractionlab.units import KMH

_PRESSED_S = 0.8  # how long the foot has been on the pedal of a car that it holds at rest


def run_of(scenario):
    """Run, Road and Rows of a scenario, at its first moment."""
    settings, driver, car = (
        assembly.settings_of(scenario),
        driver_of(scenario),
        assembly.car_of(scenario),
    )
    speed = scenario.initial_speed_kmh * KMH
    cycles = int(round(scenario.duration_s / settings.cycle))
    compliance, shares, surfaces, patches = assembly.road_of(scenario)
    hands = _hands(speed, car, driver)
    soft, pipes = np.zeros((4, 4)), circuit_assembly.plant_of(scenario, settings.cycle)
    add_gearbox(compliance, shares, car.driveline.gear_inertia, hands[g.H_RATIO], soft)
    if speed == 0.0 and driver.brake_from == 0.0 and driver.brake_pressure > 0.0:
        driver = driver._replace(brake_from=-_PRESSED_S)
        _press(pipes, driver.brake_pressure, settings.cycle)
    y = _state(speed, car, compliance, shares, hands)
    y[c.DISC : c.DISC + 4] = scenario.disc_degC
    memory = np.zeros(s.MEMORY)
    memory[s.M_DISC : s.M_DISC + 4] = scenario.disc_degC
    rings = circuit_assembly.rings_of(scenario)
    run = Run(
        cycles=np.int64(cycles),
        steps=np.int64(max(1, round(settings.cycle / scenario.step_s))),
        car=car,
        driver=driver,
        settings=settings,
        signal_steps=circuit_assembly.steps_of(scenario),
        compliance=compliance,
        shares=shares,
        pipes=pipes,
        rings=records(rings),
        channels=sensor_plugs(scenario),
        told=signals_as_told(scenario),
        counters=circuit_assembly.counters_of(speed, car.tyres.radius, rings),
        y=y,
        held=np.zeros(c.INPUTS),
        hands=hands,
        sensors=np.zeros(s.SENSORS),
        memory=memory,
        outputs=np.zeros(s.OUTPUTS),
        sent=np.zeros((RING, s.OUTPUTS)),
        work=Work(*(np.zeros(c.STATES) for _ in range(3)), np.zeros(c.SCRATCH), soft),
    )
    rows = Rows(np.zeros((cycles + 1, COLUMNS)), np.zeros((cycles + 1, FILM_COLUMNS)))
    return record(run), Road(surfaces, patches), rows


def _hands(speed, car, driver):
    """Hands and feet of a driver whose car rolls at a speed [m/s] in the gear for it."""
    hands = np.zeros(g.HANDS)
    gear = driver.gear - 1.0
    if driver.gear == 0.0:
        gear = g.fitting_gear(speed / car.tyres.radius, car.driveline, driver)
    hands[g.H_GEAR] = gear
    hands[g.H_RATIO] = car.driveline.ratios[int(gear)]
    hands[g.H_CLUTCH] = 0.0 if driver.clutch == g.OPEN else 1.0
    hands[g.H_FOOT] = 1.0
    hands[g.H_HOLDS] = 1.0 if driver.hold_torque > 0.0 else 0.0
    return hands


def _state(speed, car, compliance, shares, hands):
    """State of a car that rolls at a speed [m/s], pedals free, discs left out."""
    y = np.zeros(c.STATES)
    y[c.U] = speed
    lean, loads = car.body.gravity * car.body.slope_sin, np.zeros(4)
    wheel_loads(lean, 0.0, car.body, loads)
    wheels = np.array([speed / wheel_radius(load, car.tyres) for load in loads])
    wheels = car.driveline.wheel_inertia * compliance @ wheels  # what is locked turns alike
    y[c.WHEEL : c.WHEEL + 4] = wheels
    shaft = hands[g.H_RATIO] * float(shares @ wheels)
    y[c.ENGINE] = max(car.engine.idle_speed, shaft if hands[g.H_CLUTCH] == 1.0 else 0.0)
    y[c.PLATE] = 1.0
    y[c.FORWARD] = lean
    return y


def _press(pipes, foot, period):
    """Let the foot stand on the pedal [Pa] until nothing moves any more."""
    kernel = kernels.compiled("physics.circuit_cycle")
    pipes.first[h.COMMAND_PEDAL] = pipes.then[h.COMMAND_PEDAL] = foot
    for _ in range(round(_PRESSED_S / period)):
        kernel.run_cycle(period, pipes)
