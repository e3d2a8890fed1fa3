"""A light learner for the class server: signs in, opens a notebook and runs cells with the requests
and messages that a browser sends, and draws nothing.
"""

import asyncio
import json
import time
import uuid

import aiohttp
from wire import PROTOCOL, packed, unpacked
from yarl import URL


class Learner:
    """One learner's browser; use it with `async with`."""

    def __init__(self, base):
        self.base = base

    async def __aenter__(self):
        jar = aiohttp.CookieJar(unsafe=True)
        # Certificates of the tests are signed by nobody.
        self.http = aiohttp.ClientSession(
            connector=aiohttp.TCPConnector(ssl=False),
            cookie_jar=jar,
            timeout=aiohttp.ClientTimeout(total=120),
        )
        return self

    async def __aexit__(self, *_):
        await self.http.close()

    async def ask(self, method, path, **more):
        """(status, text, last address) of a request, with the token that pages send along."""
        headers = {"X-XSRFToken": self._token(path)} | more.pop("headers", {})
        async with self.http.request(method, self.base + path, headers=headers, **more) as answer:
            return answer.status, await answer.text(errors="replace"), str(answer.url)

    def _token(self, path):
        cookie = self.http.cookie_jar.filter_cookies(URL(self.base + path)).get("_xsrf")
        return cookie.value if cookie else ""

    async def sign_in(self, name, password, pin=""):
        """(status, text of the page) after the sign-in form."""
        await self.ask("GET", "/hub/login")
        form = {"username": name, "password": password, "pin": pin}
        form["_xsrf"] = self._token("/hub/login")
        status, text, _ = await self.ask("POST", "/hub/login", data=form, allow_redirects=False)
        return status, text

    async def own_server(self, name):
        """Wait for the page of the own server; its address. As a browser does it: the page shown
        meanwhile hears from the hub when the server is ready.
        """
        for _ in range(60):
            await self.ask("GET", "/hub/spawn")
            await self._ready(name)
            status, text, where = await self.ask("GET", f"/user/{name}/lab")
            if status == 200 and "jupyter-config-data" in text:
                return where
            await asyncio.sleep(1)  # it ended just now
        raise AssertionError("the server did not come")

    async def _ready(self, name):
        events = f"{self.base}/hub/api/users/{name}/server/progress"
        headers = {"X-XSRFToken": self._token("/hub/"), "Accept": "text/event-stream"}
        async with self.http.get(events, headers=headers) as answer:
            async for line in answer.content:
                if line.startswith(b"data:") and json.loads(line[5:])["progress"] == 100:
                    return

    async def open(self, name, notebook):
        """Open a notebook with its kernel."""
        self.user, self.messages = f"/user/{name}", []
        about = {"path": notebook, "name": "", "type": "notebook", "kernel": {"name": "python3"}}
        status, text, _ = await self.ask("POST", f"{self.user}/api/sessions", json=about)
        assert status == 201, text
        self.session = json.loads(text)
        self.kernel = self.session["kernel"]["id"]
        self.line = await self.http.ws_connect(
            f"{self.base}{self.user}/api/kernels/{self.kernel}/channels",
            protocols=(PROTOCOL,),
            headers={"X-XSRFToken": self._token(self.user)},
            max_msg_size=0,
        )

    async def run(self, code, patience=90):
        """What the kernel prints; all that it said is in `messages` as (header, content, number of
        buffers).
        """
        order = {"code": code, "silent": False, "store_history": True, "stop_on_error": True}
        order |= {"user_expressions": {}, "allow_stdin": False}
        printed = []
        async for said, content in self._say("execute_request", order, patience):
            if said["msg_type"] == "stream":
                printed.append(content["text"])
            if said["msg_type"] == "error":
                printed.append(f"{content['ename']}: {content['evalue']}")
        return "".join(printed)

    async def press(self, first_words, button, **values):
        """Press a button of the card whose first field, or title, begins with these words."""
        number = next(
            content["comm_id"]
            for said, content, _ in reversed(self.messages)
            if said["msg_type"] in ("comm_open", "comm_msg")
            and _is_card(content["data"].get("state", {}).get("face"), first_words)
        )
        pressed = {"command": button, "values": values}
        data = {"method": "custom", "content": pressed}
        async for _ in self._say("comm_msg", {"comm_id": number, "data": data}, 90):
            pass

    def slider(self):
        """(number of the newest panel, its first slider as the browser is told of it)."""
        for said, content, _ in reversed(self.messages):
            if said["msg_type"] == "comm_open":
                controls = content["data"]["state"].get("controls") or []
                for one in controls:
                    if one["kind"] == "Slider":
                        return content["comm_id"], one
        raise AssertionError("no panel")

    async def move(self, number, values, whole):
        """Seconds from the browser's message that a control stands elsewhere to the picture of it:
        the quick one, or the whole one.
        """
        ask, begun, seen = uuid.uuid4().hex, time.perf_counter(), None
        wish = {"kind": "draw", "values": values, "ask": ask, "whole": whole}
        data = {"method": "custom", "content": wish}
        async for _, content in self._say("comm_msg", {"comm_id": number, "data": data}, 30):
            state = content.get("data", {}).get("state", {})
            if state.get("picture", {}).get("answer") == ask:
                assert not state["picture"]["error"], state["picture"]["error"]
                seen = time.perf_counter() - begun
        assert seen is not None, "no picture"
        return seen

    async def _say(self, kind, content, patience):
        """Send a message; what comes back until the kernel has done it, as (header, content)."""
        header = {"msg_id": uuid.uuid4().hex, "msg_type": kind, "version": "5.4"}
        header |= {"session": uuid.uuid4().hex, "username": "", "date": "2026-01-01T00:00:00Z"}
        await self.line.send_bytes(packed("shell", header, {}, {}, content))
        wanted = {"idle"} | ({"execute_reply"} if kind == "execute_request" else set())
        async with asyncio.timeout(patience):
            while wanted:
                message = await self.line.receive()
                assert message.type is aiohttp.WSMsgType.BINARY, message
                said, parent, content, buffers = unpacked(message.data)
                if parent.get("msg_id") != header["msg_id"]:
                    continue
                self.messages.append((said, content, buffers))
                wanted -= {said["msg_type"], content.get("execution_state")}
                yield said, content


def _is_card(face, words):
    fields = (face or {}).get("fields", [])
    return bool(face) and (
        face["title"].startswith(words) or any(f["label"].startswith(words) for f in fields[:1])
    )
