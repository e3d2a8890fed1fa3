"""Boxes of all lessons, measured: at the size of a college's old notebook and on a large screen
nothing lies over another, no label is cut, nothing scrolls sideways, and panel and task are seen
together.
"""

import pytest
from labserver import READY, Course, page_in_front, page_says

from tractionlab.lesson.start import lessons

pytestmark = pytest.mark.browser
NOTEBOOKS = [entry["notebook"] for entry in lessons() if "notebook" in entry]
SIZES = {"old notebook": (1366, 625), "large screen": (1920, 1080)}
BAR = 40
#: Panels that an old notebook does not show whole: below the edge stand the sentences of why, under
#: the phases in view.
HIGHER = ("The circuit in the moving car",)

#: Boxes of a page that overlap, cut labels, and what is wider than the window, in words.
FAULTS = """() => {
    const page = document.querySelector('.tl-page:not(.lm-mod-hidden)'), faults = [];
    const scroller = page.querySelector('.jp-WindowedPanel-outer');
    const seen = (node) => node.checkVisibility({ visibilityProperty: true, opacityProperty: true })
        && node.getClientRects().length > 0;
    const name = (node) => `${node.className || node.tagName} "${
        (node.ariaLabel || node.textContent || node.value || '').trim().slice(0, 40)}"`;
    if (scroller.scrollWidth > scroller.clientWidth) faults.push('the page scrolls sideways');
    for (const node of page.querySelectorAll('.tl-panel, .tl-card, .tl-tasks, .tl-case')) {
        const wide = [...node.querySelectorAll('*')].filter((one) => seen(one) &&
            ['auto', 'scroll'].includes(getComputedStyle(one).overflowX) &&
            one.scrollWidth > one.clientWidth + 1);
        faults.push(...wide.map((one) => `scrolls sideways: ${name(one)}`));
    }
    const apart = (nodes) => {
        const boxes = nodes.map((node) => [node, node.getBoundingClientRect()]);
        boxes.forEach(([one, a], i) => boxes.slice(i + 1).forEach(([other, b]) => {
            if (one.contains(other) || other.contains(one)) return;
            const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            if (across > 2 && down > 2) faults.push(`${name(one)} lies over ${name(other)}`);
        }));
    };
    const blocks = '.tl-panel, .tl-card, .tl-tasks, .tl-case, .jp-RenderedMarkdown';
    apart([...page.querySelectorAll(blocks)].filter(seen));
    apart([...document.querySelectorAll('.tl-page-bar button, .tl-page-said')].filter(seen));
    for (const panel of page.querySelectorAll('.tl-panel, .tl-tasks, .tl-card')) {
        const parts = 'button, input, select, label, .tl-title, .tl-sentence, .tl-figures > *';
        // What can be pointed at in a drawing stands over the drawing.
        const own = [...panel.querySelectorAll(parts)].filter((node) =>
            seen(node) && !node.closest('.tl-parts, .tl-pins, .tl-wiring'));
        apart(own);
        for (const node of own) {
            const cut = node.scrollWidth > node.clientWidth + 1 &&
                getComputedStyle(node).overflowX !== 'visible' && node.tagName !== 'INPUT';
            if (cut) faults.push(`cut: ${name(node)}`);
            const a = node.getBoundingClientRect(), b = panel.getBoundingClientRect();
            if (a.left < b.left - 1 || a.right > b.right + 1) faults.push(`juts out: ${name(node)}`);
        }
        for (const node of own.filter(({ tagName }) => tagName === 'SELECT')) {
            const pen = document.createElement('canvas').getContext('2d');
            pen.font = getComputedStyle(node).font;
            const words = node.selectedOptions[0]?.textContent ?? '';
            if (pen.measureText(words).width > node.clientWidth - 20) faults.push(`cut: ${words}`);
        }
    }
    return faults;
}"""

#: Height of each panel that is shown, with what stands beside it.
HEIGHTS = """() => [...document.querySelectorAll('.tl-page:not(.lm-mod-hidden) .tl-panel')]
    .filter((node) => node.checkVisibility()).map((node) => [
        node.querySelector('.tl-title').textContent,
        node.getBoundingClientRect().height,
        node.closest('.jp-Cell').querySelector('.tl-tasks')?.getBoundingClientRect().height ?? 0])"""


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    server = Course(tmp_path_factory.mktemp("learner"), tmp_path_factory.mktemp("home"))
    yield server
    server.stop()


def guess_all(page):
    """Write down each prediction, so that all panels are open."""
    for card in page.locator(".tl-page .tl-card", has_text="Your prediction").all():
        if card.get_by_text("Written down").count():
            continue
        option = card.locator("input[type=radio]")
        if option.count():
            option.first.check()
        else:
            card.locator("input[type=text]").first.fill("7")
        card.get_by_role("button", name="Write down").click()
        card.get_by_text("Written down").wait_for()


def measure_with_oscilloscope(page):
    """In the first measuring panel, so that drawing, display and curve are all there."""
    panel = page.locator(".tl-page .tl-panel.tl-measuring").first
    panel.get_by_label("Instrument").select_option("scope")
    panel.get_by_label("What happens").select_option("turn_fl")
    panel.locator(".tl-parts button[data-part='unit.sensor_fl']").click()
    panel.locator(".tl-charts canvas").wait_for()
    assert panel.locator(".tl-wiring canvas").is_visible()
    page.wait_for_timeout(800)


@pytest.mark.parametrize("notebook", NOTEBOOKS)
def test_boxes_of_a_lesson(page, course, notebook):
    page.goto(course.url(notebook))
    page_in_front(page, notebook)
    page_says(page, READY)
    guess_all(page)
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(1500)
        assert page.evaluate(FAULTS) == [], size
        if notebook.startswith("10_"):
            measure_with_oscilloscope(page)
            assert page.evaluate(FAULTS) == [], size
        for title, panel, tasks in page.evaluate(HEIGHTS):
            assert tasks <= height - BAR, title
            if size == "large screen" or not title.startswith(HIGHER):
                assert panel <= height - BAR, f"{title} on {size}"
