"""The room: what its handlers share, and the server itself."""

import asyncio
import contextlib
import os
import signal
import time
from datetime import datetime, timedelta

from jupyter_server.auth import AllowAllAuthorizer
from tornado.httpserver import HTTPServer
from tornado.web import Application

from tractionlab.assess.answers.check_number import check_number
from tractionlab.assess.answers.file import AnswerFile
from tractionlab.assess.answers.line import seconds
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.desk.clock import phase, seconds_left
from tractionlab.assess.desk.sheet import rules
from tractionlab.assess.desk.supervisor import ENTERED
from tractionlab.errors import UserError
from tractionlab.start.pace import Pace
from tractionlab.start.room import pages, supervisor
from tractionlab.start.room.desks import DeskKernels, Desks
from tractionlab.start.room.line import FormsConnection, Line
from tractionlab.start.room.messages import LONGEST
from tractionlab.written.line_file import Strange

#: A page that does not answer for so long has lost its line; it is asked each [ms]. Several
#: questions to a loss: one that comes a moment late must not cost a page that answers its line.
SILENT, PING = 20_000, 5_000
#: Requests of one browser, and messages of one candidate's page, at once and in each second. A page
#: asks for six things as it is loaded, sends one message for an answer, and after a lost line once
#: all that had none, at most one for each of some hundred questions.
REQUESTS, MESSAGES = (200, 40), (400, 30)


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
        self.requests, self.messages = Pace(*REQUESTS), Pace(*MESSAGES)
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
            reading = read_answers(content, rules(sheet))
            self._read[number] = size, reading, _told(content, reading, sheet)
        _, reading, told = self._read[number]
        now = time.time()
        there = phase(reading, sheet, now)
        left = max(0, round(seconds_left(reading, sheet, now)))
        shown = there in ("working", "break", "over")
        return told | {
            "phase": _PHASES[there],
            "left": str(timedelta(seconds=left)) if shown else "",
        }

    async def enter(self, number, what, said):
        """Write down what the supervisor enters for a candidate, "break", "resume" or "lost_time",
        and let the candidate's page show it.

        Raises UserError if it cannot be.
        """
        sheet = self.seats[number].sheet
        try:
            file = AnswerFile(self.answers(number), rules(sheet))
            ENTERED[what](file, phase(file.reading, sheet, time.time()), **said)
        except OSError as problem:
            raise UserError(f"The answer file cannot be written ({problem.strerror}).") from None
        except Strange as problem:
            raise UserError(f"It {problem}.") from None
        with contextlib.suppress(TimeoutError, RuntimeError):  # it is written down all the same
            await self.desks.look_again(number)

    async def end(self):
        """End the sitting for all."""
        self.ended = True
        await self.desks.end()

    async def close(self):
        """Let no kernel outlive the server."""
        await self.desks.close()
        if self.kernels.warm:
            self.kernels.warm.close()


_PHASES = {
    "ready": "not begun",
    "working": "at work",
    "break": "on a break",
    "over": "time is over",
    "handed_in": "handed in",
}


def _told(content, reading, sheet):
    lines = reading.lines
    asked = [item for item in sheet["items"] if item["kind"] != "checklist"]
    at = datetime.fromtimestamp(seconds(lines[-1]["time"])) if lines else None
    entry = reading.break_line
    since = datetime.fromtimestamp(seconds(entry["time"])).strftime("%H:%M") if entry else ""
    return {
        "answered": len(reading.answers()),
        "asked": len(asked),
        "saved_at": at.strftime("%H:%M:%S") if at else "",
        "check_number": check_number(content) if reading.handed_in else "",
        "pause": f"since {since}, {entry['by']}: {entry['reason']}" if entry else "",
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
            ("/supervisor/enter", supervisor.Enter),
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
