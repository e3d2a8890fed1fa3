"""A full disk, a markbook that can only be read, a folder that is not there: one sentence each, and
nothing is lost.
"""

import errno
import os

import pytest
import sqlalchemy as sa
from sittings import file_of, ids_of, paper_of, right_answers, sitting_of

from tractionlab.assess.answers.check_number import check_number
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.desk.desk import Desk
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.reports.write import write
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.cli.main import main
from tractionlab.errors import UserError
from tractionlab.written import line_file


@pytest.fixture
def room(tmp_path):
    """(sitting, folder of answer files, markbook) of one class of three."""
    sitting = sitting_of(ids_of("choice", most=3), ["1", "2", "3"])
    folder = tmp_path / "inbox"
    folder.mkdir()
    for number in sitting.candidates:
        (folder / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, right_answers(sitting, number))
        )
    return sitting, folder, tmp_path / "m.sqlite"


def full_disk(*_):
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def marked(room):
    store = Store(str(room[2]))
    mark_folder(room[1], room[0], store, Here())
    store.close()


def test_a_full_disk_while_marking_is_one_sentence_and_loses_nothing(room):
    marked(room)
    before = {path: path.read_bytes() for path in room[1].iterdir()}
    for number in range(200):
        (room[1] / f"more-{number}.jsonl").write_bytes(
            file_of(room[0], "1", right_answers(room[0], "1")[:1], step=21 + number)
        )
    store = Store(str(room[2]))
    with store.engine.connect() as db:
        pages = db.execute(sa.text("PRAGMA page_count")).scalar()
    sa.event.listen(
        store.engine,
        "checkout",
        lambda connection, *_: connection.execute(f"PRAGMA max_page_count={pages + 2}"),
    )
    with pytest.raises(
        UserError,
        match=r"cannot be written \(database or disk is full\). What was written before is safe",
    ):
        mark_folder(room[1], room[0], store, Here())
    store.close()
    again = Store(str(room[2]))
    assert {number: found.percent for number, found in open_book(again).results.items()} == {
        "1": 100.0,
        "2": 100.0,
        "3": 100.0,
    }
    again.close()
    assert all(path.read_bytes() == content for path, content in before.items())


@pytest.fixture
def read_only(room, monkeypatch):
    marked(room)
    real = os.access
    monkeypatch.setattr(
        os,
        "access",
        lambda path, mode: (
            False if mode == os.W_OK and str(path).endswith("m.sqlite") else real(path, mode)
        ),
    )
    return room


def test_a_markbook_on_a_disc_can_be_read(read_only, tmp_path, capsys):
    before = read_only[2].read_bytes()
    for words in (
        ["list"],
        ["show", "1"],
        ["statistics"],
        ["sample"],
        ["similar"],
        ["compare"],
        ["resit"],
    ):
        assert main(["markbook", *words, "--store", str(read_only[2])]) == 0
    assert (
        main(
            [
                "markbook",
                "export",
                "csv",
                "--out",
                str(tmp_path / "out"),
                "--store",
                str(read_only[2]),
            ]
        )
        == 0
    )
    assert "100.0" in capsys.readouterr().out or (tmp_path / "out" / "results.csv").is_file()
    assert read_only[2].read_bytes() == before and not list(tmp_path.glob("m.sqlite-*"))


@pytest.mark.parametrize(
    "words",
    [
        ["change", "1", "ITEM", "0", "--by", "A", "--reason", "w"],
        ["release", "--by", "A"],
        ["time", "1", "--minutes", "5", "--by", "A", "--reason", "w"],
    ],
)
def test_a_markbook_that_can_only_be_read_says_so_when_it_should_change(read_only, words, capsys):
    words = [read_only[0].paper["items"][0] if word == "ITEM" else word for word in words]
    assert main(["markbook", *words, "--store", str(read_only[2])]) == 2
    assert (
        "can only be read here. Copy it to a folder of your own to change it."
        in capsys.readouterr().err
    )


def test_a_file_that_is_no_markbook_is_not_taken_for_one(tmp_path, monkeypatch):
    (tmp_path / "m.sqlite").write_bytes(b"")
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    with pytest.raises(UserError, match="cannot be opened"):
        Store(str(tmp_path / "m.sqlite"))


def test_the_check_of_the_tables_still_holds(room):
    marked(room)
    store = Store(str(room[2]))
    with store.begin() as db:
        db.execute(t.about.update().values(schema=99))
    store.close()
    with pytest.raises(UserError, match="tables of edition 99"):
        Store(str(room[2]))


def test_a_hand_in_on_a_full_disk_is_a_hand_in_all_the_same(tmp_path, monkeypatch):
    out = tmp_path / "sitting"
    sitting = issue(paper_of(ids_of("choice", most=2)), [Candidate("007", "A")], out)
    folder = out / "candidates" / "candidate_007"
    one = Desk(folder)
    one.start()
    monkeypatch.setattr(line_file.os, "replace", full_disk)
    one._hear(None, {"command": "hand_in", "own_work": True}, [])
    content = (folder / "answers_007.jsonl").read_bytes()
    assert (
        one.face["phase"] == "handed_in"
        and one.face["file"] == "answers_007.jsonl"
        and one.face["number"] == check_number(content)
    )
    assert "No space left on device" in one.face["notice"] and not list(folder.glob("*hand_in*"))
    assert read_answers(content, sitting.sheet("007")).handed_in
    monkeypatch.undo()
    again = Desk(folder)
    assert (
        again.face["file"] == "hand_in_007.jsonl"
        and (folder / "hand_in_007.jsonl").read_bytes() == content
    )


def test_a_note_on_a_full_disk_is_told_and_written_with_the_next_step(tmp_path, monkeypatch):
    issue(paper_of(["11-case-lead"]), [Candidate("007", "A")], tmp_path / "sitting")
    one = Desk(tmp_path / "sitting" / "candidates" / "candidate_007")
    one.start()
    one.open_item("11-case-lead")
    bench = one.bench.children[0].children[0]
    steps = lambda: [entry["do"] for entry in one.file.reading.answers()["11-case-lead"]["answer"]]
    bench._hear(None, {"command": "cautions", "values": {}}, [])
    with monkeypatch.context() as broken:
        broken.setattr(line_file.os, "fsync", full_disk)
        bench._hear(None, {"command": "note", "values": {"text": "front left 5.0 V"}}, [])
    assert (
        bench.face["message"].startswith("NOT saved")
        and steps() == ["start", "cautions"]
        and not any("5.0 V" in str(line) for line in bench.face["line"])
    )
    bench._hear(None, {"command": "note", "values": {"text": "n" * 2001}}, [])
    assert "the note has 2001 characters, the most is 2000" in bench.face["message"]
    bench._hear(None, {"command": "note", "values": {"text": "rear left 0.5 V"}}, [])
    assert (
        bench.face["message"] == "Written down."
        and steps() == ["start", "cautions", "note", "note"]
        and "5.0 V" in str(bench.face["line"])
    )


def test_a_page_that_does_not_fit_leaves_no_half(room, monkeypatch, tmp_path):
    marked(room)
    store = Store(str(room[2]))
    monkeypatch.setattr(line_file.os, "fsync", full_disk)
    with pytest.raises(OSError, match="No space left"):
        write(open_book(store), tmp_path / "reports")
    assert not [path for path in (tmp_path / "reports").rglob("*") if path.is_file()]
    store.close()


def test_a_report_into_a_missing_folder_is_one_sentence_after_the_work(room, tmp_path, capsys):
    key = tmp_path / "sitting.json"
    key.write_text(room[0].to_json(), encoding="utf-8")
    assert (
        main(
            [
                "mark",
                str(room[1]),
                "--sitting",
                str(key),
                "--store",
                str(room[2]),
                "--report",
                str(tmp_path / "no" / "told.txt"),
            ]
        )
        == 2
    )
    told = capsys.readouterr()
    assert (
        "3 counted" in told.out
        and "Everything was marked, but --report" in told.err
        and "Traceback" not in told.err
    )
