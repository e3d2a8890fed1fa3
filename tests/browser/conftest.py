"""A real browser and a JupyterLab, for tests that use the course as a learner does."""

import sys
import tempfile
import time
from pathlib import Path

import pytest
from labserver import (
    QUIET,
    SIZE,
    Course,
    Lab,
    chromium_path,
    kernel_path,
    open_notebook,
    run_all_cells,
    write_notebook,
)

from tractionlab.start.warm_kernels import MEETING, WarmProcess


@pytest.fixture(scope="session", autouse=True)
def warm():
    """One process makes the kernels of all servers by fork, as in a class; a test that takes the
    variable away has a server with one of its own, as `open` has.
    """
    if sys.platform != "linux":
        yield
        return
    with pytest.MonkeyPatch.context() as patch, tempfile.TemporaryDirectory() as folder:
        meeting = Path(folder) / "warm"
        patch.setenv("PYTHONPATH", kernel_path())
        process = WarmProcess(meeting=meeting)
        patch.setenv(MEETING, str(meeting))
        while not meeting.exists():
            time.sleep(0.1)
        yield
        process.close()


@pytest.fixture(scope="session")
def browser():
    """One Chromium for all browser tests; a missing one skips them."""
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as play:
        try:
            chromium = play.chromium.launch(executable_path=chromium_path(), args=QUIET)
        except sync_api.Error as problem:
            pytest.skip(f"no Chromium: {str(problem).splitlines()[0]}")
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    """A JupyterLab on an empty folder."""
    server = Lab(tmp_path_factory.mktemp("work"), tmp_path_factory.mktemp("home"))
    yield server
    server.stop()


@pytest.fixture
def places(tmp_path_factory):
    """A learner's folder, and a home for the server's own files."""
    return tmp_path_factory.mktemp("learner"), tmp_path_factory.mktemp("home")


@pytest.fixture
def course(places):
    """The server of `open`, in a list; a test may put the server of another day in its place."""
    held = [Course(*places)]
    yield held
    held[0].stop()


@pytest.fixture
def page(browser):
    """A fresh page of 1280 x 720."""
    context = browser.new_context(viewport=SIZE)
    yield context.new_page()
    context.close()


@pytest.fixture(scope="module")
def opened(browser, lab, request):
    """A page with a notebook of the module's CELLS, run until READY is there, shared by its tests;
    errors of the page are kept in `problems`.
    """
    context = browser.new_context(viewport=SIZE)
    page = context.new_page()
    page.problems = []
    page.on("pageerror", lambda error: page.problems.append(str(error)))
    page.on(
        "console",
        lambda message: (
            page.problems.append(message.text)
            if message.type == "error" and "iterable" in message.text
            else None
        ),
    )
    write_notebook(lab.folder / "opened.ipynb", request.module.CELLS)
    open_notebook(page, lab, "opened.ipynb")
    run_all_cells(page)
    page.locator(request.module.READY).first.wait_for()
    yield page
    context.close()
