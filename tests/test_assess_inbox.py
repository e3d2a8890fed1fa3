"""The inbox: whole folders collected, answer files under odd names, what cannot be read."""

import os

import pytest
from sittings import file_of, ids_of, right_answers, sitting_of

from tractionlab.assess.answers import folder as answer_folder
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here


@pytest.fixture
def inbox(tmp_path):
    (tmp_path / "inbox").mkdir()
    return tmp_path / "inbox"


@pytest.fixture
def marked(tmp_path, inbox):
    """callable(): marks the inbox and gives (Told, Book)."""
    sitting = sitting_of(ids_of("choice", most=2), [f"{n}" for n in range(9)])
    store = Store(str(tmp_path / "m.sqlite"))

    def mark():
        return mark_folder(inbox, sitting, store, Here()), open_book(store)

    mark.sitting = sitting
    yield mark
    store.close()


def put(path, content=b""):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def answers(sitting, number):
    return file_of(sitting, number, right_answers(sitting, number))


def test_whole_folders_make_no_noise(inbox, marked):
    """All that an opened folder of a candidate holds, as the course and JupyterLab leave it."""
    one = inbox / "candidate_1"
    put(one / "answers_1.jsonl", answers(marked.sitting, "1"))
    put(one / "hand_in_1.jsonl", answers(marked.sitting, "1"))
    for name in (
        "sitting.ipynb",
        "sheet.json",
        "answers_1.jsonl.lock",
        "answers_1.aside-1",
        ".tractionlab/pip.log",
        ".tractionlab/jupyter/labconfig/default_setting_overrides.json",
        ".ipynb_checkpoints/sitting-checkpoint.ipynb",
        ".ipynb_checkpoints/sheet-checkpoint.json",
    ):
        put(one / name, b"{}")
    told, _ = marked()
    assert dict(told.counts) == {"counted": 1, "duplicates": 1}
    assert [name for name, _ in told.named] == ["candidate_1/hand_in_1.jsonl"]


@pytest.mark.parametrize(
    "name",
    [
        "answers.lock",
        "answers_2.aside-1",
        "sheet.json",
        "sitting.ipynb",
        ".ipynb_checkpoints/answers_2-checkpoint.jsonl",
        "a/b/c/d/e/f/g/h/2.jsonl",
    ],
)
def test_an_answer_file_counts_by_whatever_name(inbox, marked, name):
    put(inbox / name, answers(marked.sitting, "2"))
    told, book = marked()
    assert told.counts["counted"] == 1 and book.status("2") == "marked"


@pytest.mark.parametrize(
    "name", ["notes.txt", "answers_2.aside-old", "x.ipynb", ".ipynb_checkpoints/notes.txt"]
)
def test_what_is_none_of_the_course_is_named(inbox, marked, name):
    put(inbox / name, b"?")
    assert [one for one, _ in marked()[0].named] == [name]


def test_a_folder_too_deep_is_named(inbox, marked):
    deep = "/".join("abcdefghi")
    put(inbox / deep / "2.jsonl", answers(marked.sitting, "2"))
    ((name, words),) = marked()[0].named
    assert name == deep and "inside more than 8 others" in words


def test_a_folder_that_cannot_be_opened_is_named_and_stops_nothing(inbox, marked, monkeypatch):
    put(inbox / "locked" / "2.jsonl", answers(marked.sitting, "2"))
    put(inbox / "z.jsonl", answers(marked.sitting, "3"))
    real = os.scandir

    def closed(path="."):
        if os.path.basename(path) == "locked":
            raise PermissionError(13, "Permission denied", str(path))
        return real(path)

    with monkeypatch.context() as at:
        at.setattr(answer_folder.os, "scandir", closed)
        told, book = marked()
    assert book.status("3") == "marked" and book.status("2") == "absent"
    assert told.named == [("locked", "It cannot be read (Permission denied).")]
    told, book = marked()
    assert not told.named and book.status("2") == "marked", "opened in the meantime"
