"""Panels of lesson 9: every choice gives a picture, and sentence, lamps and memory say what the
drive was.
"""

import re

import numpy as np
import pytest

from tractionlab.diagnosis.fault_memory import Memory
from tractionlab.panels.diagnosis_page import page, spans
from tractionlab.panels.self_diagnosis import (
    FIVE,
    STORIES,
    all_causes,
    memory_panel,
    same_code_panel,
    self_diagnosis_panel,
)
from tractionlab.workshop.drive.diagnosis import diagnose
from tractionlab.workshop.drive.world import still
from tractionlab.workshop.part_values import changed, part_values


def words(panel):
    """What stands on the page below the panel, without tags."""
    return re.sub(r"<[^>]+>", " ", panel.children[1].value)


def sound(panel):
    view = panel.panel.view
    assert panel.panel.error == "" and view.sentence.endswith(".") and "nan" not in view.sentence
    assert all(np.isfinite(line.y).all() for chart in view.charts for line in chart.lines)
    assert all(chart.x.endswith("]") and chart.y.endswith("]") for chart in view.charts)
    assert "nan" not in panel.children[1].value


@pytest.mark.parametrize("make", [same_code_panel, memory_panel])
def test_every_choice_of_the_lesson_gives_a_picture(make):
    panel = make()
    for control in panel.panel.controls:
        for key, _ in control["options"]:
            panel.set(**{control["name"]: key})
            sound(panel)


def test_every_car_of_the_catalogue_can_be_chosen():
    panel = self_diagnosis_panel()
    causes = all_causes()
    assert len(causes) > 90 and len({cause.words for cause in causes.values()}) == len(causes)
    for key in list(causes)[::9]:
        panel.set(cause=key)
        sound(panel)
    panel.set(kind="slippery", number=7, story="mended")
    sound(panel)


def test_five_causes_one_circuit():
    panel = same_code_panel()
    types = {}
    for key in FIVE:
        panel.set(cause=key)
        found = re.search(r"C0031 (\w\w)", panel.panel.view.sentence)
        types[key] = found and found[1]
    assert types == {
        "sound": None,
        "coil": "13",
        "plug": "13",
        "body": "11",
        "corroded": "1B",
        "loose": "1F",
    }


def test_memory_tells_present_from_stored_and_cleared_from_tested():
    panel = memory_panel()
    said = {}
    for story in STORIES:
        panel.set(story=story)
        said[story] = panel.panel.view.sentence, words(panel)
    assert (
        "present" in said["first"][0]
        and "AF" in said["first"][1]
        and "fault is present now" in said["first"][1]
    )
    assert (
        "stored, not present" in said["mended"][0]
        and "2C" in said["mended"][1]
        and "no lamp is on" in said["mended"][0]
    )
    assert "drives with it: 2" in said["again"][1]
    assert (
        "All tests that ran have passed" in said["cleared"][1]
        and "have not run since the memory was cleared" in said["at_once"][1]
    )


def test_lamps_on_the_page_are_those_of_the_drive():
    diagnosis = diagnose(
        "rear_petrol",
        changed(part_values("rear_petrol"), {"feed_valve.ohm": 1e9}),
        still("rear_petrol", 600),
    )
    label = re.search(r'aria-label="([^"]+)"', page(diagnosis, diagnosis.memory))[1]
    assert (
        "ABS (amber): on from 0.0 to 3.0 s;" in label
        and "TC (amber): on from 0.0 to 6.0 s" in label
    )


def test_spans_put_together_are_the_whole():
    state = np.array([0, 0, 1, 1, 2, 0])
    assert spans(state) == [(0, 2, 0), (2, 4, 1), (4, 5, 2), (5, 6, 0)]


def test_text_of_the_page_cannot_break_out():
    memory = Memory().result(
        ("C0031", "13"),
        True,
        dict.fromkeys(
            (
                "time [s]",
                "speed [km/h]",
                "supply [V]",
                "pedal pressed",
                "mileage [km]",
                "FL [km/h]",
                "FR [km/h]",
                "RL [km/h]",
                "RR [km/h]",
            ),
            0.0,
        ),
    )
    diagnosis = diagnose("rear_petrol", part_values("rear_petrol"), still("rear_petrol", 400))
    html = page(diagnosis, memory)
    assert html.count("<table") == html.count("</table>") == 1 and html.count("<td") == 4


def test_locked_panel_hides_the_page():
    import traitlets

    class Guess(traitlets.HasTraits):
        answered = traitlets.Bool(False)

    guess = Guess()
    panel = same_code_panel(locked_by=guess)
    assert panel.children[1].value == ""
    guess.answered = True
    assert "Warning lamps" in panel.children[1].value
