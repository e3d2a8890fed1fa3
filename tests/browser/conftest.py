"""A real browser and a JupyterLab, for tests that use the course as a learner does."""

import pytest
from labserver import QUIET, SIZE, Lab, chromium_path, open_notebook, run_all_cells, write_notebook


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
