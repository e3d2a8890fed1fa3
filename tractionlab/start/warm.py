"""Compiles the kernels before anybody waits for them: car and control unit side by side."""

import gc
import subprocess
import sys
from contextlib import contextmanager

from tractionlab.bench.bench import Bench
from tractionlab.run import kernels
from tractionlab.run.make_run import run_of
from tractionlab.run.scenario import Scenario

_SHORT = Scenario(duration_s=0.05)


def warm(progress=print):
    """Compile everything once, saying so; quick when the cache is there."""
    progress("compiling the course's model of the car (once, some seconds)")
    code = "from tractionlab.start.warm import warm_unit; warm_unit()"
    beside = subprocess.Popen([sys.executable, "-c", code])
    loop, (run, road, rows) = kernels.compiled(), run_of(_SHORT)
    with _no_collection():
        torque, drag = kernels.compiled("control.torque"), kernels.compiled("control.drag")
        for phase in (torque.reduce_torque, drag.lift_drag):
            phase(0.0, run.sensors, run.memory, run.shares, run.car.engine, run.settings)
        loop.begin_cycle(0, run, road)
        loop.end_cycle(0, run, road, rows)
        Bench("A").run(0.01)
        beside.wait()
        loop.go(run, road, rows, 0, run.cycles + 1)
    progress("model ready")


def warm_unit():
    """Compile circuit and control unit alone, into the cache from which the time loop takes them.

    The unit's torque phases come from the other process, which has time for them. What fails here
    or there is compiled by the one that needs it."""
    run, _, _ = run_of(_SHORT)
    with _no_collection():
        kernels.compiled("physics.circuit_cycle").run_cycle(run.settings.cycle, run.pipes)
        kernels.compiled("control.unit").cycle(
            run.sensors,
            run.memory,
            run.outputs,
            run.shares,
            run.car.engine,
            run.car.brakes,
            run.settings,
        )


@contextmanager
def _no_collection():
    """Compiling makes millions of small objects that stay: looking for waste among them takes a
    tenth of the time.
    """
    before = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if before:
            gc.enable()
