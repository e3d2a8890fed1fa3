"""Start page and lessons as a learner meets them: from top to bottom, with keyboard and screen
reader roles.
"""

import json
import re
import shutil

import pytest
from labserver import Lab, ids_shown_twice, open_notebook, run_all_cells, strange_labels

from tractionlab.catalogue.places import lessons_folder
from tractionlab.lesson.exercises import all_exercises
from tractionlab.lesson.start import lessons
from tractionlab.start.learner_folder import Copied
from tractionlab.start.opening import sign
from tractionlab.written.record import FILE_NAME

pytestmark = pytest.mark.browser
NOTEBOOKS = [entry["notebook"] for entry in lessons() if "notebook" in entry]


@pytest.fixture(scope="module", params=["JupyterLab Light", "JupyterLab Dark"])
def course(request, tmp_path_factory):
    """A JupyterLab on a learner's folder with the lessons, in a light and in a dark theme."""
    folder = tmp_path_factory.mktemp("course")
    for path in lessons_folder().glob("*.ipynb"):
        shutil.copy(path, folder)
    server = Lab(folder, tmp_path_factory.mktemp("home"), theme=request.param)
    yield server
    server.stop()


@pytest.fixture
def light(course):
    if (
        "dark"
        in (
            course.home
            / "settings"
            / "@jupyterlab"
            / "apputils-extension"
            / "themes.jupyterlab-settings"
        )
        .read_text()
        .lower()
    ):
        pytest.skip("once is enough")
    return course


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


def predict_by_keyboard(page, card):
    option = card.locator("input[type=radio]")
    if option.count():
        option.first.focus()
        page.keyboard.press("ArrowDown")
    else:
        card.locator("input[type=text]").focus()
        page.keyboard.type("7")
    page.keyboard.press("Enter")
    card.get_by_text("Written down").wait_for()


@pytest.mark.parametrize("notebook", NOTEBOOKS)
def test_lesson_from_top_to_bottom(page, course, notebook):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    show(page, course, notebook)
    assert page.locator(".tl-panel:visible").count() == (lessons_folder() / notebook).read_text(
        encoding="utf-8"
    ).count("_panel(")
    cards = page.locator(".tl-card", has_text="Your prediction")
    for i in range(cards.count()):
        if cards.nth(i).get_by_text("Written down").count() == 0:
            predict_by_keyboard(page, cards.nth(i))
    page.wait_for_timeout(800)
    for panel in page.locator(".tl-panel:visible").all():
        assert panel.locator("canvas:visible").count() >= 1
    assert ids_shown_twice(page) == [] and strange_labels(page) == []
    for place in (".tl-card", ".tl-panel"):
        found = axe.run(page, context=place).response["violations"]
        assert [
            (v["id"], v["impact"]) for v in found if v["impact"] in ("serious", "critical")
        ] == [], place


def test_exercise_by_keyboard(page, light):
    show(page, light, "02_open_differential.ipynb")
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
    key = next(line["answer"] for line in record(light) if line["kind"] == "key")
    for box, part in zip(card.locator("input").all(), all_exercises()["2.1"].task(key, 0).parts):
        box.focus()
        page.keyboard.press("Control+a")
        page.keyboard.type(f"{part.answer:.1f}".replace(".", ","))
    page.keyboard.press("Enter")
    card.get_by_text("All right").wait_for()
    assert record(light)[-1]["right"] is True
    for _ in range(8):
        page.keyboard.press("Tab")
    assert not card.evaluate("(root) => root.contains(document.activeElement)"), (
        "Tab leaves the card"
    )


def test_an_answer_survives_closing(page, light):
    notebook = "08_control_strategy.ipynb"
    show(page, light, notebook)
    card = page.locator(".tl-card", has_text="Your prediction").first
    if card.get_by_text("Written down").count() == 0:
        predict_by_keyboard(page, card)
    show(page, light, notebook)
    page.locator(".tl-card", has_text="Your prediction").first.get_by_text(
        "Written down"
    ).wait_for()


def test_start_page_links_open_the_lessons(page, light):
    show(page, light, "00_start.ipynb")
    for box in page.locator(".tl-card fieldset").all():
        box.locator("input").last.check()
    page.locator(".tl-card button", has_text="Check").click()
    page.get_by_text("Start with lesson 1").wait_for()
    page.get_by_role("link", name="Control strategy").click()
    page.wait_for_function(
        "() => window.jupyterapp.shell.currentWidget.context?.path === '08_control_strategy.ipynb'"
    )


@pytest.mark.parametrize("notebook", [NOTEBOOKS[0], "00_start.ipynb"])
def test_one_button_runs_the_lesson_and_leaves_the_learner_at_its_top(
    page, light, notebook, monkeypatch
):
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(light.home / "data"))
    shutil.copy(lessons_folder() / notebook, light.folder / f"first_{notebook}")
    sign(light.folder, Copied(new=[f"first_{notebook}"]))
    open_notebook(page, light, f"first_{notebook}")
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
