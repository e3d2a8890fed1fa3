"""Scenario -> Trace. Same scenario, same bits. Nothing is drawn or printed here."""

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from os import cpu_count
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tractionlab.control.unit import all_open
from tractionlab.errors import UserError
from tractionlab.run import kernels
from tractionlab.run.assembly import settings_of
from tractionlab.run.make_run import run_of
from tractionlab.run.records import opened, record
from tractionlab.run.scenario import Scenario
from tractionlab.run.trace import Trace

#: Takes the place of the control unit: called as controller(time, sensors, outputs).
Controller = Callable[[float, NDArray[np.float64], NDArray[np.float64]], None]


def simulate(
    scenario: Scenario, controller: Controller | None = None, plain: bool = False
) -> Trace:
    """Run a scenario.

    Parameters
    ----------
    scenario : Scenario
    controller : callable, optional
        Takes the place of the control unit: called once a cycle as controller(time, sensors,
        outputs), with arrays laid out as in `tractionlab.control.settings`; it changes `outputs`,
        which arrive with everything open. The car stays compiled.
    plain : bool
        Run the uncompiled text of the kernels: slow, but a debugger can step through it.

    Returns
    -------
    Trace
        One row per cycle of the control unit. A run in which the car turns by more than half a
        turn ends there, and `ended` says so.
    """
    loop = kernels.plain() if plain else kernels.compiled()
    run, road, rows = run_of(scenario)
    run = opened(run) if plain else run
    if controller is None:
        for first, after, settings in _stretches(scenario, run):
            run.settings = settings
            loop.go(run, road, rows, first, after)
    else:
        for k in range(run.cycles + 1):
            loop.begin_cycle(k, run, road)
            all_open(run.outputs)
            controller(k * run.settings.cycle, run.sensors, run.outputs)
            loop.end_cycle(k, run, road, rows)
    if not np.isfinite(rows.record[-1]).all():
        raise UserError(
            f"this run of {scenario.vehicle!r} cannot be computed: values of the vehicle, of"
            " [vehicle_values] or of [settings] lie too far from those of a car. Change them one"
            " by one"
        )
    trace = Trace(scenario, rows.record, rows.film)
    turned = np.flatnonzero(np.abs(trace.yaw) > np.pi)
    if not len(turned):
        return trace
    trace = trace.until(int(turned[0]) + 1)
    trace.ended = (
        f"After {trace.time[-1]:.1f} s the car has turned by more than half a turn: the run ends"
        " there."
    )
    return trace


def _stretches(scenario: Scenario, run: Any) -> Iterable[tuple[int, int, Any]]:
    """(first cycle, the one after its last, settings) of each stretch of a run between two times at
    which the self-diagnosis takes something away or gives it back.
    """
    starts, left = [0], [run.settings]
    for time, gone in sorted(map(tuple, scenario.taken_away)):
        starts.append(min(run.cycles + 1, round(time / run.settings.cycle)))
        left.append(record(settings_of(scenario, gone)))
    return zip(starts, (*starts[1:], run.cycles + 1), left)


def simulate_many(
    scenarios: Iterable[Scenario],
    workers: int | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> list[Trace]:
    """Run many scenarios side by side; traces come back in the order of the scenarios.

    What holds for the caller, such as `shipped_only`, holds for each run.

    Parameters
    ----------
    progress : callable, optional
        Called as progress(done, total) after each run.
    """
    scenarios = list(scenarios)
    if len(scenarios) == 1 and progress is None:
        return [simulate(scenarios[0])]
    kernels.compiled()
    traces = []
    with ThreadPoolExecutor(workers or cpu_count() or 1) as pool:
        contexts = [copy_context() for _ in scenarios]
        for trace in pool.map(lambda context, s: context.run(simulate, s), contexts, scenarios):
            traces.append(trace)
            if progress is not None:
                progress(len(traces), len(scenarios))
    return traces
