"""Fingers on a 10-inch tablet: a lesson by taps and drags alone, upright and across; what is
touched is large enough, and nothing is told only to who points at it.
"""

import pytest
from labserver import READY, page_in_front, page_says

pytestmark = pytest.mark.browser
LESSON, MEASURING = "01_grip_and_slip.ipynb", "10_measuring.ipynb"
ACROSS, UPRIGHT = {"width": 1280, "height": 800}, {"width": 800, "height": 1280}
#: CSS pixels: the size of a target (WCAG 2.2, 2.5.5), and the distance of the middles of smaller
#: ones (2.5.8). From memory.
SIZE, APART = 44, 24

#: What can be touched and is smaller; an input may have its label for that.
SMALL = """(size) => {
    const page = document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden)');
    const all = [document.querySelector('.tl-page-bar'), page].flatMap((node) =>
        [...node.querySelectorAll('button, select, input, summary, .tl-live a, .tl-links a')]);
    const low = (node) => Math.round(node.getBoundingClientRect().height) < size;
    const narrow = (node) => Math.round(node.getBoundingClientRect().width) < size;
    return all.filter((node) => node.checkVisibility() && !node.closest('.tl-parts') &&
        !node.matches('.tl-page-skip') && (low(node) || narrow(node)) &&
        ![...(node.labels ?? [])].some((label) => !low(label) && !narrow(label)))
        .map((node) => node.outerHTML.slice(0, 90));
}"""
#: Least distance of the middles of two parts of a drawing.
LEAST_APART = """(host) => {
    const at = [...host.querySelectorAll('.tl-parts button')].map((node) => {
        const { left, top, width, height } = node.getBoundingClientRect();
        return [left + width / 2, top + height / 2];
    });
    return Math.min(...at.flatMap(([x, y], i) =>
        at.slice(i + 1).map(([a, b]) => Math.hypot(x - a, y - b))));
}"""
AT = """(page) => document
    .querySelector('.jp-NotebookPanel:not(.lm-mod-hidden) .jp-WindowedPanel-outer').scrollTop"""


@pytest.fixture
def tablet(browser):
    context = browser.new_context(viewport=ACROSS, has_touch=True)
    page = context.new_page()
    page.fingers = context.new_cdp_session(page)
    yield page
    context.close()


def drag(page, node, *way):
    """A finger goes over a node from one of these places to the next, in shares of its size, and
    the page stays where it is.
    """
    node.scroll_into_view_if_needed()
    box, before = node.bounding_box(), page.evaluate(AT)
    for n, (x, y) in enumerate(way):
        point = {"x": box["x"] + x * box["width"], "y": box["y"] + y * box["height"]}
        touch(page, "touchMove" if n else "touchStart", [point])
        page.wait_for_timeout(60)
    touch(page, "touchMove", [point])  # at rest, else the browser takes the next tap as a halt
    touch(page, "touchEnd", [])
    page.wait_for_timeout(100)
    assert page.evaluate(AT) == before, "the page went along"


def touch(page, kind, points):
    page.fingers.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def opened(page, course, lesson):
    page.goto(course[0].url(lesson))
    page_in_front(page, lesson)
    page_says(page, READY)


def test_a_lesson_by_fingers_alone(tablet, course):
    page = tablet
    opened(page, course, "00_start.ipynb")
    assert page.evaluate(SMALL, SIZE) == []
    page.locator(f'.tl-live a[data-lesson="{LESSON}"]').first.tap()
    page_in_front(page, LESSON)
    page_says(page, READY)

    # A guess in one stroke, one point of it drawn down: no part of that may move the page.
    card = page.locator(".tl-card", has_text="Your prediction").first
    drag(page, card.locator("canvas"), (0.115, 0.8), (0.5, 0.1), (0.97, 0.4))
    boxes = card.locator(".tl-points input")
    drawn = [float(box.input_value()) for box in boxes.all()]
    assert drawn[:5] == sorted(drawn[:5]) and drawn[5] > drawn[6] > drawn[8] > 20, drawn
    drag(page, card.locator("canvas"), (0.97, 0.4), (0.96, 0.6), (0.97, 0.84))
    mended = [float(box.input_value()) for box in boxes.all()]
    assert mended[:8] == drawn[:8] and mended[8] < 1
    card.get_by_text("It grows with every bit of throttle").tap()
    card.get_by_role("button", name="Write down my prediction").tap()
    card.get_by_text("Written down").wait_for()

    # A slider, the clock, a task by its words, a run.
    panel = page.locator(".tl-panel").first
    drag(page, panel.get_by_label("Throttle [%]", exact=True), (0.1, 0.5), (0.4, 0.5), (0.98, 0.5))
    panel.locator(".tl-sentence", has_text="100 % throttle").wait_for()
    drag(page, panel.locator(".tl-charts canvas"), (0.2, 0.3), (0.6, 0.3))
    assert 2 < float(panel.get_attribute("data-time")) < 4.5
    panel.get_by_role("button", name="Play").tap()
    page.wait_for_function("(node) => node.dataset.time > 4.5", arg=panel.element_handle())
    tasks = page.locator(".tl-tasks").first
    tasks.get_by_text("Done").tap()
    tasks.get_by_role("button", name="Next task").tap()
    tasks.get_by_text("Task 2 of 7, 1 done").wait_for()
    panel.get_by_role("button", name="Keep this run").tap()
    panel.locator(".tl-runs tbody tr").nth(1).wait_for()
    back = page.locator(".tl-card", has_text="Your guess and the panel").first
    back.get_by_label("Was it so?").tap()
    page.keyboard.type("It slides")
    back.get_by_role("button", name="Keep my line").tap()
    back.get_by_text("furthest apart").wait_for()
    back.get_by_text("A tyre passes on only so much force").tap()
    assert back.get_by_label("A tyre passes on only so much force").is_checked()

    # Upright the task stands above its panel, and nothing is cut.
    assert page.evaluate(SMALL, SIZE) == []
    assert tasks.bounding_box()["x"] > panel.bounding_box()["x"] + 800
    page.set_viewport_size(UPRIGHT)
    page.wait_for_timeout(500)
    below = tasks.bounding_box()
    assert below["y"] + below["height"] <= panel.bounding_box()["y"]
    wide = page.locator(".jp-WindowedPanel-outer:visible")
    assert wide.evaluate("(node) => node.scrollWidth - node.clientWidth") <= 0
    assert page.evaluate(SMALL, SIZE) == []
    page.locator(".tl-page-bar").get_by_role("button", name="Next").tap()
    page_in_front(page, "02_open_differential.ipynb")


def test_a_finger_is_told_which_plug_it_touches_before_it_pulls(tablet, course):
    page = tablet
    opened(page, course, MEASURING)
    card = page.locator(".tl-card", has_text="Your prediction").first
    if card.locator(".tl-option").count():
        card.locator(".tl-option label").first.tap()
    else:
        card.locator("input[type=text]").first.tap()
        page.keyboard.type("7")
    card.get_by_role("button", name="Write down my prediction").tap()
    panel = page.locator(".tl-panel").first
    panel.locator(".tl-wiring canvas").wait_for()
    for size in (ACROSS, UPRIGHT):
        page.set_viewport_size(size)
        page.wait_for_timeout(500)
        assert panel.locator(".tl-wiring").evaluate(LEAST_APART) >= APART
    plug = panel.locator('.tl-parts button[aria-label*="Enter pulls it"]').first
    name = plug.get_attribute("aria-label").split(":")[0]
    plug.tap()
    told = panel.locator(".tl-name")
    assert told.inner_text() == f"{name}. Touch again to pull it."
    assert panel.locator(".tl-pulled").inner_text() == "none"
    plug.tap()
    panel.locator(".tl-pulled", has_text=name).wait_for()
    assert told.inner_text() == f"{name}, pulled"
