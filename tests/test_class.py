"""A class on one machine: names, passwords and PINs; the command's errors; and the whole journey of
two learners and their instructor over two days, by the requests and messages of browsers.
"""

import asyncio
import contextlib
import json
import os
import re
import signal
import socket
import stat
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from wire import free_port

from tractionlab.catalogue.places import cache_folder, lessons_folder
from tractionlab.cli import main as cli
from tractionlab.errors import UserError
from tractionlab.start import environment, requirements
from tractionlab.start.classroom import command, register
from tractionlab.start.classroom.register import INSTRUCTOR, Register, folder_name

ROOT = Path(__file__).resolve().parent.parent
PASSWORD = "snow on one side"

# ---- names, passwords, PINs


@pytest.mark.parametrize(
    "name, folder",
    [
        ("anna", "anna"),
        ("  Anna K. ", "anna-k"),
        ("Jörg Müßig", "jorg-mussig"),
        ("Søren Łukasz", "soren-lukasz"),
        ("a.b", "a-b"),
        ("O'Neill_7", "o-neill-7"),
        ("Instructor", INSTRUCTOR),
    ],
)
def test_a_name_becomes_that_of_a_folder(name, folder):
    assert folder_name(name) == folder


BAD_NAMES = [
    "",
    " ",
    "..",
    "../anna",
    "a/b",
    "a\\b",
    "/etc",
    "anna%2f..",
    "~root",
    "x" * 31,
]


@pytest.mark.parametrize("name", [*BAD_NAMES, "-", "...", "a$b", "a\0b", "名前", "a\nb;c"])
def test_no_other_name_comes_in(name):
    with pytest.raises(UserError, match="A name has 1 to 30 letters"):
        folder_name(name)


@given(st.text(max_size=50))
def test_whatever_is_typed_never_leaves_the_folder_of_learners(name):
    try:
        folder = folder_name(name)
    except UserError:
        return
    assert set(folder) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert folder.strip("-") == folder and 1 <= len(folder) <= 30
    assert folder_name(folder) == folder


@pytest.fixture
def kept(tmp_path, monkeypatch):
    one = Register(tmp_path / "register.json")
    one.set_password(PASSWORD)
    return one


def test_the_first_pin_is_kept_and_no_other_opens(kept, tmp_path):
    assert kept.sign_in("Anna", PASSWORD, "4711") == "anna"
    again = Register(tmp_path / "register.json")
    assert again.password == PASSWORD and again.names() == ["anna"]
    assert again.sign_in("anna", PASSWORD, "4711") == "anna"
    for name in ("anna", "ANNA", " anna."):
        with pytest.raises(UserError, match="The name anna is taken, and this is not its PIN"):
            again.sign_in(name, PASSWORD, "4712")
    text = (tmp_path / "register.json").read_text()
    assert "4711" not in text
    assert stat.S_IMODE((tmp_path / "register.json").stat().st_mode) == 0o600


def test_without_the_class_password_nobody_takes_a_name(kept):
    for wrong in ("", "snow", PASSWORD + " ", PASSWORD.upper(), kept.instructor):
        with pytest.raises(UserError, match="not the class password"):
            kept.sign_in("anna", wrong, "4711")
    assert kept.names() == []


@pytest.mark.parametrize("pin", ["", "123", "12a4", "1" * 13, " 1234", "١٢٣٤"])
def test_a_pin_has_4_to_12_digits(kept, pin):
    with pytest.raises(UserError, match="4 to 12 digits"):
        kept.sign_in("anna", PASSWORD, pin)


def test_who_tries_many_pins_waits(kept, monkeypatch):
    kept.sign_in("anna", PASSWORD, "4711")
    now = time.monotonic()
    for number in range(register.TRIES):
        with pytest.raises(UserError, match="not its PIN"):
            kept.sign_in("anna", PASSWORD, f"000{number}")
    with pytest.raises(UserError, match="Too many wrong PINs for anna. Wait a minute"):
        kept.sign_in("anna", PASSWORD, "4711")
    assert kept.sign_in("bob", PASSWORD, "1234") == "bob"
    monkeypatch.setattr(register.time, "monotonic", lambda: now + 2 * register.PAUSE)
    assert kept.sign_in("anna", PASSWORD, "4711") == "anna"


def test_a_forgotten_pin_is_chosen_anew_and_the_instructor_needs_none(kept):
    kept.sign_in("anna", PASSWORD, "4711")
    kept.forget("anna")
    assert kept.sign_in("anna", PASSWORD, "9999") == "anna"
    assert kept.sign_in("instructor", kept.instructor, "") == INSTRUCTOR
    with pytest.raises(UserError, match="not the instructor's password"):
        kept.sign_in("instructor", PASSWORD, "4711")
    assert INSTRUCTOR not in kept.names()


@pytest.mark.parametrize("damage", ["", "[]", '{"class": "x"}', '{"class": 1, "pins": 3}'])
def test_a_damaged_register_is_named(tmp_path, damage):
    (tmp_path / "register.json").write_text(damage)
    with pytest.raises(UserError, match=r"register.json is damaged. Move it away"):
        Register(tmp_path / "register.json")


# ---- the command says what is wrong before anything is installed


def asked(tmp_path, **changes):
    about = {"folder": str(tmp_path / "class"), "port": 0, "password": None}
    about |= {"certificate": None, "key": None} | changes
    if not about["port"]:
        about["port"] = free_port()
    return SimpleNamespace(**about)


posix = pytest.mark.skipif(os.name == "nt", reason="JupyterHub needs Linux or macOS")


@posix
def test_what_cannot_be_is_said_in_one_sentence(tmp_path, monkeypatch):
    (tmp_path / "letter").write_text("x")
    pem = str(tmp_path / "letter")
    with socket.create_server(("127.0.0.1", 0)) as server:
        taken = server.getsockname()[1]
        cases = {
            "Port .* is taken": {"port": taken},
            "1 to 65535": {"port": 70000},
            "too short": {"password": "1234567"},
            "begins or ends with a blank": {"password": "12345678 "},
            "is a file, not a folder": {"folder": pem},
            "holds the lessons": {"folder": str(lessons_folder())},
            "--certificate and --key together": {"key": pem},
            "do not serve for TLS": {"certificate": pem, "key": pem},
            "There is no file missing.pem": {"certificate": "missing.pem", "key": pem},
        }
        for sentence, change in cases.items():
            with pytest.raises(UserError, match=sentence) as said:
                command.check(asked(tmp_path, **change))
            assert "\n" not in str(said.value)
    args = asked(tmp_path, password="12345678")
    command.check(args)
    assert stat.S_IMODE((args.folder / ".tractionlab").stat().st_mode) == 0o700


def test_windows_is_told_to_take_another_machine(tmp_path, monkeypatch):
    monkeypatch.setattr(command, "os", SimpleNamespace(name="nt"))
    with pytest.raises(UserError, match="does not run on Windows. Start this command on a machine"):
        command.check(asked(tmp_path))


@posix
def test_a_folder_serves_one_class_at_a_time(tmp_path):
    with command._alone(tmp_path / "lock", tmp_path):
        with pytest.raises(UserError, match="already served from"):
            with command._alone(tmp_path / "lock", tmp_path):
                pass


@posix
def test_the_command_installs_its_own_extra_and_the_test_command_has_it_too(tmp_path, monkeypatch):
    wanted = []
    monkeypatch.setattr(environment, "ensure", lambda extras=(), **_: wanted.append(extras))
    monkeypatch.setattr(command, "main", lambda args: 0)
    port = str(free_port())
    assert cli.main(["class", "--folder", str(tmp_path), "--port", port]) == 0
    assert wanted == [["class"]]
    assert set(requirements.required(ROOT, ["class"])) <= set(requirements.required(ROOT, ["test"]))


def test_the_window_says_what_the_instructor_needs(kept, tmp_path):
    plain = "\n".join(command.told("http://198.51.100.7:8000", kept, tmp_path, ""))
    for words in (PASSWORD, kept.instructor, "http://198.51.100.7:8000/hub/class", "unprotected"):
        assert words in plain
    open_to_all = "\n".join(command.told("https://a:8000", kept, tmp_path, "no bwrap"))
    assert "unprotected" not in open_to_all and "are kept apart" in plain
    assert "are not kept apart (no bwrap): what one programs can reach the fold" in open_to_all


# ---- the journey

LACKING = requirements.missing(requirements.required(ROOT, ["class"]))
#: As the command runs in an environment where it was installed; lessons and servers that nobody
#: uses end after the seconds of the last argument, and Jupyter Server, which looks once a minute
#: whether anybody does, looks every second. The process that makes kernels shows no panels to
#: nobody first.
START = '''
import sys
from functools import partial
from tractionlab.cli.main import main
from tractionlab.start import environment, warm_kernels
from tractionlab.start.classroom import command, hub
environment.ensure = lambda *a, **k: None
idle, ordinary = sys.argv.pop(), hub.configure
loaded = "from tractionlab.start.warm_process import main; main(rehearsals=lambda: ())"
warm = (sys.executable, "-Xfrozen_modules=off", "-c", loaded)
warm_kernels.WarmProcess = partial(warm_kernels.WarmProcess, command=warm)
learner = f"""
from tornado import ioloop
from tractionlab.start import opening
from tractionlab.start.classroom import learner
ordinary = ioloop.PeriodicCallback
ioloop.PeriodicCallback = lambda work, often, *more: ordinary(
    work, 1000 if often == 60_000 else often, *more
)
opening._IDLE = ("cull_idle_timeout={idle}", "cull_interval=1", "cull_connected=True")
learner.IDLE_S = {idle}
"""
command._SERVERS = (
    sys.executable,
    "-c",
    learner + "from tractionlab.start.classroom.warm_servers import main; main()",
)
def configure(c, *args, **more):
    ordinary(c, *args, **more)
    c.Spawner.poll_interval = 1
    c.Spawner.cmd = [sys.executable, "-c", learner + "learner.main()"]
hub.configure = configure
sys.exit(main(sys.argv[1:]))
'''


@contextlib.contextmanager
def served(folder, port, *more, idle=3600, scheme="http", stop=signal.SIGINT, start=START):
    """A class, served by the real command until the signal `stop`; its address. `start` is the
    program, called with the command's words and with `idle`.
    """
    words = ["class", "--folder", str(folder), "--port", str(port), *more]
    paths = os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH")]))
    with open(folder.with_suffix(".said"), "a") as said:
        child = subprocess.Popen(
            [sys.executable, "-c", start, *words, str(idle)],
            env=os.environ | {"PYTHONPATH": paths, "TRACTIONLAB_CACHE": str(cache_folder())},
            stdin=subprocess.DEVNULL,
            stdout=said,
            stderr=said,
            start_new_session=True,
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
        )
    base = f"{scheme}://127.0.0.1:{port}"
    try:
        wait_for(base, child)
        yield base
    finally:
        child.send_signal(stop)
        try:
            assert child.wait(timeout=60) == (-stop if stop == signal.SIGKILL else 0)
        finally:
            child.kill()
    text = folder.with_suffix(".said").read_text()
    assert "Traceback" not in text, text


def wait_for(base, child):
    import ssl

    trusting = ssl._create_unverified_context()
    for _ in range(900):
        assert child.poll() is None, "the class did not start"
        with contextlib.suppress(OSError):
            with urllib.request.urlopen(f"{base}/hub/login", timeout=5, context=trusting) as page:
                if page.status == 200:
                    return
        time.sleep(0.2)
    raise AssertionError("the class did not come")


needs_hub = pytest.mark.skipif(
    sys.platform == "win32" or bool(LACKING),
    reason=f"not installed, the test command installs it: {', '.join(LACKING)}",
)


async def until(true, seconds=90):
    for _ in range(seconds * 5):
        if await true():
            return
        await asyncio.sleep(0.2)
    raise AssertionError("did not become true")


async def nobody_in(folder):
    """Has every process ended that works below a folder?"""
    places = []
    for process in Path("/proc").glob("[0-9]*/cwd"):
        with contextlib.suppress(OSError):
            places.append(process.readlink())
    return not any(place.is_relative_to(folder) for place in places)


def code_of(notebook):
    book = json.loads((lessons_folder() / notebook).read_text(encoding="utf-8"))
    return ["".join(cell["source"]) for cell in book["cells"] if cell["cell_type"] == "code"]


SECRET = "what anna wrote for herself"
LESSON = "01_grip_and_slip.ipynb"


async def first_day(base, folder):
    """Both learners at work; each stays in the own folder; nobody reaches the other's."""
    from class_client import Learner

    async with Learner(base) as anna, Learner(base) as bob, Learner(base) as stranger:
        for name in BAD_NAMES:
            status, page = await bob.sign_in(name, PASSWORD, "2222")
            assert status == 403 and "A name has 1 to 30 letters" in page, name
        status, page = await bob.sign_in("bob", "a guess", "2222")
        assert status == 403 and "This is not the class password" in page
        assert (await anna.sign_in("Anna K.", PASSWORD, "4711"))[0] == 302
        assert (await bob.sign_in("bob", PASSWORD, "2222"))[0] == 302
        await asyncio.gather(anna.own_server("anna-k"), bob.own_server("bob"))
        _, _, first_page = await anna.ask("GET", "/user/anna-k/")
        assert first_page.endswith("/user/anna-k/lab/tree/00_start.ipynb")
        await small_on_the_way(anna)
        await asyncio.gather(anna.open("anna-k", LESSON), bob.open("bob", LESSON))
        where = "import os; print(os.getcwd())"
        for learner, name in ((anna, "anna-k"), (bob, "bob")):
            home = folder / "learners" / name / "tractionlab-course"
            assert (await learner.run(where)).strip() == str(home)
            assert (home / LESSON).is_file()
        for cell in code_of(LESSON)[:4]:
            assert "Error" not in await anna.run(cell)
        opened = [
            said for said, content, buffers in anna.messages if said["msg_type"] == "comm_open"
        ]
        assert opened, "the lesson shows its panels"
        assert (await bob.run("print(6 * 7)")).strip() == "42"
        if sys.platform == "linux":
            await limits_and_warmth(bob)
        await anna.run(f"open('mine.txt', 'w').write({SECRET!r})")
        await attacks(anna, bob, stranger)
        await flood(bob, folder)
        assert (await anna.run("print(open('mine.txt').read())")).strip() == SECRET


async def small_on_the_way(anna):
    """What a lesson's page loads comes compressed: a class asks for it at once, without wires."""
    _, page, _ = await anna.ask("GET", "/user/anna-k/lab/tree/00_start.ipynb")
    part = re.search(r'src="([^"]*/main\.[^"]+)"', page)[1]
    async with anna.http.get(anna.base + part) as answer:
        assert len(await answer.text()) > 100_000
        assert answer.headers["Content-Encoding"] == "gzip"


async def limits_and_warmth(bob):
    """Memory is refused to a kernel, which lives on; new ones come from the one warm process."""
    assert "MemoryError" in await bob.run("x = bytearray(4_000_000_000)")
    assert "300000000" in await bob.run("print(len(bytearray(300_000_000)))")

    async def is_forked():
        path = f"{bob.user}/api/sessions/{bob.session['id']}"
        await bob.ask("DELETE", path)
        await bob.open("bob", LESSON)
        code = "print(open('/proc/self/cmdline').read())"
        return "warm_process" in await bob.run(code)

    await until(is_forked)


async def flood(bob, folder):
    """A page that sends without end, or what is no message, is closed and noted; its lesson and its
    server live on.
    """
    from wire import packed

    place = folder / "learners" / "bob" / "tractionlab-course" / ".tractionlab" / "whereabouts.json"
    header = {"msg_id": "1", "msg_type": "comm_msg", "session": "1", "username": ""}
    many = packed("shell", header, {}, {}, {"comm_id": "nobody's", "data": {}})
    for times, (message, count) in enumerate(((b"noise", 1), (many, 20_000)), 1):
        with contextlib.suppress(ConnectionError):
            for _ in range(count):
                await bob.line.send_bytes(message)
        assert await asyncio.wait_for(closing(bob.line), 60) in (1006, 1008)

        async def noted():
            return place.is_file() and json.loads(place.read_text())["floods"] == times

        await bob.open("bob", LESSON)
        assert (await bob.run("print(6 * 7)")).strip() == "42"
        await until(noted, 20)


async def closing(line):
    """Code with which the server closed a line."""
    while not line.closed:
        await line.receive()
    return line.close_code


def attempts(victim):
    """Requests with which somebody might try to reach the learner `victim`: method, path, body."""
    own, kernel = victim.user, victim.kernel
    session = victim.session["id"]
    note = {"type": "file", "format": "text", "content": "changed"}
    other = {"path": "x.ipynb", "type": "notebook", "name": "", "kernel": {"name": "python3"}}
    yield from (
        ("GET", f"{own}/{path}", None)
        for path in (
            "lab",
            "tree",
            "doc/tree/mine.txt",
            "files/mine.txt",
            "api/contents",
            "api/contents/mine.txt",
            "api/contents/mine.txt/checkpoints",
            "api/sessions",
            f"api/sessions/{session}",
            "api/kernels",
            f"api/kernels/{kernel}",
            f"api/kernels/{kernel}/channels",
            "api/status",
            "api/terminals",
            "lab/api/settings",
            "lab/api/workspaces",
            f"nbconvert/html/{LESSON}",
            "..%2f..%2fuser%2fanna-k/api/contents",
        )
    )
    yield "PUT", f"{own}/api/contents/mine.txt", note
    yield "PATCH", f"{own}/api/contents/mine.txt", {"path": "stolen.txt"}
    yield "DELETE", f"{own}/api/contents/mine.txt", None
    yield "POST", f"{own}/api/contents", {"type": "notebook"}
    yield "POST", f"{own}/api/sessions", other
    yield "PATCH", f"{own}/api/sessions/{session}", {"path": "x.ipynb"}
    yield "DELETE", f"{own}/api/sessions/{session}", None
    yield "POST", f"{own}/api/kernels", {"name": "python3"}
    yield "POST", f"{own}/api/kernels/{kernel}/interrupt", None
    yield "POST", f"{own}/api/kernels/{kernel}/restart", None
    yield "DELETE", f"{own}/api/kernels/{kernel}", None
    yield "POST", f"{own}/api/terminals", None
    yield "POST", f"{own}/api/shutdown", None
    yield "PUT", f"{own}/lab/api/workspaces/default", {"data": {}, "metadata": {"id": "default"}}
    for path in ("mine.txt", "tractionlab-course/mine.txt"):
        for up in ("../../anna-k/", "..%2f..%2fanna-k%2f", "%2e%2e/%2e%2e/anna-k/"):
            yield "GET", f"/user/bob/files/{up}{path}", None
            yield "GET", f"/user/bob/api/contents/{up}{path}", None
    yield from (
        ("GET", f"/hub/{path}", None)
        for path in ("admin", "api/users", "api/users/anna-k", "api/proxy", "spawn/anna-k")
    )
    yield from (
        ("GET", f"/hub/class{path}", None)
        for path in (
            "",
            "/sign-in",
            "/now",
            "/now?names=1",
            "/picture?question=2.hill&right=1",
            "/guesses",
            "/forget",
        )
    )
    yield "POST", "/hub/class/forget", {"name": "anna-k"}
    yield "POST", "/hub/class", {"name": "anna-k"}
    yield "DELETE", "/hub/api/users/anna-k", None
    yield "POST", "/hub/api/users/anna-k/server", None
    yield "DELETE", "/hub/api/users/anna-k/server", None
    yield "POST", "/hub/api/users/anna-k/tokens", {"note": "x"}
    yield "PATCH", "/hub/api/users/bob", {"admin": True}
    yield "POST", "/hub/api/shutdown", {}


async def attacks(anna, bob, stranger):
    """All refused, to another learner and to somebody who has not signed in."""
    import aiohttp
    from yarl import URL

    tries = list(attempts(anna))
    assert len(tries) >= 60
    for person in (bob, stranger):
        for method, path, body in tries:
            # The address goes out as it is written here, dots and all.
            raw = URL(person.base + path, encoded=True)
            token = {"X-XSRFToken": person._token(path)}
            async with person.http.request(method, raw, json=body, headers=token) as answer:
                text, place = await answer.text(errors="replace"), str(answer.url)
                asks_to_sign_in = person is stranger and "/hub/login" in place
                refused = answer.status in (400, 401, 403, 404, 405) or asks_to_sign_in
                assert refused, (method, path, answer.status, place)
                assert SECRET not in text and "stolen" not in text
        with pytest.raises(aiohttp.WSServerHandshakeError):
            await person.http.ws_connect(
                f"{anna.base}{anna.user}/api/kernels/{anna.kernel}/channels"
            )


async def instructors_page(base, folder):
    """The page shows address, password and learners; a learner gets a new PIN."""
    from class_client import Learner

    secret = Register(folder / ".tractionlab" / "register.json").instructor
    async with Learner(base) as person:
        assert (await person.sign_in("instructor", secret))[0] == 302
        status, page, _ = await person.ask("GET", "/hub/class/sign-in")
        assert status == 200
        for words in (":" + base.rpartition(":")[2], PASSWORD, "<svg"):
            assert words in page
        status, said, _ = await person.ask("GET", "/hub/class/now?names=1")
        assert status == 200
        assert [row["name"] for row in json.loads(said)["rows"]] == ["anna-k", "bob"]
        form = {"name": "bob", "_xsrf": person._token("/hub/class")}
        assert (await person.ask("POST", "/hub/class", data=form))[0] == 204
        status, _, _ = await person.ask("GET", "/user/anna-k/api/contents/mine.txt")
        assert status == 403, "the instructor's page opens no learner's server"
    async with Learner(base) as bob:
        assert (await bob.sign_in("bob", PASSWORD, "3333"))[0] == 302


async def second_day(base, folder):
    """The same PIN opens the same folder, no other does; a server that nobody uses ends and comes
    back.
    """
    from class_client import Learner

    async with Learner(base) as anna, Learner(base) as other:
        status, page = await other.sign_in("anna k", PASSWORD, "0815")
        assert status == 403 and "The name anna-k is taken, and this is not its PIN" in page
        status, page = await other.sign_in("anna-k", PASSWORD, "")
        assert status == 403 and "4 to 12 digits" in page
        assert (await anna.sign_in("Anna K.", PASSWORD, "4711"))[0] == 302
        await anna.own_server("anna-k")
        await anna.open("anna-k", LESSON)
        assert (await anna.run("print(open('mine.txt').read())")).strip() == SECRET
        home = folder / "learners" / "anna-k"
        if sys.platform == "linux":
            assert not await nobody_in(home)
            await anna.line.close()
            await until(lambda: nobody_in(home))
        await anna.own_server("anna-k")
        await anna.open("anna-k", LESSON)
        assert (await anna.run("print(open('mine.txt').read())")).strip() == SECRET
        # A cookie that opens her server goes to no other one.
        paths = {one["path"] for one in anna.http.cookie_jar if "user-anna-k" in one.key}
        assert paths == {"/user/anna-k/"}


@needs_hub
def test_servers_that_come_by_fork_learn_whose_they_are():
    """JupyterHub's part of a server takes the learner's path from the environment as it is loaded;
    loaded before the fork, it would send one learner's cookie to every other server.
    """
    code = (
        "import sys\nfrom importlib import import_module\n"
        "from tractionlab.start.classroom.warm_servers import _NEEDED\n"
        "for name in _NEEDED: import_module(name)\n"
        "print([name for name in sys.modules if name.startswith('jupyterhub.s') and"
        " name.split('.')[1] in ('services', 'singleuser')])"
    )
    said = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert "auth" not in said.stdout and "singleuser" not in said.stdout and not said.returncode


@needs_hub
def test_what_is_rehearsed_for_learners_servers_leaves_nothing_behind():
    code = (
        "import os\nfrom tractionlab.start.classroom import learner, warm_servers\n"
        "seen = []\nordinary = learner.prepare\n"
        "learner.prepare = lambda folder: seen.append(folder) or ordinary(folder)\n"
        "before, here = dict(os.environ), os.getcwd()\n"
        "warm_servers.load()\n"
        "assert (dict(os.environ), os.getcwd()) == (before, here)\n"
        "(folder,) = seen\n"
        "assert not folder.exists() and folder.name == 'course'\n"
    )
    said = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert said.returncode == 0, said.stderr


@needs_hub
def test_two_days_of_a_class(tmp_path):
    folder, port = tmp_path / "class", free_port()
    folder.mkdir()
    # Killed at once: the next start takes the port from the proxy that was left behind.
    with served(folder, port, "--password", PASSWORD, stop=signal.SIGKILL) as base:
        asyncio.run(first_day(base, folder))
        asyncio.run(instructors_page(base, folder))
    assert command.port_problem(port), "the proxy is still there"
    if sys.platform == "linux":
        asyncio.run(until(lambda: nobody_in(folder / "learners")))
    assert {path.name for path in (folder / "learners").iterdir()} == {"anna-k", "bob"}
    tls = own_certificate(tmp_path)
    with served(folder, port, *tls, idle=4, scheme="https", stop=signal.SIGHUP) as base:
        asyncio.run(second_day(base, folder))


def own_certificate(folder):
    """A certificate for this machine that it signed itself, as arguments of the command."""
    from datetime import UTC, datetime, timedelta

    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec

    key, now = ec.generate_private_key(ec.SECP256R1()), datetime.now(UTC)
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "127.0.0.1")])
    made = x509.CertificateBuilder().subject_name(name).issuer_name(name)
    made = made.public_key(key.public_key()).serial_number(x509.random_serial_number())
    made = made.not_valid_before(now - timedelta(1)).not_valid_after(now + timedelta(1))
    pem = serialization.Encoding.PEM
    plain = serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    (folder / "class.pem").write_bytes(made.sign(key, hashes.SHA256()).public_bytes(pem))
    (folder / "class.key").write_bytes(key.private_bytes(pem, *plain))
    return "--certificate", str(folder / "class.pem"), "--key", str(folder / "class.key")
