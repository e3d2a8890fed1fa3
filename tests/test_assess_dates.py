"""Days and clocks: work of another day and a clock set back wait for a person; what the desk saves
is never too much for marking.
"""

import pytest
from sittings import ids_of, paper_of, right_answers

from tractionlab.assess.answers import file as answer_file
from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers import reading as answer_reading
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.desk.desk import Desk
from tractionlab.assess.markbook.workers import Here
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.cli.main import main


@pytest.fixture
def room(tmp_path, monkeypatch):
    """callable(times) -> what marking says of a candidate who worked at the desk, each line at the
    next of these times; the last time holds on.
    """
    monkeypatch.setattr("tractionlab.assess.markbook.mark_folder.workers", lambda address: Here())
    out = tmp_path / "sitting"
    sitting = issue(
        paper_of(ids_of("choice", most=3)), [Candidate("007", "A")], out, day="2026-03-02"
    )
    folder = out / "candidates" / "candidate_007"

    def words(name, *more):
        return main(["markbook", name, "007", *more, "--store", str(tmp_path / "m.sqlite")])

    def sat(*times):
        waiting = list(times)
        with monkeypatch.context() as at:
            at.setattr(
                answer_line, "now", lambda: waiting.pop(0) if len(waiting) > 1 else waiting[0]
            )
            at.setattr(
                Desk, "phase", lambda self: "working" if self.file.reading.lines else "ready"
            )
            one = Desk(folder)
            one.start()
            for item, field, value in right_answers(sitting, "007"):
                one.save(item, field, value)
            one.hand_in(True)
        main(
            ["mark", str(out / "candidates"), "--store", str(tmp_path / "m.sqlite")]
            + ["--sitting", str(out / "assessor" / "sitting.json")]
        )

    sat.sitting, sat.folder, sat.words = sitting, folder, words
    return sat


@pytest.mark.parametrize("day", ["2026-03-01", "2026-03-03", "2099-03-02", "2000-03-02"])
def test_work_of_another_day_is_held_until_a_person_counts_it(room, capsys, day):
    room(f"{day}T12:00:00Z")
    told = capsys.readouterr().out
    assert "0 counted, 1 held" in told
    assert f"The work was begun on {day}; the sitting is of 2026-03-02." in told
    room.words("accept", "--by", "A. Assessor", "--reason", "the sitting was put off")
    room.words("show")
    assert "007 A: marked" in capsys.readouterr().out


def test_work_of_the_day_is_counted_without_a_word(room, capsys):
    room("2026-03-02T12:00:00Z")
    told = capsys.readouterr().out
    assert "1 counted" in told and "Files to look at" not in told


def test_the_day_is_that_of_the_place(room, monkeypatch):
    """In a place 13 hours ahead of UTC a morning is still the day before in UTC."""
    from dataclasses import replace

    seconds = answer_line.seconds("2026-03-01T20:00:00Z")
    assert replace(room.sitting, ahead=13 * 60).day_of(seconds) == "2026-03-02"
    assert replace(room.sitting, ahead=-60).day_of(seconds) == "2026-03-01"


def test_the_desk_says_before_the_start_that_it_is_another_day(room):
    assert (
        "This paper is for 2026-03-02, and the clock of this machine"
        in (Desk(room.folder).face["notice"])
    )


def test_a_clock_set_back_is_held_and_what_came_after_is_shown(room, capsys):
    room("2026-03-02T12:00:00Z", "2026-03-02T12:40:00Z", "2026-03-02T10:40:00Z")
    told = capsys.readouterr().out
    items = room.sitting.paper["items"]
    assert "1 held" in told and (
        "set back by 120 min 0 s (line 3 from 12:40:00 to 10:40:00, UTC)."
        f" Answered after that: {items[1]}, {items[2]}." in told
    )


def test_a_clock_that_is_put_right_by_some_minutes_is_a_remark(room, capsys):
    room("2026-03-02T12:00:00Z", "2026-03-02T12:40:00Z", "2026-03-02T12:35:00Z")
    told = capsys.readouterr().out
    assert "1 counted" in told and "went back by 300 s." in told


@pytest.mark.parametrize("what, most", [("MOST_LINES", 30), ("LONGEST_FILE", 30_000)])
def test_what_the_desk_saves_marking_reads(room, monkeypatch, capsys, what, most):
    """The limits of marking, made small; the share that is kept free likewise."""
    monkeypatch.setattr(answer_reading, what, most)
    monkeypatch.setattr(answer_file, what, most)
    monkeypatch.setattr(answer_file, "SPARE", 10)
    monkeypatch.setattr(answer_file, "LAST", 2)
    one, sent = Desk(room.folder), []
    one.send = sent.append
    monkeypatch.setattr(
        Desk, "phase", lambda self: "working" if self.file.reading.lines else "ready"
    )
    one.start()
    item, field, _ = right_answers(room.sitting, "007")[0]
    for k in range(60):
        one.save(item, field, "A" * 900 if what == "LONGEST_FILE" else "ABC"[k % 3])
    assert sent[0]["kind"] == "saved" and sent[-1]["kind"] == "refused"
    assert "finds no room" in sent[-1]["words"] and "tell the supervisor" in sent[-1]["words"]
    for _ in range(20):  # a kernel that is started again and again
        one = Desk(room.folder)
    one.hand_in(True)
    reading = read_answers(one.file.path.read_bytes(), room.sitting.sheet("007"))
    assert reading.handed_in and not reading.grave
    assert len(reading.answers()[item]) == 1
