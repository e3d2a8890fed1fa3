"""Clicks of a repair case: milliseconds from the click's message to the bench's answer, from the
first click in a fresh process on, and memory.

    python tests/benchmarks/case.py                          three cases, all clicks of a whole
    case, ten in a second: faster than any hand
    python tests/benchmarks/case.py --fault NAME --vehicle CAR

Run it with nothing else on the machine, and twice: the first time the course may have to compile
its models. Should be: every click under 100 ms. What the browser adds is measured by hand: about as
much as for a slider, see slider.py."""

import argparse
import asyncio
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from pathlib import Path

PAUSE = 0.1  # s between two clicks
ROOT = Path(__file__).resolve().parents[2]
CASES = (
    ("passive-sensor-open-circuit", "rear_petrol"),
    ("isolating-valve-seat-leak", "front_petrol"),
    ("yaw-sensor-loose", "front_electric"),
)


def memory_mb():
    """Most memory of this process so far [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def line(words, found):
    """One row: number of clicks, middle one, 95 of 100, worst [ms]."""
    found = sorted(found)
    return (
        f"{words:28} {len(found):3d}   {found[len(found) // 2]:6.1f} "
        f" {found[int(0.95 * (len(found) - 1))]:6.1f}  {found[-1]:6.1f}"
    )


async def whole_case(fault, vehicle):
    """Click through a whole case while the suspects are still being worked out."""
    begin = time.perf_counter()
    from tractionlab.panels.case import repair_case
    from tractionlab.workshop.tests.base import preparations, tests

    loaded = time.perf_counter()
    bench = repair_case(fault, vehicle)
    there = time.perf_counter()
    took = defaultdict(list)

    async def click(name, **values):
        start = time.perf_counter()
        bench.command(name, **values)
        json.dumps(bench.face)
        took[name].append(1e3 * (time.perf_counter() - start))
        await asyncio.sleep(PAUSE)

    ready, entry = list(preparations()), bench.case.fault
    await click("cautions")
    for test in tests():
        await click("test", test=test, prepared=ready)
    await click("hint")
    for group, red, black in (
        ("wheel_sensors", "unit.sensor_fl", "unit.ground"),
        ("supply", "battery.plus", "body"),
    ):
        await click("measure_at", group=group)
        bench.measuring.set(probes={**bench.measuring.values["probes"], "R": red, "B": black})
        await click("reading")
        await click("back")
    await click("note", text="4.99 V at pin 31")
    await click("repair", place=entry.place, kind=entry.kind, why=entry.why)
    for test in ("T04", "T10", "T28"):
        await click("test", test=test, prepared=ready, condition=entry.symptoms[0])
    await click("clear")
    await click("finish")
    while bench.result is None:
        await asyncio.sleep(0.02)
    print(
        f"{fault}, {vehicle}: loaded in {1e3 * (loaded - begin):.0f} ms, bench there after"
        f" {1e3 * (there - loaded):.0f} ms, suspects and points {time.perf_counter() - there:.1f} s"
        f" later; {memory_mb():.0f} MB"
    )
    print(f"{'click':28} {'':3}   {'middle':>6}  {'95 %':>6}  {'worst':>6}   [ms]")
    for name, found in took.items():
        print(line(name, found))
    print(line("all, with the first", [ms for found in took.values() for ms in found]))
    again = time.perf_counter()
    repair_case(
        (
            "passive-sensor-corroded-connector"
            if vehicle == "rear_petrol"
            else "tyre-wear-mismatch-left-right"
        ),
        vehicle,
    )
    print(
        "another fault on the same car: bench there after"
        f" {1e3 * (time.perf_counter() - again):.0f} ms\n"
    )


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--fault")
    parser.add_argument("--vehicle")
    given = parser.parse_args()
    if given.fault:
        os.chdir(tempfile.mkdtemp())
        return asyncio.run(whole_case(given.fault, given.vehicle))
    for fault, vehicle in CASES:
        subprocess.run(
            [sys.executable, __file__, "--fault", fault, "--vehicle", vehicle],
            check=True,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
        )


if __name__ == "__main__":
    main()
