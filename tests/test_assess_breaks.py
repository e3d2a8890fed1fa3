"""A paper sat in parts: a supervisor enters breaks at the desk, and the markbook says how long they
may have been.
"""

import time
from dataclasses import replace

import pytest
from sittings import ids_of, lines_of, paper_of, right_answers, sitting_of, written

from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.answers.worked import breaks, late_work
from tractionlab.assess.desk.desk import Desk
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.cli.main import main
from tractionlab.errors import UserError
from tractionlab.lesson.office_marks import TimeForm

PAUSE = {"by": "Sam Supervisor", "reason": "lunch"}


class Clock:
    """The machine's clock, put forward by hand."""

    def __init__(self, monkeypatch):
        self.now = int(time.time())
        monkeypatch.setattr(time, "time", lambda: self.now)
        stamp = lambda: time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(self.now))
        monkeypatch.setattr(answer_line, "now", stamp)

    def forward(self, minutes):
        self.now += 60 * minutes


def test_a_break_at_the_desk_stops_the_clock_and_closes_the_paper(tmp_path, monkeypatch):
    clock, out = Clock(monkeypatch), tmp_path / "sitting"
    paper = paper_of([*ids_of("choice", most=2), "11-case-lead"], minutes=60)
    issued = issue(paper, [Candidate("007", "A")], out, day="2026-03-02")
    one, sent = Desk(out / "candidates" / "candidate_007"), []
    one.send = lambda message, buffers=None: sent.append(message)
    one.enter("break", **PAUSE)
    assert "Not entered: A break begins while the time runs." in one.face["message"]
    one.start()
    clock.forward(20)
    one.open_item("11-case-lead")
    bench = one.bench.children[0].children[0]
    one._hear(None, {"command": "break", "by": "", "reason": "lunch"}, [])
    assert "writes the name" in one.face["message"] and one.phase() == "working"
    one._hear(None, {"command": "break", **PAUSE}, [])
    clock.forward(45)
    assert one.phase() == "break" and one.seconds_left() == 40 * 60 and not one.bench.children
    assert "entered by Sam Supervisor: lunch" in one.face["pause"]
    name, field, value = right_answers(
        replace(issued, paper={**issued.paper, "items": list(paper.items[:1])}), "007"
    )[0]
    one.save(name, field, value)
    assert sent[-1]["kind"] == "refused"
    with pytest.raises(UserError, match="nothing more can be done here"):
        bench.command("cautions")
    one.hand_in(True)
    assert one.phase() == "break"
    again = Desk(out / "candidates" / "candidate_007")
    assert again.phase() == "break" and again.seconds_left() == 40 * 60
    again.enter("resume", by="Sam Supervisor")
    clock.forward(39)
    assert again.phase() == "working" and again.seconds_left() == 60
    again.open_item("11-case-lead")
    assert again.bench.children
    clock.forward(2)
    assert again.phase() == "over"
    again.hand_in(True)
    assert again.phase() == "handed_in"
    assert [row[1:] for row in breaks(again.file.reading.lines)] == [(45, *PAUSE.values())]


def with_break(sitting, number, step=600):
    """An honest file of 60 minutes of work, a line every ten minutes, with 20 minutes of break
    after the second line.
    """
    lines = lines_of(sitting, number, right_answers(sitting, number))
    lines[2:2] = [("break", PAUSE), ("opened", {"version": "0"}), ("resume", {"by": "Sam"})]
    return written(lines, sitting.seal(number), step=step)


def test_breaks_count_as_far_as_the_markbook_gives_them(tmp_path, capsys):
    sitting = sitting_of(ids_of("choice", most=4), ["1", "2"], minutes=45)
    inbox, address = tmp_path / "inbox", str(tmp_path / "m.sqlite")
    inbox.mkdir()
    for number in ("1", "2"):
        (inbox / f"{number}.jsonl").write_bytes(with_break(sitting, number))
    store = Store(address)
    told = mark_folder(inbox, sitting, store, Here())
    said = " ".join(words for _, words in told.named)
    assert "Sam Supervisor entered a break of 20 min at the desk (lunch)" in said
    assert told.counts["counted"] == 2 and "did not count" in said

    def got():
        return [found.got for found in open_book(store).results.values()]

    none = got()
    words = ["--by", "A. Assessor", "--reason", "lunch, in the room", "--store", address]
    main(["markbook", "break", "1", "--minutes", "10", *words])
    some = got()
    main(["markbook", "break", "--all", "--minutes", "90", *words])
    every = got()
    assert none[0] < some[0] < every[0] and some[1] == none[1] and every[0] == every[1]
    assert "breaks of up to 90 minutes do not count as time (before: 10)" in capsys.readouterr().out
    mark_folder(inbox, sitting, store, Here())
    assert got() == every
    assert main(["markbook", "break", "--minutes", "9", *words]) == 2
    assert "Name the candidates whose breaks count" in capsys.readouterr().err
    key = tmp_path / "sitting.json"
    key.write_text(sitting.to_json())
    form = TimeForm("graded_1")
    given = {"key": str(key), "store": address, "candidate": "", "by": "A", "reason": "lunch"}
    form.on_command("break", {**given, "minutes": "0"})
    assert "0 min of breaks counts now" in form.face["message"] and got() == none
    store.close()


@pytest.mark.parametrize(
    "odd",
    [
        [("break", PAUSE), ("break", PAUSE)],
        [("resume", {"by": "Sam"})],
        [("break", PAUSE)],
        [("break", {"by": "Sam"}), ("resume", {"by": "Sam"})],
    ],
)
def test_work_in_a_break_and_breaks_out_of_order_hold_the_file(odd):
    sitting = sitting_of(ids_of("choice", most=2), ["1"])
    lines = lines_of(sitting, "1", right_answers(sitting, "1"))
    lines[1:1] = odd
    assert read_answers(written(lines, sitting.seal("1")), sitting.sheet("1")).grave


def test_a_break_does_not_reach_back_to_what_came_late_before_it():
    sitting = sitting_of(ids_of("choice", most=2), ["1"], minutes=5)
    lines = lines_of(sitting, "1", right_answers(sitting, "1"))
    lines[-1:-1] = [("break", PAUSE), ("resume", {"by": "Sam"})]
    content = written(lines, sitting.seal("1"), step=400)
    sheet = replace(sitting.sheet("1"), breaks=1000)
    reading = read_answers(content, sheet)
    assert late_work(reading, sheet) == {1, 2}
