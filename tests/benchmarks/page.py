"""How soon a lesson is there: the server of `open`, headless Chromium, one learner.

    python tests/benchmarks/page.py

From the address of lesson 11 to all its cards, by a browser that has the course's files already;
and from *Next* in lesson 1 and the three after it to the first text and to the first panel. Each
figure stands beside the one it should reach. Run it with nothing else on the machine.
"""

import contextlib
import os
import sys
import tempfile
import time
from pathlib import Path

import psutil

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS), str(TESTS / "browser"), str(TESTS.parent)]
from labserver import QUIET, READY, SIZE, Course, chromium_path, page_says
from playwright.sync_api import sync_playwright

from tractionlab.catalogue.places import lessons_folder

FRONT = ".jp-NotebookPanel:not(.lm-mod-hidden)"
LESSONS = [path.name for path in sorted(lessons_folder().glob("[0-9][0-9]_*.ipynb"))]
BENCH = LESSONS[11]
FOLLOWING = LESSONS[2:6]


def settled():
    """Wait until server and warm process have done nothing at three looks."""
    quiet, before = 0, -1.0
    while quiet < 3:
        time.sleep(2)
        now = 0.0
        for process in psutil.Process().children(recursive=True):
            with contextlib.suppress(psutil.Error):
                now += sum(process.cpu_times()[:2])
        quiet, before = quiet + 1 if now - before < 0.1 else 0, now


def from_address(page, server, lesson):
    """Seconds from the address to all cards."""
    begun = time.monotonic()
    page.goto(server.url(lesson), wait_until="commit")
    page_says(page, READY)
    return time.monotonic() - begun


def by_next(page, lesson):
    """Seconds from *Next* to (first text, first panel) of the lesson after."""
    begun = time.monotonic()
    page.get_by_role("button", name="Next ›").click()
    title = page.locator(f"{FRONT} .jp-RenderedMarkdown h1").first
    number = str(int(lesson[:2]))
    page.wait_for_function(
        "([front, number]) => [...document.querySelectorAll(`${front} .jp-RenderedMarkdown h1`)]"
        ".some((title) => title.textContent.startsWith(number) && title.checkVisibility())",
        arg=[FRONT, number],
    )
    assert title.is_visible()
    text = time.monotonic() - begun
    page.locator(f"{FRONT} .tl-panel").first.wait_for(state="attached")
    panel = time.monotonic() - begun
    page_says(page, READY)
    return text, panel


def told(words, value, bar):
    """One row of the table."""
    print(f"{words:50s}{value:6.2f} s {bar:6g}  {'met' if value <= bar else 'MISSED'}", flush=True)


def main():
    with (
        tempfile.TemporaryDirectory() as folder,
        tempfile.TemporaryDirectory() as home,
        tempfile.TemporaryDirectory() as profile,
        sync_playwright() as play,
    ):
        server = Course(folder, home)
        try:
            browser = play.chromium.launch_persistent_context(
                profile, executable_path=chromium_path(), args=QUIET, viewport=SIZE
            )
            page = browser.pages[0]
            for _ in range(2):  # a browser keeps what it compiled of files that it meets again
                from_address(page, server, LESSONS[1])
            settled()
            print(f"load before {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
            told("lesson 11, from address to all cards", from_address(page, server, BENCH), 4)
            from_address(page, server, LESSONS[1])
            found = [by_next(page, lesson) for lesson in FOLLOWING]
            told("Next, to the first text, at most", max(text for text, _ in found), 0.6)
            told("Next, to the first panel, at most", max(panel for _, panel in found), 2)
            browser.close()
        finally:
            server.stop()


if __name__ == "__main__":
    main()
