"""The command line: what it accepts and says, its exit codes, and that it loads nothing heavy."""

import argparse
import errno
import subprocess
import sys
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tractionlab.cli import main as cli
from tractionlab.errors import UserError
from tractionlab.start import environment, testing

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture
def worker(monkeypatch):
    """Puts a stand-in for the module that does the work; returns the arguments it was given."""
    monkeypatch.setattr(environment, "ensure", lambda *args, **more: None)

    def install(name, work):
        module = ModuleType(name)
        module.main = work
        room, _, leaf = name.rpartition(".")
        monkeypatch.setitem(sys.modules, name, module)
        monkeypatch.setattr(import_module(room), leaf, module, raising=False)

    return install


def test_alone_it_gives_an_overview(capsys):
    assert cli.main([]) == 0
    shown = capsys.readouterr().out
    assert all(f"tractionlab {name}" in shown for name in ("open", "run", "check", "test"))


def test_run_passes_what_was_asked(worker):
    seen = []
    worker("tractionlab.cli.run", seen.append)
    assert (
        cli.main(
            [
                "run",
                "a.toml",
                "--json",
                "--out",
                "o",
                "--sweep",
                "driver.pedal=0,2:1:9",
                "--sweep",
                "slope=0:0.3:4",
            ]
        )
        == 0
    )
    (args,) = seen
    assert (args.scenario, args.json, args.out) == ("a.toml", True, "o")
    assert args.sweep == [("driver.pedal", 0.2, 1.0, 9), ("slope", 0.0, 0.3, 4)]


def test_arguments_for_pytest_follow_two_dashes():
    assert cli.parser().parse_args(["test", "--", "-k", "tyre", "-x"]).pytest == [
        "-k",
        "tyre",
        "-x",
    ]
    assert cli.parser().parse_args(["test"]).pytest == []


def test_check_gives_on_the_exit_code(worker):
    worker("tractionlab.checks", lambda args: int(args.json))
    assert cli.main(["check"]) == 0 and cli.main(["check", "--json"]) == 1


@pytest.mark.parametrize(
    "error, code, words",
    [
        (
            UserError("a.toml, [road] mu: must be 0 to 1.5, got 3"),
            2,
            "a.toml, [road] mu: must be 0 to 1.5, got 3\n",
        ),
        (KeyboardInterrupt(), 2, "Stopped"),
        (OSError(errno.ENOSPC, "No space", "/x"), 2, "The disk is full (/x)"),
        (PermissionError(errno.EACCES, "no", "/x"), 2, "may not write or read here (/x)"),
    ],
)
def test_failures_are_one_sentence(worker, capsys, error, code, words):
    def fail(args):
        raise error

    worker("tractionlab.cli.run", fail)
    assert cli.main(["run", "a.toml"]) == code
    assert words in capsys.readouterr().err


def test_a_reader_that_goes_away_is_no_fault():
    """As in `tractionlab check --json | head -1`."""
    program = (
        "import sys; from tractionlab import checks; from tractionlab.cli import main as cli;"
        " checks.main = lambda args: print('x' * 10**6); sys.exit(cli.main(['check']))"
    )
    child = subprocess.Popen(
        [sys.executable, "-c", program], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT
    )
    child.stdout.read(1)
    child.stdout.close()
    assert child.stderr.read() == b"" and child.wait() == 0


def test_a_fault_of_the_program_is_not_hidden(worker):
    worker("tractionlab.cli.run", lambda args: [][1])
    with pytest.raises(IndexError):
        cli.main(["run", "a.toml"])


@pytest.mark.parametrize(
    "text",
    [
        "pedal",
        "pedal=1:2",
        "pedal=a:b:3",
        "=1:2:3",
        "p=1:2:1",
        "p=1:2:1001",
        "p=nan:2:3",
        "p=1:inf:3",
        "p=1:2:2.5",
    ],
)
def test_bad_sweep(text, capsys):
    with pytest.raises(SystemExit) as stop:
        cli.main(["run", "a.toml", "--sweep", text])
    assert stop.value.code == 2 and text in capsys.readouterr().err


def test_third_sweep_is_refused(capsys):
    with pytest.raises(SystemExit):
        cli.main(["run", "a.toml"] + ["--sweep", "a=0:1:2"] * 3)
    assert "once or twice" in capsys.readouterr().err


@settings(max_examples=50)
@given(st.text(max_size=40))
def test_any_sweep_text_is_read_or_refused(text):
    try:
        found = cli.sweep(text)
    except argparse.ArgumentTypeError:
        return
    assert found.key and 2 <= found.count <= 1000


def test_nothing_heavy_is_loaded_by_the_command_line():
    code = (
        "import sys, tractionlab.cli.main, tractionlab.start.opening, tractionlab.start.testing; "
        "print([name for name in ('numpy', 'numba', 'jupyterlab') if name in sys.modules])"
    )
    answer = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "[]"


def test_whole_command():
    answer = subprocess.run(
        [sys.executable, "-m", "tractionlab"], cwd=ROOT, capture_output=True, text=True
    )
    assert answer.returncode == 0 and "python3 -m tractionlab open" in answer.stdout


# ---- `test`


def test_tests_need_a_clone(monkeypatch):
    monkeypatch.setattr(testing, "clone_folder", lambda: None)
    with pytest.raises(UserError, match="in a clone of the course"):
        testing.check(None)


def test_browser_named_by_variable(monkeypatch, tmp_path):
    monkeypatch.setenv("TRACTIONLAB_CHROMIUM", sys.executable)
    assert testing.find_browser() == sys.executable
    monkeypatch.setenv("TRACTIONLAB_CHROMIUM", str(tmp_path / "none"))
    with pytest.raises(UserError, match="TRACTIONLAB_CHROMIUM names"):
        testing.find_browser()


@pytest.mark.parametrize(
    "ci, code, words", [("true", 1, "FAILED: no Chromium"), ("", 0, "left out")]
)
def test_without_a_browser(monkeypatch, capsys, ci, code, words):
    monkeypatch.setenv("CI", ci)
    monkeypatch.setattr(testing, "find_browser", lambda: None)
    monkeypatch.setattr(testing, "fetch_browser", lambda: None)
    monkeypatch.setattr(testing, "run_part", lambda arguments, extra: "passed")
    monkeypatch.setattr(testing, "run_habits", lambda: "passed")
    monkeypatch.setattr(testing, "compile_once", lambda: None)
    assert testing.main(argparse.Namespace(pytest=[])) == code
    assert f"browser: {words}" in capsys.readouterr().out


@pytest.mark.parametrize(
    "second, code, words",
    [("passed", 0, "passed, some at the second try"), ("FAILED (x)", 1, "FAILED (x)")],
)
def test_what_fails_in_the_browser_is_tried_once_more(monkeypatch, capsys, second, code, words):
    asked = []

    def run_part(arguments, extra):
        asked.append(arguments)
        browser = "browser" in arguments
        return second if "--last-failed" in arguments else "FAILED (x)" if browser else "passed"

    monkeypatch.setattr(testing, "find_browser", lambda: sys.executable)
    monkeypatch.setattr(testing, "run_part", run_part)
    monkeypatch.setattr(testing, "run_habits", lambda: "passed")
    monkeypatch.setattr(testing, "compile_once", lambda: None)
    assert testing.main(argparse.Namespace(pytest=[])) == code
    assert f"browser: {words}" in capsys.readouterr().out
    (again,) = (arguments for arguments in asked if "--last-failed" in arguments)
    assert not set(testing.SIDE_BY_SIDE) & set(again)


@pytest.mark.parametrize(
    "code, extra, words",
    [
        (0, [], "passed"),
        (1, [], "FAILED (pytest exit code 1)"),
        (5, [], "FAILED: no tests found"),
        (5, ["-k", "x"], "nothing chosen"),
    ],
)
def test_outcome_of_a_part(monkeypatch, code, extra, words):
    monkeypatch.setattr(
        testing.subprocess, "run", lambda command, env: subprocess.CompletedProcess(command, code)
    )
    assert testing.run_part(["tests"], extra) == words


def test_lessons_are_tested_on_a_copy(monkeypatch, tmp_path):
    (tmp_path / "lessons").mkdir()
    (tmp_path / "lessons" / "a.ipynb").touch()
    (tmp_path / "lessons" / "my_record.jsonl").touch()
    monkeypatch.chdir(tmp_path)
    seen = []

    def run(command, env):
        (folder,) = (Path(word) for word in command if word.endswith("lessons"))
        seen.append((folder, [file.name for file in folder.iterdir()]))
        return subprocess.CompletedProcess(command, 0)

    monkeypatch.setattr(testing.subprocess, "run", run)
    assert testing.run_part(testing.PARTS["lessons"], []) == "passed"
    ((folder, files),) = seen
    assert files == ["a.ipynb"] and folder != tmp_path / "lessons" and not folder.exists()
