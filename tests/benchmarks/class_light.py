"""Learners without a browser in a class of the benchmark classroom.py: they send what a browser
sends, and draw nothing.
"""

import asyncio
import json
import math
import time

from class_client import Learner
from test_class import code_of

LESSON, BENCH = "02_open_differential.ipynb", "11_fault_finding.ipynb"
#: In a browser all cells are sent at once; the first card is in the third cell with code, the first
#: panel in the fifth.
FIRST_CARD, FIRST_PANEL = 3, 5
#: Most pictures that a browser asks for in a second.
RATE = 30


class Light(Learner):
    """A learner without a browser."""

    def __init__(self, base, name):
        super().__init__(base)
        self.name = name

    async def sign_in(self, password):
        status, _ = await super().sign_in(self.name, password, "4711")
        assert status == 302

    async def first_card(self, lesson):
        """Seconds from the request for the own server to the first card; the rest of the lesson
        runs afterwards.
        """
        begun = time.monotonic()
        await self.own_server(self.name)
        await self.open(self.name, lesson)
        waited = None
        for number, cell in enumerate(code_of(lesson), 1):
            await self.run(cell)
            if number == FIRST_CARD:
                waited = time.monotonic() - begun
            if number == FIRST_PANEL:
                self._panel = self.slider()
        return waited

    async def all_cards(self, lesson):
        """Seconds from opening another lesson to all its cards."""
        begun = time.monotonic()
        await self.line.close()
        await self.open(self.name, lesson)
        for cell in code_of(lesson):
            await self.run(cell)
        return time.monotonic() - begun

    async def guess(self, question):
        await self.press(question, "keep", guess="700")

    async def drag(self, seconds, stretch, rest, before):
        """Milliseconds from each position of the slider to its picture, as a browser asks: the next
        one when the last has come, and a whole picture where the slider rests.
        """
        number, control = self._panel
        name, low, step = control["name"], control["low"], control["step"]
        steps = (control["high"] - low) / step
        await asyncio.sleep(before)
        found, end = [], time.monotonic() + seconds
        while (begun := time.monotonic()) < end:
            while (now := time.monotonic() - begun) < stretch:
                value = low + step * round(steps * (0.5 + 0.42 * math.sin(1.7 * now)))
                took = await self.move(number, {name: value}, whole=False)
                found.append(1000 * took)
                await asyncio.sleep(max(0.0, 1 / RATE - took))
            await self.move(number, {name: value}, whole=True)
            await asyncio.sleep(rest)
        return found

    async def come_back(self):
        """Seconds until a guess of before stands in its card again."""
        begun = time.monotonic()
        await self.own_server(self.name)
        await self.open(self.name, LESSON)
        for cell in code_of(LESSON):
            await self.run(cell)
            if "Written down on" in json.dumps([content for _, content, _ in self.messages]):
                return time.monotonic() - begun
        raise AssertionError("the guess is gone")

    async def end_server(self):
        """What happens to somebody who does nothing for an hour."""
        await self.line.close()
        status, said, _ = await self.ask("DELETE", f"/hub/api/users/{self.name}/server")
        assert status in (202, 204), said
