"""The learner's file under bad luck: torn lines, foreign content, write-protected folders."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab.written.record import FILE_NAME, Record, progress


def test_key_and_answers_survive_reopening(tmp_path):
    first = Record(tmp_path)
    first.add("exercise", 1, "1.1", "12,5", right=True, hints=1, draw=0, counts=True)
    again = Record(tmp_path)
    assert again.key() == first.key()
    assert again.last("1.1", "exercise")["answer"] == "12,5"
    assert again.note == ""


def test_nothing_is_written_before_the_first_answer(tmp_path):
    Record(tmp_path).key()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("keep", [1, 10, 60, -1])
def test_torn_last_line_is_noted_and_kept(tmp_path, keep):
    record, path = Record(tmp_path), tmp_path / FILE_NAME
    record.add("question", 1, "1.q.peak", "2", right=True)
    whole = path.read_bytes()
    torn = (
        b'{"time": "2026-01-01T10:00:00+00:00", "kind": "question", "lesson": 1,'
        b' "question": "x", "answer": "1"}'
    )
    torn = torn[:keep]
    path.write_bytes(whole + torn)
    record.add("question", 1, "1.q.side", "2", right=True)
    assert [line["question"] for line in record.lines()] == ["", "1.q.peak", "1.q.side"]
    assert "1 damaged line" in record.note
    assert path.read_bytes().startswith(whole + torn + b"\n")


@settings(max_examples=200, deadline=None)
@given(junk=st.binary(max_size=200))
def test_any_content_is_survived_and_never_lost(tmp_path_factory, junk):
    folder = tmp_path_factory.mktemp("any")
    (folder / FILE_NAME).write_bytes(junk)
    record = Record(folder)
    record.add("question", 1, "1.q.peak", "2", right=True)
    assert record.lines()[-1]["question"] == "1.q.peak"
    assert (folder / FILE_NAME).read_bytes().startswith(junk)


@pytest.mark.parametrize(
    "line",
    [
        "[" * 100_000,
        "null",
        "7",
        '{"time": 3}',
        '{"time":"t","kind":"key","lesson":true,"question":"","answer":"x"}',
    ],
)
def test_lines_of_another_form_are_not_used(tmp_path, line):
    (tmp_path / FILE_NAME).write_text(line + "\n")
    record = Record(tmp_path)
    assert record.lines() == [] and "damaged" in record.note


def test_a_folder_that_cannot_be_written_gives_one_sentence(tmp_path):
    record = Record(tmp_path / "gone")
    record.add("prediction", 1, "1.throttle", "2")
    assert "cannot be saved" in record.note and "still works" in record.note
    assert record.last("1.throttle", "prediction")["answer"] == "2"


def test_a_folder_in_the_place_of_the_file(tmp_path):
    (tmp_path / FILE_NAME).mkdir()
    record = Record(tmp_path)
    record.add("prediction", 1, "1.throttle", "2")
    assert record.last("1.throttle", "prediction")["answer"] == "2" and record.note


def test_two_notebooks_write_one_file(tmp_path):
    a, b = Record(tmp_path), Record(tmp_path)
    for number in range(50):
        (a if number % 2 else b).add("question", 1, "1.q.peak", number, right=True)
    lines = [json.loads(line) for line in (tmp_path / FILE_NAME).read_text().splitlines()]
    assert [line["answer"] for line in lines if line["kind"] == "question"] == [
        str(n) for n in range(50)
    ]
    assert a.key() == b.key()


def test_progress_needs_two_different_proofs():
    def line(kind="exercise", question="1.1", **more):
        return {"kind": kind, "question": question, "time": "2026-01-01T10:00:00+00:00", **more}

    assert progress([], ["1.1"]) == "not tried"
    assert progress([line(draw=0, counts=False)], ["1.1"]) == "tried"
    assert progress([line(draw=0, counts=True)] * 3, ["1.1"]) == "shown once"
    assert (
        progress([line(draw=0, counts=True), line(draw=1, counts=True)], ["1.1"]) == "shown twice"
    )
    same_day = [line("question", "1.q.peak", counts=True)] * 2
    assert progress(same_day, ["1.q.peak"]) == "shown once"
    assert (
        progress([*same_day, {**same_day[0], "time": "2026-01-03T10:00:00+00:00"}], ["1.q.peak"])
        == "shown twice"
    )
    assert progress([line(kind="prediction")], ["1.1"]) == "not tried"
