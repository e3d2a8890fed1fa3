"""Panels of lesson 9: every choice gives a picture, and sentence, lamps and memory say what the
drive was.
"""

import re

import numpy as np
import pytest

from tractionlab.diagnosis.fault_memory import Memory
from tractionlab.paint.document import Document, Rows
from tractionlab.paint.printed import print_figure
from tractionlab.panels.diagnosis_page import lamp_lanes, memory_tables, spans
from tractionlab.panels.page import document
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
    """What stands in the tables below the picture."""
    return "\n".join(
        cell
        for table in panel.view.tables
        for row in (table.rows or [[table.empty]])
        for cell in row
    )


def sound(panel):
    view = panel.view
    assert panel.error == "" and view.sentence.endswith(".") and "nan" not in view.sentence
    assert all(np.isfinite(line.y).all() for chart in view.charts for line in chart.lines)
    assert all(chart.x.endswith("]") and chart.y.endswith("]") for chart in view.charts)
    assert "nan" not in words(panel) and "nan" not in view.lanes.words


@pytest.mark.parametrize("make", [same_code_panel, memory_panel])
def test_every_choice_of_the_lesson_gives_a_picture(make):
    panel = make()
    for control in panel.controls:
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
        found = re.search(r"C0031 (\w\w)", panel.view.sentence)
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
        said[story] = panel.view.sentence, words(panel)
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
    label = lamp_lanes(diagnosis).words
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
    table, _ = memory_tables(diagnosis, memory)
    html = Document("", [Rows(table.title, table.head, table.rows)]).html()
    assert len(table.rows) == 1 and len(table.rows[0]) == len(table.head) == 4
    assert html.count("<table") == html.count("</table>") == 1 and html.count("<td") == 3


def test_locked_panel_hides_the_page():
    import traitlets

    class Guess(traitlets.HasTraits):
        answered = traitlets.Bool(False)

    guess = Guess()
    panel = same_code_panel(locked_by=guess)
    assert panel.locked
    guess.answered = True
    assert not panel.locked


def test_the_memory_is_printed_below_the_picture():
    panel = memory_panel()
    blocks = document(panel).blocks
    tables = [block for block in blocks if isinstance(block, Rows)]
    assert [table.caption for table in tables[1:]] == [table.title for table in panel.view.tables]
    html = document(panel).html()
    assert "type 13" in html and "fault is present now" in html and "drives with it: 1" in html
    panel.set(story="cleared")
    assert "No code is stored. All tests that ran have passed." in document(panel).html()


def test_lamps_on_paper_are_bars_where_the_lamps_are_lit():
    panel = memory_panel()
    axes = next(
        axes
        for axes in print_figure(panel.view).axes
        if axes.get_title(loc="left").startswith("Warning lamps")
    )
    lanes = panel.view.lanes.lanes
    assert [label.get_text() for label in axes.get_yticklabels()] == [lane.label for lane in lanes]
    assert len(axes.collections) == sum(len(lane.spans) for lane in lanes) > 0


def test_a_drive_without_a_fault_says_that_none_was_found():
    panel = same_code_panel()
    panel.set(cause="sound")
    figures = {figure.label: figure.value for figure in panel.view.figures}
    assert figures["Faults found"] == "none" and "First fault found after" not in figures
