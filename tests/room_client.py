"""A light candidate for the exam room: signs in, opens the line of the page and sends the messages
that the page sends, and any others; and a room to try it on.
"""

import asyncio
import contextlib
import http.cookiejar
import json
import os
import re
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

from tornado.httpclient import HTTPRequest
from tornado.websocket import websocket_connect
from wire import PROTOCOL, free_port, packed, unpacked

from tractionlab.catalogue.places import cache_folder

ROOT = Path(__file__).resolve().parent.parent
_SERVE = """
import sys
from tractionlab.cli.main import parser
from tractionlab.start import opening
from tractionlab.start.room import command
opening.compile_kernels = lambda log: None  # conftest.py has seen to that
args = parser().parse_args(sys.argv[1:])
command.check(args)
command.main(args)
"""


class Served:
    """A sitting's folder, served by `paper room`; `kill` ends it as a power cut would."""

    def __init__(self, folder):
        self.folder, self.port, self.child = folder, free_port(), None
        self.base = f"http://127.0.0.1:{self.port}"

    def start(self):
        """Serve, and wait for it."""
        self.log = open(self.folder / "server.log", "a")
        paths = [str(ROOT), os.environ.get("PYTHONPATH", "")]
        self.child = subprocess.Popen(
            [sys.executable, "-c", _SERVE, "paper", "room", str(self.folder)]
            + ["--port", str(self.port)],
            env=os.environ
            | {
                "PYTHONPATH": os.pathsep.join(filter(None, paths)),
                "TRACTIONLAB_CACHE": str(cache_folder()),
            },
            stdout=self.log,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        deadline = time.monotonic() + 240
        while time.monotonic() < deadline and self.child.poll() is None:
            with contextlib.suppress(OSError):
                return urllib.request.urlopen(f"{self.base}/favicon.ico", timeout=5).close()
            time.sleep(0.05)
        raise AssertionError((self.folder / "server.log").read_text())

    def stop(self, number=signal.SIGTERM):
        """End the server; by SIGKILL nothing is tidied up."""
        self.child.send_signal(number)
        self.child.wait(timeout=30)
        self.log.close()

    @property
    def secrets(self):
        """PINs and password of the room, as its own file has them."""
        return json.loads((self.folder / "room" / "room.json").read_text())

    def refused(self):
        """What was noted, oldest first."""
        path = self.folder / "room" / "refused.jsonl"
        return (
            [json.loads(line) for line in path.read_text().splitlines()] if path.is_file() else []
        )


class Sat:
    """A candidate's folder, served by `paper sit` while the block runs; `address` is what the
    browser opens.
    """

    def __init__(self, folder):
        self.folder, self.port = folder, free_port()
        self.base = f"http://127.0.0.1:{self.port}"

    def __enter__(self):
        self._log = open(self.folder.parent / "sit.log", "w")
        paths = [str(ROOT), os.environ.get("PYTHONPATH", "")]
        words = ["paper", "sit", str(self.folder), "--no-browser", "--port", str(self.port)]
        self.child = subprocess.Popen(
            [sys.executable, "-c", _SERVE, *words],
            env=os.environ
            | {
                "PYTHONPATH": os.pathsep.join(filter(None, paths)),
                "TRACTIONLAB_CACHE": str(cache_folder()),
                "PYTHONUNBUFFERED": "1",
            },
            stdout=self._log,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        deadline = time.monotonic() + 240
        while time.monotonic() < deadline and self.child.poll() is None:
            if found := re.search(r"The paper is at  (\S+)", self.said()):
                self.address = found[1]
                return self
            time.sleep(0.05)
        raise AssertionError(self.said())

    def __exit__(self, *_):
        self.child.send_signal(signal.SIGTERM)
        self.child.wait(timeout=30)
        self._log.close()

    def said(self):
        """What the window says."""
        return (self.folder.parent / "sit.log").read_text()


class Browser:
    """Cookies, and requests with the token that the pages send along."""

    def __init__(self, base):
        self.base, self.jar = base, http.cookiejar.CookieJar()
        self.http = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.jar))

    def ask(self, path, method="GET", form=None, body=None, **headers):
        """(status, text) of a request; paths go out as they are."""
        data = urllib.parse.urlencode(form).encode() if form is not None else body
        token = next((c.value for c in self.jar if c.name == "_xsrf"), "")
        request = urllib.request.Request(
            self.base + path, data=data, method=method, headers={"X-XSRFToken": token, **headers}
        )
        try:
            with self.http.open(request, timeout=60) as answer:
                return answer.status, answer.read().decode(errors="replace")
        except urllib.error.HTTPError as problem:
            return problem.code, problem.read().decode(errors="replace")

    @property
    def cookies(self):
        return "; ".join(f"{cookie.name}={cookie.value}" for cookie in self.jar)


class Candidate(Browser):
    """One candidate's browser."""

    def sign_in(self, number, pin):
        """(status, text) after the sign-in form."""
        self.ask("/")
        return self.ask("/sign-in", "POST", {"number": number, "pin": pin})

    async def open(self):
        """Load the page: a line, and all forms; gives the candidate."""
        await asyncio.to_thread(self.ask, "/")
        _, text = await asyncio.to_thread(self.ask, "/begin", "POST", {})
        begun = json.loads(text)
        self.name, self.count, self.asks, self.forms = begun["line"], 0, 0, {}
        self.line = await self.connect(self.name)
        self.control = f"{self.name}-control"
        self.send("comm_open", {"comm_id": self.control, "target_name": "jupyter.widget.control",
                                "data": {}}, {"version": "1.0.0"})  # fmt: skip
        self.say(self.control, {"method": "request_states"})
        told = await self.hear(lambda kind, content: content.get("comm_id") == self.control)
        for name, one in told["data"]["states"].items():
            self.forms[one["state"].get("_anywidget_id", one["model_name"])] = name
        self.desk = self.forms["tractionlab.assess.desk.desk.Desk"]
        self.face = told["data"]["states"][self.desk]["state"]["face"]
        return self

    async def connect(self, name, **headers):
        """A web socket of the room."""
        request = HTTPRequest(
            f"{self.base.replace('http', 'ws')}/line?session_id={name}",
            headers={"Cookie": self.cookies, **headers},
        )
        return await websocket_connect(request, subprotocols=[PROTOCOL])

    def header(self, kind, **more):
        """Header of the next message of this page."""
        self.count += 1
        return {"msg_id": f"{self.name}_{self.count - 1}", "msg_type": kind, "username": "",
                "session": self.name, "version": "5.4", "date": ""} | more  # fmt: skip

    def send(self, kind, content, metadata=None):
        """The next message of this page; gives its bytes."""
        return self.throw(packed("shell", self.header(kind), {}, metadata or {}, content))

    def throw(self, message):
        """Any bytes or text on the line."""
        self.line.write_message(message, binary=isinstance(message, bytes))
        return message

    def say(self, form, data):
        """A message to a form."""
        return self.send("comm_msg", {"comm_id": form, "data": data})

    def command(self, **content):
        """A message to the desk."""
        return self.say(self.desk, {"method": "custom", "content": content})

    async def hear(self, wanted, patience=60):
        """Content of the next message for which `wanted(type, content)` holds."""
        async with asyncio.timeout(patience):
            while True:
                data = await self.line.read_message()
                assert data is not None, "the line was closed"
                if not isinstance(data, bytes):
                    continue
                header, _, content, _ = unpacked(data)
                if wanted(header["msg_type"], content):
                    return content

    async def hear_end(self):
        """Wait until the server says that the sitting ends."""
        async with asyncio.timeout(30):
            while await self.line.read_message() != "end":
                pass

    async def closed(self):
        """Wait until the server closes the line."""
        async with asyncio.timeout(30):
            while await self.line.read_message() is not None:
                pass

    async def said(self, *kinds):
        """What the desk says next, of these kinds."""

        def wanted(kind, content):
            said = content.get("data", {}).get("content") or {}
            return kind == "comm_msg" and said.get("kind") in kinds

        return (await self.hear(wanted))["data"]["content"]

    async def start(self):
        """Press Start."""
        self.command(command="start")
        await self.hear(lambda kind, content: "face" in content.get("data", {}).get("state", {}))

    async def save(self, item, field, value):
        """Save an answer; what the desk says of it."""
        self.asks += 1
        self.command(command="save", item=item, field=field, value=value, ask=self.asks)
        while (said := await self.said("saved", "refused"))["ask"] != self.asks:
            pass
        return said


def slip(page):
    """The token that stands in a page."""
    return re.search(r'data-token="([^"]+)"', page)[1]
