"""The guess comes back: beside the panel stands what was guessed and what the panel shows, and
nothing tells the answer before.
"""

import pytest
from cards import press

from tractionlab.lesson import ask, outcomes, prediction
from tractionlab.lesson.look_back import KIND, told
from tractionlab.panels.delay import delay_panel
from tractionlab.panels.feet import foot_on_brake, lift_panel, spin_panel
from tractionlab.panels.friction import friction_panel
from tractionlab.panels.heat import heat_panel
from tractionlab.panels.hill import hill_panel
from tractionlab.panels.reference import reference_panel
from tractionlab.panels.sensor import sensor_panel
from tractionlab.written import record

pytestmark = pytest.mark.usefixtures("own_folder")
PREDICTIONS = [name for name, entry in ask.questions().items() if "answer" not in entry]


def opened(name, make, guess):
    card = prediction.predict(name)
    panel = make(locked_by=card)
    press(card, guess=guess)
    return card, panel, panel.below[0]


def test_the_guess_comes_back_and_what_came_out_once_a_control_was_moved():
    card = prediction.predict("2.hill")
    panel = hill_panel(locked_by=card)
    (back,) = panel.below
    assert back.layout.display == "none"
    press(card, guess="1")
    assert (
        back.layout.display == ""
        and back.face["text"] == "You wrote: \u201cIt gets worse: a brake can only hold back\u201d"
    )
    assert press(back, "compare")["message"] == "Move a control of the panel first, and look."
    panel.set(pressure=20)
    message = press(back, "compare")["message"]
    assert message.startswith("The panel shows: Not braked") and message.endswith(
        "It came out differently from your guess."
    )


def test_the_line_on_why_is_a_kind_of_its_own_and_never_lost():
    _, panel, back = opened("3.gap", sensor_panel, "2")
    panel.set(gap=2.0)
    assert "line first" in press(back, why="  ")["message"]
    assert (
        "1 of 1 of your guesses came true"
        in press(back, why="Slow teeth make little voltage")["message"]
    )
    press(back, why="and a wide gap makes it less")
    lines = [line for line in ask.my_record().lines() if line["kind"] == KIND]
    assert [line["answer"] for line in lines] == [
        "Slow teeth make little voltage",
        "and a wide gap makes it less",
    ]
    record._record_of.cache_clear()
    again = sensor_panel(locked_by=prediction.predict("3.gap")).below[0]
    assert (
        again.face["fields"][0]["value"] == "and a wide gap makes it less"
        and "Kept on" in again.face["message"]
    )


def test_newest_look_back_of_each_guess_is_counted():
    lines = [
        {"kind": KIND, "question": question, "right": right}
        for question, right in (("a", True), ("a", False), ("b", True))
    ]
    assert told(lines) == " So far 1 of 2 of your guesses came true." and told([]) == ""


@pytest.mark.parametrize("name", PREDICTIONS)
def test_every_prediction_has_an_outcome_that_one_guess_meets(name):
    entry, found = ask.questions()[name], outcomes.outcome_of(name)
    assert found.words.endswith(".") and "nan" not in found.words
    if found.truth is None:
        assert name == "11.split"
    elif "options" in entry:
        right = [
            found.came_true(number, entry["options"])
            for number in range(1, len(entry["options"]) + 1)
        ]
        assert right.count(True) == 1
    else:
        assert entry["lowest"] <= found.truth <= entry["highest"]
        assert found.came_true(found.truth, ()) and not found.came_true(found.truth * 2 + 5, ())


@pytest.mark.parametrize(
    "name, words",
    [
        ("1.throttle", "then gets smaller again"),
        ("1.side", "Most of it is gone"),
        ("2.hill", "work against the brake"),
        ("3.gap", "slow end"),
        ("3.ring", "once a turn"),
        ("4.all", "too fast"),
        ("4.rollers", "its wheels spin"),
        ("5.delay", "after some time"),
        ("5.path", "Ignition first"),
        ("5.lift", "more slowly"),
        ("6.current", "It stays"),
        ("6.drive", "does not know"),
        ("7.stop", "shorter"),
        ("7.drive", "to the right"),
        ("8.best", "Heat"),
        ("8.pedal", "ends at once"),
        ("9.names", "circuit of that sensor"),
        ("9.mended", "stored but not present"),
        ("10.ohm", "nothing to do with the sensor"),
    ],
)
def test_the_guess_that_came_true_is_the_one_the_lesson_explains(name, words):
    assert words in ask.questions()[name]["options"][outcomes.outcome_of(name).truth - 1]


def test_a_number_that_may_mean_thousands_is_shown_as_read_and_mended_once():
    card = prediction.predict("2.split")
    assert "Read as 3.15 N" in press(card, guess="3,150")["message"] and not card.answered
    assert ask.my_record().last("2.split", "prediction") is None
    assert "Written down as 3150 N" in press(card, guess="3150")["message"] and card.answered


def test_pressing_again_keeps_the_number_as_read():
    card = prediction.predict("2.split")
    press(card, guess="3,150")
    assert (
        "Written down as 3.15 N" in press(card, guess="3,150")["message"]
        and card.guess.value == 3.15
    )


def test_an_ordinary_decimal_is_not_asked_about():
    card = prediction.predict("2.split")
    assert "Written down as 700 N" in press(card, guess="0,7 kN")["message"]


@pytest.mark.parametrize(
    "make, pieces, figures",
    [
        (friction_panel, ["up to", "at 25 %"], ["Largest push", "at slip"]),
        (sensor_panel, [], ["Signal starts at"]),
        (hill_panel, [], ["Enough by hand formula"]),
        (delay_panel, ["With all three at once"], []),
        (heat_panel, ["the control counts 480"], ["Brake rests from launch"]),
        (reference_panel, ["stays within"], ["Largest error of the reference"]),
        (lift_panel, ["slower than the road"], ["Largest braking slip"]),
        (spin_panel, ["arrives at"], ["Brakes that get the pedal's pressure"]),
    ],
)
def test_a_panel_that_a_guess_opens_holds_the_answer_back(make, pieces, figures):
    panel = make(locked_by=prediction.predict("1.throttle"))
    assert panel.told is False
    for piece in pieces:
        assert piece in panel.view.sentence and any(piece in held for held in panel.picture["held"])
    assert [figure["label"] for figure in panel.picture["figures"] if figure["held"]] == figures
    assert make().told is True, "without a guess, as for a class, all is told"


def test_the_brakes_that_get_the_pedal_are_counted_alike_beside_the_guess_and_in_the_panel():
    """One of them has the pressure already, from traction control: that counts as arrived."""
    _, arrives = foot_on_brake()
    (shown,) = (figure for figure in spin_panel().view.figures if figure.unit == "of 4")
    assert int(shown.value) == len(arrives) and arrives[0] == 0.0


def test_moving_nothing_is_no_trial():
    panel = hill_panel()
    panel.set(pressure=0)
    assert panel.tried is False
    panel.set(pressure=1)
    assert panel.tried is True
