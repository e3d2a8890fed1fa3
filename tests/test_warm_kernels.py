"""Kernels by fork from a process that has loaded the course: they answer, restart, are killed and
interrupted as others; nothing of it outlives its server; without it kernels start as ever.
"""

import asyncio
import json
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from itertools import product

import pytest
from jupyter_client.kernelspec import KernelSpecManager

from tractionlab.lesson.facts import best_throttle, reveal
from tractionlab.panels import throttle
from tractionlab.start import forking, warm_kernels, warm_process
from tractionlab.start.classroom.apart import Apart, why_not
from tractionlab.start.warm_kernels import WarmKernels, WarmProcess
from tractionlab.workshop.case import suspects
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.tests import base

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="kernels are forked on Linux only")

#: Why learners cannot be kept apart on this machine, or "".
WHY = why_not()


def gone(pid):
    """Has this process ended (a zombie has)?"""
    try:
        with open(f"/proc/{pid}/stat") as stat:
            return stat.read().rpartition(")")[2].split()[0] == "Z"
    except OSError:
        return True


async def becomes(true, seconds=30):
    for _ in range(round(seconds / 0.05)):
        if true():
            return
        await asyncio.sleep(0.05)
    raise AssertionError("did not become true")


async def ask(kernel, code):
    """What a kernel prints when it runs this."""
    client, said = kernel.client(), []
    client.start_channels()
    await client.wait_for_ready(timeout=60)

    def hear(message):
        if message["msg_type"] in ("stream", "error"):
            said.append(message["content"].get("text") or str(message["content"]))

    await client.execute_interactive(code, output_hook=hear, timeout=60)
    client.stop_channels()
    return "".join(said)


@pytest.fixture
def kernels(tmp_path, monkeypatch):
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path / "runtime"))
    monkeypatch.setattr(warm_kernels, "PATIENCE", 60)
    folder = str(tmp_path)
    return lambda: WarmKernels(
        kernel_spec_manager=KernelSpecManager(), root_dir=folder, connection_dir=folder
    )


def test_a_kernel_of_the_warm_process_has_the_course_and_what_panels_show_first(kernels):
    async def journey():
        manager = kernels()
        await becomes(lambda: manager.warm.listen() or manager.warm.ready, 120)
        kernel = manager.get_kernel(await manager.start_kernel())
        assert type(kernel.provisioner.process) is warm_kernels.Forked
        words = await ask(
            kernel,
            "import os, sys\n"
            "print('tractionlab.run.loop' in sys.modules, os.getppid(), os.getcwd())\n"
            "import random, numpy; print(random.random(), numpy.random.random())",
        )
        loaded, parent, where, *first = words.split()
        assert loaded == "True" and where == os.getcwd()
        other = manager.get_kernel(await manager.start_kernel())
        second = await ask(
            other, "import random, numpy; print(random.random(), numpy.random.random())"
        )
        assert not set(first) & set(second.split()), "each kernel draws its own numbers"
        busy = asyncio.create_task(ask(other, "import time; time.sleep(60)"))
        await asyncio.sleep(1)
        await other.interrupt_kernel()
        assert "KeyboardInterrupt" in await busy
        pid, killed = kernel.provisioner.pid, kernel.provisioner.process
        os.kill(pid, signal.SIGKILL)
        await becomes(lambda: killed.poll() == -signal.SIGKILL)
        # The manager looks after it and makes another one.
        await becomes(lambda: kernel.provisioner.process not in (killed, None))
        assert (await ask(kernel, "import os; print(os.getppid())")).strip() == parent
        assert kernel.provisioner.pid != pid
        # A process that is busy with a panel keeps nobody who closes a lesson waiting.
        os.kill(int(parent), signal.SIGSTOP)
        killed = other.provisioner.process
        os.kill(killed.pid, signal.SIGKILL)
        await becomes(lambda: killed.poll() is not None, 5)
        os.kill(int(parent), signal.SIGCONT)
        # The server is gone without a word: so are the process and the kernels.
        manager.warm.close()
        left = [int(parent), kernel.provisioner.pid, killed.pid]
        await becomes(lambda: all(map(gone, left)))
        await manager.shutdown_all(now=True)

    asyncio.run(journey())


def test_without_the_process_a_kernel_starts_in_the_ordinary_way(kernels):
    async def journey():
        manager = kernels()
        manager.warm.close()
        kernel = manager.get_kernel(await manager.start_kernel())
        assert type(kernel.provisioner.process) is not warm_kernels.Forked
        assert (await ask(kernel, "print(6 * 7)")).strip() == "42"
        await manager.shutdown_all(now=True)

    asyncio.run(journey())


def test_a_server_can_be_stopped_while_a_page_starts_a_kernel(kernels):
    async def journey():
        manager = kernels()
        await manager.start_kernel()
        begun = asyncio.create_task(manager.start_kernel())
        while not manager._pending_kernels:
            await asyncio.sleep(0)
        assert len(manager.list_kernel_ids()) == 1
        await manager.shutdown_all(now=True)
        assert manager.list_kernel_ids() == []
        await begun

    asyncio.run(journey())


def test_a_process_that_does_not_answer_is_waited_for_a_moment_only(monkeypatch):
    monkeypatch.setattr(warm_kernels, "PATIENCE", 1)

    async def journey():
        silent = WarmProcess(
            (
                sys.executable,
                "-c",
                "import os, time; os.write(0, b'{\"ready\": 1}\\n'); time.sleep(60)",
            )
        )
        await becomes(lambda: silent.listen() or silent.ready)
        began = time.monotonic()
        assert await silent.fork(argv=[], env={}, cwd="/") is None
        assert time.monotonic() - began < 4
        silent.close()

    asyncio.run(journey())


def test_a_kernel_that_would_come_too_late_is_not_made(monkeypatch):
    """It would take the place of the ordinary one that was started meanwhile."""
    here, there = socket.socketpair()
    monkeypatch.setattr(os, "fork", lambda: pytest.fail("a kernel that nobody waits for"))
    here.sendall(json.dumps({"until": time.monotonic() - 0.001}).encode() + b"\n")
    forking.Warm(there, become=None).attend()
    assert json.loads(here.recv(99)) == {"pid": None}


def test_what_is_prepared_waits_for_kernels_that_work_but_not_for_ever(monkeypatch):
    line, server = socket.socketpair()
    with line, server:
        warm = forking.Warm(line, become=None)
        assert warm.make_way(5) < 1  # nobody is at work
        warm._children = {os.getpid(): (line, 1)}
        work = iter([1000.0, 2000.0, 3000.0, *[3000.0] * 9])
        monkeypatch.setattr(forking, "work_of", lambda pid: next(work))
        warm.make_way(60)
        assert len(list(work)) == 8  # it went on when no more was done
        monkeypatch.setattr(forking, "work_of", lambda pid: 1e3 * time.monotonic())
        assert 0.3 <= warm.make_way(0.3)


def test_the_work_of_a_process_is_its_processor_time():
    before, told = time.process_time(), forking.work_of(os.getpid())
    while time.process_time() < before + 0.2:
        pass
    assert forking.work_of(os.getpid()) - told == pytest.approx(0.2, abs=0.05)
    assert forking.work_of(2**22 + 1) == 0.0


def test_kernels_of_a_class_end_with_the_server_that_asked_for_them(tmp_path, monkeypatch):
    own, far_end = socket.socketpair()
    meeting = socket.socket(socket.AF_UNIX)
    meeting.bind(str(tmp_path / "warm"))
    meeting.listen()
    warm = forking.Warm(own, None, meeting)
    servers = [socket.socket(socket.AF_UNIX) for _ in range(2)]
    kernels = [subprocess.Popen(["sleep", "60"]) for _ in servers]
    pids = [kernel.pid for kernel in kernels]
    monkeypatch.setattr(os, "fork", lambda: pids.pop(0))
    order = json.dumps({"until": time.monotonic() + 60}).encode() + b"\n"
    for server, kernel in zip(servers, kernels):
        server.connect(str(tmp_path / "warm"))
        warm.attend()
        assert json.loads(server.recv(99)) == {"ready": True}
        server.sendall(order)
        warm.attend()
        assert json.loads(server.recv(99)) == {"pid": kernel.pid}
    servers[0].close()
    warm.attend()
    assert kernels[0].wait(timeout=20) == -signal.SIGTERM and kernels[1].poll() is None
    servers[1].sendall(b"no order\n")
    warm.attend()
    assert kernels[1].wait(timeout=20) == -signal.SIGTERM, "a stranger's line is cut"
    far_end.close()
    with pytest.raises(SystemExit):
        warm.attend()


@pytest.mark.skipif(bool(WHY), reason=WHY)
def test_what_comes_to_a_learners_door_is_limited_and_holds_nobody_up(tmp_path):
    """A learner's code may come there: too many lines, an endless order, no order, one who does not
    listen; the own server goes on.
    """
    around = Apart(tmp_path)
    own, far_end = socket.socketpair()
    asked = WarmProcess.__new__(WarmProcess)
    asked._listen_at(far_end)
    asked.open_door(tmp_path / "door", around.pid)
    warm = forking.Warm(own, lambda order: os.write(2, b"?") and signal.pause())
    warm.attend()

    def come():
        line = socket.socket(socket.AF_UNIX)
        line.connect(str(tmp_path / "door"))
        warm.attend()
        return line

    lines = [come() for _ in range(forking.MOST_LINES)]
    assert {line.recv(99) for line in lines} == {b'{"ready": true}\n'}
    assert come().recv(99) == b"", "one line too many is closed"
    for line, bad in zip(lines, (b"[" * 10**5 + b"\n", b"{}\n", b'{"until": "x"}\n', b"3\n")):
        line.sendall(bad)
        warm.attend()
        warm.attend(0)
        assert line.recv(99) == b"", bad[:20]
    endless, deaf, one = lines[4:7]
    for _ in range(forking.LONGEST_ORDER // 50_000 + 1):
        endless.sendall(b"x" * 50_000)
        warm.attend()
    assert endless.recv(99) == b""
    order = json.dumps({"until": time.monotonic() + 60}).encode() + b"\n"
    for _ in range(forking.MOST_CHILDREN + 3):
        one.sendall(order)
        warm.attend()
    answers = [json.loads(line)["pid"] for line in one.recv(1 << 16).splitlines()]
    assert sorted(filter(None, answers)) == list(range(2, forking.MOST_CHILDREN + 2))
    assert answers[-3:] == [None] * 3, "no more children, which are counted as they see themselves"
    deaf.sendall(b'{"until": 0}\n' * 4000)
    deaf.shutdown(socket.SHUT_WR)
    for _ in range(40):
        warm.attend(0.01)
    far_end.setblocking(True)
    far_end.sendall(b'{"until": 0}\n')
    warm.attend(1)
    assert json.loads(far_end.recv(99)) == {"pid": None}, "the own server is answered"
    # What is around them ends, and they with it.
    around.close()
    waited = time.monotonic() + 20
    while warm._children and time.monotonic() < waited:
        warm._bury()
        time.sleep(0.05)
    assert not warm._children


def test_a_class_without_its_warm_process_has_ordinary_kernels(tmp_path):
    assert WarmProcess.met(str(tmp_path / "nobody")) is None


def rehearsed(tmp_path, name, source):
    book = {"cells": [{"cell_type": "code", "source": [source]}]}
    (tmp_path / name).write_text(json.dumps(book))
    return warm_process.rehearsals(tmp_path)


def test_every_panel_of_the_lessons_is_rehearsed(tmp_path):
    found = rehearsed(tmp_path, "01_grip.ipynb", "friction_panel(locked_by=guess)")
    assert list(found) == ["01_grip.ipynb"]


def test_a_number_of_the_text_is_computed_once_for_all_learners(tmp_path, monkeypatch):
    """The sweep behind it, 32 runs, would be more than all else of its lesson together."""
    cell = 'best, *_ = best_throttle("loose_gravel", "rear_petrol")\nreveal(f"{best} %")'
    computed = []
    runs = throttle.runs
    monkeypatch.setattr(throttle, "runs", lambda them: computed.append(len(them)) or runs(them))
    assert list(rehearsed(tmp_path, "01_grip.ipynb", cell)) == ["01_grip.ipynb"]
    assert computed == [len(throttle.PEDALS)]
    names = {"best_throttle": best_throttle, "reveal": reveal}
    exec(cell, names)
    assert computed == [len(throttle.PEDALS)] and names["best"] in throttle.PEDALS


def test_what_clicks_at_a_car_of_the_lessons_need_is_worked_out_before_anybody_has_it(tmp_path):
    """In small pieces, between which kernels can be made: a thread would stop at the fork."""
    car = "air-in-driven-wheel-line", "rear_petrol"
    steps = rehearsed(tmp_path, "11_bench.ipynb", f"repair_case{car}")
    alone = threading.active_count()
    assert next(steps) == "11_bench.ipynb" and threading.active_count() == alone
    assert set(steps) == {car[0]} and threading.active_count() == alone
    known = suspects.predicted.cache_info().misses
    case = Case(*car, "", "practice")
    for test, name in product(base.tests(), suspects.candidates(case.symptom, case.vehicle)):
        suspects.predicted(test, name, case.vehicle)
    assert suspects.predicted.cache_info().misses == known
