"""The second group of the day: the first one's answers stay in a dated folder, and every lesson
opens as new.
"""

import json
import subprocess
import sys

import pytest

from tractionlab.lesson import new_group, predict
from tractionlab.lesson.next_group import EARLIER
from tractionlab.lesson.questions import questions
from tractionlab.written.record import my_record

GUESS = next(
    name
    for name, entry in questions().items()
    if "answer" not in entry and "points_to" not in entry and "options" in entry
)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def press(card, words):
    """What a click on a button with these words does."""
    (name,) = [name for name, label, _ in card.face["buttons"] if label == words]
    card.on_command(name, {})


def test_the_next_group_finds_every_lesson_as_new(folder):
    predict(GUESS).on_command("keep", {"guess": "1"})
    (folder / "cases").mkdir()
    (folder / "cases" / "case-1.json").write_text("[]", encoding="utf-8")
    (folder / "my_papers" / "mock-1").mkdir(parents=True)
    assert predict(GUESS).answered
    first, card = my_record().key(), new_group()
    press(card, "New group")
    assert (folder / "my_record.jsonl").exists(), "one click alone puts nothing aside"
    press(card, "Yes, put this group's answers aside")
    (kept,) = (folder / EARLIER).iterdir()
    assert sorted(path.name for path in kept.iterdir()) == ["cases", "my_papers", "my_record.jsonl"]
    assert (
        json.loads((kept / "my_record.jsonl").read_text(encoding="utf-8").splitlines()[1])[
            "question"
        ]
        == GUESS
    )
    assert not predict(GUESS).answered and f"{EARLIER}/{kept.name}" in card.face["message"]
    predict(GUESS).on_command("keep", {"guess": "2"})
    assert my_record().key() != first, "the next group gets numbers of its own"
    assert len((folder / "my_record.jsonl").read_text(encoding="utf-8").splitlines()) == 2


def test_two_groups_in_one_minute_stay_apart(folder):
    card = new_group()
    for guess in "12":
        predict(GUESS).on_command("keep", {"guess": guess})
        press(card, "New group")
        press(card, "Yes, put this group's answers aside")
    assert len(list((folder / EARLIER).iterdir())) == 2


def test_nothing_to_put_aside_and_a_change_of_mind(folder):
    card = new_group()
    press(card, "New group")
    press(card, "Yes, put this group's answers aside")
    assert (
        "Nothing has been answered here yet" in card.face["message"]
        and not (folder / EARLIER).exists()
    )
    predict(GUESS).on_command("keep", {"guess": "1"})
    press(card, "New group")
    press(card, "No, leave all as it is")
    assert predict(GUESS).answered and not (folder / EARLIER).exists()


def test_no_name_of_a_lesson_is_hidden_by_a_module():
    """A module that another one loads first takes the place of the function with its name."""
    program = (
        "from types import ModuleType\nfrom tractionlab import lesson\nfrom tractionlab.lesson"
        " import *\nprint([n for n in lesson.__all__ if isinstance(globals()[n], ModuleType)])"
    )
    assert (
        subprocess.run(
            [sys.executable, "-c", program], capture_output=True, text=True, check=True
        ).stdout.strip()
        == "[]"
    )
