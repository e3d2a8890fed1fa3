"""What the benchmark of the kernels compares gives the same result on both sides: else its ratios
would mean nothing.
"""

import importlib.util
import shutil
from pathlib import Path

import numpy as np
import pytest

from tractionlab import Scenario

pytest.importorskip("scipy", reason="scipy is not installed: nothing to compare the time loop with")


@pytest.fixture(scope="module")
def kernel():
    path = Path(__file__).parent / "benchmarks" / "kernel.py"
    spec = importlib.util.spec_from_file_location("benchmark_kernel", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.skipif(
    shutil.which("gcc") is None, reason="no gcc: wheel and tyre cannot be compared with C"
)
@pytest.mark.parametrize("curve", ["ice:burckhardt", "packed_snow:magic_formula"])
def test_wheel_with_tyre_gives_the_bits_of_c(kernel, tmp_path, curve):
    exact, fast, ours = (
        kernel.wheel_in_c(tmp_path, "-ffp-contract=off"),
        kernel.wheel_in_c(tmp_path),
        kernel.compiled_wheel(),
    )
    surface, values, start = kernel.wheel_inputs(curve)
    states = []
    for function in (ours, exact, fast):
        state = start.copy()
        function(5000, 1e-3, surface, values, state)
        states.append(state)
    assert np.isfinite(states[0]).all() and states[0][0] != start[0]
    assert states[0].tobytes() == states[1].tobytes()
    np.testing.assert_allclose(states[2], states[0], rtol=1e-9)


def test_time_loop_agrees_with_a_solver_restarted_at_each_cycle(kernel):
    """Outside reference: scipy.integrate.solve_ivp (Dormand-Prince 8(5,3)) at a relative tolerance
    of 1e-8, 0.4 s of a launch on snow.

    The loop with 0.05 ms steps, the benchmark's reference, lies within 1e-5 of it; with its own 1
    ms within 1e-2 of the size of the entry."""
    scenario = Scenario(
        left="packed_snow",
        duration_s=0.4,
        pedal_from_s=0.0,
        control="off",
        hand_brake_bar=(0, 0, 20, 0),
    )
    outside = kernel.end_by_solver(scenario, "DOP853", 1e-8)
    size = np.abs(outside) + kernel.SIZE
    assert (np.abs(kernel.end_by_kernel(scenario, 200) - outside) / size).max() < 1e-5
    assert (np.abs(kernel.end_by_kernel(scenario, 10) - outside) / size).max() < 1e-2
