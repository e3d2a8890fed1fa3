"""`class overview`: the counts of a class from its records, right beside torn, foreign, huge and
hostile files, each of which is named.
"""

import json
import os
import random
from pathlib import Path

import pytest

from tractionlab.cli import main as cli
from tractionlab.lesson import class_records
from tractionlab.lesson.questions import questions
from tractionlab.written.record import FILE_NAME, Record

GUESS = next(
    name for name, entry in questions().items() if "options" in entry and "answer" not in entry
)
NUMBER = next(name for name, entry in questions().items() if "unit" in entry)
ASKED = next(
    name for name, entry in questions().items() if "answer" in entry and entry["lesson"] > 1
)


def learner(folder, guess="1", right=True, number="2"):
    """A record as lessons write it."""
    folder.mkdir(parents=True)
    record, lesson = Record(folder), questions()[ASKED]["lesson"]
    record.add("prediction", questions()[GUESS]["lesson"], GUESS, guess)
    record.add("prediction", questions()[GUESS]["lesson"], GUESS, "2")
    record.add("prediction", questions()[NUMBER]["lesson"], NUMBER, number)
    record.add("help", 1, "1.1", "hint 1", hints=1, draw=0)
    record.add("exercise", 1, "1.1", "17", right=False, hints=1, draw=0, counts=False, wrong=True)
    record.add("question", lesson, ASKED, "1", right=right, hints=0, counts=right)
    record.add("question", lesson, ASKED, "2", right=True, hints=0, counts=False)
    return record.path


def overview(folder, capsys, *more):
    code = cli.main(["class", "overview", str(folder), *more])
    said = capsys.readouterr()
    assert code == 0, said.err
    return said.out


@pytest.fixture(autouse=True)
def as_installed(monkeypatch):
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *a, **k: None)


def test_counts_of_three_learners(tmp_path, capsys):
    learner(tmp_path / "learners" / "anna" / "tractionlab-course", right=False, number="1,5")
    os.rename(learner(tmp_path / "x", guess="2"), tmp_path / "bob.jsonl")
    learner(tmp_path / "carl", guess="9", right=False, number="much")
    old = tmp_path / "carl" / "earlier_groups" / "monday"
    learner(old)
    out = overview(tmp_path, capsys)
    assert out.startswith("3 records\n")
    assert f"    3  lesson {questions()[ASKED]['lesson']}, " in out
    first, second = questions()[GUESS]["options"][:2]
    block = out.partition(questions()[GUESS]["ask"])[2]
    assert block.index(f"    1  # {first}") < block.index(f"    1  # {second}")
    assert "    1  none of these" in block
    assert "    1  no number of this unit" in out
    assert "    2  from 1.5 to 2, half of them below 1.75" in out
    wrong = out.partition("Wrong at the first answer")[2].splitlines()[1:]
    assert wrong[0].startswith("    3 of   3;  3  lesson 1: exercise 1.1, ")
    assert wrong[1].startswith(f"    2 of   3;  0  lesson {questions()[ASKED]['lesson']}: ")
    assert "anna" not in out and "Looked at" not in out
    named = overview(tmp_path, capsys, "--names")
    assert "  bob.jsonl: lesson" in named and ", 3, 1" in named
    assert "  learners/anna/tractionlab-course: lesson" in named.replace("\\", "/")


def test_the_same_record_sent_twice_counts_once(tmp_path, capsys):
    path = learner(tmp_path / "anna")
    (tmp_path / "again.jsonl").write_bytes(path.read_bytes().rpartition(b'{"time"')[0])
    out = overview(tmp_path, capsys)
    assert out.startswith("1 record\n")
    assert "again.jsonl: the same learner as anna, which has more" in out


ROW = {
    "time": "2026-01-01T10:00:00",
    "kind": "question",
    "lesson": 2,
    "question": ASKED,
    "answer": "1",
}
BAD = {
    "empty": b"",
    "noise": bytes(range(256)) * 9,
    "other table": b'{"name": "x"}\n[1, 2]\nnull\n',
    "deep": b"[" * 200_000,
    "other lesson": json.dumps(ROW | {"lesson": 99}).encode(),
    "other question": json.dumps(ROW | {"question": "rm -rf /"}).encode(),
    "hints": json.dumps(ROW | {"hints": 10**30}).encode(),
    "right": json.dumps(ROW | {"right": "yes"}).encode(),
    "types": json.dumps(ROW | {"lesson": True}).encode(),
    "escape": json.dumps(ROW | {"kind": "exercise", "question": "\x1b[2J"}).encode(),
}


def test_two_hundred_mixed_files(tmp_path, capsys):
    """Bad ones are named, each once; the rest is counted as if they were not there."""
    chance = random.Random(16)
    wrong = 0
    for number in range(120):
        right = chance.random() < 0.6
        wrong += not right
        path = learner(tmp_path / f"learner{number:03}", right=right)
        if number < 30:
            path.write_bytes(path.read_bytes() + b'{"time": "2026-01-01", "kind": "ques')
    names = []
    for number in range(78):
        kind = list(BAD)[number % len(BAD)]
        names.append(f"bad{number:03} {kind}.jsonl")
        (tmp_path / names[-1]).write_bytes(BAD[kind])
    huge = tmp_path / "huge.jsonl"
    with open(huge, "wb") as file:
        file.truncate(10**9)
    names.append("huge.jsonl")
    (tmp_path / "link.jsonl").symlink_to(Path("learner001") / FILE_NAME)
    names.append("link.jsonl")
    out = overview(tmp_path, capsys)
    assert out.startswith("120 records\n")
    assert f"  {wrong:3} of 120;  0  lesson {questions()[ASKED]['lesson']}: " in out
    remarks = out.partition("not wholly, counted:\n")[2].splitlines()
    assert len(remarks) == 30 + len(names)
    for name in names:
        assert sum(line.startswith(f"  {name}: ") for line in remarks) == 1, name
    assert "  huge.jsonl: larger than 5 MB, so no record" in remarks
    assert sum("1 damaged of 9 lines left out" in line for line in remarks) == 30
    assert out.isprintable() is False and all(line.isprintable() for line in out.splitlines())


@pytest.mark.parametrize("name", ["nowhere", "empty"])
def test_nothing_to_count_is_said(tmp_path, capsys, name):
    (tmp_path / "empty").mkdir()
    assert cli.main(["class", "overview", str(tmp_path / name)]) == 2
    said = capsys.readouterr().err
    assert "is not a folder" in said or "No record was found" in said


def test_a_name_of_a_file_moves_no_cursor(tmp_path):
    assert class_records.plain(Path("a\x1b[2Jb\n.jsonl")) == "a?[2Jb?.jsonl"


def test_what_mail_did_to_a_record_is_put_right_or_named(tmp_path, capsys):
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    record = learner(tmp_path / "anna").read_bytes()
    (inbox / "anna.jsonl").write_bytes(b"\xef\xbb\xbf" + record.replace(b"\n", b"\r\n"))
    (inbox / "anna (1).jsonl").write_bytes(record)
    (inbox / "bob.jsonl.txt").write_bytes(learner(tmp_path / "bob").read_bytes())
    (inbox / "carl.zip").write_bytes(b"PK\x03\x04")
    out = overview(inbox, capsys)
    assert out.startswith("1 record\n") and "damaged" not in out
    assert "the same learner as" in out
    for name in ("bob.jsonl.txt", "carl.zip"):
        assert f"  {name}: not read. If a record is in it" in out
