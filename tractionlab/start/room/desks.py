"""The kernels behind the candidates' pages: one for each, which shows the desk of its folder."""

import asyncio
import secrets
import sys
import time
from typing import NamedTuple

from jupyter_core.paths import jupyter_runtime_dir
from jupyter_core.utils import ensure_async
from traitlets import default

from tractionlab.start.room.line import ELSEWHERE, ENDED
from tractionlab.start.room.messages import FROM_BROWSER
from tractionlab.start.warm_kernels import WarmKernels, WarmProcess

#: What a kernel runs for each page that is sent; but for LOOK nothing else ever reaches it as code.
SHOW = """\
import ipywidgets
from tractionlab.assess.desk.desk import desk
ipywidgets.Widget.close_all()
desk()"""
#: What it runs after the supervisor has written into an answer file.
LOOK = "from tractionlab.assess.desk.desk import look_again; look_again()"
#: Seconds that a kernel may take to begin, and a page to finish what it was sending at the end.
PATIENCE, LAST_WORDS = 120, 2.0
_VIEW = "application/vnd.jupyter.widget-view+json"


class DeskKernels(WarmKernels):
    """The kernels of a room."""

    allowed_message_types = FROM_BROWSER

    @default("connection_dir")
    def _private(self):
        """Where the files lie that tell how a kernel is reached: not in the present folder."""
        return self.sockets.name if self.sockets else jupyter_runtime_dir()

    async def be_ready(self):
        """Wait until kernels come by fork, where they can: a class comes all at once."""
        until = time.monotonic() + PATIENCE
        while self.warm and self.warm.alive and not self.warm.ready and time.monotonic() < until:
            await asyncio.sleep(0.05)
            self.warm.listen()

    @staticmethod
    def _warm():
        return WarmProcess((sys.executable, "-m", "tractionlab.start.room.warm_desk"))


class Place(NamedTuple):
    """A candidate at work: the kernel, the name of the line of the page sent last."""

    kernel: str
    line: str


class Desks:
    """Who is at work where.

    Attributes
    ----------
    open : {number: Line}, the pages that are connected; since : {number: time at which a page came
        or went [s since 1970]}
    """

    def __init__(self, seats, kernels):
        self._seats, self._kernels = seats, kernels
        self._places, self.open, self.since = {}, {}, {}
        self._one_at_a_time = {number: asyncio.Lock() for number in seats}

    async def begin(self, number):
        """Show the desk to a page that has just been sent; what the page needs: the name of its
        line, and the view, or words in its place.
        """
        async with self._one_at_a_time[number]:
            kernel = await self._kernel(number)
            if old := self.open.get(number):
                old.close(ELSEWHERE)
            place = self._places[number] = Place(kernel, secrets.token_hex(16))
            return {"line": place.line, **await self._show(kernel)}

    def kernel_of(self, number, line):
        """Kernel behind a line of this candidate, or None."""
        place = self._places.get(number)
        return place.kernel if place and secrets.compare_digest(place.line, line) else None

    def arrived(self, number, line):
        """A page is connected."""
        self.open[number], self.since[number] = line, time.time()

    def left(self, number, line):
        """A page has gone; one that another has replaced does not count."""
        if self.open.get(number) is line:
            del self.open[number]
            self.since[number] = time.time()

    async def look_again(self, number):
        """Let the desk of a candidate, if there is one, show what the supervisor entered."""
        async with self._one_at_a_time[number]:
            place = self._places.get(number)
            if place and place.kernel in self._kernels:
                await self._run(place.kernel, LOOK, lambda message: None)

    async def end(self):
        """Let every page send what was typed last, then close all."""
        for line in self.open.values():
            line.write_message("end")
        await asyncio.sleep(LAST_WORDS)
        for line in list(self.open.values()):
            line.close(ENDED)
        await self.close()

    async def close(self):
        """End all kernels; what was saved is in the answer files."""
        await ensure_async(self._kernels.shutdown_all(now=True))

    async def _kernel(self, number):
        place = self._places.get(number)
        if place and place.kernel in self._kernels:
            if await ensure_async(self._kernels.get_kernel(place.kernel).is_alive()):
                return place.kernel
            await ensure_async(self._kernels.shutdown_kernel(place.kernel, now=True))
        return await self._kernels.start_kernel(cwd=str(self._seats[number].folder))

    async def _show(self, kernel):
        shown = {"words": "The paper cannot be shown. Tell the supervisor."}

        def hear(message):
            data = message["content"].get("data", {})
            if message["msg_type"] == "execute_result":
                shown.clear()
                shown.update(
                    {"view": data[_VIEW]["model_id"]}
                    if _VIEW in data
                    else {"words": data.get("text/html", "")}
                )

        await self._run(kernel, SHOW, hear)
        return shown

    async def _run(self, kernel, code, hear):
        client = self._kernels.get_kernel(kernel).client()
        client.start_channels()
        try:
            await client.wait_for_ready(timeout=PATIENCE)
            await client.execute_interactive(
                code, store_history=False, allow_stdin=False, timeout=PATIENCE, output_hook=hear
            )
        finally:
            client.stop_channels()
