"""Real browsers in a class of the benchmark classroom.py: Chromium, one window for each learner.

In a class they run on the learners' machines. Here they share the processors with the server, so
they get what the class leaves (SCHED_IDLE, sched(7)): what they paint, and when, is that of three
browsers on what is left of two cores. What the class itself took is read from the messages: each of
the kernel's says when it was made, and when the browser made the one that it answers.
"""

import asyncio
import contextlib
import math
import os
import re
import time
from pathlib import Path

import psutil
from labserver import QUIET, READY, chromium_path
from playwright.async_api import async_playwright
from slider import WATCH, ages

SIZE = {"width": 1366, "height": 768}
_FRONT = ".jp-NotebookPanel:not(.lm-mod-hidden)"
_RANGE = f"{_FRONT} .tl-controls input[type=range]"
#: Seconds a mouse rests between two movements of a drag.
_STILL = 0.004


class Browsers:
    """Chromium while it is used: `async with Browsers() as one`."""

    async def __aenter__(self):
        before = _own()
        self._play = await async_playwright().start()
        self._chromium = await self._play.chromium.launch(
            executable_path=chromium_path(), args=QUIET
        )
        _serve_last(_own() - before)
        return self

    async def __aexit__(self, *_):
        await self._chromium.close()
        await self._play.stop()

    async def learner(self, base, name):
        """A learner with a window, and what any browser keeps of the pages of before."""
        context = await self._chromium.new_context(viewport=SIZE)
        return Seen(base, name, await context.new_page())


def _own():
    """All processes that this one started, and theirs."""
    return set(psutil.Process().children(recursive=True))


def _serve_last(processes):
    """Give processes, all their threads and whatever they start only what others leave; where the
    system shares out by sessions first (sched(7), "The autogroup feature"), their sessions, too.
    """
    for process in processes:
        with contextlib.suppress(OSError):  # it has ended, or its session was told just now
            for thread in Path(f"/proc/{process.pid}/task").iterdir():
                os.sched_setscheduler(int(thread.name), os.SCHED_IDLE, os.sched_param(0))
            if os.getsid(process.pid) != os.getsid(0):
                Path(f"/proc/{process.pid}/autogroup").write_text("19")


class Seen:
    """A learner before a real browser; the same words as a light one of classroom.py."""

    def __init__(self, base, name, page):
        self.base, self.name, self.page = base, name, page

    async def sign_in(self, password):
        """Sign in; no server is asked for yet."""
        page = self.page
        await page.goto(f"{self.base}/hub/login?next=%2Fhub%2Ftoken")
        await page.get_by_label("Your name").fill(self.name)
        await page.get_by_label("Class password").fill(password)
        await page.get_by_label("PIN").fill("4711")
        await page.keyboard.press("Enter")
        await page.wait_for_url("**/hub/token")

    async def first_card(self, lesson):
        """Seconds from the request for the own server to the first card on the screen; the rest of
        the lesson follows.
        """
        begun = time.monotonic()
        where = f"/user/{self.name}/lab/tree/{lesson}"
        await self.page.goto(f"{self.base}/hub/spawn?next={where}", wait_until="commit")
        await self.page.locator(".tl-card").first.wait_for(timeout=120_000)
        waited = time.monotonic() - begun
        await self._all()
        return waited

    async def all_cards(self, lesson):
        """Seconds from its title in the list of lessons to all cards of another lesson."""
        number = int(lesson[:2])
        await self.page.locator(".tl-page-bar [popovertarget]").click()
        title = self.page.locator("#tl-page-list button").nth(number)
        begun = time.monotonic()
        await title.click()
        heading = self.page.locator(_FRONT).get_by_role("heading", level=1)
        await heading.filter(has_text=re.compile(f"^{number} ")).wait_for(timeout=120_000)
        await self._all()
        return time.monotonic() - begun

    async def _all(self):
        await self.page.locator(".tl-page-said", has_text=READY).wait_for(timeout=120_000)

    async def guess(self, question):
        """Write a guess down, which opens the panel."""
        card = self.page.locator(".tl-card", has_text=question).first
        field = card.locator("input[type=text]")
        await field.fill("700")
        await field.press("Enter")
        await card.get_by_text("Written down").wait_for()
        self._slider = self.page.locator(_RANGE).first
        await self._slider.scroll_into_view_if_needed()
        await self.page.evaluate(WATCH, 0)

    async def drag(self, seconds, stretch, rest, before):
        """Milliseconds from each position of the mouse to its picture; see classroom.drag."""
        await asyncio.sleep(before)
        await self.page.evaluate("() => { window.inputs = []; window.pictures = []; }")
        mouse, end = self.page.mouse, time.monotonic() + seconds
        box = await self._slider.bounding_box()
        middle, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        while (begun := time.monotonic()) < end:
            await mouse.move(middle, y)
            await mouse.down()
            while (now := time.monotonic() - begun) < stretch:
                await mouse.move(middle + 0.42 * box["width"] * math.sin(1.7 * now), y)
                await asyncio.sleep(_STILL)
            await mouse.up()
            await asyncio.sleep(rest)
        return list(ages(*await self.page.evaluate("() => [window.inputs, window.pictures]")))
