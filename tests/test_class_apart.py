"""What learners' code can do where bubblewrap keeps learners apart: nothing to another learner's
folder, lesson, processes and sockets, nothing to the course or the hub. Code of a learner runs in a
real class; the attacks are tried on a second learner who is at work.
"""

import asyncio
import json
import os
import re
from pathlib import Path

import pytest
from test_class import LESSON, PASSWORD, needs_hub, served
from wire import free_port

import tractionlab
from tractionlab.catalogue.places import cache_folder, data_folder, lessons_folder
from tractionlab.start.classroom import apart

WHY = apart.why_not()
apart_only = pytest.mark.skipif(bool(WHY), reason=WHY)
SECRET = "what anna wrote for herself"
NOTE = "tractionlab-course/mine.txt"

#: Run in the attacker's lesson: {name of the attack: what it came to}.
ATTACK = """
import ctypes, json, os, shutil, signal, socket, subprocess
from pathlib import Path
anna, bob, own = Path({anna!r}), Path({bob!r}), Path({own!r})
libc = ctypes.CDLL(None, use_errno=True)
def system(number):
    if number:
        raise OSError(ctypes.get_errno(), os.strerror(ctypes.get_errno()))
def connect(path):
    with socket.socket(socket.AF_UNIX) as line:
        line.connect(path)
def run(*words):
    if (done := subprocess.run(words, capture_output=True)).returncode:
        raise OSError(done.stderr.decode())
def none(found):
    if not list(found):
        raise FileNotFoundError("nothing there")
tries = {{
    "read": lambda: (anna / {note!r}).read_text(),
    "list": lambda: os.listdir(anna),
    "find": lambda: none(one for one in anna.parent.iterdir() if one != bob),
    "search": lambda: none(one for one in Path("/").glob("*/*/*/*/*/*/mine.txt")),
    "write": lambda: (anna / {note!r}).write_text("changed"),
    "write beside": lambda: (anna / "new.txt").write_text("new"),
    "record": lambda: (anna / "tractionlab-course" / "my_record.jsonl").read_text(),
    "delete": lambda: shutil.rmtree(anna),
    "rename": lambda: anna.rename(anna.with_name("gone")),
    "hard link": lambda: os.link(anna / {note!r}, bob / "link.txt"),
    "past a link": lambda: (os.symlink(anna, bob / "over"), (bob / "over" / {note!r}).read_text()),
    "up from a process": lambda: Path("/proc/1/root" + str(anna)).iterdir().__next__(),
    "up from an open file": lambda: none(
        one for one in Path("/proc/self/fd").iterdir()
        if os.readlink(one).startswith("/") and not os.readlink(one).startswith(("/dev/", "/proc/",
        "/tmp/", "/memfd:", str(bob), str(own)))),
    "class settings": lambda: os.listdir(anna.parents[1] / ".tractionlab"),
    "password": lambda: (anna.parents[1] / ".tractionlab" / "register.json").read_text(),
    "hub database": lambda: (anna.parents[1] / ".tractionlab" / "hub.sqlite").read_bytes(),
    "cookie secret": lambda: (anna.parents[1] / ".tractionlab" / "cookie_secret").read_bytes(),
    "account's keys": lambda: os.listdir(Path({account!r}) / ".ssh"),
    "system's passwords": lambda: open("/etc/shadow").read(),
    "course": lambda: open({course!r} + "/evil.py", "w"),
    "course changed": lambda: open({course!r} + "/__init__.py", "a"),
    "lessons": lambda: open({lessons!r} + "/{lesson}", "a"),
    "data": lambda: open({data!r} + "/vehicles.toml", "a"),
    "libraries": lambda: open(os.path.dirname(json.__file__) + "/evil.py", "w"),
    "compiled code": lambda: open("/run/compiled/evil", "w"),
    "end her server": lambda: os.kill({server}, signal.SIGKILL),
    "end her lesson": lambda: os.kill({kernel}, signal.SIGKILL),
    "end all": lambda: none(int(one) for one in os.listdir("/proc") if one.isdigit()
                            and {name!r}.encode() in Path("/proc", one, "environ").read_bytes()),
    "trace her lesson": lambda: system(libc.ptrace(16, {kernel}, 0, 0)),
    "her sockets": lambda: os.listdir({sockets!r}),
    "all sockets": lambda: none(one for one in own.parent.iterdir() if one != own),
    "her door": lambda: connect({sockets!r} + "/warm"),
    "the class's door": lambda: connect(str(own.parent / "warm")),
    "her kernel": lambda: connect({line!r}),
    "mount": lambda: system(libc.mount(b"/tmp", b"/usr", None, 4096, None)),
    "make writable": lambda: system(libc.mount(None, {course!r}.encode(), None, 4096 | 32, None)),
    "unmount": lambda: system(libc.umount2(b"/tmp", 2)),
    "root again": lambda: system(libc.setns(os.pidfd_open(1), 0x10000000)),
    "a disc": lambda: os.mknod("/tmp/disc", 0o60600, os.makedev(254, 0)),
    "host name": lambda: system(libc.sethostname(b"evil", 4)),
    "clock": lambda: __import__("time").clock_settime(0, 0),
    "fill the memory by files": lambda: [
        open(f"/tmp/{{n}}", "wb").write(bytes(10**7)) for n in range(20)
    ],
    "by shared memory": lambda: open("/dev/shm/x", "wb").write(bytes(10**8)),
}}
found = {{}}
for name, act in tries.items():
    try:
        act()
        found[name] = "DONE"
    except (OSError, StopIteration) as problem:
        found[name] = f"{{type(problem).__name__}}: {{problem}}"
print(json.dumps(found))
"""
#: Orders a lesson at the own door, as the learner's server does, that says where it is and what it
#: sees.
ORDER = """
import json, os, socket, time
line = socket.socket(socket.AF_UNIX)
line.connect(os.environ["TRACTIONLAB_WARM"])
code = "import os; open({told!r}, 'w').write(repr(os.path.exists({anna!r})))"
order = {{"argv": ["--IPKernelApp.exec_lines=" + repr([code])], "env": dict(os.environ)}}
order |= {{"cwd": {bob!r}, "data": [-1, -1], "until": time.monotonic() + 5}}
line.sendall(json.dumps(order).encode() + b"\\n")
for _ in range(300):
    if os.path.exists({told!r}): break
    time.sleep(0.1)
time.sleep(0.2)
print(open({told!r}).read())
"""


def processes_of(home):
    """Process ids, seen from outside, of a learner's server and lessons: {number: command}."""
    found = {}
    for process in Path("/proc").glob("[0-9]*"):
        try:
            if os.readlink(process / "cwd").endswith(f"{home.name}/tractionlab-course"):
                found[int(process.name)] = (process / "cmdline").read_bytes().decode()
        except OSError:
            continue
    return found


def lines_of(pid):
    """Paths of sockets that a process holds itself: the table names those of the whole machine."""
    held = {os.readlink(one) for one in Path(f"/proc/{pid}/fd").iterdir()}
    rows = [row.split() for row in Path(f"/proc/{pid}/net/unix").read_text().splitlines()[1:]]
    return [row[7] for row in rows if len(row) > 7 and f"socket:[{row[6]}]" in held]


async def attack(base, folder):
    from class_client import Learner  # needs what the class needs

    async with Learner(base) as anna, Learner(base) as bob:
        for one, name, pin in ((anna, "anna", "4711"), (bob, "bob", "2222")):
            assert (await one.sign_in(name, PASSWORD, pin))[0] == 302
            await one.own_server(name)
            await one.open(name, LESSON)
        her, his = folder / "learners" / "anna", folder / "learners" / "bob"
        await anna.run(f"open('mine.txt', 'w').write({SECRET!r})")
        assert (her / NOTE).read_text() == SECRET
        where = "import os; print(os.environ['JUPYTER_RUNTIME_DIR'])"
        sockets, own = (await anna.run(where)).strip(), (await bob.run(where)).strip()
        running = processes_of(her)
        assert len(running) == 2, running
        server = next(
            pid for pid, words in running.items() if not re.search("warm_process|ipykernel", words)
        )
        kernel = next(pid for pid in running if pid != server)
        facts = {"anna": str(her), "bob": str(his), "own": own, "sockets": sockets, "name": "anna"}
        facts |= {"note": NOTE, "account": str(Path.home()), "lesson": LESSON}
        facts |= {"course": str(Path(tractionlab.__file__).parent), "data": str(data_folder())}
        facts |= {"lessons": str(lessons_folder()), "server": server, "kernel": kernel}
        facts |= {"line": next(line for line in lines_of(kernel) if "/lines-" in line)}
        before = sorted(path.name for path in cache_folder().rglob("*"))
        found = json.loads((await bob.run(ATTACK.format(**facts))).splitlines()[-1])
        assert len(found) >= 40
        assert not {name: said for name, said in found.items() if said == "DONE"}, found
        assert "No space left" in found["fill the memory by files"] + found["by shared memory"]
        # What a lesson may do: the own folder, and Python as it is.
        assert (await bob.run("open('x.txt', 'w').write('x'); print(6 * 7)")).strip() == "42"
        assert sorted(path.name for path in cache_folder().rglob("*")) == before
        await by_the_server(bob, his, her)
        told = await bob.run(ORDER.format(anna=str(her), bob=str(his), told=str(his / "told")))
        assert told.strip() == "False", "a lesson that he orders himself is beside his own"
        assert set(running) <= set(processes_of(her)), "her server and lesson go on"
        assert (await anna.run("print(open('mine.txt').read())")).strip() == SECRET
        await again(bob, his, her)


async def by_the_server(bob, his, her):
    """His own server, which reads his folder and his settings, is no way round."""
    await bob.run(f"import os; os.symlink({str(her)!r}, 'hers')")
    for path in ("files/hers/" + NOTE, "api/contents/hers/" + NOTE, "api/contents/hers"):
        status, text, _ = await bob.ask("GET", f"{bob.user}/{path}")
        assert status >= 400 and SECRET not in text, path


async def again(bob, his, her):
    """A server that starts again runs his settings apart, too, and writes its log to his files
    only.
    """
    settings = his / "tractionlab-course" / ".tractionlab" / "jupyter"
    told = his / "told-by-server"
    evil = f"import os; open({str(told)!r}, 'w').write(repr(os.path.exists({str(her)!r})))"
    await bob.run(f"open({str(settings / 'jupyter_server_config.py')!r}, 'w').write({evil!r})")
    await bob.run(f"import os; os.remove({str(his / 'server.log')!r})")
    await bob.run(f"os.symlink({str(her / NOTE)!r}, {str(his / 'server.log')!r})")
    await bob.line.close()
    assert (await bob.ask("DELETE", "/hub/api/users/bob/server"))[0] in (202, 204)
    await bob.own_server("bob")
    assert told.read_text() == "False"
    assert (his / "server.log").is_file() and not (his / "server.log").is_symlink()
    assert (her / NOTE).read_text() == SECRET


@needs_hub
@apart_only
def test_code_of_a_learner_reaches_nothing_of_another_or_of_the_hub(tmp_path):
    folder = tmp_path / "class"
    folder.mkdir()
    with served(folder, free_port(), "--password", PASSWORD) as base:
        asyncio.run(attack(base, folder))
    assert "kept apart: what one programs" in folder.with_suffix(".said").read_text()
