"""Compiled and plain text give the same bits; an edit of a kernel is never answered from an old
cache.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from random_scenarios import random_scenario

from tractionlab import simulate
from tractionlab.run import kernels

ROOT = Path(__file__).resolve().parents[1]


@pytest.mark.parametrize("block", range(4))
def test_plain_and_compiled_give_identical_bits(block):
    """200 random scenarios in four blocks, 0.2 s each, from a standing start and at speed."""
    for seed in range(50 * block, 50 * (block + 1)):
        scenario = random_scenario(
            seed,
            duration_s=0.2,
            pedal_from_s=0.0,
            pedal_rise_s=0.05,
            initial_speed_kmh=float(seed % 3) * 15.0,
        )
        plain, compiled = simulate(scenario, plain=True), simulate(scenario)
        assert plain.record.tobytes() == compiled.record.tobytes(), f"seed {seed}"


def test_same_scenario_same_bits():
    scenario = random_scenario(7)
    assert simulate(scenario).record.tobytes() == simulate(scenario).record.tobytes()


@pytest.mark.parametrize("path", kernels.source_files(), ids=lambda path: path.stem)
def test_every_kernel_source_counts_in_the_name_of_the_cache(path, monkeypatch, tmp_path):
    edited = tmp_path / path.name
    edited.write_text(path.read_text() + "\n")
    before = kernels.source_hash()
    files = [edited if file == path else file for file in kernels.source_files()]
    monkeypatch.setattr(kernels, "source_files", lambda: files)
    assert kernels.source_hash() != before


def test_every_module_a_kernel_imports_is_a_kernel():
    """Otherwise its edit would not change the name of the cache."""
    import ast

    known = {f"tractionlab.{name}" for name in kernels.MODULES}
    for path in kernels.source_files():
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.ImportFrom) and node.module.startswith("tractionlab"):
                named = {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
                assert named & known, f"{path.name} imports {node.module}"


def test_an_edit_is_not_answered_from_the_old_cache(tmp_path):
    """A copy of the package fills an accumulator and waits, one constant of a deep kernel is edited
    without changing size or time, and it does so again. The circuit compiles in a tenth of the time
    that the whole car takes.
    """
    copy = tmp_path / "copy"
    shutil.copytree(
        ROOT / "tractionlab",
        copy / "tractionlab",
        ignore=shutil.ignore_patterns("__pycache__", "js"),
    )
    shutil.copytree(ROOT / "data", copy / "data")
    program = (
        "from tractionlab.bench.bench import Bench\n"
        "bench = Bench('A')\nbench.run(1.0)\nprint(bench.state.tobytes().hex())"
    )

    def run():
        environment = {
            **os.environ,
            "PYTHONPATH": str(copy),
            "TRACTIONLAB_CACHE": str(tmp_path / "cache"),
            "PYTHONDONTWRITEBYTECODE": "1",
        }
        return subprocess.run(
            [sys.executable, "-c", program],
            cwd=tmp_path,
            env=environment,
            check=True,
            capture_output=True,
            text=True,
        ).stdout.strip()

    first, again = run(), run()
    assert first == again
    source = copy / "tractionlab" / "physics" / "hydraulics.py"
    stamp = source.stat()
    text = source.read_text()
    edited = text.replace("(1.0 - warmth) * cooling", "(0.9 - warmth) * cooling")
    assert len(edited) == len(text) and edited != text
    source.write_text(edited)
    os.utime(source, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    assert run() != first


def test_a_python_controller_that_does_nothing_equals_control_off():
    from tractionlab import Scenario

    scenario = Scenario(control="off", duration_s=1.0)
    by_hand = simulate(scenario, controller=lambda time, sensors, outputs: None)
    own = simulate(scenario)
    np.testing.assert_array_equal(by_hand.speed, own.speed)
