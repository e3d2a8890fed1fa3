"""Kept runs: what is kept is there again, compares with what is shown, and a torn record says
so.
"""

import json

import numpy as np
import pytest
from synthetic import grip_view, launch_view

from tractionlab.paint.printed import print_figure
from tractionlab.panels.base import Choice, Panel, Slider
from tractionlab.panels.kept import KIND, with_kept
from tractionlab.panels.page import document
from tractionlab.panels.stop import stop_panel
from tractionlab.view import PALE
from tractionlab.written import record

pytestmark = pytest.mark.usefixtures("own_folder")
CONTROLS = [
    Slider("pedal", "Pedal", "%", 0, 100, 5, 60),
    Choice("surface", "Road", (("ice", "Ice"), ("snow", "Packed snow")), "ice"),
]


def panel(**more):
    return Panel("Launch", CONTROLS, launch_view, **more)


def press(made, kind, **more):
    """What the learner is told after a press."""
    said = []
    made.send = lambda message: said.append(message["text"])
    made._hear(None, {"kind": kind, **more}, [])
    return said[0]


def letters(made):
    return [run["letter"] for run in made.kept]


def test_a_kept_run_is_there_the_next_day_with_its_settings_figures_and_lines():
    made = panel()
    assert press(made, "keep").startswith("Kept as run A.")
    made.set(pedal=20)
    press(made, "keep")
    record._record_of.cache_clear()
    again = panel()
    assert again.kept == made.kept and letters(again) == ["A", "B"]
    first = again.kept[0]
    assert first["values"] == {"pedal": 60.0, "surface": "ice"}
    chart = next(chart for chart in panel().view.charts if chart.over_time)
    line = first["lines"][chart.title]
    there = np.interp(line["x"], chart.lines[0].x, chart.lines[0].y)
    assert np.allclose(line["y"], there, rtol=1e-3, atol=1e-3) and len(line["x"]) <= 202


def test_a_removed_run_stays_away_and_its_letter_is_free_again():
    made = panel()
    for pedal in (10, 20, 30):
        made.set(pedal=pedal)
        press(made, "keep")
    assert press(made, "remove", letter="B") == "Run B is removed."
    assert press(made, "remove", letter="B") == "There is no run B."
    record._record_of.cache_clear()
    again = panel()
    assert letters(again) == ["A", "C"]
    again.set(pedal=40)
    assert press(again, "keep").startswith("Kept as run B.")


def test_the_same_run_is_kept_once_and_a_fifth_one_waits():
    made = panel()
    press(made, "keep")
    assert press(made, "keep") == "This run is kept already: it is run A."
    for pedal in (10, 20, 30):
        made.set(pedal=pedal)
        press(made, "keep")
    made.set(pedal=40)
    assert press(made, "keep") == "4 runs are kept. Remove one first." and len(made.kept) == 4


@pytest.mark.parametrize(
    "answer",
    [
        "{",
        "[]",
        json.dumps({"letter": "Z", "values": {}, "figures": [], "lines": {}}),
        json.dumps({"letter": "A", "values": {"wings": 2}, "figures": [], "lines": {}}),
        json.dumps({"letter": "A", "values": {"pedal": 5}, "figures": [["a"]], "lines": {}}),
        json.dumps({"letter": "A", "values": {"pedal": 5}, "figures": [], "lines": {"x": {}}}),
    ],
)
def test_a_torn_line_of_the_record_is_said_and_the_others_are_there(answer):
    made = panel()
    press(made, "keep")
    record.my_record().add(KIND, 0, "Launch", answer)
    again = panel()
    assert letters(again) == ["A"]
    assert again.notice.startswith("1 kept run of this panel could not be read")


def test_panels_of_one_title_behind_two_guesses_keep_their_own_runs():
    class Guess:
        answered, name = True, "2.split"

        def observe(self, *_):
            pass

    made = panel(locked_by=Guess())
    press(made, "keep")
    assert letters(panel(locked_by=Guess())) == ["A"] and letters(panel()) == []


def test_a_picture_without_a_run_over_time_offers_nothing_to_keep():
    made = Panel("Grip", CONTROLS[:1], grip_view)
    assert not made.keeps and press(made, "keep") == "This panel shows no run over time."


def test_kept_runs_are_printed_as_pale_lines_with_what_differs():
    made = stop_panel()
    press(made, "keep")
    made.set(brake=40)
    view = with_kept(made.view, made.kept)
    assert [line.label for chart in view.charts for line in chart.pale] == ["A", "A"]
    axes = print_figure(view).axes
    pale = [line for one in axes for line in one.lines if line.get_color() == PALE]
    assert len(pale) == 2 and any("A" in [t.get_text() for t in one.texts] for one in axes)
    (rows,) = [
        block
        for block in document(made).blocks
        if getattr(block, "caption", "").startswith("My runs")
    ]
    ((letter, differs, figures),) = rows.rows
    assert (letter, differs) == ("A", "Pedal pressure: 100 bar") and "Stopping distance" in figures


def test_where_the_record_cannot_be_written_the_learner_is_told(own_folder):
    (own_folder / record.FILE_NAME).mkdir()
    assert "cannot be saved" in press(panel(), "keep")
