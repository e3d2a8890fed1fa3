"""The server asks a kernel that is there sooner than after its half second; stopped in the middle
of a request, it ends.
"""

import asyncio
import threading
import time
from types import SimpleNamespace

import pytest
from anyio.to_thread import run_sync

from tractionlab.start import connection, ending
from tractionlab.start.connection import PromptConnection, ZMQChannelsWebsocketConnection


@pytest.fixture
def line(monkeypatch):
    """A connection whose kernel answers the question of that number: (connection, what was done on
    its own line).
    """
    done, there = [], asyncio.Future

    class Connection(PromptConnection):
        def __init__(self, answers_at):
            self.answered = there()
            self.answers_at = answers_at
            control = SimpleNamespace(close=lambda: done.append("closed"))
            self.kernel_manager = SimpleNamespace(connect_control=lambda: control)
            self.session = SimpleNamespace(send=self.asked)

        def asked(self, _, question):
            done.append(question)
            if done.count(question) == self.answers_at:
                self.answered.set_result(None)

    for trait in ("kernel_manager", "session"):
        monkeypatch.setattr(Connection, trait, None, raising=False)
    monkeypatch.setattr(ZMQChannelsWebsocketConnection, "nudge", lambda self: self.answered)
    monkeypatch.setattr(connection, "_SOON", (0.0, 0.0, 0.0))
    return Connection, done


@pytest.mark.parametrize("answers_at, asked", [(0, 3), (1, 1), (2, 2)])
def test_a_kernel_is_asked_until_it_answers_and_the_line_is_closed(line, answers_at, asked):
    make, done = line

    async def connect():
        one = make(answers_at)
        one.nudge()
        await asyncio.sleep(0.05)

    asyncio.run(connect())
    assert done == ["kernel_info_request"] * asked + ["closed"]


def test_a_kernel_at_work_is_left_alone(line):
    make, done = line

    async def connect():
        one = make(0)
        one.answered.set_result(None)
        one.nudge()
        await asyncio.sleep(0.05)

    asyncio.run(connect())
    assert done == []


@pytest.mark.parametrize("afterwards, ended", [(0, ["work", "answer"]), (60, ["work"])])
def test_a_server_told_to_stop_ends_with_the_threads_of_its_requests(
    afterwards, ended, monkeypatch
):
    """What began is done, a file that is being written for one; who goes on and on is cut off."""
    monkeypatch.setattr(ending, "PATIENCE", 1)
    loop, done, threads = asyncio.new_event_loop(), [], []

    def work():
        threads.append(threading.current_thread())
        time.sleep(0.2)
        done.append("work")

    async def request():
        await run_sync(work)
        await asyncio.sleep(afterwards)
        done.append("answer")

    async def stop():
        while not threads:
            await asyncio.sleep(0.01)
        await PromptConnection.close_all()
        loop.stop()

    tasks = [loop.create_task(request()), loop.create_task(stop())]
    loop.run_forever()
    threads[0].join(timeout=5)
    alive = threads[0].is_alive()
    threads[0].stop()  # or it would outlive a test that fails
    assert done == ended and not alive, tasks
    loop.close()
