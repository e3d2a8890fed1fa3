"""A panel without a browser: values, checks, errors, what it answers and what it prints."""

import re
from datetime import date

import pytest
import traitlets
from synthetic import grip_view, launch_view

from tractionlab.errors import UserError
from tractionlab.paint.blocks import Rows
from tractionlab.panels.base import Choice, Panel, Slider, Switch
from tractionlab.panels.drive import drive_panel
from tractionlab.panels.launch import launch_panel
from tractionlab.panels.page import document

CONTROLS = [
    Slider("pedal", "Pedal", "%", 0, 100, 5, 60),
    Choice("surface", "Road on the left", [("ice", "Ice"), ("snow", "Packed snow")], "ice"),
    Switch("control", "Control on", True),
]


def panel(draw=launch_view, **more):
    return Panel("Launch", CONTROLS, draw, **more)


def test_the_first_picture_is_there_without_a_browser():
    made = panel()
    assert made.values == {"pedal": 60.0, "surface": "ice", "control": True}
    assert "60 percent" in made.view.sentence and made.picture["sentence"] == made.view.sentence
    assert repr(made) == f"Launch: {made.view.sentence}"


def test_set_moves_the_picture():
    made = panel()
    made.set(pedal=25, control=False)
    assert made.values == {"pedal": 25.0, "surface": "ice", "control": False}
    assert "25 percent" in made.view.sentence and made.picture["values"]["pedal"] == 25.0


@pytest.mark.parametrize(
    "values, words",
    [
        ({"pedal": 101}, "Pedal must be a number from 0 to 100 %, got 101"),
        ({"pedal": "60"}, "Pedal must be a number"),
        ({"pedal": float("nan")}, "Pedal must be a number"),
        ({"surface": "mud"}, "Road on the left must be one of ice, snow, got 'mud'"),
        ({"control": 1}, "Control on must be True or False"),
        ({"brake": 1}, "has no control brake; it has pedal, surface, control"),
    ],
)
def test_a_wrong_value_is_told_in_one_sentence(values, words):
    made = panel()
    with pytest.raises(UserError, match="^[^\n]*" + words):
        made.set(**values)
    assert made.values["pedal"] == 60.0


def test_two_controls_of_one_name_are_refused():
    with pytest.raises(UserError, match="same name"):
        Panel("Twice", [CONTROLS[0], CONTROLS[0]], launch_view)


def choosy(values):
    if values["pedal"] > 90:
        raise ValueError("Above 90 percent the engine stalls.")
    if values["pedal"] < 10:
        return 1 / 0
    return launch_view(values)


def test_an_error_keeps_the_last_picture_and_says_why():
    made = panel(choosy)
    made.set(pedal=95)
    assert made.error == "Above 90 percent the engine stalls."
    assert made.values["pedal"] == 60.0 and "60 percent" in made.view.sentence
    assert made.picture["error"] == made.error and "60 percent" in made.picture["sentence"]
    made.set(pedal=5)
    assert "could not be computed" in made.error
    made.set(pedal=70)
    assert made.error == "" and made.picture["error"] == "" and "70 percent" in made.view.sentence


def hear(made, **message):
    said = []
    made.send = said.append
    made._hear(made, message, [])
    return said


def test_a_question_from_the_browser_is_answered_by_its_name():
    made = panel()
    hear(
        made,
        kind="draw",
        values={"pedal": 20, "surface": "snow", "control": True},
        ask="view:7",
        whole=False,
    )
    assert (
        made.picture["answer"] == "view:7"
        and made.values["pedal"] == 20.0
        and made.values["surface"] == "snow"
    )


def test_a_wrong_value_from_the_browser_is_answered_too():
    made = panel()
    hear(made, kind="draw", values={"pedal": 200}, ask="view:8", whole=False)
    assert made.picture["answer"] == "view:8" and "from 0 to 100" in made.picture["error"]


def test_printing_saves_hand_outs_and_never_over_an_older_one(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    made = panel()
    for number in (1, 2):
        assert hear(made, kind="print", time=2.0) == [
            {"kind": "said", "text": f"Saved handouts/launch-{number}.pdf and .png"}
        ]
    assert sorted(path.name for path in (tmp_path / "handouts").iterdir()) == [
        "launch-1.pdf",
        "launch-1.png",
        "launch-2.pdf",
        "launch-2.png",
    ]


def test_the_printed_page_is_one_a4_sheet_with_day_and_settings(tmp_path, monkeypatch):
    """The highest picture of the course, and one with settings of every kind."""
    monkeypatch.chdir(tmp_path)
    high, launch = drive_panel("A"), launch_panel(left="ice", right="dry_asphalt")
    launch.set(control="both", slope=6, pedal=60)
    for made in (high, launch):
        printed = document(made, 3.0)
        told = re.sub(r"<img[^>]*>", "", printed.html())
        assert date.today().isoformat() in told and "after 3.00 s" in told and "Settings" in told
        settings = next(block for block in printed.blocks if isinstance(block, Rows)).rows
        shown = [
            c["label"]
            for c in made.controls
            if not c.get("when") or made.values[c["when"][0]] == c["when"][1]
        ]
        assert [label for label, _ in settings] == shown
        page = printed.pdf()
        assert re.findall(rb"/MediaBox \[ 0 0 (.+?) \]", page) == [b"595.2756 841.8898"]
    assert all(
        f">{words}<" in told
        for words in (
            "Torque reduction and brake",
            "6 %",
            "60 %",
            "Ice",
            "Dry asphalt",
            "Rear-drive petrol car",
            "on",
        )
    )


def test_a_folder_that_cannot_be_written_is_told(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "handouts").write_text("in the way")
    assert hear(panel(), kind="print")[0]["text"].startswith(
        "Could not save into the folder handouts"
    )


class Prediction(traitlets.HasTraits):
    answered = traitlets.Bool(False)
    question = "Which wheel will spin?"


def test_a_lock_opens_when_the_prediction_is_there():
    prediction = Prediction()
    made = panel(locked_by=prediction)
    assert made.locked and made.question == "Which wheel will spin?"
    prediction.answered = True
    assert not made.locked


def test_a_panel_without_controls():
    assert Panel("Look", [], grip_view).values == {}


def ask(made, whole=False, **values):
    made._hear(
        made,
        {"kind": "draw", "values": values, "ask": f"question {values} {whole}", "whole": whole},
        [],
    )


def test_a_moving_slider_gets_the_quick_picture_and_a_resting_one_the_whole():
    drawn = []

    def draw(values):
        drawn.append(values["pedal"])
        return launch_view(values)

    made = panel(draw, first=lambda values: launch_view(values, ghost=False))
    assert made.picture["quick"] is False
    drawn.clear()
    for pedal in (30, 35, 40):
        ask(made, pedal=pedal)
        assert (
            made.values["pedal"] == pedal and made.picture["quick"] and len(made.view.scenes) == 1
        )
    assert drawn == []
    ask(made, whole=True, pedal=40)
    assert (
        len(made.view.scenes) == 2
        and made.values["pedal"] == 40.0
        and made.picture["quick"] is False
    )
    assert drawn == [40.0]


def test_without_a_quick_picture_the_whole_one_answers():
    made = panel(first=lambda values: None)
    ask(made, pedal=30)
    assert (
        len(made.view.scenes) == 2
        and made.values["pedal"] == 30.0
        and made.picture["quick"] is False
    )


def test_an_error_of_the_whole_picture_is_said_when_the_slider_rests():
    made = panel(choosy, first=launch_view)
    ask(made, pedal=95)
    assert made.error == ""
    ask(made, whole=True, pedal=95)
    assert made.error == "Above 90 percent the engine stalls."
