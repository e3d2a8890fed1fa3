"""The room: what its handlers share, and the server itself."""

import asyncio
import os
import signal
from datetime import datetime

from jupyter_server.auth import AllowAllAuthorizer
from tornado.httpserver import HTTPServer
from tornado.web import Application

from tractionlab.assess.answers.check_number import check_number
from tractionlab.assess.answers.line import seconds
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.desk.sheet import rules
from tractionlab.start.room import pages, supervisor
from tractionlab.start.room.desks import DeskKernels, Desks
from tractionlab.start.room.line import FormsConnection, Line
from tractionlab.start.room.messages import LONGEST

#: A page that does not answer for so long has lost its line; it is asked each [ms]. Several
#: questions to a loss: one that comes a moment late must not cost a page that answers its line.
SILENT, PING = 20_000, 5_000


class Room:
    """All that a sitting's server knows.

    Parameters
    ----------
    seats : {number: Seat}; register : Register; attempts : Attempts
    key : str, what opens the page of the only candidate without a PIN; "" where there are PINs
    """

    def __init__(self, seats, register, attempts, key=""):
        self.seats, self.register, self.attempts, self.key = seats, register, attempts, key
        self.ended = False
        self._read = {}
        self.kernels = DeskKernels()
        self.desks = Desks(seats, self.kernels)

    def answers(self, number):
        """Path of a candidate's answer file."""
        return self.seats[number].folder / f"answers_{number}.jsonl"

    def state(self, number):
        """How things stand with a candidate, as plain data for the supervisor's page."""
        seat, since = self.seats[number], self.desks.since.get(number)
        return {
            "number": number,
            "name": seat.sheet["name"],
            "connected": number in self.desks.open,
            "since": datetime.fromtimestamp(since).strftime("%H:%M:%S") if since else "",
            "refused": self.attempts.counts[number],
            **self._saved(number),
        }

    def _saved(self, number):
        """What the answer file says; read again when it has grown."""
        path, sheet = self.answers(number), self.seats[number].sheet
        size = path.stat().st_size if path.is_file() else 0
        if self._read.get(number, (None,))[0] != size:
            content = path.read_bytes() if size else b""
            self._read[number] = size, _told(content, sheet)
        return self._read[number][1]

    async def end(self):
        """End the sitting for all."""
        self.ended = True
        await self.desks.end()

    async def close(self):
        """Let no kernel outlive the server."""
        await self.desks.close()
        if self.kernels.warm:
            self.kernels.warm.close()


def _told(content, sheet):
    reading = read_answers(content, rules(sheet)) if content else None
    lines = reading.lines if reading else []
    asked = [item for item in sheet["items"] if item["kind"] != "checklist"]
    at = datetime.fromtimestamp(seconds(lines[-1]["time"])) if lines else None
    handed_in = bool(reading) and reading.handed_in
    at_work = "on a break" if reading and reading.on_break else "at work"
    return {
        "phase": "handed in" if handed_in else at_work if lines else "not begun",
        "answered": len(reading.answers()) if reading else 0,
        "asked": len(asked),
        "saved_at": at.strftime("%H:%M:%S") if at else "",
        "check_number": check_number(content) if handed_in else "",
    }


def application(room):
    """The tornado application: these addresses and no others."""
    identity = pages.Seated()
    return Application(
        [
            ("/", pages.Paper),
            ("/sign-in", pages.SignIn),
            ("/begin", pages.Begin),
            ("/line", Line),
            ("/copy", pages.Copy),
            ("/files/([a-z_.]+)", pages.File),
            ("/favicon.ico", pages.NoIcon),
            ("/supervisor", supervisor.Overview),
            ("/supervisor/now", supervisor.Now),
            ("/supervisor/end", supervisor.End),
            ("/.*", pages.Nothing),
        ],
        room=room,
        template_path=str(pages.FOLDER),
        cookie_secret=room.register.secret,
        xsrf_cookies=True,
        xsrf_cookie_kwargs={"samesite": "Strict"},
        log_function=lambda handler: None,
        # For Jupyter Server's handler of the line.
        base_url="/",
        allow_remote_access=True,
        identity_provider=identity,
        authorizer=AllowAllAuthorizer(identity_provider=identity),
        kernel_manager=room.kernels,
        kernel_websocket_connection_class=FormsConnection,
        ws_ping_interval=PING,
        ws_ping_timeout=SILENT,
    )


async def serve(room, port, address, tls, ready):
    """Serve until Ctrl-C or the end of the window. `tls` : None or (certificate, key), files (PEM);
    `ready` is called when browsers can come.
    """
    stopped = asyncio.Event()
    options = {"certfile": tls[0], "keyfile": tls[1]} if tls else None
    await room.kernels.be_ready()
    server = HTTPServer(application(room), ssl_options=options, max_body_size=LONGEST)
    server.listen(port, address)
    if os.name == "posix":
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            asyncio.get_running_loop().add_signal_handler(number, stopped.set)
    ready()
    try:
        await stopped.wait()
    finally:
        server.stop()
        await room.close()
