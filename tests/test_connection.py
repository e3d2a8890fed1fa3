"""The server asks a kernel that is there sooner than after its half second."""

import asyncio
from types import SimpleNamespace

import pytest

from tractionlab.start import connection
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
