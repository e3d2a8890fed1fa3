"""Panels of lessons 3 and 4: the sentence follows the run, every end of every control gives a
picture, wrong ideas make wrong numbers.
"""

import re

import numpy as np
import pytest

from tractionlab.panels.knowledge import on_rollers
from tractionlab.panels.reference import knowledge, reference_panel, roller_panel
from tractionlab.panels.sensor import sensor_panel
from tractionlab.run.scenario import Scenario

MAKERS = {
    "gap": lambda: sensor_panel(ring=False),
    "ring": sensor_panel,
    "reference": reference_panel,
    "rollers": roller_panel,
}
LAUNCH = {
    "drive": "two",
    "vehicle": "rear_petrol",
    "surface": "packed_snow",
    "pedal": 100,
    "start": 0,
    "control": False,
    "rise": 3,
}


def number(pattern, sentence):
    return float(re.search(pattern, sentence).group(1))


@pytest.mark.parametrize("name", MAKERS)
def test_every_end_of_every_control_gives_a_picture(name):
    panel = MAKERS[name]()
    ends = {
        "Slider": lambda c: (c["low"], c["high"]),
        "Choice": lambda c: [key for key, _ in c["options"]],
        "Switch": lambda c: (True, False),
    }
    for control in panel.controls:
        for value in ends[control["kind"]](control):
            panel.set(**{control["name"]: value})
            assert panel.error == "", (control["name"], value, panel.error)
            assert not {"nan", "inf"} & set(
                re.findall(r"[a-z]+", panel.view.sentence.lower())
            ) and panel.view.sentence.endswith(".")
            assert all(
                np.isfinite(line.y).all() for chart in panel.view.charts for line in chart.lines
            )
            assert 2 <= len(panel.view.charts) <= 3 and all(
                chart.x.endswith("]") and chart.y.endswith("]") for chart in panel.view.charts
            )
            assert max(len(line.x) for chart in panel.view.charts for line in chart.lines) <= 5001
        panel.set(**{control["name"]: control["value"]})


def test_a_large_gap_takes_the_slow_end_of_a_passive_sensor():
    panel = sensor_panel(ring=False)
    panel.set(gap=2.0, speed=13)
    assert "reads 13.0 km/h on average" in panel.view.sentence
    panel.set(speed=11)
    assert "too small" in panel.view.sentence and panel.view.sentence.endswith("reads 0 km/h.")
    panel.set(kind="active", gap=1.5, speed=1)
    assert "jumps between 0.70 and 1.40 V" in panel.view.sentence
    panel.set(gap=1.6)
    assert "gap is too large" in panel.view.sentence


def test_faults_of_the_ring():
    panel = sensor_panel()
    for ring, low in (("missing", 22.0), ("cracked", 27.0)):
        panel.set(ring=ring)
        assert number(r"but at times ([\d.]+)", panel.view.sentence) < low
    panel.set(ring="sound", teeth=44)
    assert (
        number(r"reads ([\d.]+) km/h", panel.view.sentence) == pytest.approx(27.5, abs=0.1)
        and "at times" not in panel.view.sentence
    )


def test_the_faulty_place_passes_within_the_window():
    panel = sensor_panel()
    for window in ("50", "250", "1000"):
        panel.set(ring="missing", window=window)
        edges = np.flatnonzero(np.diff(panel.view.charts[2].lines[0].y) > 0.5)
        assert np.diff(edges).max() > 1.6 * np.median(np.diff(edges))


def test_free_wheels_give_a_good_reference_and_four_driven_ones_do_not():
    """On ice all four tyres spin up together, and a car's thrust does not show it at once. The free
    wheels of a car with passive sensors are seen from their blind speed on.
    """
    _, two = knowledge({**LAUNCH, "surface": "ice"})
    _, four = knowledge({**LAUNCH, "surface": "ice", "drive": "all"})
    seen = two.car > 4.0
    assert abs(two.error[seen]).max() < 2.0 < 10.0 < four.error.max()
    k = int(four.error.argmax())
    assert four.slip[k] < 0.7 * four.true_slip[k]


def test_reference_rises_no_faster_than_it_may():
    _, four = knowledge({**LAUNCH, "drive": "all"})
    assert np.diff(four.reference / 3.6).max() <= 3.0 * four.settings.cycle + 1e-9
    _, asphalt = knowledge({**LAUNCH, "drive": "all", "surface": "dry_asphalt"})
    assert asphalt.error.min() < -5.0, "held back too much for good grip"


@pytest.mark.parametrize("start", [10, 20, 30])
def test_acceleration_tells_of_spin_before_slip_does(start):
    _, known = knowledge({**LAUNCH, "start": start})
    assert known.rate_tells() < known.slip_tells() - 0.05


def test_rollers_look_like_spin_unless_all_wheels_turn():
    two, four = (on_rollers(Scenario(), 20.0, everything, 6.0) for everything in (False, True))
    assert two.reference.max() == 0.0 and two.slip[-1] == 1.0
    over = two.wheel / 3.6 > 1.05 * two.settings.blind_speed + two.settings.limit_offset
    assert 0.0 < two.slip_tells() - two.time[over.argmax()] < 0.05, (
        "as soon as the wheel is over the limit of a car that may roll unseen"
    )
    assert (
        four.reference[-1] == pytest.approx(20.0, abs=0.3)
        and abs(four.slip[-1]) < 0.02
        and four.slip_tells() is None
    )
    panel = roller_panel()
    assert "100 % slip" in panel.view.sentence and "take torque away" in panel.view.sentence
    panel.set(wheels="all")
    assert "does nothing" in panel.view.sentence


def test_axes_and_figures_say_what_is_meant():
    titles = {chart.title: chart.y for chart in sensor_panel().view.charts}
    assert titles["After the input stage"] == "level [0 low, 1 high]"
    labels = [figure.label for figure in reference_panel().view.figures]
    assert "Wheel gains speed too fast after" in labels
