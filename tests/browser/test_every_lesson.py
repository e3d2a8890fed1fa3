"""Every lesson as a learner meets it, from top to bottom: each guess is written down by keyboard
and each panel opens; for who hears or reads in the dark nothing is missing; at the size of a
college's old notebook and on a large screen nothing lies over another, no label is cut, nothing
scrolls sideways, and panel and task are seen together.
"""

import pytest
from labserver import (
    READY,
    Course,
    guess_by_keyboard,
    ids_shown_twice,
    page_in_front,
    page_says,
    strange_labels,
)

from tractionlab.catalogue.places import lessons_folder
from tractionlab.lesson.start import lessons

pytestmark = pytest.mark.browser
NOTEBOOKS = [entry["notebook"] for entry in lessons() if "notebook" in entry]
SIZES = {"old notebook": (1366, 625), "large screen": (1920, 1080)}
BAR = 40
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
            if (a.left < b.left - 1 || a.right > b.right + 1) {
                faults.push(`juts out: ${name(node)}`);
            }
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
        node.closest('.jp-Cell').querySelector('.tl-tasks')?.getBoundingClientRect().height ?? 0,
    ])"""


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    server = Course(tmp_path_factory.mktemp("learner"), tmp_path_factory.mktemp("home"))
    yield server
    server.stop()


def serious_findings(page, axe, **chosen):
    """What the accessibility checker says of the page in front, as serious or critical."""
    front, options = ".tl-page:not(.lm-mod-hidden)", {"resultTypes": ["violations"], **chosen}
    found = axe.run(page, context=front, options=options).response["violations"]
    return [
        (one["id"], one["nodes"][0]["html"][:120])
        for one in found
        if one["impact"] in ("serious", "critical")
    ]


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
def test_lesson_from_top_to_bottom(page, course, notebook):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page.emulate_media(color_scheme="light")
    page.goto(course.url(notebook))
    page_in_front(page, notebook)
    page_says(page, READY)
    for card in page.locator(".tl-page .tl-card", has_text="Your prediction").all():
        guess_by_keyboard(page, card)
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(1500)
        assert page.evaluate(FAULTS) == [], size
        if notebook.startswith("10_"):
            measure_with_oscilloscope(page)
            assert page.evaluate(FAULTS) == [], size
        for title, panel, tasks in page.evaluate(HEIGHTS):
            assert tasks <= height - BAR, title
            assert panel <= height - BAR, f"{title} on {size}"
    panels = page.locator(".tl-page .tl-panel:visible").all()
    shipped = (lessons_folder() / notebook).read_text(encoding="utf-8")
    assert len(panels) == shipped.count("_panel(")
    assert all(panel.locator("canvas:visible").count() for panel in panels)
    assert ids_shown_twice(page) == [] and strange_labels(page) == []
    assert serious_findings(page, axe) == [], "in light"
    page.emulate_media(color_scheme="dark")
    page.wait_for_function("() => document.body.dataset.jpThemeLight === 'false'")
    page.wait_for_timeout(500)
    assert serious_findings(page, axe, runOnly=["color-contrast"]) == [], "in the dark"
