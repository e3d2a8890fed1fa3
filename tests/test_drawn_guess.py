"""A guess that is drawn: it may be left out, comes back with the computed curve over it and one
true sentence, and a torn record loses no more than itself. Our sentence beside the learner's own.
"""

import json
import re

import numpy as np
import pytest
from cards import press
from hypothesis import given
from hypothesis import strategies as st

from tractionlab.lesson.drawn import apart, kept_drawing, read_drawing
from tractionlab.lesson.look_back import CAME_OUT, KIND, PARTS, came_true
from tractionlab.lesson.outcomes import curve_of, outcome_of
from tractionlab.lesson.prediction import predict
from tractionlab.lesson.questions import questions
from tractionlab.panels.throttle import throttle_panel
from tractionlab.written import record
from tractionlab.written.numbers import Unreadable

pytestmark = pytest.mark.usefixtures("own_folder")
DRAW = questions()["1.throttle"]["draw"]
DRAWN = [name for name, entry in questions().items() if "draw" in entry]
#: What of the computed curve the outcome tells, too.
TOLD = {
    "1.throttle": lambda x, y: y.max(),
    "1.side": lambda x, y: y[0],
    "3.gap": lambda x, y: x[y > 0][0],
    "5.delay": lambda x, y: y.max(),
    "6.pedal": lambda x, y: np.interp(0.25, x, y),
    "8.launches": lambda x, y: x[np.argmax(y)],
    "12.air": lambda x, y: np.interp(50, x, y),
}
#: 0, 10, 20, 30, 40, 50, 60, 80, 100 % throttle
RISING = "0;5;10;15;20;24;26;28;30"


def field(card, name):
    return next((field for field in card.face["fields"] if field["name"] == name), None)


def opened(**guess):
    card = predict("1.throttle")
    panel = throttle_panel(locked_by=card)
    press(card, guess="2", **guess)
    return card, panel, panel.below[0]


def test_the_drawing_comes_back_and_the_computed_curve_only_once_it_was_tried():
    card, panel, back = opened(drawn=RISING)
    assert card.answered and field(card, "drawn")["fixed"], "the card keeps its height"
    mine = field(back, "drawn")
    assert mine["label"] == "You drew this." and mine["sketch"]["truth"] == []
    press(back, "compare")
    assert field(back, "drawn")["sketch"]["truth"] == [], "nothing was moved yet"
    panel.set(pedal=30)
    press(back, "compare")
    mine = field(back, "drawn")
    x, y = mine["sketch"]["truth"]
    assert x[np.argmax(y)] == 40 and mine["value"] == RISING
    assert mine["label"] == (
        "They are furthest apart at 100\u00a0%: you drew 30\u00a0km/h where 20.5\u00a0km/h is"
        " computed; the computed curve is highest at 40\u00a0%, yours at 100\u00a0%."
    )
    record._record_of.cache_clear()
    again = throttle_panel(locked_by=predict("1.throttle")).below[0]
    assert field(again, "drawn") == mine, "the next morning"


def test_a_guess_without_a_drawing_is_a_choice_as_ever():
    card, panel, back = opened()
    assert card.answered and card.drawn == () and field(back, "drawn") is None
    assert "drawn" not in record.my_record().last("1.throttle", "prediction")


@pytest.mark.parametrize(
    "typed, words",
    [
        ("0;;;;;;;;", "One point is no curve"),
        ("0;x;;;;;;;3", "The point at 10\u00a0% is no number: 'x'"),
        ("0;5;;;;;;;41", "The point at 100\u00a0% must be from 0 to 40\u00a0km/h"),
        ("0;5", "did not arrive whole"),
    ],
)
def test_a_drawing_that_cannot_be_read_is_said_and_stays_to_be_mended(typed, words):
    card = predict("1.throttle")
    face = press(card, guess="2", drawn=typed)
    assert words in face["message"] and not card.answered
    assert field(card, "drawn")["value"] == typed and field(card, "guess")["value"] == "2"
    press(card, drawn=RISING)
    assert card.answered


def test_commas_are_decimals_and_gaps_stay_gaps():
    assert read_drawing("0;3,5;;;8;;;;", DRAW) == (
        0.0,
        3.5,
        None,
        None,
        8.0,
        None,
        None,
        None,
        None,
    )


@pytest.mark.parametrize(
    "torn", [None, "0;1", [1, 2], [True] * 9, ["1"] * 9, [None] * 9, [99.0] * 9, [{}] * 9]
)
def test_a_torn_drawing_costs_the_drawing_and_not_the_guess(torn):
    line = json.loads(json.dumps({"drawn": torn}))
    assert kept_drawing(line, DRAW) == ()
    record.my_record().add("prediction", 1, "1.throttle", "2", drawn=torn)
    card = predict("1.throttle")
    back = throttle_panel(locked_by=card).below[0]
    assert card.answered and field(back, "drawn") is None


@pytest.mark.parametrize("answer", ["9", "", "two"])
def test_a_torn_guess_is_said_in_a_sentence_and_may_be_written_down_anew(answer):
    record.my_record().add("prediction", 1, "1.throttle", answer)
    card = predict("1.throttle")
    assert not card.answered and "cannot be read" in card.face["message"]
    press(card, guess="3")
    assert card.answered


@pytest.mark.parametrize("name", DRAWN)
def test_the_computed_curve_fits_the_axes_and_agrees_with_what_came_out(name):
    draw = questions()[name]["draw"]
    x, y = map(np.asarray, curve_of(name))
    low, high = draw["range"]
    assert x.min() <= draw["points"][0] + 1e-9 and x.max() >= draw["points"][-1] - 0.01
    seen = (x >= draw["points"][0]) & (x <= draw["points"][-1])
    assert low - 0.05 * (high - low) <= y[seen].min() and y[seen].max() <= high
    assert y[seen].max() > 0.4 * high, "the axes are no wider than the curve needs"
    said = outcome_of(name).words
    if name == "4.all":
        moment = float(said.split("After ")[1].split(" s ")[0])
        there = np.interp(moment, x, y)
    else:
        there = float(TOLD[name](x, y))
    numbers = re.findall(r"[0-9.]*[0-9]", said)
    assert f"{there:.0f}" in numbers or f"{there:.1f}" in numbers
    exact = tuple(float(np.interp(at, x, y)) for at in draw["points"])
    assert apart(exact, (x, y), draw).startswith("Your curve came out")


def test_what_the_drawing_of_lesson_4_says_of_the_car_is_so():
    from tractionlab.lesson.sensor_facts import _ON_ICE
    from tractionlab.panels.reference import knowledge

    _, known = knowledge({**_ON_ICE, "drive": "all"})
    assert "gains about 3 km/h in each second" in questions()["4.all"]["draw"]["ask"]
    assert known.car[0] == pytest.approx(10, abs=0.2)
    assert round((known.car[-1] - known.car[0]) / known.time[-1]) == 3


def test_what_the_drawings_of_lessons_6_and_8_say_is_so():
    from tractionlab.hydraulics.values import hydraulics
    from tractionlab.lesson.facts import hottest_by_launch
    from tractionlab.panels.heat import heat_panel, launches

    assert "about 185 bar" in questions()["6.pedal"]["draw"]["ask"]
    assert hydraulics()["layout_a"]["cut_out_bar"] == 185
    draw = questions()["8.launches"]["draw"]
    ask = draw["ask"]
    assert "10 s of pause" in ask and "20 °C" in ask and "480 °C" in ask
    values = heat_panel().values
    assert (values["rest"], values["limit"]) == (10, 480)
    assert launches(values)[0].disc_temperature[0].max() == pytest.approx(20, abs=0.5)
    _, hottest = hottest_by_launch(10)
    assert hottest[0] < hottest[1] < hottest[2] < 475 < hottest[3] > hottest[4] > hottest[9]
    words = apart((200, 350, 480, 520, 550, None, None, 590), curve_of("8.launches"), draw)
    assert "furthest apart at launch\u00a010: you drew 590\u00a0°C" in words
    assert "highest at launch\u00a04, yours at launch\u00a010" in words


@given(st.lists(st.none() | st.floats(0, 40), min_size=9, max_size=9))
def test_what_is_said_to_be_furthest_apart_is(values):
    if sum(value is not None for value in values) < 2:
        return
    curve = (np.linspace(0, 100, 11), np.array([0, 9, 20, 30, 26, 22, 20, 19, 18, 17, 16.0]))
    words = apart(tuple(values), curve, DRAW)
    off = {
        at: abs(value - np.interp(at, *curve))
        for at, value in zip(DRAW["points"], values)
        if value is not None
    }
    if max(off.values()) <= 4:
        assert words.startswith("Your curve came out")
    else:
        at = float(words.split("furthest apart at ")[1].split("\u00a0")[0])
        assert off[at] == max(off.values()) and "highest at 30\u00a0%" in words


def test_out_of_range_and_infinite_values_are_refused():
    for piece in ("-1", "1e9", "nan"):
        with pytest.raises(Unreadable):
            read_drawing(f"{piece};1;;;;;;;", DRAW)


def test_our_sentence_comes_after_the_learners_own_and_the_ticks_are_kept():
    _, panel, back = opened()
    panel.set(pedal=30)
    press(back, "compare")
    assert field(back, "parts") is None, "first the own words"
    press(back, why="The tyre slides")
    model = questions()["1.throttle"]["model"]
    assert field(back, "parts")["ticks"] == model
    assert "2 of 3 parts" in press(back, "tick", parts="1;3")["message"]
    assert "could not be read" in press(back, "tick", parts="1;7")["message"]
    assert record.my_record().last("1.throttle", PARTS)["answer"] == "1;3"
    record._record_of.cache_clear()
    again = throttle_panel(locked_by=predict("1.throttle")).below[0]
    assert field(again, "parts")["value"] == "1;3"


def test_a_guess_of_which_it_was_told_counts_once():
    _, panel, back = opened()
    panel.set(pedal=30)
    press(back, "compare")
    press(back, "compare")
    lines = record.my_record().lines()
    assert [line["kind"] for line in lines if line["kind"] in (CAME_OUT, KIND)] == [CAME_OUT]
    assert came_true(lines) == (0, 1)
    press(back, why="It slides")
    assert came_true(record.my_record().lines()) == (0, 1)
