"""The exam room, by the requests and messages of browsers: whatever a candidate's browser tries
beside its forms is refused, noted and shown to the supervisor; no saved answer is lost when the
server is killed; the sitting ends for all.
"""

import asyncio
import json
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from room_client import Browser, Candidate, Served, slip
from sittings import paper_of
from tornado.httpclient import HTTPClientError
from wire import packed

from tractionlab.assess.answers.check_number import check_number
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.answers.worked import breaks
from tractionlab.assess.bank.item import items
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate as OnRoll
from tractionlab.cli import main as cli
from tractionlab.errors import UserError
from tractionlab.start.pace import Pace
from tractionlab.start.room import server
from tractionlab.start.room.attempts import MOST, Attempts
from tractionlab.start.room.messages import Forms, Refused
from tractionlab.start.room.seats import Register, Seat, seats_of

ROOT = Path(__file__).resolve().parents[1]
KINDS = ("choice", "number", "case", "waveform", "checklist")
IDS = [next(item.id for item in items().values() if item.kind == kind) for kind in KINDS]


@pytest.fixture(scope="module")
def issued(tmp_path_factory):
    """(Sitting, its folder) for four candidates."""
    out = tmp_path_factory.mktemp("room") / "sitting"
    roll = [OnRoll(number, f"Person {number}") for number in ("001", "002", "003", "004")]
    return issue(paper_of(IDS), roll, out, place="Room 4"), out


@pytest.fixture(scope="module")
def served(issued):
    room = Served(issued[1])
    room.start()
    yield room
    if room.child.poll() is None:
        room.stop()


def test_no_page_that_answers_loses_its_line_because_one_question_came_late():
    """Jupyter Server closes a line whose last answer is older than its patience when it asks again;
    with as many seconds for both a moment's delay closed lines at work.
    """
    assert server.SILENT >= 3 * server.PING


def unanswered(folder):
    """The room of a sitting whose candidates have answered nothing yet; not started."""
    for path in folder.glob("candidates/*/answers_*"):
        path.unlink()
    return Served(folder)


def seated(served, number):
    """A candidate who has signed in."""
    one = Candidate(served.base)
    status, text = one.sign_in(number, served.secrets["pins"][number])
    assert status == 200 and f"Person {number}" in text and "Cover page" in text
    return one


def supervisor(served):
    one = Browser(served.base)
    one.ask("/supervisor")
    status, text = one.ask("/supervisor", "POST", {"password": served.secrets["supervisor"]})
    assert status == 200 and "End for all" in text
    one.token = slip(text)
    return one


def now(browser):
    return json.loads(browser.ask("/supervisor/now")[1])


# ---- what a browser asks for

#: Requests of a candidate who has signed in, beside those of the page.
REQUESTS = [
    *[
        ("GET", path)
        for path in (
            "/api/contents",
            "/api/contents/sheet.json",
            "/api/contents/../assessor/sitting.json",
            "/files/sheet.json",
            "/files/../seats.py",
            "/files/..%2fseats.py",
            "/files/room.html",
            "/candidates/candidate_002/sheet.json",
            "/assessor/sitting.json",
            "/room/room.json",
            "/api/kernels",
            "/api/kernelspecs",
            "/api/sessions",
            "/api/terminals",
            "/api/status",
            "/api/config/common",
            "/terminals/1",
            "/terminals/websocket/1",
            "/lab",
            "/lab/tree/sitting.ipynb",
            "/tree",
            "/notebooks/sitting.ipynb",
            "/doc/tree/sitting.ipynb",
            "/nbconvert/html/sitting.ipynb",
            "/static/../../room.json",
            "/view/sheet.json",
            "/metrics",
            "/lsp/ws/pylsp",
            "/copy",
            "/copy/002",
            "/supervisor",
            "/supervisor/now",
            "/proc/self/environ",
            "//etc/passwd",
        )
    ],
    ("POST", "/api/kernels"),
    ("POST", "/api/sessions"),
    ("POST", "/api/terminals"),
    ("POST", "/api/contents"),
    ("PUT", "/api/contents/evil.ipynb"),
    ("DELETE", "/api/contents/answers_002.jsonl"),
    ("PATCH", "/api/contents/answers_002.jsonl"),
    ("POST", "/api/shutdown"),
    ("POST", "/supervisor"),
    ("POST", "/supervisor/end"),
    ("POST", "/supervisor/enter"),
    ("PUT", "/copy"),
    ("DELETE", "/begin"),
    ("POST", "/line"),
]


def secrets_of(issued, served):
    """Texts that no candidate's browser may ever get."""
    sitting, folder = issued
    found = [sitting.key, *served.secrets["pins"].values(), served.secrets["supervisor"]]
    for number in sitting.candidates:
        sheet = json.loads((folder / "candidates" / f"candidate_{number}/sheet.json").read_text())
        found += [sheet["seal"], *sheet["items"][2]["fields"][0]["lock"].split()]
        found += [sheet["items"][2]["fields"][0]["car"]]
    return found


def test_no_request_of_a_candidate_reaches_anything_else(served, issued):
    one, secrets = seated(served, "001"), secrets_of(issued, served)
    before = len(served.refused())
    for method, path in REQUESTS:
        status, text = one.ask(path, method, body=b"{}" if method != "GET" else None)
        assert 400 <= status < 500, (method, path, status)
        assert not [secret for secret in secrets if secret in text], path
    noted = served.refused()[before:]
    assert [one["what"].split()[0] for one in noted] == [method for method, _ in REQUESTS]
    assert {one["who"] for one in noted} == {"001"}
    shown = now(supervisor(served))
    assert shown["refused"] >= len(REQUESTS)
    assert {one["what"] for one in noted} <= {one["what"] for one in shown["attempts"]}


def test_who_has_not_signed_in_gets_the_sign_in_and_nothing_else(served):
    one, pins = Browser(served.base), served.secrets["pins"]
    assert "Sign in to your paper" in one.ask("/")[1]
    tries = [
        *[("/sign-in", {"number": "001", "pin": pin}) for pin in ("", "000000", pins["002"])],
        ("/sign-in", {"number": "009", "pin": pins["001"]}),
        ("/sign-in", {"number": "../001", "pin": pins["001"]}),
        ("/begin", {}),
        ("/supervisor", {"password": pins["001"]}),
        ("/supervisor/end", {}),
    ]
    before = len(served.refused())
    for path, form in tries:
        assert one.ask(path, "POST", form)[0] == 403
    forged = Browser(served.base)
    for cookie in ("001", '"2|1:0|10:1|17:sitting-candidate|4:MDAx|0"'):
        assert forged.ask("/copy", Cookie=f"sitting-candidate={cookie}")[0] == 403
    assert "Sign in to your paper" in one.ask("/")[1]
    assert len(served.refused()) == before + len(tries) + 2
    for _ in range(4):
        one.ask("/sign-in", "POST", {"number": "004", "pin": "1"})
    one.ask("/sign-in", "POST", {"number": "004", "pin": "1"})
    status, text = one.ask("/sign-in", "POST", {"number": "004", "pin": pins["004"]})
    assert status == 403 and "Wait a minute" in text, "not even the right one now"


# ---- what goes over the line


def messages(one, other):
    """[(name, call that gives bytes or text)] that a candidate's page never sends; each has the
    number of the page's next message.
    """

    def shell(kind, content, parent=None, metadata=None, channel="shell", **header):
        head = {"msg_id": f"{one.name}_{one.count}", "msg_type": kind, "session": one.name}
        return packed(channel, head | header, parent or {}, metadata or {}, content)

    def form(data, comm=None, **more):
        return shell("comm_msg", {"comm_id": comm or one.desk, "data": data}, **more)

    code = {"code": "open('evil', 'w')", "silent": True, "user_expressions": {}}
    asked = {"method": "custom", "content": {"command": "start"}}
    layout = one.forms["LayoutModel"]
    return [
        ("run code", lambda: shell("execute_request", code)),
        ("complete", lambda: shell("complete_request", {"code": "import o", "cursor_pos": 8})),
        ("inspect", lambda: shell("inspect_request", {"code": "desk", "cursor_pos": 1})),
        ("history", lambda: shell("history_request", {"hist_access_type": "tail", "n": 9})),
        ("is complete", lambda: shell("is_complete_request", {"code": "1"})),
        ("comm info", lambda: shell("comm_info_request", {})),
        ("kernel info", lambda: shell("kernel_info_request", {})),
        ("shutdown", lambda: shell("shutdown_request", {"restart": True}, channel="control")),
        ("interrupt", lambda: shell("interrupt_request", {}, channel="control")),
        ("debugger", lambda: shell("debug_request", {"command": "attach"}, channel="control")),
        ("input", lambda: shell("input_reply", {"value": "1"}, channel="stdin")),
        ("a form on the control channel", lambda: form(asked, channel="control")),
        ("a form on iopub", lambda: form(asked, channel="iopub")),
        ("a new widget", lambda: shell("comm_open", {"comm_id": "x",
                                             "target_name": "jupyter.widget",
                                             "data": {"state": {"_model_name": "VBoxModel"}}})),
        ("a second control", lambda: shell("comm_open", {"comm_id": "y", "data": {},
                                                 "target_name": "jupyter.widget.control"})),
        ("another target", lambda: shell("comm_open", {"comm_id": "z",
                                               "target_name": "matplotlib"})),
        ("close a form", lambda: shell("comm_close", {"comm_id": one.desk})),
        ("other control method", lambda: form({"method": "echo"}, comm=one.control)),
        ("states with more", lambda: form({"method": "request_states", "x": 1}, comm=one.control)),
        ("the paper changed", lambda: form({"method": "update", "state": {"paper": {}}})),
        ("the clock changed", lambda: form({"method": "update",
                                            "state": {"face": {"seconds_left": 9e9}}})),
        ("a script put in", lambda: form({"method": "update", "state": {"_esm": "alert(1)"}})),
        ("two at once", lambda: form({"method": "update", "state": {"told": True, "face": {}}})),
        ("told something else", lambda: form({"method": "update", "state": {"told": "yes"}})),
        ("a layout changed", lambda: form({"method": "update", "state": {"height": "0"}},
                                          comm=layout)),
        ("no method", lambda: form({})), ("no table", lambda: form([])),
        ("custom with more", lambda: form({"method": "custom", "content": {},
                                           "buffer_paths": [["a"]]})),
        ("custom as text", lambda: form({"method": "custom", "content": "start"})),
        ("another's form", lambda: form(asked, comm=other.desk)),
        ("no form", lambda: form(asked, comm="0" * 32)),
        ("a list as form", lambda: form(asked, comm=[one.desk])),
        ("another's page", lambda: form(asked, session=other.name)),
        ("another's number", lambda: form(asked, msg_id=f"{other.name}_{other.count}")),
        ("out of order", lambda: form(asked, msg_id=f"{one.name}_{one.count + 3}")),
        ("an earlier number", lambda: form(asked, msg_id=f"{one.name}_{one.count - 1}")),
        ("no number", lambda: form(asked, msg_id="")),
        ("an answer to the kernel", lambda: form(asked, parent={"msg_id": "1"})),
        ("buffers", lambda: packed("shell", {}, {}, {}, {}, b"buffer")),
        ("too few parts", lambda: packed("shell", {}, {}, {})),
        ("no JSON", lambda: packed("shell", b"{", {}, {}, {})),
        ("no table as header", lambda: packed("shell", [1], {}, {}, {})),
        ("deep", lambda: packed("shell", b"[" * 90_000, {}, {}, {})),
        ("text", lambda: json.dumps({"channel": "shell",
                                     "header": {"msg_type": "execute_request"}})),
        ("nothing", lambda: b""), ("noise", lambda: bytes(range(256))),
        ("a bomb", lambda: b"\xff" * 64),
        ("long", lambda: b"\x06" + bytes(300_000)),
    ]  # fmt: skip


OUT_OF_ORDER = {
    "another's page",
    "another's number",
    "out of order",
    "an earlier number",
    "no number",
    "the same once more",
}
#: Why something is refused that is not laid out as a form's next message.
FORMLESS = "not the next message|no form sends|are no message|bytes|channel|shape"
#: Commands that no desk of this paper sends.
COMMANDS = [
    {"command": "run", "code": "1"},
    {"command": ["start"]},
    {"command": "__init__", "folder": "/"},
    {"command": "save", "item": IDS[0], "field": "answer", "value": "A", "ask": 1, "time": "0"},
    {"command": "save", "item": IDS[0]},
    {"command": "save", "item": "no-such-item", "field": "answer", "value": "A"},
    {"command": "save", "item": IDS[0], "field": "key", "value": "A"},
    {"command": "save", "item": IDS[2], "field": "answer", "value": ""},
    {"command": "save", "item": "../candidate_002", "field": "answer", "value": "A"},
    {"command": "item", "item": "../sheet.json"},
    {"command": "check", "item": IDS[0]},
]

#: Steps that a graded bench does not offer.
BENCH_STEPS = ("again", "cross", "__init__", "_take_reading")


def answers(served, number):
    path = served.folder / "candidates" / f"candidate_{number}" / f"answers_{number}.jsonl"
    return path.read_bytes() if path.is_file() else b""


async def noted(served, count):
    """Wait until so many attempts have been noted."""
    for _ in range(100):
        if len(served.refused()) >= count:
            break
        await asyncio.sleep(0.05)
    await asyncio.sleep(0.1)
    return served.refused()


def test_no_message_but_those_of_the_own_forms_reaches_the_kernel(served, issued):
    async def attack():
        one, other = seated(served, "001"), seated(served, "002")
        await asyncio.gather(one.open(), other.open())
        await one.start()
        await other.start()
        assert (await one.save(IDS[0], "answer", "A"))["kind"] == "saved"
        replayed = one.command(command="save", item=IDS[0], field="answer", value="B", ask=0)
        assert (await one.said("saved"))["ask"] == 0
        before, kept = len(served.refused()), (answers(served, "001"), answers(served, "002"))
        tried = [*messages(one, other), ("the same once more", lambda: replayed)]
        for n, (name, message) in enumerate(tried, 1):
            one.throw(message())
            found = await noted(served, before + n)
            assert len(found) == before + n and found[-1]["who"] == "001", name
            why = found[-1]["why"]
            assert ("not the next message" in why) is (name in OUT_OF_ORDER), (name, why)
            # A number is used up by a message of a form, whatever the rest of it says.
            one.count += not re.search(FORMLESS, why)
        assert (answers(served, "001"), answers(served, "002")) == kept
        assert not list(served.folder.rglob("evil"))
        for n, command in enumerate(COMMANDS, before + len(tried) + 1):
            one.command(**command)
            found = await noted(served, n)
            assert len(found) == n and found[-1]["what"] == "answer", command
        assert (answers(served, "001"), answers(served, "002")) == kept
        one.command(command="item", item=IDS[2])
        bench = await one.hear(
            lambda kind, content: "DeskCase" in str(content.get("data", {}).get("state"))
        )
        for n, step in enumerate(BENCH_STEPS, len(found) + 1):
            content = {"command": step, "values": {"out": [], "folder": "/"}}
            one.say(bench["comm_id"], {"method": "custom", "content": content})
            found = await noted(served, n)
            assert len(found) == n and found[-1]["what"] == "answer", step
        shown = now(supervisor(served))
        row = next(row for row in shown["candidates"] if row["number"] == "001")
        assert row["refused"] == sum(1 for one in found if one["who"] == "001")
        assert shown["attempts"][0]["why"] == "the bench of a paper has no such step"
        asked = len(REQUESTS) + len(tried) + len(COMMANDS) + len(BENCH_STEPS)
        assert asked >= 80 and (await one.save(IDS[0], "answer", "C"))["kind"] == "saved"
        count = len(served.refused())
        with pytest.raises(HTTPClientError):  # another's line, the own one without a cookie
            await one.connect(other.name)
        stranger = Candidate(served.base)
        for name, headers in ((one.name, {}), (one.name, {"Origin": "http://elsewhere.invalid"})):
            with pytest.raises(HTTPClientError):
                await stranger.connect(name, **headers)
        with pytest.raises(HTTPClientError):  # a page of elsewhere in the candidate's own browser
            await one.connect(one.name, Origin="http://elsewhere.invalid")
        assert len(served.refused()) == count + 4
        first = one.name
        again = await seated(served, "001").open()
        await one.closed()
        with pytest.raises(HTTPClientError):
            await again.connect(first)
        # A message of the older page, on the line of the newer one.
        count = len(served.refused())
        again.throw(replayed)
        assert len(await noted(served, count + 1)) == count + 1
        assert answers(served, "001").count(b'"B"') == 1
        return again

    asyncio.run(attack())


def test_a_page_gets_forms_and_no_secrets(served, issued):
    async def look():
        one = await seated(served, "003").open()
        one.command(command="start")
        for item in IDS:
            one.command(command="item", item=item)
        heard, wanted = [], {b"DeskCase", b"data:image/png"}
        async with asyncio.timeout(60):
            while wanted:
                heard.append(await one.line.read_message())
                wanted = {word for word in wanted if word not in heard[-1]}
        return heard

    heard = asyncio.run(look())
    for secret in secrets_of(issued, served):
        assert not [message for message in heard if secret.encode() in message]


def test_a_page_that_floods_the_server_is_closed_and_slows_nobody(issued):
    _, folder = issued
    room = unanswered(folder)
    room.start()

    async def sit():
        one, other = seated(room, "001"), seated(room, "002")
        await asyncio.gather(one.open(), other.open())
        await asyncio.gather(one.start(), other.start())
        assert (await one.save(IDS[0], "answer", "A"))["kind"] == "saved"
        for throw in (
            lambda: one.command(command="item", item=IDS[0]),
            lambda: one.throw(bytes(2_000_000)),
            lambda: one.throw("noise"),
        ):
            before, waits = len(room.refused()), []

            async def flood():
                for count in range(10_000):
                    if one.line.protocol is None or one.line.protocol.is_closing():
                        return count
                    throw()
                    if count % 20 == 0:
                        await asyncio.sleep(0)
                return count

            flooding = asyncio.create_task(flood())
            for n in range(8):
                begun = time.monotonic()
                assert (await other.save(IDS[0], "answer", "AB"[n % 2]))["kind"] == "saved"
                waits.append(time.monotonic() - begun)
            assert await flooding < 10_000
            assert max(waits) < 5, "not even on a machine with other work"
            await one.closed()
            # Somebody who floods again and again gets no more of it.
            noted = [line["why"] for line in room.refused()[before:] if line["who"] == "001"]
            assert any("the page was closed" in why for why in noted)
            assert sum("the page was closed" in why for why in noted) == 1
            await asyncio.sleep(2)
            await one.open()
        shown = now(supervisor(room))
        assert any("the page was closed" in line["why"] for line in shown["attempts"])
        assert one.face["answers"] == {IDS[0]: {"answer": "A"}}
        assert (await one.save(IDS[0], "answer", "B"))["kind"] == "saved"
        # Requests without a pause, one behind the other on the same connection.
        asked = 3 * server.REQUESTS[0]
        reader, writer = await asyncio.open_connection("127.0.0.1", room.port)
        words = f"GET /favicon.ico HTTP/1.1\r\nHost: x\r\nCookie: {one.cookies}\r\n\r\n"
        writer.write(
            words.encode() * (asked - 1)
            + words.replace("Host", "Connection: close\r\nHost").encode()
        )
        answered = await asyncio.wait_for(reader.read(-1), 60)
        assert answered.count(b"HTTP/1.1 204") >= 100 and answered.count(b"HTTP/1.1 429") >= 100
        assert other.ask("/")[0] == 200

    try:
        asyncio.run(sit())
    finally:
        room.stop()


# ---- breaks and lost time from the supervisor's page


def test_the_supervisor_enters_a_break_and_the_page_shows_it_at_once(issued):
    sitting, folder = issued
    room = unanswered(folder)
    room.start()

    async def sit():
        one, other, watch = seated(room, "001"), seated(room, "002"), supervisor(room)
        await asyncio.gather(one.open(), other.open())
        await one.start()
        assert (await one.save(IDS[0], "answer", "A"))["kind"] == "saved"

        async def enter(*numbers, **said):
            form = [("number", number) for number in numbers] + list(said.items())
            headers = {"X-XSRFToken": watch.token}
            answer = await asyncio.to_thread(
                watch.ask, "/supervisor/enter", "POST", form, **headers
            )
            return json.loads(answer[1])

        async def face(phase):
            def shows(kind, content):
                return (
                    content.get("data", {}).get("state", {}).get("face", {}).get("phase") == phase
                )

            return (await one.hear(shows))["data"]["state"]["face"]

        who = {"by": "Sam Supervisor", "reason": "lunch"}
        said = await enter("001", "002", "003", "009", what="break", **who)
        assert said["done"] == ["001"] and set(said["left"]) == {"002", "003", "009"}
        assert said["left"]["003"] == "A break begins while the time runs."
        shown = await face("break")
        assert "entered by Sam Supervisor: lunch" in shown["pause"]
        assert 0 < shown["seconds_left"] <= 60 * sitting.minutes
        row = next(row for row in now(watch)["candidates"] if row["number"] == "001")
        assert row["phase"] == "on a break" and "Sam Supervisor: lunch" in row["pause"]
        hours, minutes, _ = map(int, row["left"].split(":"))
        assert sitting.minutes - 1 <= 60 * hours + minutes <= sitting.minutes
        count = len(room.refused())
        assert "closed for the break" in (await one.save(IDS[0], "answer", "B"))["words"]
        assert len(room.refused()) == count, "to have typed on is no attempt"
        assert (await enter("001", what="resume", by=""))["left"]["001"].startswith(
            "The supervisor"
        )
        assert (await enter("001", what="resume", by="Sam Supervisor"))["done"] == ["001"]
        assert (await face("working"))["answers"] == {IDS[0]: {"answer": "A"}}
        assert (await enter("001", what="lost_time", minutes="12", **who))["done"] == ["001"]
        assert (await face("working"))["seconds_left"] > 60 * (sitting.minutes + 11)
        for bad in ({"what": "hand_in"}, {"what": "lost_time", "minutes": "999", **who}):
            assert "001" in (await enter("001", **bad))["left"]
        # Somebody whose page is closed has the break as well.
        one.line.close()
        assert (await enter("001", what="break", **who))["done"] == ["001"]
        assert (await one.open()).face["phase"] == "break"
        assert (await enter("001", what="resume", by="Sam Supervisor"))["done"] == ["001"]
        assert (await face("working"))["message"] == ""
        assert (await one.save(IDS[0], "answer", "C"))["kind"] == "saved"

    try:
        asyncio.run(sit())
    finally:
        room.stop()
    reading = read_answers(answers(room, "001"), sitting.sheet("001"))
    assert not reading.grave and reading.answers() == {IDS[0]: {"answer": "C"}}
    assert [row[2:] for row in breaks(reading.lines)] == [("Sam Supervisor", "lunch")] * 2


# ---- what must not get lost


def test_no_saved_answer_is_lost_when_the_server_is_killed(issued):
    """Killed three times while three candidates save; what was called saved is in the file."""
    sitting, folder = issued
    room = unanswered(folder)
    saved = {number: [] for number in ("001", "002", "003")}

    async def work(number):
        one = await seated(room, number).open()
        if one.face["phase"] == "ready":
            await one.start()
        while True:
            value = f"{len(saved[number])}.5"
            if (await one.save(IDS[1], items()[IDS[1]].fields[0].name, value))["kind"] == "saved":
                saved[number].append(value)

    async def until_killed(turn):
        async def kill():
            while sum(map(len, saved.values())) < 25 * (turn + 1):
                await asyncio.sleep(0.01)
            room.stop(signal.SIGKILL)

        worked = await asyncio.gather(kill(), *map(work, saved), return_exceptions=True)
        assert worked[0] is None
        assert "the line was closed" in str(worked[1:]) or "refused" in str(worked[1:])

    for turn in range(3):
        room.start()
        asyncio.run(asyncio.wait_for(until_killed(turn), 120))
    assert sum(map(len, saved.values())) >= 75
    for number, values in saved.items():
        reading = read_answers(answers(room, number), sitting.sheet(number))
        assert not reading.grave or not values  # nothing said to be saved, nothing there
        kept = [line["value"] for line in reading.lines if line["kind"] == "answer"]
        assert [value for value in values if value not in kept] == []


def test_handing_in_the_copy_and_the_end_for_all(issued):
    _, folder = issued
    room = unanswered(folder)
    room.start()

    async def sit():
        one, other = seated(room, "001"), seated(room, "002")
        await asyncio.gather(one.open(), other.open())
        await asyncio.gather(one.start(), other.start())
        await one.save(IDS[0], "answer", "A")
        await other.save(IDS[0], "answer", "B")
        one.command(command="hand_in", own_work=True)
        await one.hear(
            lambda kind, content: (
                content.get("data", {}).get("state", {}).get("face", {}).get("number")
            )
        )
        watch = supervisor(room)
        rows = {row["number"]: row for row in now(watch)["candidates"]}
        assert rows["001"]["phase"] == "handed in" and rows["001"]["connected"]
        assert rows["001"]["check_number"] == check_number(answers(room, "001"))
        assert rows["002"]["phase"] == "at work" and rows["002"]["answered"] == 1
        assert not rows["003"]["connected"] and rows["003"]["phase"] == "not begun"
        status, text = one.ask("/copy")
        assert status == 200 and text.encode() == answers(room, "001")
        assert other.ask("/copy")[0] == 403, "not before the end"
        ending = asyncio.to_thread(
            watch.ask, "/supervisor/end", "POST", body=b"", **{"X-XSRFToken": watch.token}
        )
        ended = asyncio.create_task(ending)
        await other.hear_end()
        assert (await other.save(IDS[0], "answer", "C"))["kind"] == "saved", "last words"
        assert (await ended)[0] == 200 and now(watch)["ended"]
        await other.closed()
        assert "The sitting has ended" in other.ask("/")[1]
        assert other.ask("/begin", "POST", {})[0] == 410
        assert other.ask("/copy")[1].encode() == answers(room, "002")

    try:
        asyncio.run(sit())
    finally:
        room.stop()


# ---- folders, PINs, notes


def test_pins_stay_from_start_to_start_and_are_for_the_account_alone(tmp_path):
    first = Register(tmp_path / "room.json", ["1", "2"])
    again = Register(tmp_path / "room.json", ["1", "2", "3"])
    assert first.pins == {n: again.pins[n] for n in ("1", "2")} and len(again.pins["3"]) == 6
    assert (first.supervisor, first.secret) == (again.supervisor, again.secret)
    assert (tmp_path / "room.json").stat().st_mode & 0o077 == 0
    (tmp_path / "room.json").write_text("{")
    for _ in range(5):
        with pytest.raises(UserError, match="do not belong together"):
            again.check("1", "x", "a neighbour's machine")
    with pytest.raises(UserError, match="Wait a minute"):
        again.check("1", again.pins["1"], "a neighbour's machine")
    again.check("1", again.pins["1"], "the own machine")
    with pytest.raises(UserError, match="damaged. Move it away"):
        Register(tmp_path / "room.json", ["1"])


def test_numbers_and_password_may_be_typed_as_people_do(tmp_path):
    register = Register(tmp_path / "room.json", ["007", "010", "10", "12b"])
    for typed, number in (("7", "007"), (" 007 ", "007"), ("12b", "12b"), ("010", "010")):
        assert register.on_slip(typed) == number
    for typed in ("8", "12", "70", "00010"):
        assert register.on_slip(typed) == typed, "nobody's, or more than one's"
    register.check_supervisor(register.supervisor.replace("-", " "), "here")
    for wrong in ("", register.supervisor[:-1], register.supervisor + "0"):
        with pytest.raises(UserError, match="not the supervisor's password"):
            register.check_supervisor(wrong, "here")


def test_a_flood_of_attempts_fills_no_disk_and_is_counted(tmp_path):
    notes = Attempts(tmp_path / "refused.jsonl")
    for _ in range(MOST + 50):
        notes.note("007", "GET /x\n", "no")
    assert len((tmp_path / "refused.jsonl").read_bytes().splitlines()) == MOST
    assert notes.counts["007"] == MOST + 50
    with open(tmp_path / "refused.jsonl", "ab") as file:
        file.write(b'{"at": "half a li')
    again = Attempts(tmp_path / "refused.jsonl")
    assert again.counts["007"] == MOST and "\n" not in again.latest[0]["what"]


def test_what_may_be_asked_comes_back_with_time(monkeypatch):
    times = iter([0, 0, 0, 0, 0.5, 0.5, 100, 100, 100])
    monkeypatch.setattr("tractionlab.start.pace.time.monotonic", lambda: next(times))
    pace = Pace(3, 2)
    assert [pace.take("a") for _ in range(4)] == [True, True, True, False]
    assert [pace.take("a"), pace.take("a")] == [True, False], "two a second"
    assert pace.take("b") and not pace.take("a", 4), "never more than so many at once"
    assert not pace.take("a")


def test_a_folder_that_cannot_be_served_is_named(issued, tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *more, **named: None)
    assert cli.main(["paper", "room", str(tmp_path)]) == 2
    assert "is no folder of a sitting" in capsys.readouterr().err
    source = issued[1] / "candidates" / "candidate_001" / "sheet.json"
    for name in ("a", "b"):
        (tmp_path / "candidates" / name).mkdir(parents=True)
        (tmp_path / "candidates" / name / "sheet.json").write_bytes(source.read_bytes())
    with pytest.raises(UserError, match="are both of candidate 001"):
        seats_of(tmp_path)
    other = json.loads(source.read_text()) | {"sitting": "another", "candidate": "002"}
    (tmp_path / "candidates" / "b" / "sheet.json").write_text(json.dumps(other))
    with pytest.raises(UserError, match="several sittings"):
        seats_of(tmp_path)
    assert isinstance(seats_of(issued[1])["001"], Seat)


@pytest.mark.parametrize(
    "word, sentence",
    [("room", "is no folder of a sitting"), ("sit", "is no candidate's folder: it must hold")],
)
def test_a_missing_folder_is_named_before_anything_is_installed(word, sentence, tmp_path, capsys):
    """On a machine that has Python and nothing else (-S: no installed packages)."""
    plain = [sys.executable, "-S", "-m", "tractionlab", "paper", word, str(tmp_path / "nowhere")]
    said = subprocess.run(plain, cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert said.returncode == 2 and said.stdout == ""
    assert sentence in said.stderr and said.stderr.count("\n") == 1


def test_a_message_passes_once():
    forms = Forms("line")
    header = {"msg_type": "comm_open", "session": "line", "msg_id": "line_0"}
    content = {"comm_id": "c", "target_name": "jupyter.widget.control", "data": {}}
    message = packed("shell", header, {}, {"version": "1.0.0"}, content)
    forms.check(message)
    with pytest.raises(Refused, match="not the next message"):
        forms.check(message)
