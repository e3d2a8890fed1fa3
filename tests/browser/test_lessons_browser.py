"""Start page, exercises and guesses as a learner meets them in a JupyterLab that is not the
course's own.
"""

import json
import re
import shutil

import pytest
from labserver import guess_by_keyboard, open_notebook, run_all_cells

from tractionlab.catalogue.places import lessons_folder
from tractionlab.lesson.exercises import all_exercises
from tractionlab.lesson.start import lessons
from tractionlab.start.learner_folder import Copied
from tractionlab.start.opening import sign
from tractionlab.written.record import FILE_NAME

pytestmark = pytest.mark.browser
NOTEBOOKS = [entry["notebook"] for entry in lessons() if "notebook" in entry]


@pytest.fixture(scope="module")
def course(lab):
    """A JupyterLab on a learner's folder with the lessons, shown as notebooks."""
    for path in lessons_folder().glob("*.ipynb"):
        shutil.copy(path, lab.folder)
    return lab


def show(page, lab, notebook):
    page.set_viewport_size(
        {"width": 1280, "height": 12000}
    )  # all cells are attached: JupyterLab draws only what is in view
    open_notebook(page, lab, notebook)
    run_all_cells(page)
    page.wait_for_function("() => document.querySelectorAll('.tl-card').length > 0")
    page.wait_for_timeout(1500)


def record(lab):
    path = lab.folder / FILE_NAME
    return (
        [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
        if path.exists()
        else []
    )


def test_exercise_by_keyboard(page, course):
    show(page, course, "02_open_differential.ipynb")
    card = page.locator(".tl-card", has_text="Exercise 2.1")
    first = card.locator("input").first
    first.focus()
    page.keyboard.type("1 000")
    page.keyboard.press("Enter")
    card.get_by_text("Leave out separators").wait_for()
    assert first.evaluate("(box) => document.activeElement === box"), "focus stays where it was"
    page.keyboard.press("Control+a")
    page.keyboard.type("3")
    page.keyboard.press("Enter")
    card.get_by_text("Not yet").wait_for()
    key = next(line["answer"] for line in record(course) if line["kind"] == "key")
    for box, part in zip(card.locator("input").all(), all_exercises()["2.1"].task(key, 0).parts):
        box.focus()
        page.keyboard.press("Control+a")
        page.keyboard.type(f"{part.answer:.1f}".replace(".", ","))
    page.keyboard.press("Enter")
    card.get_by_text("All right").wait_for()
    assert record(course)[-1]["right"] is True
    for _ in range(8):
        page.keyboard.press("Tab")
    assert not card.evaluate("(root) => root.contains(document.activeElement)"), (
        "Tab leaves the card"
    )


def test_an_answer_survives_closing(page, course):
    notebook = "08_control_strategy.ipynb"
    show(page, course, notebook)
    card = page.locator(".tl-card", has_text="Your prediction").first
    if card.get_by_text("Written down").count() == 0:
        guess_by_keyboard(page, card)
    show(page, course, notebook)
    page.locator(".tl-card", has_text="Your prediction").first.get_by_text(
        "Written down"
    ).wait_for()


def test_start_page_links_open_the_lessons(page, course):
    show(page, course, "00_start.ipynb")
    for box in page.locator(".tl-card fieldset").all():
        box.locator("input").last.check()
    page.locator(".tl-card button", has_text="Check").click()
    page.get_by_text("Start with lesson 1").wait_for()
    page.get_by_role("link", name="Control strategy").first.click()
    page.wait_for_function(
        "() => window.jupyterapp.shell.currentWidget.context?.path === '08_control_strategy.ipynb'"
    )


@pytest.mark.parametrize("notebook", [NOTEBOOKS[0], "00_start.ipynb"])
def test_one_button_runs_the_lesson_and_leaves_the_learner_at_its_top(
    page, course, notebook, monkeypatch
):
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(course.home / "data"))
    shutil.copy(lessons_folder() / notebook, course.folder / f"first_{notebook}")
    sign(course.folder, Copied(new=[f"first_{notebook}"]))
    open_notebook(page, course, f"first_{notebook}")
    page.get_by_role("button", name=re.compile("^Start (the course|this lesson)")).focus()
    page.keyboard.press("Enter")
    page.wait_for_function(
        "() => { const book = window.jupyterapp.shell.currentWidget.content; return"
        " book.activeCellIndex === 0 && book.widgets.every((cell) => cell.model.type !== 'code' ||"
        " cell.model.executionCount); }",
        timeout=90_000,
    )
    assert page.get_by_role("dialog").count() == 0
    assert page.locator(".jp-WindowedPanel-outer").first.evaluate("(box) => box.scrollTop") < 100
