"""A real browser and a JupyterLab, for tests that use the course as a learner does."""

import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

import pytest
from labserver import (
    LASTING,
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

#: The longest files go first, so that at the end no process is left alone with one of them.
FIRST = (
    "test_every_lesson",
    "test_two_days",
    "test_page_browser",
    "test_sitting_browser",
    "test_class_browser",
    "test_start_browser",
    "test_clicked_words",
)
_WARM = pytest.StashKey()


def pytest_collection_modifyitems(items):
    places = {name: place for place, name in enumerate(FIRST)}
    items.sort(key=lambda item: places.get(item.path.stem, len(FIRST)))


def pytest_configure(config):
    """One process makes the kernels of all servers by fork, as in a class, for all processes that
    test; a test that takes the variable away has a server with one of its own, as `open` has.
    """
    if sys.platform != "linux" or hasattr(config, "workerinput"):
        return
    patch, folder = pytest.MonkeyPatch(), tempfile.TemporaryDirectory()
    meeting = Path(folder.name) / "warm"
    patch.setenv("PYTHONPATH", kernel_path())
    config.stash[_WARM] = WarmProcess(meeting=meeting), patch, folder
    patch.setenv(MEETING, str(meeting))
    while not meeting.exists():
        time.sleep(0.1)


def pytest_unconfigure(config):
    if _WARM in config.stash:
        process, patch, folder = config.stash[_WARM]
        process.close()
        patch.undo()
        folder.cleanup()


@pytest.fixture(scope="session")
def play():
    """What starts a Chromium; where it is missing the browser tests are skipped."""
    sync_api = pytest.importorskip("playwright.sync_api")
    with sync_api.sync_playwright() as play:
        yield play


def started(start, *place, **more):
    from playwright.sync_api import Error

    try:
        return start(*place, executable_path=chromium_path(), args=QUIET, **more)
    except Error as problem:
        pytest.skip(f"no Chromium: {str(problem).splitlines()[0]}")


@pytest.fixture(scope="session")
def browser(play):
    """A Chromium for tests that need windows of several people or of another kind."""
    chromium = started(play.chromium.launch)
    yield chromium
    chromium.close()


@pytest.fixture(scope="session")
def profile(play, tmp_path_factory):
    """A Chromium with a profile on disk, which keeps JupyterLab's own files, compiled: to load it
    again takes half the time.
    """
    folder = tmp_path_factory.mktemp("profile")
    context = started(play.chromium.launch_persistent_context, folder, viewport=SIZE)
    yield context
    context.close()


@pytest.fixture(scope="session")
def lasting(tmp_path_factory):
    places = tmp_path_factory.mktemp("work"), tmp_path_factory.mktemp("home")
    server = Lab(*places, port=LASTING)
    yield server
    server.stop()


@pytest.fixture(scope="module")
def lab(lasting):
    """A JupyterLab on an empty folder; one server does for all modules."""
    lasting.clear()
    return lasting


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


@contextmanager
def fresh_page(profile):
    """A page of 1280 x 720, to which nothing is known but files of the server."""
    before, page = profile.pages, profile.new_page()
    kept = {"origin": "*", "storageTypes": "cookies,local_storage,indexeddb,cache_storage"}
    profile.new_cdp_session(page).send("Storage.clearDataForOrigin", kept)
    profile.clear_cookies()
    yield page
    for one in profile.pages:
        if one not in before:
            one.close()


@pytest.fixture
def page(profile):
    """A fresh page."""
    with fresh_page(profile) as page:
        yield page


@pytest.fixture(scope="module")
def shared(profile):
    """A fresh page that the tests of a module share."""
    with fresh_page(profile) as page:
        yield page


@pytest.fixture(scope="module")
def opened(shared, lab, request):
    """A page with a notebook of the module's CELLS, run until READY is there, shared by its tests;
    errors of the page are kept in `problems`.
    """
    page = shared
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
    return page
