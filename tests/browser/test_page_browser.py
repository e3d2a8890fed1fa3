"""A lesson is a page: it runs by itself below one bar, cannot be broken by a key, comes back where
it was left, and all of Jupyter is one button away.
"""

import json
import re

import nbformat
import pytest
from labserver import READY, Course, choose_page, page_in_front, page_says

from tractionlab.lesson.observations import observations

pytestmark = pytest.mark.browser
FIRST, SECOND = "01_grip_and_slip.ipynb", "02_open_differential.ipynb"
SMALL = {"width": 1366, "height": 625}
#: What a learner must not meet on a page.
TOOLS = (
    "#jp-top-panel, #jp-menu-panel, #jp-main-statusbar, .jp-SideBar, .jp-NotebookPanel-toolbar,"
    " .lm-DockPanel-tabBar, .jp-InputPrompt, .jp-OutputPrompt, .jp-Collapser, .jp-InputArea-editor,"
    " .jp-Placeholder, .jp-cell-toolbar, .jp-Notebook-footer, [data-commandlinker-command]"
)


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    """The server of `open`, in whose folder a copy has been changed by somebody."""
    folder = tmp_path_factory.mktemp("learner")
    server = Course(folder, tmp_path_factory.mktemp("home"))
    book = nbformat.read(folder / FIRST, as_version=4)
    book.cells[2].source += "\nopen('ran.txt', 'w').close()"
    nbformat.write(book, folder / "changed.ipynb")
    yield server
    server.stop()


@pytest.fixture
def learner(page, course):
    page.set_viewport_size(SMALL)
    page.problems = []
    page.on("pageerror", lambda error: page.problems.append(str(error)))
    yield page
    left = "Canceled future"  # what JupyterLab says of questions that are open when a page is left
    assert [words for words in page.problems if left not in words] == []


def go(page, course, notebook=FIRST):
    page.goto(course.url(notebook))
    page_in_front(page, notebook)
    if notebook != "changed.ipynb":
        page_says(page, READY)


def predict(page):
    """Write down the first prediction of a lesson, unless that was done before."""
    card = page.locator(".tl-card", has_text="Your prediction").first
    if not card.get_by_text("Written down").count():
        card.locator("input[type=radio]").first.check()
        card.get_by_role("button", name="Write down my prediction").click()


def tools_seen(page):
    """Which of Jupyter's tools can be seen."""
    return page.evaluate(
        """(tools) => [...document.querySelectorAll(tools)].filter((node) => node.checkVisibility()
            && node.getClientRects().length).map((node) => node.id || node.className)""",
        TOOLS,
    )


def tab_to(page, name):
    """Press Tab until the focus is on the button of this name."""
    for _ in range(80):
        page.keyboard.press("Tab")
        words = page.evaluate(
            "() => (document.activeElement.ariaLabel ?? document.activeElement.textContent).trim()"
        )
        if words.startswith(name):
            return
    raise AssertionError(f"no Tab leads to {name}")


def cells(page):
    """Kind and words of each cell of the notebook in front."""
    return page.evaluate(
        "() => window.jupyterapp.shell.currentWidget.content.widgets.map((cell) =>"
        " [cell.model.type, cell.model.sharedModel.getSource(), cell.rendered ?? true])"
    )


def test_by_keyboard_alone_next_lesson_larger_text_all_of_jupyter_and_back(learner, course):
    go(learner, course)
    assert tools_seen(learner) == []
    tab_to(learner, "Next ›")
    learner.keyboard.press("Enter")
    page_in_front(learner, SECOND)
    page_says(learner, READY)
    assert tools_seen(learner) == []
    words = learner.locator(".tl-page .jp-RenderedMarkdown h1")
    height = words.bounding_box()["height"]
    tab_to(learner, "Larger text")
    learner.keyboard.press("Enter")
    learner.keyboard.press("Enter")
    assert words.bounding_box()["height"] > 1.25 * height
    tab_to(learner, "Notebook tools")
    learner.keyboard.press("Enter")
    learner.locator("#jp-menu-panel").wait_for()
    learner.get_by_role("tab", name=SECOND).wait_for()
    learner.locator(".jp-InputPrompt").first.wait_for(state="attached")
    assert {"jp-top-panel", "jp-main-statusbar"} <= set(tools_seen(learner))
    assert not learner.locator(".tl-page-bar").is_visible()
    learner.reload()
    page_in_front(learner, SECOND)
    learner.locator("#jp-menu-panel").wait_for()
    back = learner.get_by_role("button", name="Back to the lesson page")
    back.focus()
    learner.keyboard.press("Enter")
    page_says(learner, READY)
    assert tools_seen(learner) == []
    assert (
        learner.evaluate(
            "() => getComputedStyle(document.documentElement).getPropertyValue('--tl-page-size')"
        )
        == "1.3"
    )


#: What JupyterLab offers: commands, keys, entries of menus, side bars, tools of the notebook in
#: front, what the bar below shows.
OFFERED = """() => {
    const { commands, contextMenu } = window.jupyterapp;
    const names = (places) => [...document.querySelectorAll(places)].map((node) =>
        node.dataset.jpItemName ?? node.dataset.id ?? `${node.className} ${node.textContent}`);
    return [
        commands.listCommands(), commands.keyBindings.map(({ command, keys }) => [command, keys]),
        contextMenu.menu.items?.length,
        names("#jp-MainMenu .lm-MenuBar-item"), names(".jp-SideBar .lm-TabBar-tab"),
        names(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-NotebookPanel-toolbar > *"),
        names("#jp-main-statusbar .jp-StatusBar-Item"),
    ].map((list) => [list].flat().map(String).sort());
}"""
#: Every part of JupyterLab is there.
WHOLE = "() => window.jupyterapp.listPlugins().every((one) => jupyterapp.isPluginActivated(one))"
#: Beside an output, to fold it; a part that has heard which notebook is in front.
MARKS, DEBUGGER = ".jp-OutputArea-promptOverlay > svg", ".jp-DebuggerBugButton[aria-disabled=false]"


def test_what_a_page_does_without_comes_with_the_tools_and_the_rest_is_not_opened_again(
    learner, course
):
    complaints = []
    learner.on("console", lambda said: "Settings failed" in said.text and complaints.append(said))
    go(learner, course, SECOND)
    go(learner, course)
    opened = "() => [...window.jupyterapp.shell.widgets('main')].map((one) => one.context?.path)"
    assert learner.evaluate(opened) == [FIRST], "the lesson of before was not left open"
    sheets = learner.evaluate(
        "() => [...document.querySelectorAll('style')].map((one) => one.textContent)"
        ".filter((text) => text.includes('.tl-card'))"
    )
    assert len(sheets) == len(set(sheets)) > 0
    assert not learner.evaluate(WHOLE) and learner.locator(MARKS).count() == 0
    learner.get_by_role("button", name="Notebook tools").click()
    learner.wait_for_function(WHOLE)
    for place in (MARKS, DEBUGGER):
        learner.locator(place).first.wait_for(state="attached")
    assert not complaints, complaints[0].text
    late = json.dumps(learner.evaluate(OFFERED), separators=(",", ":"), ensure_ascii=False)
    learner.reload()
    page_in_front(learner, FIRST)
    learner.wait_for_function(WHOLE)
    learner.get_by_role("button", name="Back to the lesson page").wait_for()
    learner.wait_for_function(f"(late) => JSON.stringify(({OFFERED})()) === late", arg=late)
    assert learner.evaluate(opened) == [FIRST]


def test_no_key_and_no_double_click_changes_the_notebook(learner, course):
    go(learner, course)
    before = cells(learner)
    learner.locator(".tl-page .jp-RenderedMarkdown h1").dblclick()
    learner.locator(".tl-page .jp-RenderedMarkdown li").first.click(button="right")
    assert learner.locator(".lm-Menu").count() == 0
    radio = learner.locator(".tl-card input[type=radio]").first
    slider = "() => document.querySelector('.jp-WindowedPanel-outer:focus-within')"
    for place in ("notebook", "text", "control", "bar"):
        if place == "notebook":  # where JupyterLab puts the focus when it opens one
            learner.locator(".jp-Notebook").first.focus()
            learner.keyboard.press("PageDown")
            shown = learner.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-WindowedPanel-outer")
            assert shown.evaluate("(node) => node.scrollTop") > 0
        elif place == "text":
            learner.locator(".tl-page .jp-RenderedMarkdown h2").first.click()
        elif place == "control":
            radio.focus()
            assert learner.evaluate(slider), "the focus is in the lesson"
        else:
            learner.get_by_role("button", name="Whole screen").focus()
        for keys in ("dd", "x", "y", "m", "a", "b", "z", "r", "1"):
            learner.keyboard.type(keys)
        for key in ("Enter", "Shift+Enter", "Delete", "Control+b", "Control+Shift+c", "Escape"):
            if place != "bar" or key != "Enter":
                learner.keyboard.press(key)
    assert cells(learner) == before
    assert learner.get_by_role("dialog").count() == 0 and tools_seen(learner) == []
    assert learner.locator(".jp-CommandPalette, .lm-CommandPalette").is_visible() is False


def test_a_changed_notebook_asks_and_does_not_run(learner, course):
    go(learner, course, "changed.ipynb")
    learner.get_by_text("This notebook is not as the course wrote it").wait_for()
    learner.wait_for_timeout(3000)
    assert learner.locator(".tl-page .tl-card, .tl-page .tl-panel").count() == 0
    assert not (course.folder / "ran.txt").exists()
    learner.reload()
    learner.get_by_role("button", name="Start it").click()
    page_says(learner, READY)
    assert (course.folder / "ran.txt").exists()
    learner.reload()
    learner.get_by_role("button", name="Start it").wait_for()


def test_a_lesson_opens_where_it_was_left_and_the_one_before_is_closed(learner, course):
    go(learner, course)
    heading = learner.locator(".tl-page h2", has_text="One tyre on its curve")
    heading.evaluate("(node) => node.scrollIntoView()")
    learner.wait_for_timeout(600)
    learner.reload()
    page_says(learner, READY)
    learner.wait_for_timeout(2000)
    box = heading.bounding_box()
    assert 0 < box["y"] < 150, "the heading that stood at the top stands there again"
    for title in ("2 Open", "3 Wheel", "1 Grip"):
        choose_page(learner, title)
        learner.wait_for_function(
            "(words) => document.querySelector('[popovertarget]').textContent.startsWith(words)",
            arg=title,
        )
        page_says(learner, READY)
    learner.wait_for_timeout(2000)
    assert 0 < heading.bounding_box()["y"] < 150
    open_now = {entry["path"] for entry in course.ask("api/sessions")} - {"changed.ipynb"}
    assert open_now == {FIRST, "03_wheel_speed_sensors.ipynb"}


def test_tasks_stand_beside_their_panel_one_at_a_time(learner, course):
    go(learner, course)
    predict(learner)
    panel, tasks = (
        learner.locator(".tl-page .tl-panel").first,
        learner.locator(".tl-page .tl-tasks").first,
    )
    panel.locator("canvas").first.wait_for()
    panel.evaluate("(node) => node.scrollIntoView()")
    learner.wait_for_timeout(500)
    bar = learner.locator(".tl-page-bar").bounding_box()["height"]
    for box in (panel.bounding_box(), tasks.bounding_box()):
        assert box["y"] >= bar and box["y"] + box["height"] <= SMALL["height"]
        assert box["x"] >= 0 and box["x"] + box["width"] <= SMALL["width"]
    before = panel.bounding_box()
    learner.evaluate("document.activeElement.blur()")
    learner.keyboard.press("p")  # to the big screen, and back
    learner.locator(".tl-big .tl-big-steps").wait_for()
    learner.keyboard.press("Escape")
    learner.locator(".tl-big").wait_for(state="detached")
    learner.wait_for_timeout(500)
    assert panel.bounding_box() == before
    assert not learner.locator(".tl-page ol", has_text="Now full throttle").is_visible()
    tasks.get_by_text("Start with very little throttle").wait_for()
    tasks.get_by_label("Done").focus()
    learner.keyboard.press("Space")
    tasks.get_by_role("button", name="Next task").focus()
    learner.keyboard.press("Enter")
    tasks.get_by_text("Now full throttle").wait_for()
    assert not tasks.get_by_label("Done").is_checked()
    learner.reload()
    page_says(learner, READY)
    tasks.get_by_role("heading", name="Task 2 of").wait_for()
    tasks.get_by_role("button", name="Before").click()
    assert tasks.get_by_label("Done").is_checked()
    learner.get_by_role("button", name="Notebook tools").click()
    learner.locator("ol", has_text="Now full throttle").wait_for()
    assert not tasks.is_visible()


def test_a_task_is_ticked_by_what_was_tried_at_the_panel(learner, course):
    go(learner, course)
    predict(learner)
    panel = learner.locator(".tl-page .tl-panel").first
    tasks = learner.locator(".tl-page .tl-tasks").first
    done = tasks.get_by_label("Done")
    throttle = panel.get_by_label("Throttle as a number, percent")
    assert not done.is_checked()
    for run in observations()["01-10"].tasks[0]["runs"].values():
        throttle.fill(str(run["pedal"]))
        learner.keyboard.press("Enter")
        panel.locator(".tl-sentence", has_text=f"{run['pedal']} % throttle").wait_for()
    tasks.get_by_text("You tried it: Packed snow").wait_for()
    assert done.is_checked()
    tasks.get_by_role("heading", name=re.compile(r"Task 1 of \d, 1 done")).wait_for()
    tasks.get_by_role("button", name="Next task").click()
    assert not done.is_checked() and "You tried it" not in tasks.inner_text()
    learner.reload()
    page_says(learner, READY)
    tasks.get_by_role("button", name="Before").click()
    tasks.get_by_text("You tried it: Packed snow").wait_for()
    done.uncheck()
    assert "You tried it" not in tasks.inner_text()


def test_landmarks_zoom_and_a_dark_room(browser, course):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    half = {"width": SMALL["width"] // 2, "height": SMALL["height"] // 2}
    context = browser.new_context(
        viewport=half, device_scale_factor=2, color_scheme="dark", reduced_motion="reduce"
    )
    page = context.new_page()
    go(page, course)
    assert page.get_by_role("banner").count() == page.get_by_role("main").count() == 1
    assert page.get_by_role("navigation", name="Lessons").is_visible()
    bar = page.locator(".tl-page-bar")
    assert all(
        button.bounding_box()["x"] + button.bounding_box()["width"] <= half["width"]
        for button in bar.get_by_role("button").all()
        if button.is_visible()
    )
    assert (
        page.evaluate(
            "() => { const box = document.querySelector('.tl-page"
            " .jp-WindowedPanel-outer'); return box.scrollWidth - box.clientWidth; }"
        )
        <= 0
    )
    assert page.evaluate("() => document.body.dataset.jpThemeLight") == "false"
    found = axe.run(page).response["violations"]
    serious = [
        (v["id"], json.dumps([node["html"][:200] for node in v["nodes"]]))
        for v in found
        if v["impact"] in ("serious", "critical")
    ]
    assert serious == []
    context.close()
