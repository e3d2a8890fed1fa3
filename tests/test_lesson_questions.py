"""Questions with one right answer: neither place nor length gives it away, and each wrong option
has its own sentence.
"""

import re
from html import unescape
from math import sqrt

import pytest
from printed_lessons import sheets

from tractionlab.errors import UserError
from tractionlab.lesson import ask, start
from tractionlab.lesson.handouts import Handout
from tractionlab.lesson.questions import DO_NOT_KNOW, check_question, questions, shown_order
from tractionlab.written import record

WITH_KEY = {name: entry for name, entry in questions().items() if "answer" in entry}
LEARNERS = [f"{number:016x}" for number in range(200)]


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    record._record_of.cache_clear()
    return tmp_path


def choose(card, words):
    """Click the option with these words and check it, as the page does."""
    values = {
        field["name"]: next((key for key, said in field["options"] if said == words), "")
        for field in card.face["fields"]
    }
    card._hear(None, {"command": "check", "values": values}, None)
    return card.face["fields"][0]


def shown(name):
    """Words of the options in the order of the card."""
    return [words for _, words in ask.question(name).face["fields"][0]["options"]]


def restart():
    record._record_of.cache_clear()


def choices(entry):
    return [words for words in entry["options"] if words != DO_NOT_KNOW]


def hits(wanted):
    """How many questions somebody gets right who clicks the option that is `wanted` (max or min) in
    length.
    """
    found = 0.0
    for entry in WITH_KEY.values():
        lengths = [len(words) for words in choices(entry)]
        best = wanted(lengths)
        found += (lengths[entry["answer"] - 1] == best) / lengths.count(best)
    return found


@pytest.mark.parametrize("wanted", [max, min])
def test_the_length_of_an_option_does_not_tell_that_it_is_right(wanted):
    chance = sum(1 / len(choices(entry)) for entry in WITH_KEY.values())
    assert chance - 5 < hits(wanted) < chance + 1


def test_the_right_option_stands_on_each_place_as_often_as_chance_has_it():
    for number in (3, 4):
        drawn = [
            shown_order(name, entry, key).index(entry["answer"])
            for key in LEARNERS
            for name, entry in WITH_KEY.items()
            if len(entry["options"]) == number and not entry.get("ordered")
        ]
        places = len(
            choices(next(entry for entry in WITH_KEY.values() if len(entry["options"]) == number))
        )
        band = 4 * sqrt(len(drawn) * (1 / places) * (1 - 1 / places))
        assert all(abs(drawn.count(place) - len(drawn) / places) < band for place in range(places))


@pytest.mark.parametrize(
    "name", [name for name, entry in WITH_KEY.items() if not entry.get("ordered")]
)
def test_each_place_is_met_among_200_learners_and_do_not_know_stays_last(name):
    entry = WITH_KEY[name]
    orders = [shown_order(name, entry, key) for key in LEARNERS]
    assert all(sorted(order) == list(range(1, len(entry["options"]) + 1)) for order in orders)
    places, share = len(choices(entry)), [order.index(entry["answer"]) for order in orders]
    band = 4 * sqrt(len(orders) / places * (1 - 1 / places))
    assert all(abs(share.count(place) - len(orders) / places) < band for place in range(places))
    if DO_NOT_KNOW in entry["options"]:
        assert all(entry["options"][order[-1] - 1] == DO_NOT_KNOW for order in orders)


def test_ordered_options_and_predictions_stay_as_written():
    kept = [
        name
        for name, entry in questions().items()
        if "options" in entry and ("answer" not in entry or entry.get("ordered"))
    ]
    assert "8.q.speed" in kept and "1.throttle" in kept
    for name in kept:
        entry = questions()[name]
        assert all(
            shown_order(name, entry, key) == list(range(1, len(entry["options"]) + 1))
            for key in LEARNERS[:20]
        )


def test_the_order_is_the_same_after_a_restart_and_another_for_another_learner(
    tmp_path, monkeypatch
):
    choose(ask.question("1.q.peak"), shown("1.q.peak")[0])
    mine = {name: shown(name) for name in WITH_KEY}
    restart()
    assert {name: shown(name) for name in WITH_KEY} == mine
    (tmp_path / "neighbour").mkdir()
    monkeypatch.chdir(tmp_path / "neighbour")
    restart()
    assert sum(shown(name) != mine[name] for name in WITH_KEY) > 40


def test_the_record_keeps_the_option_itself_whatever_its_place(tmp_path, monkeypatch):
    name, entry, places = "7.q.steer", WITH_KEY["7.q.steer"], set()
    for number in range(60):  # three places at random: one missing once in 10^10
        (tmp_path / str(number)).mkdir()
        monkeypatch.chdir(tmp_path / str(number))
        restart()
        places.add(shown(name).index(entry["options"][entry["answer"] - 1]))
        assert choose(ask.question(name), entry["options"][entry["answer"] - 1])["mark"] == "right"
        line = ask.my_record().last(name, "question")
        assert line["answer"] == str(entry["answer"]) and line["right"] is True
    assert places == {0, 1, 2}


def test_every_option_answers_with_its_own_sentence():
    told = []
    for name, entry in WITH_KEY.items():
        for number, words in enumerate(entry["options"], 1):
            field = choose(ask.question(name), words)
            right = number == entry["answer"]
            assert field["mark"] == ("right" if right else "wrong"), name
            if words != DO_NOT_KNOW:
                assert field["message"].startswith("Right. " if right else "Not this one. "), name
                assert 40 < len(field["message"]) < 260, (name, number)
                told.append(field["message"])
    assert len(told) == len(set(told)) > 2 * len(WITH_KEY)


def test_i_do_not_know_is_no_mistake_to_be_told_off_for():
    card = start.entry_check()
    for _ in range(2):
        values = {field["name"]: field["options"][-1][0] for field in card.face["fields"]}
        card._hear(None, {"command": "check", "values": values}, None)
    said = [field["message"] for field in card.face["fields"]]
    assert said[0] == "That is fine to say. Lesson 1 shows it." and not any(
        "No." in words for words in said
    )


def test_a_second_try_at_the_entry_check_is_no_proof():
    card = start.entry_check()
    right = {name: str(entry["answer"]) for name, entry in card.asked.items()}
    card._hear(None, {"command": "check", "values": {**right, "entry.fast": "1"}}, None)
    assert "4 of 5. Start with lesson 5" in card.face["message"]
    card._hear(None, {"command": "check", "values": right}, None)
    assert "5 of 5" in card.face["message"] and "Start with lesson 5" in card.face["message"]


@pytest.mark.parametrize("number", [1, 9])
def test_paper_has_one_order_and_the_key_names_the_letter_that_is_printed(number):
    sheet, key = (re.sub(r"<[^>]+>", "\n", page) for page in sheets(number)[:2])
    again = re.sub(r"<[^>]+>", "\n", Handout(number).worksheet.html())
    assert again == sheet
    letters = set()
    for entry in WITH_KEY.values():
        if entry["lesson"] != number:
            continue
        printed = {
            words: letter for letter, words in re.findall(r"\u2610 ([A-H])  (.+)", unescape(sheet))
        }
        right = entry["options"][entry["answer"] - 1]
        assert f"{printed[right]}  {right}. {entry['why']}" in unescape(key)
        letters.add(printed[right])
        for wrong, words in entry["wrong"].items():
            assert f"Who chose {printed[entry['options'][int(wrong) - 1]]}: {words}" in unescape(
                key
            )
            assert words not in unescape(sheet)
    assert number == 1 or len(letters) == 3


@pytest.mark.parametrize(
    "change, words",
    [
        ({"wrong": {"1": "So."}}, r"\[x\]: wrong.3 is missing: say why a person would choose 'c'"),
        ({"wrong": {"1": "So.", "3": "  "}}, "wrong.3 is missing"),
        (
            {"wrong": {"1": "So.", "2": "So.", "3": "So."}},
            "wrong.2 belongs to no wrong option; allowed are 1, 3",
        ),
        ({"wrong": "no"}, "wrong is missing or not a dict"),
        ({"why": 3}, "why is missing or not a str"),
        ({"ordered": 1}, "ordered must be true or false"),
    ],
)
def test_a_question_without_its_sentences_is_refused_with_file_and_field(change, words):
    whole = {
        "lesson": 1,
        "ask": "?",
        "options": ["a", "b", "c"],
        "answer": 2,
        "why": "So.",
        "wrong": {"1": "So.", "3": "So."},
    }
    check_question("questions.toml", "x", whole)
    with pytest.raises(UserError, match=words) as caught:
        check_question("questions.toml", "x", {**whole, **change})
    assert str(caught.value).startswith("questions.toml, [x]: ")
