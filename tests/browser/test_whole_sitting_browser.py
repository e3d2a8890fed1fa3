"""A whole sitting by clicks on an assessor's forms in the browser, from the roll to the joined
resit. Candidates sit by messages here; in a browser they do in `test_sitting_browser.py`.
"""

import sys
from pathlib import Path

import pytest
from labserver import Lab, open_notebook, run_all_cells, write_notebook

sys.path.append(str(Path(__file__).resolve().parents[1]))
from test_assess_whole_sitting import KINDS
from whole_sitting import PAPER, WholeSitting, write_paper

from tractionlab.lesson.office_practicals import ObserveForm

pytestmark = pytest.mark.browser
NOTEBOOK = "office.ipynb"
CELLS = (
    "from tractionlab.lesson import *",
    *(f"{form}_form({PAPER!r})" for form in ("issue", "observe", "mark")),
)
#: JupyterLab draws only what is in view.
TALL = {"width": 1280, "height": 16000}


class Clicks:
    """The forms of an assessor's notebook in a page."""

    def __init__(self, page, folder):
        self.page, paper = page, str(folder / PAPER)
        self.faces = {name: kind(paper).face for name, kind in KINDS.items()}
        self.of_item = lambda item: ObserveForm(paper, item).face

    def press(self, name, command, says, **values):
        """As WholeSitting asks."""
        face = self.faces.get(name) or self.of_item(name[0])
        card = self.page.locator("section.tl-card", has_text=face["title"])
        if name not in self.faces:
            fields = card.get_by_label("Key file of the sitting")
            keys = [field.input_value() for field in fields.all()]
            card = card.nth(keys.index(name[1]))
        for field in face["fields"]:
            if (value := values.get(field["name"])) is None:
                continue
            if field.get("options"):
                answers = card.get_by_role("group", name=field["label"])
                answers.get_by_text(dict(field["options"])[value], exact=True).click()
            else:
                card.get_by_label(field["label"], exact=True).fill(value)
        words = next(words for key, words, _ in face["buttons"] if key == command)
        card.get_by_role("button", name=words, exact=True).click()
        told = card.locator("xpath=ancestor::*[contains(@class, 'widget-vbox')][1]")
        told.get_by_text(says).first.wait_for(timeout=60_000)
        return told.inner_text()


def test_from_the_roll_to_the_joined_resit_by_clicks(browser, tmp_path):
    folder, home = tmp_path / "work", tmp_path / "home"
    folder.mkdir()
    home.mkdir()
    write_paper(folder)
    write_notebook(folder / NOTEBOOK, CELLS)
    server = Lab(folder, home)
    context = browser.new_context(viewport=TALL)
    page = context.new_page()
    page.problems = []
    page.on("pageerror", lambda error: page.problems.append(str(error)))
    try:
        open_notebook(page, server, NOTEBOOK)
        run_all_cells(page)
        WholeSitting(folder, Clicks(page, folder).press).journey()
    finally:
        context.close()
        server.stop()
    assert page.problems == []
