"""The class in sight, without a server: a record that grows, who is where and stands still, the
bars of the guesses, what hostile folders can do to it, and what deleting takes away.
"""

import asyncio
import json
import os
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from wire import packed

from tractionlab.lesson.class_picture import bars
from tractionlab.lesson.class_records import LARGEST, GrowingRecord, Learner
from tractionlab.lesson.progress_pages import who_reads
from tractionlab.lesson.questions import questions
from tractionlab.start.classroom import flood, left_behind, whereabouts
from tractionlab.start.classroom.flood import LearnersConnection
from tractionlab.start.classroom.sight import COURSE, STILL, Sight, overview
from tractionlab.start.classroom.whereabouts import PLACE, note
from tractionlab.written.record import Record

pytestmark = pytest.mark.skipif(os.name == "nt", reason="the class server needs Linux or macOS")
NOW = datetime.now(UTC)
HOUR_AGO = NOW - timedelta(hours=1)
SPLIT, HILL = questions()["2.split"], questions()["2.hill"]


def home(learners, name, notebook="02_open_differential.ipynb", minutes=0):
    """The folder of a learner who has a notebook in front; its record."""
    course = learners / name / COURSE
    (course / PLACE).parent.mkdir(parents=True)
    moved = NOW - timedelta(minutes=minutes)
    note(course, {"notebook": notebook, "moved": moved.isoformat().replace("+00:00", "Z")})
    return Record(course)


def test_a_record_is_read_on_as_it_grows(tmp_path):
    record = Record(tmp_path)
    growing = GrowingRecord(record.path)
    assert growing.look() == []
    record.add("prediction", 2, "2.hill", "1")
    assert [line["kind"] for line in growing.look()] == ["key", "prediction"]
    whole = record.path.read_bytes()
    record.add("prediction", 2, "2.split", "700")
    torn = record.path.read_bytes()
    record.path.write_bytes(torn[:-9])
    assert len(growing.look()) == 2, "a line that is still being written"
    with open(record.path, "ab") as file:
        file.write(torn[-9:] + b'{"time": 1}\nnoise\n')
    assert [line["answer"] for line in growing.look()][1:] == ["1", "700"]
    record.path.write_bytes(whole)
    assert len(growing.look()) == 2, "cut: read again from its start"
    record.path.rename(tmp_path / "aside")
    assert growing.look() == []
    record.add("prediction", 2, "2.hill", "3")
    assert growing.look()[-1]["answer"] == "3", "another file under the same name"


@settings(deadline=None)  # a busy disk is no fault
@given(st.lists(st.sampled_from(["1", "2", "3"]), max_size=12), st.data())
def test_pieces_of_a_record_give_the_same_lines_as_the_whole(tmp_path_factory, answers, data):
    folder = tmp_path_factory.mktemp("piece")
    record = Record(folder)
    for answer in answers:
        record.add("prediction", 2, "2.hill", answer)
    whole = record.path.read_bytes() if answers else b""
    growing, cuts = GrowingRecord(folder / "growing"), data.draw(st.lists(st.integers(0, 2000)))
    for first, last in zip([0, *sorted(cuts)], [*sorted(cuts), len(whole)]):
        with open(folder / "growing", "ab") as file:
            file.write(whole[first:last])
        growing.look()
    assert growing.look() == record.lines()


@pytest.mark.parametrize("kind", ["pipe", "link", "folder", "huge"])
def test_no_record_can_hold_the_server_up(tmp_path, kind):
    path = tmp_path / "my_record.jsonl"
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "link":
        Record(tmp_path / "..").add("prediction", 2, "2.hill", "1")
        path.symlink_to(tmp_path.parent / "my_record.jsonl")
    elif kind == "folder":
        path.mkdir()
    else:
        with open(path, "wb") as file:
            file.truncate(LARGEST + 1)
    assert GrowingRecord(path).look() == []


def test_who_is_where_and_who_stands_still(tmp_path):
    anna = home(tmp_path, "anna", minutes=1)
    home(tmp_path, "bob", minutes=STILL.total_seconds() / 60)
    carl = home(tmp_path, "carl", "01_grip_and_slip.ipynb")
    home(tmp_path, "dora", "notes.ipynb")
    home(tmp_path, "eva", "00_start.ipynb", minutes=60)
    anna.add("question", 2, "2.recall", "1", right=False, hints=0, counts=False)
    anna.add("help", 2, "2.1", "hint 1", hints=1, draw=0)
    carl.add("prediction", 2, "2.hill", "3")
    seen = Sight(tmp_path).look()
    said = overview(seen, dict.fromkeys(("anna", "bob", "carl", "dora"), HOUR_AGO), NOW, names=True)
    assert (said["learners"], said["present"], said["still"], said["hints"]) == (5, 4, 1, 1)
    counts = {place["title"]: place["count"] for place in said["places"]}
    assert counts == {
        "Grip and slip": 1,
        "Open differential and ice on one side": 2,
        "Elsewhere": 1,
    }
    rows = {row["name"]: row for row in said["rows"]}
    assert rows["anna"]["card"] == "exercise 2.1, Push with one wheel on ice"
    assert (rows["anna"]["done"], rows["anna"]["cards"], rows["anna"]["minutes"]) == (1, 7, 0)
    assert rows["bob"]["still"] and rows["bob"]["minutes"] == 10 and not rows["anna"]["still"]
    assert (rows["carl"]["lesson"], rows["carl"]["done"]) == (1, 0)
    assert (rows["dora"]["lesson"], rows["eva"]["lesson"]) == (None, 0)
    assert not rows["eva"]["still"], "she is not here"
    assert [(one["name"], one["count"]) for one in said["guesses"]] == [("2.hill", 1)]
    (failure,) = said["failures"]
    assert (failure["name"], failure["wrong"], failure["all"]) == ("2.recall", 1, 1)


WORDS = '{"msg_type": "comm_msg"}'


@pytest.mark.parametrize(
    "message, done",
    [
        (packed("shell", {"msg_type": "comm_msg"}, {}, {}, {}), True),
        (packed("shell", {"msg_type": "execute_request"}, {}, {}, {"code": "1"}), True),
        (packed("shell", {"msg_type": "kernel_info_request"}, {}, {}, {"words": WORDS}), False),
        (b"\xff" * 40, False),
        (b"", False),
        (f'{{"channel": "shell", "header": {WORDS}}}', True),
    ],
)
def test_what_a_learner_does_stands_in_the_head_of_a_message(message, done):
    assert flood._is_done(message) is done


@pytest.mark.parametrize("said, shown", [(3, 3), (-1, 0), ("x", 0), (10**9, 0), (True, 0)])
def test_who_floods_the_server_is_seen(tmp_path, said, shown):
    record = home(tmp_path, "anna")
    record.add("prediction", 2, "2.hill", "1")
    moved = NOW.isoformat().replace("+00:00", "Z")
    words = {"notebook": "02_open_differential.ipynb", "moved": moved, "floods": said}
    note(tmp_path / "anna" / COURSE, words)
    (row,) = overview(Sight(tmp_path).look(), {"anna": HOUR_AGO}, NOW, True)["rows"]
    assert row["floods"] == shown and row["lesson"] == 2


def test_who_signs_in_again_does_not_stand_still_since_yesterday(tmp_path):
    home(tmp_path, "anna", minutes=1440)
    (tmp_path / "bob").mkdir()
    for minutes, still in ((9, False), (10, True)):
        started = dict.fromkeys(("anna", "bob"), NOW - timedelta(minutes=minutes))
        rows = overview(Sight(tmp_path).look(), started, NOW, names=True)["rows"]
        assert [(row["still"], row["minutes"]) for row in rows] == [(still, minutes)] * 2


def test_a_page_that_draws_itself_anew_is_not_where_its_learner_is(tmp_path, monkeypatch):
    """The start page follows the record: its kernel is at work whenever a lesson is."""
    clock = [f"2026-01-01T08:00:0{second}Z" for second in range(4)]
    sessions = [
        {"path": "00_start.ipynb", "kernel": {"id": "a", "last_activity": clock[3]}},
        {"path": "02_open_differential.ipynb", "kernel": {"id": "b", "last_activity": clock[2]}},
    ]
    monkeypatch.setattr(LearnersConnection, "moved", {"a": clock[0], "b": clock[1]})

    async def looked():
        async def list_sessions():
            return sessions

        manager = SimpleNamespace(list_sessions=list_sessions)
        server = SimpleNamespace(root_dir=tmp_path / COURSE, session_manager=manager)
        (server.root_dir / PLACE).parent.mkdir(parents=True)
        whereabouts._load_jupyter_server_extension(server)
        while not (server.root_dir / PLACE).exists():
            await asyncio.sleep(0.01)
        server.whereabouts.stop()
        return json.loads((server.root_dir / PLACE).read_text())

    said = asyncio.run(asyncio.wait_for(looked(), 20))
    assert (said["notebook"], said["moved"]) == ("02_open_differential.ipynb", clock[1])


def test_without_names_nothing_tells_them(tmp_path):
    for number, name in enumerate(("zoe", "yann", "anna")):
        home(tmp_path, name).add("prediction", 2, ["2.hill", "2.split"][number % 2], "1")
    said = overview(Sight(tmp_path).look(), {"zoe": NOW, "anna": NOW}, NOW, names=False)
    text = json.dumps(said)
    assert not any(name in text for name in ("zoe", "yann", "anna"))
    order = [(not row["present"], row["lesson"], row["done"]) for row in said["rows"]]
    assert order == sorted(order), "not the order of the alphabet"


HOSTILE = [
    b"",
    b"[" * 900,
    b"[]",
    b'{"notebook": "02_open_differential.ipynb"}',
    b'{"notebook": ["x"], "moved": "2026-01-01T00:00:00Z"}',
    b'{"notebook": "02_open_differential.ipynb", "moved": 7}',
    b'{"notebook": "02_open_differential.ipynb", "moved": "2026-01-01T00:00:00"}',
    b'{"notebook": "02_open_differential.ipynb", "moved": "9999-01-01T00:00:00Z"}',
    b"\xff" * 99,
]


@pytest.mark.parametrize("words", HOSTILE)
def test_whereabouts_that_nobody_wrote_count_for_nothing(tmp_path, words):
    record = home(tmp_path, "anna")
    record.add("prediction", 1, "1.side", "1")
    (record.path.parent / PLACE).write_bytes(words)
    (tmp_path / "stray").write_text("no folder")
    (tmp_path / "link").symlink_to(tmp_path / "anna")
    (seen,) = Sight(tmp_path).look()
    row = overview([seen], {"anna": NOW}, datetime.now(UTC), names=True)["rows"][0]
    assert row["minutes"] in (0, None) and row["name"] == "anna"


def guessed(name, *answers):
    """A learner for each answer to the prediction `name`."""
    line = {"kind": "prediction", "question": name, "lesson": 2}
    return [Learner(f"{i}", [line | {"answer": answer}]) for i, answer in enumerate(answers)]


def test_a_bar_for_each_option_and_the_rest_counted(tmp_path):
    found, others = bars("2.hill", HILL, guessed("2.hill", "3", "1", "3", "7", "much"))
    assert [bar.words for bar in found] == HILL["options"] and others == 2
    assert [bar.guesses for bar in found] == [[1], [], [3, 3]]
    assert bars("2.hill", HILL, guessed("2.split", "3"))[0][2].guesses == []


def test_few_numbers_have_a_bar_each_and_many_share_ranges():
    found, others = bars("2.split", SPLIT, guessed("2.split", "700", "0,7 kN", "3150", "2 bar"))
    assert [(bar.words, len(bar.guesses)) for bar in found] == [("700 N", 2), ("3150 N", 1)]
    assert others == 1
    many = ["0", "120", "700", "999", "1000", "1950", "2800"]
    found, others = bars("2.split", SPLIT, guessed("2.split", *many))
    assert [bar.words for bar in found] == [
        "0 to below 1000 N",
        "1000 to below 2000 N",
        "2000 to below 3000 N",
    ]
    assert [len(bar.guesses) for bar in found] == [4, 2, 1]


@given(st.lists(st.integers(0, 10**6), min_size=1, max_size=30))
def test_every_number_stands_in_one_of_at_most_five_bars(numbers):
    found, others = bars("2.split", SPLIT, guessed("2.split", *map(str, numbers)))
    assert sorted(guess for bar in found for guess in bar.guesses) == sorted(numbers)
    assert len(found) <= 5 and others == 0


def test_the_start_page_says_who_reads(monkeypatch):
    monkeypatch.delenv("JUPYTERHUB_USER", raising=False)
    assert "class" not in who_reads() and "Nobody else" in who_reads()
    monkeypatch.setenv("JUPYTERHUB_USER", "anna-k")
    assert "in a class, signed in as anna-k" in who_reads() and "Nobody" not in who_reads()


def test_lines_of_the_log_that_name_a_learner_go_and_others_stay(tmp_path):
    forgetting = pytest.importorskip("tractionlab.start.classroom.forgetting", exc_type=ImportError)
    log = tmp_path / "hub.log"
    log.write_text("user anna in\n/user/anna/api\nuser anna-k in\nhanna\n(anna@127.0.0.1) 2\n")
    with open(log, "a") as writer:
        writer.write("client jupyterhub-user-anna made\n")
    with open(log, "a") as writer:
        forgetting.without_lines(log, "anna")
        writer.write("later\n")
    assert log.read_text() == "user anna-k in\nhanna\nlater\n"


def test_only_the_proxy_of_this_class_is_ended(tmp_path):
    if not os.path.isdir("/proc/self"):
        pytest.skip("processes are looked up in /proc")
    import subprocess
    import sys

    code = [sys.executable, "-c", "import time; time.sleep(60)", "--configfile"]
    mine, other = ([*code, str(tmp_path / name / "proxy.toml")] for name in ("a", "b"))
    mine, other = (subprocess.Popen(words) for words in (mine, other))
    try:
        assert left_behind.end_proxies(tmp_path / "c") == 0
        (tmp_path / "a").mkdir()
        (tmp_path / "a" / "rules.toml").write_text("old")
        assert left_behind.end_proxies(tmp_path / "a") == 1
        assert list((tmp_path / "a").iterdir()) == []
        assert mine.wait(timeout=5) != 0 and other.poll() is None
    finally:
        mine.kill()
        other.kill()
