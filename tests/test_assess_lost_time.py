"""Lost time: entered at the desk by the supervisor, given in the markbook by name and reason, and
never taken back by marking once more.
"""

import csv
import json
import time

import pytest
from sittings import file_of, ids_of, lines_of, paper_of, right_answers, sitting_of, written

from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.answers.worked import GRACE
from tractionlab.assess.desk.desk import Desk
from tractionlab.assess.markbook import appeals, export, given_time, state
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.reports.assessors_record import record
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.cli.main import main
from tractionlab.errors import UserError


@pytest.fixture
def late(tmp_path):
    """(sitting, folder, address): two candidates who answered the same late; one answer in time
    each, of a paper of 60 minutes.
    """
    sitting = sitting_of(ids_of("choice", most=4), ["1", "2"])
    folder = tmp_path / "inbox"
    folder.mkdir()
    for number in ("1", "2"):
        (folder / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, right_answers(sitting, number), step=1900)
        )
    address = str(tmp_path / "m.sqlite")
    return sitting, folder, address


def totals(address):
    store = Store(address)
    try:
        return {number: found.got for number, found in open_book(store).results.items()}
    finally:
        store.close()


def marked(late):
    store = Store(late[2])
    told = mark_folder(late[1], late[0], store, Here())
    store.close()
    return told


def test_lost_time_is_given_to_one_candidate_and_stays_when_marked_again(late, capsys):
    marked(late)
    before = totals(late[2])
    assert before["1"] == before["2"] > 0
    main(
        [
            "markbook",
            "time",
            "1",
            "--minutes",
            "200",
            "--by",
            "A. Assessor",
            "--reason",
            "power cut in room 4",
            "--store",
            late[2],
        ]
    )
    assert "200 minutes of lost time given back (before: 0)" in capsys.readouterr().out
    after = totals(late[2])
    assert after["1"] > before["1"] and after["2"] == before["2"]
    assert marked(late).counts["counted"] == 2 and totals(late[2]) == after
    (late[1] / "copy.jsonl").write_bytes((late[1] / "1.jsonl").read_bytes())
    marked(late)
    assert totals(late[2]) == after
    store = Store(late[2])
    assert appeals.appeal(open_book(store), "1", "A", "test") == []
    store.close()
    main(
        [
            "markbook",
            "time",
            "1",
            "--minutes",
            "0",
            "--by",
            "A",
            "--reason",
            "it was the other one",
            "--store",
            late[2],
        ]
    )
    assert totals(late[2]) == before


def test_time_given_before_marking_counts_at_the_first_marking(late, tmp_path):
    empty = tmp_path / "empty"
    empty.mkdir()
    store = Store(late[2])
    mark_folder(empty, late[0], store, Here())
    assert given_time.give(open_book(store), "time", ["1"], "240", "A", "fuse") == ({"1": 0}, 240)
    mark_folder(late[1], late[0], store, Here())
    found = open_book(store).results
    assert found["1"].got > found["2"].got
    store.close()


def test_lost_time_stands_in_show_record_and_exports(late, tmp_path, capsys):
    marked(late)
    main(
        [
            "markbook",
            "time",
            "1",
            "--minutes",
            "12",
            "--by",
            "A. Assessor",
            "--reason",
            "power cut",
            "--store",
            late[2],
        ]
    )
    main(["markbook", "show", "1", "--store", late[2]])
    shown = capsys.readouterr().out
    assert (
        "12 min of lost time given back" in shown
        and "A. Assessor: time" in shown
        and "power cut" in shown
    )
    store = Store(late[2])
    book = open_book(store)
    page = record(book).html()
    assert "12 min of lost time given back" in page and "power cut" in page
    rows = list(
        csv.DictReader(
            export.write_csv(book, tmp_path / "out")[0].read_text(encoding="utf-8-sig").splitlines()
        )
    )
    assert [row["lost_minutes"] for row in rows] == ["12", "0"]
    table = json.loads(export.write_json(book, tmp_path / "out").read_text(encoding="utf-8"))
    assert [one["lost_minutes"] for one in table["candidates"]] == [12, 0] and any(
        row["kind"] == "time" for row in table["changes"]
    )
    store.close()


@pytest.mark.parametrize("text", ["", "-5", "241", "1.5", "ten", "9" * 50, "١"])
def test_strange_minutes_are_one_sentence_and_change_nothing(late, text):
    marked(late)
    store = Store(late[2])
    with pytest.raises(UserError, match="whole number from 0 to 240"):
        given_time.give(open_book(store), "time", ["1"], text, "A", "why")
    assert not [row for row in open_book(store).changes() if row.kind == "time"]
    state.release(open_book(store), "A")
    with pytest.raises(UserError, match="released"):
        given_time.give(open_book(store), "time", ["1"], "5", "A", "why")
    store.close()


def test_a_supervisor_gives_lost_time_back_at_the_desk(tmp_path, monkeypatch):
    out = tmp_path / "sitting"
    issued = issue(
        paper_of(ids_of("choice", most=4), minutes=60),
        [Candidate("007", "A")],
        out,
        day="2026-03-02",
    )
    one = Desk(out / "candidates" / "candidate_007")
    one.start()
    began = time.time()
    name, field, value = right_answers(issued, "007")[0]
    monkeypatch.setattr(time, "time", lambda: began + 3700)
    sent = []
    one.send = sent.append
    one.turn()
    one.save(name, field, value)
    assert one.phase() == "over" and sent[-1]["kind"] == "refused"
    one._hear(None, {"command": "lost_time", "minutes": "12", "by": " ", "reason": "fuse"}, [])
    assert (
        "Not entered: The supervisor writes the name" in one.face["message"]
        and one.phase() == "over"
    )
    for minutes in ("", "0", "1000", "x", None, 5.5):
        one._hear(
            None,
            {"command": "lost_time", "minutes": minutes, "by": "Sam Supervisor", "reason": "fuse"},
            [],
        )
        assert "Not entered" in one.face["message"] and one.phase() == "over", minutes
    one._hear(
        None,
        {"command": "lost_time", "minutes": "12", "by": "Sam Supervisor", "reason": "fuse blown"},
        [],
    )
    assert (
        one.phase() == "working"
        and 600 < one.seconds_left() < 640
        and "12 minutes given back by Sam Supervisor" in one.face["message"]
    )
    one.save(name, field, value)
    assert sent[-1]["kind"] == "saved"
    assert Desk(out / "candidates" / "candidate_007").phase() == "working", (
        "a new kernel knows it too"
    )
    one.hand_in(True)
    one.enter("lost_time", minutes="5", by="Sam", reason="late")
    assert "while the paper is open" in one.face["message"]


def test_time_entered_at_the_desk_counts_as_far_as_the_markbook_gives_it(tmp_path):
    """A candidate alone at the machine can write a name there too: marking names it, and a person
    confirms it.
    """
    sitting = sitting_of(ids_of("choice", most=3), ["1"])
    lines = lines_of(sitting, "1", right_answers(sitting, "1"))
    lines.insert(2, ("time", {"minutes": 100, "by": "Sam Supervisor", "reason": "fuse blown"}))
    (tmp_path / "inbox").mkdir()
    (tmp_path / "inbox" / "1.jsonl").write_bytes(written(lines, sitting.seal("1"), step=2000))
    store = Store(str(tmp_path / "m.sqlite"))
    told = mark_folder(tmp_path / "inbox", sitting, store, Here())
    words = " ".join(said for _, said in told.named)
    assert (
        told.counts["counted"] == 1
        and "Sam Supervisor entered 100 minutes of lost time" in words
        and "markbook time" in words
        and "did not count" in words
    )
    less = open_book(store).results["1"].got
    given_time.give(open_book(store), "time", ["1"], "100", "A", "sign-on list")
    assert open_book(store).results["1"].got > less
    store.close()


@pytest.mark.parametrize(
    "odd", [{"minutes": "12"}, {"minutes": 12.5}, {"by": 5}, {"reason": None}, {"more": 1}]
)
def test_an_odd_line_of_lost_time_holds_the_file(odd):
    sitting = sitting_of(ids_of("choice", most=2), ["1"])
    lines = lines_of(sitting, "1", right_answers(sitting, "1"))
    lines.insert(1, ("time", {"minutes": 12, "by": "S", "reason": "fuse", **odd}))
    assert read_answers(written(lines, sitting.seal("1")), sitting.sheet("1")).grave


def test_the_key_file_keeps_the_issued_time(late):
    marked(late)
    store = Store(late[2])
    given_time.give(open_book(store), "time", ["1"], "30", "A", "fuse")
    book = open_book(store)
    assert (
        book.sitting.minutes_of("1") == late[0].minutes_of("1") + 30
        and '"lost"' not in book.row.sealed
        and GRACE == 30
    )
    store.close()
