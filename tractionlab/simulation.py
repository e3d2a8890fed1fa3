"""Scenario -> Trace. Same scenario, same bits. Nothing is drawn or printed here."""
from concurrent.futures import ThreadPoolExecutor
from os import cpu_count

import numpy as np

from tractionlab import assembly, circuit_assembly, kernels
from tractionlab.control import settings as s
from tractionlab.control.unit import all_open
from tractionlab.errors import UserError
from tractionlab.physics import car as c
from tractionlab.physics import circuit as h
from tractionlab.trace import Trace

_PRESSED_S = 0.8     # how long the foot has been on the pedal when a run begins with it down


def simulate(scenario, controller=None, plain=False):
    """Run a scenario.

    Parameters
    ----------
    scenario : Scenario
    controller : callable, optional
        Takes the place of the control unit: called once a cycle as controller(time, sensors, outputs), with arrays laid out as in
        `tractionlab.control.settings`; it changes `outputs`, which arrive with everything open. The car stays compiled.
    plain : bool
        Run the uncompiled text of the kernels: slow, but a debugger can step through it.

    Returns
    -------
    Trace
        One row per cycle of the control unit.
    """
    loop = kernels.plain() if plain else kernels.compiled()
    settings = assembly.settings_of(scenario)
    cycles = int(round(scenario.duration_s / settings.cycle))
    steps = max(1, int(round(settings.cycle / scenario.step_s)))
    start = _start(scenario, settings, loop, cycles)
    if controller is None:
        loop.run(cycles, steps, *start)
    else:
        _run_with(controller, loop, cycles, steps, *start)
    if not np.isfinite(start[6][-1]).all():
        raise UserError(f"this run of {scenario.vehicle!r} cannot be computed: values of the vehicle, of [vehicle_values] or of [settings] lie too far from those of a car. Change them one by one")
    return Trace(scenario, start[6], start[-1] if scenario.circuit else None)


def simulate_many(scenarios, workers=None, progress=None):
    """Run many scenarios side by side; traces come back in the order of the scenarios.

    Parameters
    ----------
    progress : callable, optional
        Called as progress(done, total) after each run.
    """
    scenarios = list(scenarios)
    kernels.compiled()
    traces = []
    with ThreadPoolExecutor(workers or cpu_count() or 1) as pool:
        for trace in pool.map(simulate, scenarios):
            traces.append(trace)
            if progress is not None:
                progress(len(traces), len(scenarios))
    return traces


def _start(scenario, settings, loop, cycles):
    """Arguments of `loop.run` after the counts: state at the beginning, work arrays, parameters."""
    car, driver, road = assembly.car_of(scenario), assembly.driver_of(scenario), assembly.road_of(scenario)
    y = np.zeros(c.STATES)
    speed = scenario.initial_speed_kmh * assembly.KMH
    y[c.U] = speed
    y[c.WHEEL:c.WHEEL + 4] = speed / car.tyres.radius
    y[c.ENGINE] = max(car.engine.idle_speed, car.line.ratio * speed / car.tyres.radius)
    y[c.PLATE] = 1.0
    y[c.FORWARD] = car.body.gravity * car.body.slope_sin
    y[c.DISC:c.DISC + 4] = scenario.disc_degC
    held = np.zeros(c.INPUTS)
    if scenario.brake_from_s == 0.0:
        y[c.PRESSURE:c.PRESSURE + 4] = driver.brake_pressure
    memory = np.zeros(s.MEMORY)
    memory[s.M_DISC:s.M_DISC + 4] = scenario.disc_degC
    sensors, outputs = np.zeros(s.SENSORS), np.zeros(s.OUTPUTS)
    ring = np.zeros((loop.RING, s.OUTPUTS))
    record = np.zeros((cycles + 1, loop.COLUMNS))
    space = tuple(np.zeros(c.STATES) for _ in range(3)) + (np.zeros(c.SCRATCH),)
    pipes = circuit_assembly.plant_of(scenario, settings.cycle)
    if scenario.circuit and scenario.brake_from_s == 0.0 and driver.brake_pressure > 0.0:
        _press(pipes, driver.brake_pressure, settings.cycle)
        y[c.PRESSURE:c.PRESSURE + 4] = pipes.pressures[h.WHEEL:h.WHEEL + 4]
    rings = circuit_assembly.rings_of(scenario)
    plant = pipes, rings, circuit_assembly.counters_of(speed, car.tyres.radius, rings), circuit_assembly.steps_of(scenario)
    film = np.zeros((cycles + 1 if scenario.circuit else 1, loop.FILM_COLUMNS))
    return y, held, memory, sensors, outputs, ring, record, car, driver, settings, road, space, plant, film


def _press(pipes, foot, period):
    """Let the foot stand on the pedal [Pa] until nothing moves any more."""
    kernel = kernels.compiled("physics.circuit_cycle")
    pipes.first[h.PEDAL] = pipes.then[h.PEDAL] = foot
    for _ in range(round(_PRESSED_S / period)):
        kernel.run_cycle(period, pipes)


def _run_with(controller, loop, cycles, steps, y, held, memory, sensors, outputs, ring, record, car, driver, settings, road, space, plant, film):
    """The loop of `loop.run`, with a Python controller in the place of the control unit."""
    period, pipes = settings.cycle, plant[0]
    for k in range(cycles + 1):
        t = k * period
        loop.drive_and_sense(t, y, held, sensors, driver, car, road, space, period, plant, settings)
        all_open(outputs)
        controller(t, sensors, outputs)
        loop.obey(k, outputs, ring, held, settings, sensors, pipes)
        loop.note(t, y, held, outputs, car, road[2], space[3], record[k])
        if pipes.on == 1.0:
            loop.note_state(pipes, sensors, film[k])
        if k < cycles:
            loop.advance(t, steps, period / steps, y, held, car, road, space, plant)
        if pipes.on == 1.0:
            loop.note_action(pipes, film[k])
