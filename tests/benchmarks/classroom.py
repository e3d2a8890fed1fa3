"""A class of learners who all sign in at once, and what they wait for:

    python tests/benchmarks/classroom.py                        ten of them, then twenty
    python tests/benchmarks/classroom.py 10 --browsers 0        light ones alone

Light learners send what a browser sends and draw nothing; the first three have a real browser. In
a class browsers run on the learners' machines, so here they get what the server leaves of this one
(`class_browsers.py`). So there are two kinds of figures: what the class gives, as the light
learners wait for it while the browsers' learners work, too; and what the three browsers painted,
each line of which says that they share the server's processors: slower than on machines of their
own, by how much is not known.

All are given until the warm process has rehearsed the lessons; then they ask for their servers at
the same moment and open lesson 2. Each figure stands beside the one it should reach. Run it with
nothing else on the machine; it takes five minutes.
"""

import argparse
import asyncio
import contextlib
import json
import os
import random
import signal
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

import psutil

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parent / "browser"), str(HERE.parents[1])]

from class_browsers import Browsers
from class_client import Learner
from class_light import BENCH, LESSON, Light
from test_class import PASSWORD, served
from wire import free_port

from tractionlab.lesson.questions import questions
from tractionlab.start.classroom.register import Register

SPLIT, HILL = (questions()[name]["ask"][:60] for name in ("2.split", "2.hill"))
#: Row of what three of the learners saw.
PAINTED = "    painted by browsers that share the server's processors"
#: The command as it is, but for its installation: unlike in the tests, which have no time for that,
#: the process that makes kernels rehearses the lessons.
START = """
import sys
from tractionlab.cli.main import main
from tractionlab.start import environment
environment.ensure = lambda *_, **__: None
sys.exit(main(sys.argv[1:-1]))
"""
#: Drag without a pause, and as people do: (seconds of it, seconds of rest).
AT_ONCE, AS_PEOPLE = (2.0, 0.0), (2.0, 6.0)


def memory(folder):
    """Megabytes (proportional set size, proc(5)) of all processes that work below a folder."""
    kilobytes = 0
    for process in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            if (process / "cwd").readlink().is_relative_to(folder):
                found = (process / "smaps_rollup").read_text().partition("\nPss:")[2]
                kilobytes += int(found.split()[0])
    return kilobytes / 1000


def processor():
    """Seconds of processor time so far: (the class, the browsers)."""
    spent = [0.0, 0.0]
    for process in psutil.Process().children(recursive=True):
        with contextlib.suppress(psutil.Error):
            times, words = process.cpu_times(), " ".join(process.cmdline()[:2])
            spent["chrom" in words or "playwright" in words] += times.user + times.system
    return spent


async def settled():
    """Wait until the class has prepared itself: three looks at which it has done nothing."""
    quiet, before = 0, -1.0
    while quiet < 3:
        await asyncio.sleep(2)
        now = processor()[0]
        quiet = quiet + 1 if now - before < 0.1 else 0
        before = now


def ordinary():
    """How many kernels at work were not made by the warm process."""
    found = 0
    for process in psutil.Process().children(recursive=True):
        with contextlib.suppress(psutil.Error):
            found += "ipykernel_launcher" in process.cmdline()
    return found


async def known_after(instructor, learner, guesses):
    """Seconds from a guess to its count in what the instructor's page asks for."""
    begun = time.monotonic()
    await learner.press(HILL, "keep", guess="1")
    while True:
        _, said, _ = await instructor.ask("GET", "/hub/class/picture?question=2.hill")
        if json.loads(said)["answered"] == guesses:
            return time.monotonic() - begun
        await asyncio.sleep(0.05)


def told(words, value, unit, bar=None):
    """One row of the table."""
    verdict = "" if bar is None else f"{bar:6g}  {'met' if value <= bar else 'MISSED'}"
    print(
        f"{words:58s}{value:7.{0 if unit in ('MB', 'ms') else 1}f} {unit:3s}{verdict}", flush=True
    )


def worst(words, light, seen, unit, bar):
    """Rows of the slowest light learner and of the slowest real browser."""
    told(words, max(light), unit, bar)
    if seen:
        told(PAINTED, max(seen), unit, bar)


def most(words, milliseconds, bar):
    """A row of what 95 of 100 take at most; nothing painted is a figure, too."""
    if not milliseconds:
        print(f"{words:58s}none in time")
        return
    told(words, sorted(milliseconds)[int(0.95 * len(milliseconds))], "ms", bar)


async def together(learners, todo):
    """What all learners answer to the same, at once."""
    return await asyncio.gather(*map(todo, learners))


async def dragged(words, learners, number, seconds, pattern, bar):
    """Rows of what all wait for pictures."""
    starts = random.Random(4711)
    stretch, rest = pattern
    before = [starts.uniform(0.0, stretch + rest) if rest else 0.0 for _ in learners]
    spent = processor()
    found = await asyncio.gather(
        *(one.drag(seconds, stretch, rest, at) for one, at in zip(learners, before))
    )
    busy = [(now - then) / seconds for now, then in zip(processor(), spent)]
    most(f"{words}, 95 of 100 pictures", sum(found[number:], []), bar)
    if number:
        most(PAINTED, sum(found[:number], []), bar)
    rate = sum(map(len, found[number:])) / seconds / max(1, len(found[number:]))
    print(
        f"    {rate:.1f} pictures/s each; cores at work: class {busy[0]:.1f},"
        f" browsers {busy[1]:.1f}"
    )


async def lesson_two(learners, seen, folder):
    """Rows of signing in at once; afterwards every panel is open."""
    number = len(learners)
    spent = processor()
    waits = await together(learners, lambda one: one.first_card(LESSON))
    taken = [now - then for now, then in zip(processor(), spent)]
    worst(f"first card of the last of {number}", waits[seen:], waits[:seen], "s", 6)
    told("    median", median(waits), "s")
    print(f"    processor time, whole lesson: class {taken[0]:.1f} s, browsers {taken[1]:.1f} s")
    if late := ordinary():
        print(f"    {late} kernels were started in the ordinary way")
    told("memory a learner", memory(folder / "learners") / number, "MB", 140)
    await together(learners, lambda one: one.guess(SPLIT))


async def in_sight(base, folder, light):
    """A row of what the instructor sees."""
    secret = Register(folder / ".tractionlab" / "register.json").instructor
    async with Learner(base) as instructor:
        await instructor.sign_in("instructor", secret)
        known = [await known_after(instructor, one, n) for n, one in enumerate(light, 1)]
    told("a guess is known to the instructor's page, at most", max(known), "s", 2)


async def day(base, folder, number, browsers, seconds):
    """All rows of a class up to the loss of its servers; the light learners."""
    async with contextlib.AsyncExitStack() as open_:
        light = [Light(base, f"learner{one}") for one in range(browsers, number)]
        for one in light:
            await open_.enter_async_context(one)
        seen = []
        if browsers:
            chromium = await open_.enter_async_context(Browsers())
            seen = [await chromium.learner(base, f"learner{one}") for one in range(browsers)]
        learners = [*seen, *light]
        for one in learners:
            await one.sign_in(PASSWORD)
        await settled()
        print(f"\n{number} learners, {browsers} of them with a real browser;", end=" ")
        print(f"load before {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
        print(f"    processor time until the class is prepared: {processor()[0]:.0f} s")
        await lesson_two(learners, browsers, folder)
        people = ("drag 2 s, rest 6 s", learners, browsers, 2 * seconds, AS_PEOPLE)
        if number > 10:
            return await dragged(*people, 100)
        await dragged("all drag without pause", learners, browsers, seconds, AT_ONCE, 200)
        await dragged(*people, 60)
        told("memory a learner, after all that", memory(folder / "learners") / number, "MB")
        await in_sight(base, folder, light)
        ends = await together(learners, lambda one: one.all_cards(BENCH))
        worst("lesson 11, all cards of the last", ends[browsers:], ends[:browsers], "s", 4)
        few = light[:3]
        for one in few:
            await one.end_server()
        await asyncio.sleep(3)
        told("back after an hour without use", max([await one.come_back() for one in few]), "s", 3)


async def next_day(base, names):
    """A row of a class whose machine was restarted."""
    backs = []
    for name in names:
        async with Light(base, name) as one:
            await one.sign_in(PASSWORD)
            if not backs:
                await settled()
            backs.append(await one.come_back())
    told("back after the machine was restarted", max(backs), "s", 3)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("learners", nargs="*", type=int, default=[10, 20])
    parser.add_argument("--browsers", type=int, default=3, help="how many have a real browser")
    parser.add_argument("--seconds", type=float, default=16.0, help="how long they drag")
    chosen = parser.parse_args()
    for number in chosen.learners:
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place).resolve() / "class"
            folder.mkdir()
            words = (folder, free_port(), "--password", PASSWORD)
            last = number > 10
            with served(
                *words, stop=signal.SIGINT if last else signal.SIGKILL, start=START
            ) as base:
                asyncio.run(day(base, folder, number, chosen.browsers, chosen.seconds))
            if not last:
                names = [f"learner{one}" for one in range(number)][-3:]
                with served(*words, start=START) as base:
                    asyncio.run(next_day(base, names))
    print(f"load after {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
