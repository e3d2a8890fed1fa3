"""The exam room under load: 25 candidates who save answers at once, and a server that is killed
again and again in the middle of it.

Run it with nothing else on the machine: python tests/benchmarks/room.py [candidates] [kills]
Asked: 95 of 100 answers saved within 200 ms, and none lost that was called saved.
"""

import asyncio
import os
import signal
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import numpy as np
import psutil
from room_client import Candidate, Served
from sittings import paper_of

from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.bank.item import items
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate as OnRoll

ITEM = "1-push-rear"
FIELD = items()[ITEM].fields[0].name
#: Seconds that everybody saves, and the time between two answers of one candidate.
SPELL, EVERY = 20.0, 1.0


async def come(room, number):
    """A candidate at work."""
    one = Candidate(room.base)
    await asyncio.to_thread(one.sign_in, number, room.secrets["pins"][number])
    await one.open()
    if one.face["phase"] == "ready":
        await one.start()
    return one


async def spell(room, numbers, every):
    """Everybody saves `every` so many seconds for a while; seconds that each answer took."""
    candidates = await asyncio.gather(*(come(room, number) for number in numbers))
    end, took = time.monotonic() + SPELL, []

    async def work(one):
        while time.monotonic() < end:
            began = time.monotonic()
            said = await one.save(ITEM, FIELD, f"{began:.3f}")
            assert said["kind"] == "saved", said
            took.append(time.monotonic() - began)
            await asyncio.sleep(max(0.0, every - took[-1]))

    await asyncio.gather(*map(work, candidates))
    return took


async def killed(room, numbers, saved, answers):
    """Everybody saves as fast as it goes until so many answers are there, then the server dies."""
    first = sum(map(len, saved.values()))

    async def work(number):
        one = await come(room, number)
        while True:
            value = f"{len(saved[number])}.5"
            if (await one.save(ITEM, FIELD, value))["kind"] == "saved":
                saved[number].append(value)

    working = [asyncio.create_task(work(number)) for number in numbers]
    while sum(map(len, saved.values())) < first + answers:
        assert not all(one.done() for one in working), "nobody can work"
        await asyncio.sleep(0.005)
    room.stop(signal.SIGKILL)
    await asyncio.gather(*working, return_exceptions=True)


def memory(room):
    """Memory of the server and all its processes, pages that they share counted once [MB]."""
    server = psutil.Process(room.child.pid)
    processes = [server, *server.children(recursive=True)]
    return sum(process.memory_full_info().pss for process in processes) / 1e6, len(processes)


def main(count, kills):
    """Print the figures."""
    numbers = [f"{number:03d}" for number in range(1, count + 1)]
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "sitting"
        sitting = issue(
            paper_of([ITEM]), [OnRoll(number, f"Person {number}") for number in numbers], out
        )
        room = Served(out)
        room.start()
        for every in (EVERY, 0.0):
            took = np.array(asyncio.run(spell(room, numbers, every))) * 1000
            words = f"one answer each in {every:g} s" if every else "all save without pause"
            print(
                f"{count} candidates, {words}: {len(took)} answers,"
                f" p50 {np.percentile(took, 50):.0f} ms, p95 {np.percentile(took, 95):.0f} ms,"
                f" longest {took.max():.0f} ms; load {os.getloadavg()[0]:.1f}",
                flush=True,
            )
        print("memory: {:.0f} MB in {} processes".format(*memory(room)), flush=True)
        room.stop()
        for path in out.glob("candidates/*/answers_*"):
            path.unlink()
        few, saved = numbers[:4], {number: [] for number in numbers[:4]}
        for _ in range(kills):
            room.start()
            asyncio.run(killed(room, few, saved, 40))
        lost = 0
        for number in filter(saved.get, few):
            path = out / "candidates" / f"candidate_{number}" / f"answers_{number}.jsonl"
            reading = read_answers(path.read_bytes(), sitting.sheet(number))
            kept = {line["value"] for line in reading.lines if line["kind"] == "answer"}
            lost += len(set(saved[number]) - kept) + reading.grave
        answers = sum(map(len, saved.values()))
        print(
            f"killed {kills} times: {answers} answers called saved, {lost} lost;"
            f" load {os.getloadavg()[0]:.1f}"
        )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:] or (25, 30)))
