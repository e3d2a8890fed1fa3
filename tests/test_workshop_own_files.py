"""The bench knows the cars of the course only: own files beside the notebooks change no reading,
whatever ran before in the same process.
"""

import json
import subprocess
import sys

import pytest

from tractionlab.catalogue.places import data_folder

#: Takes readings first where own files count and then as marking does; the run of a circuit too.
SCRIPT = """
import json
from tractionlab.catalogue import entries as catalogue
from tractionlab.run.scenario import Scenario
from tractionlab.run.simulation import simulate
from tractionlab.workshop.drive.bay import life
from tractionlab.workshop.tests.base import run
from tractionlab.workshop.drive.computed_runs import computed
from tractionlab.workshop.case.suspects import car_with

def seen(circuit):
    car = car_with("pads-oil-contaminated", "rear_petrol")
    tests = ("T04", "T05", "T06", "T07", "T12", "T22", "T23")
    found = [[reading.value for reading in run(test, "rear_petrol", car)] for test in tests]
    stop = simulate(Scenario(vehicle="rear_petrol", duration_s=1.0)).speed[-1] if circuit else 0.0
    drive = float(computed("rear_petrol", 0).speed[-1])
    return found + [drive, len(life("rear_petrol", car)), float(stop)]

bench = seen(True)
with catalogue.shipped_only():
    marking = seen(True)
print(json.dumps([catalogue.in_use().vehicles()["rear_petrol"]["tyre_radius_m"], bench, marking]))
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """(own tyre radius, readings at the bench, readings while marking) in a folder without and in
    one with own cars.
    """
    found = []
    for own in (False, True):
        folder = tmp_path_factory.mktemp("own" if own else "plain")
        if own:
            text = (data_folder() / "vehicles.toml").read_text(encoding="utf-8")
            for name, number in (
                ("tyre_radius_m", "0.36"),
                ("mass_kg", "2300.0"),
                ("driven_brake_Nm_per_bar", "9.0"),
            ):
                lines = [
                    (
                        f"{line.split('value')[0]}value = {number},{line.split(',', 1)[1]}"
                        if line.startswith(name)
                        else line
                    )
                    for line in text.splitlines()
                ]
                text = "\n".join(lines)
            (folder / "my_vehicles.toml").write_text(text, encoding="utf-8")
        ended = subprocess.run(
            [sys.executable, "-c", SCRIPT], cwd=folder, capture_output=True, text=True, check=True
        )
        found.append(json.loads(ended.stdout))
    return found


def test_the_own_car_is_read_elsewhere(told):
    assert told[0][0] != told[1][0] == 0.36


def test_the_bench_shows_the_car_of_the_course(told):
    plain, own = told
    assert own[1][:-1] == plain[1][:-1]


def test_marking_after_a_bench_and_a_run_in_the_same_process_is_marking_alone(told):
    plain, own = told
    assert own[2] == plain[2] and own[1][-1] != plain[1][-1]
