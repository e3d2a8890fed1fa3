"""The start page: what is due comes back by its rule, a car of the day, one way on, and the count
of guesses.
"""

from datetime import date, timedelta

import pytest
from cards import press
from hypothesis import given
from hypothesis import strategies as st

from tractionlab.lesson import daily_car, daily_questions, progress_pages, spacing
from tractionlab.lesson.case_forms import AnotherCase
from tractionlab.lesson.look_back import CAME_OUT
from tractionlab.lesson.start import lesson
from tractionlab.workshop.fault_entry import GROUPS
from tractionlab.workshop.faults import faults
from tractionlab.written import record

TODAY = date(2026, 12, 1)


@pytest.fixture(autouse=True)
def on_the_day(own_folder, monkeypatch):
    monkeypatch.setattr(daily_questions, "today", TODAY.isoformat)
    monkeypatch.setattr(daily_car, "today", TODAY.isoformat)


def line(name, days_ago, right, kind="question"):
    time = f"{TODAY - timedelta(days=days_ago)}T10:00:00+00:00"
    return {
        "time": time,
        "kind": kind,
        "lesson": 1,
        "question": name,
        "answer": "1",
        "right": right,
    }


def write(*lines):
    """Lines into the record as they were on their days."""
    import json

    path = record.my_record().path
    with path.open("a", encoding="utf-8") as file:
        file.writelines(json.dumps(one) + "\n" for one in lines)


def names(*answers):
    return spacing.due([line(*answer) for answer in answers], {"a", "b", "c", "d", "e"}, TODAY)


@pytest.mark.parametrize(
    "answers, there",
    [
        ([("a", 1, False)], True),
        ([("a", 1, True)], False),
        ([("a", 2, True)], True),
        ([("a", 5, True), ("a", 3, True)], False),
        ([("a", 6, True), ("a", 4, True)], True),
        ([("a", 6, True), ("a", 1, False)], True),
        ([("a", 9, False), ("a", 1, True)], False),
        ([("a", 2, False), ("a", 2, True)], True),
        ([("a", 0, False)], False),
    ],
)
def test_a_question_comes_back_after_its_gap(answers, there):
    assert names(*answers) == (["a"] if there else [])


def test_the_first_answer_of_a_day_decides():
    assert names(("a", 1, False), ("a", 1, True)) == ["a"]
    assert names(("a", 1, True), ("a", 1, False)) == []


def test_three_at_most_and_those_that_waited_longest_for_their_gap():
    assert names(("a", 2, True), ("b", 8, True), ("c", 3, False), ("d", 2, False)) == [
        "b",
        "c",
        "d",
    ]


@given(st.lists(st.tuples(st.sampled_from("abcde"), st.integers(0, 60), st.booleans())))
def test_nothing_is_asked_that_was_not_answered_before_and_today_changes_nothing(answers):
    answers = sorted(answers, key=lambda answer: -answer[1])
    found = names(*answers)
    before = {name for name, ago, _ in answers if ago > 0}
    assert set(found) <= before and len(found) <= 3
    assert names(*(answer for answer in answers if answer[1] > 0)) == found
    lines = [line(*answer) for answer in answers]
    ahead = spacing.next_day(lines, set("abcde"), TODAY)
    assert ahead is None if not answers else ahead > TODAY


def test_lines_that_make_no_sense_are_passed_over():
    odd = [
        {**line("a", 3, False), "time": "yesterday"},
        {**line("b", 3, False), "right": "no"},
        line("c", 3, False, kind="exercise"),
        line("zebra", 3, False),
    ]
    assert spacing.due(odd, {"a", "b", "c"}, TODAY) == ["b"]


def test_the_warm_up_asks_one_after_the_other_and_is_done_for_the_day(monkeypatch):
    write(*(line(name, 3, False) for name in ("1.q.peak", "1.q.side", "2.recall", "2.q.same")))
    card = daily_questions.WarmUp()
    assert "question 1 of 3" in card.face["title"]
    monkeypatch.setattr(record, "_entry", stamped(record._entry))
    assert press(card, "check")["message"] == "Choose one answer first."
    for number in (1, 2, 3):
        answer = daily_questions.pool()[card.at]["answer"]
        wrong = answer % 3 + 1
        face = press(card, "check", answer=str(wrong if number == 2 else answer))
        assert face["fields"][0]["mark"] == ("wrong" if number == 2 else "right")
        if number == 2:
            again = daily_questions.WarmUp()
            assert "question 3 of 3" in again.face["title"], "after a reload it goes on"
        press(card, "next")
    assert card.face["text"].startswith("Done for today: 2 of 3 right.")
    assert len(card.face["links"]) == 1 and card.face["fields"] == []
    assert daily_questions.WarmUp().face["text"] == card.face["text"]


def stamped(entry):
    """As `_entry` of the record, on the day of these tests."""

    def made(*what):
        return {**entry(*what), "time": f"{TODAY}T12:00:00+00:00"}

    return made


def test_who_has_answered_nothing_is_told_what_comes():
    assert daily_questions.WarmUp().face["text"].startswith("Nothing yet.")
    write(line("1.q.peak", 1, True))
    text = daily_questions.WarmUp().face["text"]
    assert text.startswith("Nothing is due today. The next questions come on 2 Dec.")


def test_every_day_has_its_car_and_every_group_its_lesson():
    days = [(TODAY + timedelta(days=n)).isoformat() for n in range(400)]
    cars = [daily_car.drawn_for(day) for day in days]
    assert cars == [daily_car.drawn_for(day) for day in days]
    assert len({entry.id for entry, _ in cars}) > 0.9 * len(faults())
    assert all(vehicle in entry.vehicles for entry, vehicle in cars)
    assert set(daily_car.LESSONS) == set(GROUPS)
    assert all("notebook" in lesson(number) for number in daily_car.LESSONS.values())


def test_the_story_of_the_car_waits_until_it_is_asked_for_and_the_suspicion_is_kept():
    card = daily_car.CarOfTheDay()
    entry, vehicle = daily_car.drawn_for(TODAY.isoformat())
    assert entry.story in card.face["text"] and entry.cause not in str(card.face)
    assert "Write a line first" in press(card, "keep")["message"]
    press(card, "keep", suspect="A sensor")
    face = press(card, "story")
    assert entry.cause in face["message"] and face["fields"][0]["value"] == "A sensor"
    assert len(face["links"]) == 2
    assert record.my_record().last(entry.id, daily_car.KIND)["answer"] == "A sensor"


def test_one_way_on_what_was_shown_and_the_count_of_guesses():
    html = progress_pages.go_on().html
    assert html.count("<a ") == 1 and "Begin here" in html and "guesses" not in html
    write(
        {**line("1.throttle", 1, True, CAME_OUT)},
        {**line("1.side", 1, False, CAME_OUT)},
        {**line("1.q.peak", 1, True), "counts": True},
    )
    html = progress_pages.go_on().html
    assert "You have shown 1 of " in html and "1 of 2 of your guesses came true." in html


def test_the_car_of_the_day_comes_to_the_bench(monkeypatch):
    monkeypatch.setattr("tractionlab.lesson.case_forms.today", TODAY.isoformat)
    form = AnotherCase()
    press(form, "today")
    entry, vehicle = daily_car.drawn_for(TODAY.isoformat())
    assert (form.case.fault.id, form.case.vehicle) == (entry.id, vehicle)
    form.bench.leave()
