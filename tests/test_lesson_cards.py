"""Predictions, questions, exercises and the entry check, driven as the browser drives them."""

import re
import time
import tomllib
from datetime import datetime

import pytest
from cards import press

from tractionlab.catalogue.places import data_folder
from tractionlab.errors import UserError
from tractionlab.lesson import ask, practice, prediction, progress_pages, start
from tractionlab.lesson.exercises import all_exercises
from tractionlab.lesson.path_tracing import trace_path
from tractionlab.lesson.questions import check_question
from tractionlab.lesson.service_card import service_work
from tractionlab.workshop.service import procedures
from tractionlab.written import record
from tractionlab.written.numbers import UNITS
from tractionlab.written.record import FILE_NAME, Record

pytestmark = pytest.mark.usefixtures("own_folder")


def reopen(make, name):
    record._record_of.cache_clear()
    return make(name)


def test_prediction_unlocks_is_kept_and_cannot_be_changed():
    card = prediction.predict("1.throttle")
    assert "first" in press(card, "keep")["message"] and not card.answered
    press(card, "keep", guess="2")
    assert card.answered
    press(card, "keep", guess="3")
    again = reopen(prediction.predict, "1.throttle")
    assert (
        again.answered
        and again.face["fields"][0]["value"] == "2"
        and again.face["fields"][0]["fixed"]
    )


def test_number_prediction_takes_comma_and_names_its_range():
    card = prediction.predict("2.split")
    assert "from 0 to 10000 N" in press(card, "keep", guess="-3")["message"]
    assert "thousands" in press(card, "keep", guess="1 000")["message"]
    press(card, "keep", guess="0,7 kN")
    assert card.answered


def test_question_counts_only_the_first_answer_of_a_day():
    card = ask.question("1.q.peak")
    assert press(card, "check", answer="1")["fields"][0]["mark"] == "wrong"
    face = press(card, "check", answer="2")
    assert face["fields"][0]["mark"] == "right" and "curve" in face["fields"][0]["message"]
    assert [line["counts"] for line in ask.my_record().lines() if line["kind"] == "question"] == [
        False,
        False,
    ]


def answers(card):
    return {
        f"_{i}": str(part.answer) if part.exact else f"{part.answer:.4f}"
        for i, part in enumerate(card.task.parts)
    }


def test_help_of_an_exercise_fades_as_it_is_shown():
    card = practice.exercise("1.1")
    assert card.face["buttons"][1] == ["hint", "Hint 1 of 3", True]
    for hints, words in ((2, "two hints"), (0, "how many are right, not which")):
        press(card, "check", **answers(card))
        face = press(card, "new")
        assert words in face["message"]
        named = [button for button in face["buttons"] if button[0] == "hint"]
        assert named == ([["hint", f"Hint 1 of {hints}", True]] if hints else [])
        taken = [len(press(card, "hint")["hints"]) for _ in range(3)]
        assert taken == ([1, 2, 2] if hints else [0, 0, 0])
    some = {**answers(card), "_0": "1"}
    face = press(card, "check", **some)
    assert face["message"] == "1 of 2 right." and {f["mark"] for f in face["fields"]} == {""}
    again = reopen(practice.exercise, "1.1").face
    assert {f["mark"] for f in again["fields"]} == {""}, "nor does a reload tell"
    press(card, "check", **some)
    assert {name: on for name, _, on in card.face["buttons"]}["working"], "no dead end"
    face = press(card, "check", **answers(card))
    assert [f["mark"] for f in face["fields"]] == ["right", "right"]


def test_exercise_from_hints_to_working():
    card = practice.exercise("2.1")
    assert "Try twice" in press(card, "working")["message"] and card.face["working"] == []
    called = [
        next(words for name, words, _ in face["buttons"] if name == "working")
        for face in (card.face, press(card, "check", _0="1", _1="1", _2="1"))
    ]
    assert [words.partition("working ")[2] for words in called] == [
        "(after 2 more tries)",
        "(after 1 more try)",
    ], "a grey button says when it opens"
    press(card, "check", _0="2", _1="2", _2="2")
    assert press(card, "working")["working"] == list(card.task.working)
    assert [len(press(card, "hint")["hints"]) for _ in range(4)] == [1, 2, 3, 3]
    assert (
        "with other numbers" in card.face["hints"][2]
        and card.task.working[3] not in card.face["hints"][2]
    )
    assert "All right" in press(card, "check", **answers(card))["message"]
    assert ask.my_record().last("2.1", "exercise")["counts"] is False


def shape(working):
    """The steps of a working without their numbers; a sign belongs to the step."""
    return [re.sub(r"[0-9]+([.][0-9]+)?", "#", step) for step in working]


@pytest.mark.parametrize(
    "name", sorted(set(all_exercises()) - {"6.1", "11.2"})
)  # in these two the last step names the answer itself
def test_hint_3_works_the_same_kind_of_case_with_other_numbers(name):
    exercise = all_exercises()[name]
    for key in ("a", "b", "c"):
        for draw in range(12):
            task = exercise.task(key, draw)
            other = exercise.like(task, key, draw + practice._FAR)
            assert (
                shape(other.working) == shape(task.working)
                and other.hints == task.hints
                and other.data != task.data
            )


def test_hint_3_shows_its_numbers_and_one_step_a_line():
    card = practice.exercise("1.1")
    for _ in range(2):
        press(card, "hint")
    title, given, *steps = press(card, "hint")["hints"][2].splitlines()
    for label, _ in card.task.data:
        assert f"{label}: " in given
    assert len(steps) == len(card.task.working) and steps[1].startswith("2) Load transfer")


def test_exercise_alone_counts_and_new_numbers_stay_after_reopening():
    card = practice.exercise("8.1")
    press(card, "check", **answers(card))
    assert ask.my_record().last("8.1", "exercise")["counts"] is True
    first = card.face["data"]
    press(card, "new")
    assert card.face["data"] != first and card.face["fields"][0]["value"] == ""
    assert reopen(practice.exercise, "8.1").face["data"] == card.face["data"]


def test_a_nudge_is_no_try():
    card = practice.exercise("1.1")
    for _ in range(3):
        press(card, "check", _0="99999999", _1="")
    assert card.tries == 0 and "0 of 2 right" in card.face["message"]


def test_entry_check_points_to_the_first_lesson_that_helps():
    card = start.entry_check()
    assert "5 to go" in press(card, "check")["message"]
    right = {name: str(entry["answer"]) for name, entry in card.asked.items()}
    assert "5 of 5" in press(card, "check", **right)["message"]
    assert "Start with lesson 5" in press(card, "check", **{**right, "entry.fast": "4"})["message"]


def test_damaged_record_is_said_on_card_and_map(own_folder):
    (own_folder / FILE_NAME).write_text("{torn")
    assert (
        "damaged" in practice.exercise("1.1").face["notice"]
        and "damaged" in progress_pages.lesson_map().html
    )


@pytest.mark.parametrize(
    "make, name",
    [
        (prediction.predict, "9.none"),
        (ask.question, "1.throttle"),
        (prediction.predict, "1.q.peak"),
        (practice.exercise, "7"),
    ],
)
def test_unknown_names_are_answered_with_the_known_ones(make, name):
    with pytest.raises(UserError, match="there are"):
        make(name)


@pytest.mark.parametrize(
    "entry, words",
    [
        ({"ask": "?", "options": []}, "lesson is missing"),
        (
            {"lesson": 1, "ask": "?", "options": ["a"], "model": ["a", "b"], "hue": 1},
            "unknown key 'hue'",
        ),
        ({"lesson": 1, "ask": "?", "options": ["a"]}, "model is missing"),
        ({"lesson": 1, "ask": "?", "options": ["a"], "model": ["a"]}, "2 to 4 parts"),
        (
            {"lesson": 1, "ask": "?", "options": ["a"], "model": ["a", "b"], "draw": {"ask": "?"}},
            "draw.x is missing",
        ),
        (
            {"lesson": 1, "ask": "?", "options": ["a"], "answer": 2, "why": "So.", "wrong": {}},
            "1 to 1",
        ),
        ({"lesson": 1, "ask": "?", "unit": "N", "lowest": 0.0}, "highest"),
    ],
)
def test_faulty_question_data_is_named(entry, words):
    with pytest.raises(UserError, match=words):
        check_question("questions.toml", "x", entry)


@pytest.mark.parametrize(
    "entry, words",
    [({"number": 1, "title": "x"}, "minutes is missing"), ({"hue": 1}, "number is missing")],
)
def test_faulty_lesson_data_is_named(entry, words):
    with pytest.raises(UserError, match=words):
        start._check_lesson(1, entry)


def test_lesson_data_hang_together():
    known = set(ask.questions()) | set(all_exercises())
    cautions = tomllib.loads((data_folder() / "safety.toml").read_text(encoding="utf-8"))[
        "cautions"
    ]
    numbers = [entry["number"] for entry in start.lessons()]
    assert numbers == list(range(1, 13))
    for entry in start.lessons():
        assert all(need < entry["number"] for need in entry["needs"])
        for outcome in entry["outcomes"]:
            assert set(outcome["shown_by"]) <= known, outcome
        if "notebook" in entry:
            assert entry["outcomes"] and set(entry["cautions"]) <= set(cautions)
    for name, entry in ask.questions().items():
        assert ("why" in entry) == ("answer" in entry), name
        assert entry.get("unit", "N") in UNITS
    for caution in cautions.values():
        assert caution["mark"] in "CMS" and (caution["mark"] != "S" or caution["source"])


def test_what_was_answered_is_shown_with_its_day_after_a_restart():
    press(ask.question("1.q.peak"), "check", answer="2")
    press(ask.question("1.q.side"), "check", answer="1")
    card = practice.exercise("1.1")
    press(card, "hint")
    press(card, "check", **answers(card))
    day = f"{datetime.now().day} {datetime.now():%b}"
    right, wrong = reopen(ask.question, "1.q.peak"), reopen(ask.question, "1.q.side")
    assert (
        right.face["message"] == f"Right on {day}."
        and right.face["fields"][0]["value"] == "2"
        and right.face["fields"][0]["fixed"]
    )
    assert (
        wrong.face["message"] == f"Not right on {day}."
        and wrong.face["fields"][0]["mark"] == "wrong"
    )
    again = reopen(practice.exercise, "1.1").face
    assert again["message"] == f"All right on {day}." and len(again["hints"]) == 1
    assert [field["value"] for field in again["fields"]] == [
        field["value"] for field in card.face["fields"]
    ]
    assert {field["mark"] for field in again["fields"]} == {"right"}


def test_a_right_answer_of_before_is_asked_for_again_from_memory():
    press(ask.question("1.q.peak"), "check", answer="2")
    card = reopen(ask.question, "1.q.peak")
    face = press(card, "again")
    assert (
        face["fields"][0]["value"] == ""
        and not face["fields"][0]["fixed"]
        and face["buttons"] == [["check", "Check", True]]
    )
    assert press(card, "check", answer="2")["fields"][0]["mark"] == "right"


def test_a_restart_does_not_make_seen_help_unseen():
    card = practice.exercise("1.1")
    for value in ("1", "2"):
        press(card, "check", _0=value, _1=value)
    press(card, "working")
    again = reopen(practice.exercise, "1.1")
    assert again.face["working"] and again.tries == 2
    press(again, "check", **answers(again))
    assert ask.my_record().last("1.1", "exercise")["counts"] is False


def test_the_entry_check_is_kind_to_who_does_not_know_and_comes_back():
    card = start.entry_check()
    unsure = {name: str(len(entry["options"])) for name, entry in card.asked.items()}
    face = press(card, "check", **unsure)
    assert {field["message"] for field in face["fields"]} == {
        f"That is fine to say. Lesson {n} shows it." for n in (1, 2, 5, 8)
    }
    assert face["links"] == [["Lesson 1: Grip and slip", "01_grip_and_slip.ipynb"]]
    record._record_of.cache_clear()
    assert start.entry_check().face["links"] == face["links"]


def test_progress_is_drawn_anew_with_each_answer_and_when_another_notebook_writes(own_folder):
    page, chart = progress_pages.what_next(1), progress_pages.lesson_map()
    ahead = progress_pages.go_on()
    assert "not tried" in page.html and "Begin here" in ahead.html
    press(ask.question("1.q.peak"), "check", answer="2")
    assert (
        "way is back: <strong>shown once" in page.html
        and "1 shown once" in chart.html
        and "Go on with" in ahead.html
    )
    Record(own_folder).add("question", 1, "1.q.side", "3", right=True, counts=True)
    deadline = time.monotonic() + 5
    while page.html.count("shown once") < 2 and time.monotonic() < deadline:
        time.sleep(0.1)
    assert page.html.count("shown once") == 2


@pytest.mark.parametrize(
    "name, guess, shown", [("1.throttle", "2", "."), ("2.split", "3,5 kN", " as 3500 N.")]
)
def test_a_prediction_comes_back_with_its_day(name, guess, shown):
    press(prediction.predict(name), "keep", guess=guess)
    message = reopen(prediction.predict, name).face["message"]
    day = record.day_of(ask.my_record().last(name, "prediction"))
    assert message.startswith(f"Written down on {day}{shown}")


@pytest.mark.parametrize(
    "make, picks",
    [
        (lambda _: trace_path("A", "charging", "RES", "ACC"), ["charge_pump"]),
        (service_work, [step.key for step in procedures()["safe_layout_a"].steps]),
    ],
)
def test_a_path_and_a_service_work_done_come_back_with_their_day(make, picks):
    card = make("safe_layout_a")
    assert "Right on" not in card.face["message"]
    for pick in picks:
        card.pick(pick) if hasattr(card, "pick") else press(card, "do", step=pick)
    day = record.day_of(ask.my_record().lines()[-1])
    assert reopen(make, "safe_layout_a").face["message"].startswith(f"Right on {day}.")
