"""The server asks a kernel that is there sooner than after its half second; stopped in the middle
of a request, it ends.
"""

import asyncio
import gc
import threading
import time
from types import SimpleNamespace

import pytest
from anyio.to_thread import run_sync
from tornado import web

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


def refused(*_):
    raise OSError("Stream is closed")


@pytest.mark.parametrize("gone", ["asked", "connect_control"])
def test_a_kernel_that_is_gone_as_a_page_comes_is_one_line_in_the_log(line, gone, monkeypatch):
    make, done = line
    said, unheard = [], []

    async def connect():
        asyncio.get_running_loop().set_exception_handler(lambda _, about: unheard.append(about))
        one = make(0)
        one.log = SimpleNamespace(error=said.append)
        if gone == "asked":
            one.session.send = refused
        else:
            one.kernel_manager.connect_control = refused
        one.nudge()
        await asyncio.sleep(0.05)
        gc.collect()

    monkeypatch.setattr(PromptConnection, "log", None)
    asyncio.run(connect())
    assert len(said) == 1 and "\n" not in said[0] and not unheard
    assert done == ["closed"] * (gone == "asked")


@pytest.mark.parametrize("end", ["refused", "nothing"])
def test_a_page_that_comes_to_no_kernel_is_hung_up(end, monkeypatch):
    """Jupyter Server waits for what `connect` returns, also where that is None."""

    def as_of_old(self):
        if end == "refused":
            raise web.HTTPError(404)

    class Connection(PromptConnection):
        log = kernel_manager = websocket_handler = None

        def __init__(self):
            done = []
            self.log = SimpleNamespace(error=done.append)
            self.kernel_manager = SimpleNamespace(observe=lambda *_: None)
            self.websocket_handler = SimpleNamespace(
                set_nodelay=lambda _: None, close=lambda: done.append("closed")
            )
            self.done = done

    async def come():
        one = Connection()
        await one.connect()
        return one.done

    monkeypatch.setattr(ZMQChannelsWebsocketConnection, "connect", as_of_old)
    line, closed = asyncio.run(come())
    assert "\n" not in line and closed == "closed"


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
