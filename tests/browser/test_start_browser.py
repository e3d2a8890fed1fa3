"""A lesson is started as a learner does it: at once, again after a reload, on the next day; nothing
dead is ever shown.
"""

import time

import nbformat
import pytest
from labserver import READY, Course, page_in_front, page_says
from playwright.sync_api import expect

from tractionlab.lesson.questions import questions

pytestmark = pytest.mark.browser
LESSON = "01_grip_and_slip.ipynb"


@pytest.fixture
def learner(page, course):
    """A page on the course, with the sentences of the console that are errors."""
    page.set_viewport_size({"width": 1366, "height": 768})
    page.problems = []
    page.on(
        "console", lambda said: page.problems.append(said.text) if said.type == "error" else None
    )
    return page


#: Looks on each frame whether the outcomes of the lesson can be read; counts how often they could
#: not after they once could.
WATCH = """() => { window.seen = window.gone = 0;
  const look = () => {
    const there = [...document.querySelectorAll('.jp-NotebookPanel .jp-OutputArea p')]
      .some((p) => p.textContent.startsWith('After this lesson') && p.checkVisibility());
    window.seen += there; window.gone += window.seen && !there;
    requestAnimationFrame(look); };
  look(); }"""


def leave_dead_output(path):
    """What an older edition of the course saved in a lesson, or in a copy that the learner
    changed.
    """
    book = nbformat.read(path if path.exists() else path.with_name(LESSON), as_version=4)
    if path.name != LESSON:
        book.cells[1].source += "\n\nMy own words."
    view = {
        "application/vnd.jupyter.widget-view+json": {
            "model_id": "gone",
            "version_major": 2,
            "version_minor": 0,
        },
        "text/plain": "card",
    }
    book.cells[6].outputs = [nbformat.v4.new_output("execute_result", view, execution_count=4)]
    nbformat.write(book, path)


def go(page, course, lesson=LESSON):
    """Open a lesson; other lessons that were open before may come first."""
    page.goto(course[0].url(lesson))
    page_in_front(page, lesson)


def kernels(course):
    return course[0].ask("api/kernels")


@pytest.mark.parametrize("lesson", [LESSON, "05_taking_torque_away.ipynb"])
def test_a_lesson_that_is_opened_runs_by_itself(learner, course, lesson):
    go(learner, course, lesson)
    learner.evaluate(WATCH)
    page_says(learner, READY)
    assert learner.evaluate("() => [window.seen > 0, window.gone]") == [
        True,
        0,
    ], "what one can do afterwards stays to be read"
    assert learner.locator(".tl-card").count() and learner.get_by_role("dialog").count() == 0
    assert learner.locator(".jp-WindowedPanel-outer").first.evaluate("(box) => box.scrollTop") < 100


def test_reload_brings_the_lesson_back_and_closing_ends_its_kernel(learner, course):
    go(learner, course)
    page_says(learner, READY)
    learner.reload()
    page_says(learner, READY)
    assert (
        learner.locator(".tl-card").count()
        and learner.get_by_text("Error displaying widget").count() == 0
    )
    before = len(kernels(course))
    learner.evaluate("() => window.jupyterapp.commands.execute('application:close')")
    learner.wait_for_function(
        "(path) => window.jupyterapp.shell.currentWidget?.context?.path !== path", arg=LESSON
    )
    deadline = time.monotonic() + 10
    while len(kernels(course)) == before and time.monotonic() < deadline:
        time.sleep(0.2)
    assert len(kernels(course)) == before - 1 and learner.get_by_role("dialog").count() == 0


def test_a_kernel_that_has_gone_is_said_and_the_lesson_goes_on(learner, course):
    go(learner, course)
    page_says(learner, READY)
    kernel = learner.evaluate(
        "() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.id"
    )
    course[0].ask(f"api/kernels/{kernel}/restart", "POST", {})
    learner.get_by_text("has stopped. What you answered is kept").wait_for()
    learner.get_by_role("button", name="Start to go on").click()
    page_says(learner, READY)
    assert not learner.get_by_text("has stopped").is_visible()


def test_the_next_morning(learner, course, places):
    go(learner, course)
    page_says(learner, READY)
    learner.get_by_text("It grows, then gets smaller again").click()
    learner.get_by_role("button", name="Write down my prediction").first.click()
    learner.get_by_text("Written down").wait_for()
    learner.evaluate("() => window.jupyterapp.commands.execute('docmanager:save')")
    port = course[0].port
    course[0].stop()
    leave_dead_output(places[0] / LESSON)
    leave_dead_output(places[0] / "my copy.ipynb")
    course[0] = Course(*places, port=port)
    learner.problems.clear()
    go(learner, course)
    expect(learner.get_by_text("After this lesson")).to_have_count(1)
    assert learner.get_by_text("Error displaying widget").count() == 0
    page_says(learner, READY)
    learner.get_by_text("Written down").first.wait_for()
    go(learner, course, "my copy.ipynb")
    learner.locator(".jp-RenderedMarkdown", has_text="My own words").wait_for()
    learner.get_by_text("not as the course wrote it").wait_for()
    assert learner.get_by_text("Error displaying widget").count() == 0
    assert [words for words in learner.problems if "widget" in words.lower()] == []


def test_progress_follows_an_answer_without_a_press_and_so_does_the_start_page_in_its_own_tab(
    learner, course
):
    go(learner, course, "00_start.ipynb")
    page_says(learner, READY)
    learner.locator(".tl-next a").click()
    page_in_front(learner, LESSON)
    page_says(learner, READY)
    lesson = learner.locator(".jp-NotebookPanel:not(.lm-mod-hidden)")
    card = lesson.locator(".tl-card", has_text="You stand on the falling part")
    peak = questions()["1.q.peak"]
    card.get_by_text(peak["options"][peak["answer"] - 1], exact=True).click()
    card.get_by_role("button", name="Check").click()
    card.get_by_text("Right.").wait_for()
    lesson.locator(".tl-live li", has_text="which way is back: shown once").wait_for(timeout=5_000)
    lesson.get_by_role("link", name="Start page").click()
    page_in_front(learner, "00_start.ipynb")
    home = learner.locator(".jp-NotebookPanel:not(.lm-mod-hidden)")
    home.locator(".tl-next", has_text="Go on with lesson 1").wait_for(timeout=5_000)
    home.locator(".tl-live tr", has_text="Grip and slip").get_by_text("1 shown once").wait_for(
        timeout=5_000
    )


def test_text_that_was_typed_and_not_checked_survives_a_reload_and_goes_when_it_is_checked(
    learner, course
):
    go(learner, course)
    page_says(learner, READY)
    first = (
        learner.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .tl-card", has_text="Exercise 1.1")
        .locator("input")
        .first
    )
    first.fill("123,4")
    learner.reload()
    page_says(learner, READY)
    assert first.input_value() == "123,4"
    first.press("Enter")
    learner.locator(".tl-card", has_text="Exercise 1.1").get_by_text("0 of 2 right").wait_for()
    assert (
        learner.evaluate(
            "() => Object.keys(localStorage).filter((name) => name.startsWith('tractionlab-draft')"
            " && name.includes('1.1'))"
        )
        == []
    )
