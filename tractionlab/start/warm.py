"""Compiles the kernels before anybody waits for them."""

from tractionlab.bench.bench import Bench
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate


def warm(progress=print):
    """Compile everything once, saying so; quick when the cache is there."""
    progress("compiling the course's model of the car (once, some seconds)")
    simulate(Scenario(duration_s=0.05))
    Bench("A").run(0.01)
    progress("model ready")
