"""`tractionlab test`: finds or fetches a browser, then looks at the habits of the code and runs the
package's tests, the lessons and the browser tests.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tractionlab.errors import UserError
from tractionlab.lesson.notebook_errors import TRACEBACKS
from tractionlab.progress import run_step
from tractionlab.start.habits import run_habits
from tractionlab.start.requirements import clone_folder
from tractionlab.written.record import FILE_NAME as RECORD

_BROWSER_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
_BROWSER_PLACES = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Google\Chrome\Application\chrome.exe",
)
#: Variable that names the browser; the browser tests read it.
BROWSER_VARIABLE = "TRACTIONLAB_CHROMIUM"

#: Stands for a fresh copy of the lessons, so that no earlier run's answers are there and none are
#: left behind.
LESSONS = "<lessons>"
#: Three files at a time, so that two processors are never left waiting for a server or a page; each
#: whole in one process, in the order of their names.
SIDE_BY_SIDE = ["--numprocesses=3", "--dist=loadfile", "--no-loadscope-reorder"]
#: Part -> arguments for pytest.
PARTS = {
    "package": [
        "tests",
        "-m",
        "not browser",
        "--ignore=tests/benchmarks",
        "--ignore=tests/browser",
        *SIDE_BY_SIDE,
    ],
    "lessons": [
        LESSONS,
        "--nbval-lax",
        "--nbval-current-env",
        "--nbval-cell-timeout=120",
        "-p",
        "no:randomly",
        *SIDE_BY_SIDE,
    ],
    "browser": ["tests/browser", "-m", "browser", *SIDE_BY_SIDE],
}
_NOTHING_COLLECTED = 5


def check(args):
    """Tests exist only in a clone."""
    clone = clone_folder()
    if clone is None or not (clone / "tests").is_dir():
        raise UserError(
            "The tests are not part of an installed copy: start this command in a clone of the"
            " course."
        )


def main(args):
    """Run all parts, print a summary, return 1 if one failed."""
    os.chdir(clone_folder())
    browser = find_browser() or fetch_browser()
    if browser:
        os.environ[BROWSER_VARIABLE] = browser
    with ThreadPoolExecutor(1) as beside:  # each leaves a processor idle at times
        compiling = beside.submit(compile_once)
        outcome = {} if args.pytest else {"habits": _habits()}
        compiling.result()
    for part, arguments in PARTS.items():
        if part == "browser" and not browser:
            outcome[part] = (
                "FAILED: no Chromium"
                if os.environ.get("CI") == "true"
                else "left out: no Chromium found"
            )
            continue
        print(f"\n== {part} ==", flush=True)
        outcome[part] = run_part(arguments, args.pytest)
        if part == "browser" and outcome[part].startswith("FAILED"):
            outcome[part] = _once_more(arguments, args.pytest)
    print("\n" + "\n".join(f"{part}: {words}" for part, words in outcome.items()))
    return int(any(words.startswith("FAILED") for words in outcome.values()))


def _once_more(arguments, extra):
    """Try what failed in the browser a second time, alone: a loaded machine can be late."""
    print("\nWhat failed in the browser is tried once more, alone.", flush=True)
    alone = [word for word in arguments if word not in SIDE_BY_SIDE]
    words = run_part([*alone, "--last-failed", "--last-failed-no-failures=none"], extra)
    return "passed, some at the second try" if words == "passed" else words


def compile_once():
    """Compile the kernels before the tests: two processes that need them at the same time would do
    it twice. If it fails, the tests say so.
    """
    code = "from tractionlab.start.warm import warm; warm()"
    subprocess.run([sys.executable, "-c", code], check=False)


def _habits():
    print("\n== habits ==", flush=True)
    return run_habits()


def run_part(arguments, extra):
    """Run pytest; return `passed` or `FAILED`.

    Finding no test at all is a failure unless the user chose by `extra`.
    """
    environment = dict(os.environ)
    with tempfile.TemporaryDirectory() as scratch:
        if LESSONS in arguments:
            lessons = shutil.copytree(
                "lessons", Path(scratch) / "lessons", ignore=shutil.ignore_patterns(RECORD, ".*")
            )
            arguments = [
                "-c",
                "pyproject.toml",
                *(str(lessons) if word == LESSONS else word for word in arguments),
            ]
            environment[TRACEBACKS] = "1"
        code = subprocess.run(
            [sys.executable, "-m", "pytest", *arguments, *extra], env=environment
        ).returncode
    if code == _NOTHING_COLLECTED:
        return "nothing chosen" if extra else "FAILED: no tests found"
    return "passed" if code == 0 else f"FAILED (pytest exit code {code})"


def find_browser():
    """Path of a Chromium or Chrome that is already here, or None."""
    for variable in (BROWSER_VARIABLE, "CHROME"):
        if chosen := os.environ.get(variable):
            found = shutil.which(chosen)
            if not found:
                raise UserError(
                    f"{variable} names {chosen}, which is not a program. Correct or unset it."
                )
            return found
    on_path = filter(None, map(shutil.which, _BROWSER_NAMES))
    return next(on_path, None) or next(filter(os.path.isfile, _BROWSER_PLACES), None) or _fetched()


def fetch_browser():
    """Install Chromium where that is allowed; its path, or None if it did not work."""
    log = Path(tempfile.gettempdir()) / f"tractionlab-browser-{os.getpid()}.log"
    if sys.platform == "linux" and os.geteuid() == 0 and shutil.which("apt-get"):
        quiet = {"DEBIAN_FRONTEND": "noninteractive"}
        commands = [
            ["apt-get", "update"],
            ["apt-get", "install", "-y", "--no-install-recommends", "chromium"],
        ]
    else:
        quiet = {}
        commands = [[sys.executable, "-m", "playwright", "install", "chromium"]]
    try:
        for command in commands:
            run_step("Fetching Chromium", command, log, environment=quiet)
    except (OSError, subprocess.CalledProcessError):
        print(f"Chromium could not be fetched; see {log}", file=sys.stderr)
        return None
    log.unlink()
    return find_browser()


def _fetched():
    """The browser that Playwright keeps, or None."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        path = play.chromium.executable_path
    return path if os.path.isfile(path) else None
