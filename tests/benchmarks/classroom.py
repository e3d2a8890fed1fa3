"""A class of light learners who all sign in at once: `python tests/benchmarks/classroom.py [10]`.

Prints how long the last of them waits for the first card of lesson 2, what memory each takes, how
soon the instructor's page knows an answer, and how long somebody whose server was ended needs to be
where they left off. Light learners send what a browser sends and draw nothing.
"""

import asyncio
import json
import os
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from statistics import median

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1])]

from class_client import Learner
from test_class import PASSWORD, code_of, served
from wire import free_port

from tractionlab.lesson.questions import questions
from tractionlab.start.classroom.register import Register

LESSON = "02_open_differential.ipynb"
HILL = questions()["2.hill"]["ask"][:60]
#: In a browser all cells are sent at once; the first card is in the third cell with code.
FIRST_CARD = 3


async def first_card(learner, name):
    """Seconds from the request for the own server to the first card; the rest of the lesson runs
    afterwards.
    """
    begun = time.monotonic()
    await learner.own_server(name)
    await learner.open(name, LESSON)
    cells = code_of(LESSON)
    for cell in cells[:FIRST_CARD]:
        await learner.run(cell)
    waited = time.monotonic() - begun
    for cell in cells[FIRST_CARD:]:
        await learner.run(cell)
    return waited


def memory(folder):
    """Megabytes (proportional set size, proc(5)) of all processes that work below a folder."""
    kilobytes = 0
    for process in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            if (process / "cwd").readlink().is_relative_to(folder):
                found = (process / "smaps_rollup").read_text().partition("\nPss:")[2]
                kilobytes += int(found.split()[0])
    return kilobytes / 1000


async def known_after(instructor, learner, guesses):
    """Seconds from a guess to its count in what the instructor's page asks for."""
    begun = time.monotonic()
    await learner.press(HILL, "keep", guess="1")
    while True:
        _, said, _ = await instructor.ask("GET", "/hub/class/picture?question=2.hill")
        if json.loads(said)["answered"] == guesses:
            return time.monotonic() - begun
        await asyncio.sleep(0.05)


async def come_back(learner, name):
    """End a learner's server; seconds until the guess of before stands in its card again."""
    await learner.line.close()
    status, said, _ = await learner.ask("DELETE", f"/hub/api/users/{name}/server")
    assert status in (202, 204), said
    await asyncio.sleep(3)
    begun = time.monotonic()
    await learner.own_server(name)
    await learner.open(name, LESSON)
    for cell in code_of(LESSON):
        await learner.run(cell)
        if "Written down on" in json.dumps([content for _, content, _ in learner.messages]):
            return time.monotonic() - begun
    raise AssertionError("the guess is gone")


async def lesson(base, folder, number):
    """Print the figures of a class."""
    names = [f"learner{one}" for one in range(number)]
    secret = Register(folder / ".tractionlab" / "register.json").instructor
    learners = [await Learner(base).__aenter__() for _ in names]
    for learner, name in zip(learners, names):
        await learner.sign_in(name, PASSWORD, "4711")
    await asyncio.sleep(20)  # the warm process shows the lessons to itself
    print(f"load before: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    waits = await asyncio.gather(*map(first_card, learners, names))
    print(
        f"first card of the last of {number}: {max(waits):.1f} s (aim 6), median {median(waits):.1f}"
    )
    print(f"memory: {memory(folder / 'learners') / number:.0f} MB a learner (aim 140)")
    async with Learner(base) as instructor:
        await instructor.sign_in("instructor", secret)
        known = [await known_after(instructor, one, n) for n, one in enumerate(learners, 1)]
    print(
        f"a guess is known after {median(known):.2f} s, at most {max(known):.2f}; a page asks each 1 s"
    )
    backs = [await come_back(*one) for one in list(zip(learners, names))[:3]]
    print(f"back where they left off: {median(backs):.1f} s, at most {max(backs):.1f} (aim 3)")
    print(f"load after: {os.getloadavg()[0]:.1f}")
    for learner in learners:
        await learner.__aexit__()


def main():
    """Serve a class from a folder that goes afterwards."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place).resolve() / "class"
        folder.mkdir()
        with served(folder, free_port(), "--password", PASSWORD) as base:
            asyncio.run(lesson(base, folder, int(sys.argv[1]) if sys.argv[1:] else 10))


if __name__ == "__main__":
    main()
