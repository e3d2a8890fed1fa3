"""From decision to decision with the keyboard: the cursor moves, the sentence is read out, and
nothing else in the panel moves.
"""

import pytest

pytestmark = pytest.mark.browser

CELLS = (
    "from tractionlab.panels.launch import launch_panel\n"
    "launch_panel(left='ice', right='wet_asphalt', control='both')",
)
READY = ".tl-panel[data-pictures]"
SMALL = {"width": 1366, "height": 625}
PLACES = """(root) => ['.tl-car', '.tl-transport', '.tl-charts', '.tl-phases', '.tl-moves', 'li']
    .flatMap((name) => [...root.querySelectorAll(name)])
    .map((node) => {
        const at = node.getBoundingClientRect(), top = root.getBoundingClientRect().top;
        return [at.left, at.top - top, at.width, at.height].map(Math.round).join(' ');
    })"""
CUT = """(root) => [...root.querySelectorAll('li, .tl-moves button, .tl-phases canvas')]
.filter((node) => {
    const at = node.getBoundingClientRect(), all = root.getBoundingClientRect();
    return node.scrollWidth > node.clientWidth + 1 || at.right > all.right
        || at.bottom > all.bottom;
}).map((node) => node.textContent)"""


@pytest.fixture
def panel(opened):
    """The panel in a small window, its time at the beginning, the focus on the time slider."""
    opened.set_viewport_size(SMALL)
    opened.wait_for_timeout(400)
    panel = opened.locator(".tl-panel").first
    panel.locator(".tl-scrub").focus()
    opened.keyboard.press("Home")
    return panel


def time_of(panel):
    return float(panel.get_attribute("data-time"))


def test_the_keyboard_goes_from_decision_to_decision_and_back(opened, panel):
    places = panel.evaluate(PLACES)
    opened.keyboard.press("Tab")
    assert opened.evaluate("document.activeElement.textContent") == "Previous decision"
    opened.keyboard.press("Enter")
    panel.locator(".tl-voice", has_text="There is no earlier decision.").wait_for()
    opened.keyboard.press("Tab")
    times = [time_of(panel)]
    for _ in range(12):
        opened.keyboard.press("Enter")
        times.append(time_of(panel))
        now = panel.locator(".tl-now")
        assert now.count() >= 1
        for sentence in now.all_text_contents():
            assert sentence.startswith(f"{times[-1]:.2f} s, ") and sentence.endswith(".")
            panel.locator(".tl-voice", has_text=sentence).wait_for()
        assert panel.evaluate(PLACES) == places and panel.evaluate(CUT) == []
    assert times == sorted(set(times))
    opened.keyboard.press("Shift+Tab")
    for before in reversed(times[1:-1]):
        opened.keyboard.press("Enter")
        assert time_of(panel) == before
    assert opened.problems == []


def test_after_the_last_decision_it_says_so(opened, panel):
    opened.keyboard.press("End")
    panel.get_by_role("button", name="Next decision").press("Enter")
    panel.locator(".tl-voice", has_text="There is no later decision.").wait_for()


def test_a_click_into_the_strip_moves_the_cursor(opened, panel):
    strip = panel.locator(".tl-phases canvas")
    strip.scroll_into_view_if_needed()
    box = strip.bounding_box()
    strip.click(position={"x": box["width"] * 0.4, "y": box["height"] - 10})
    first = time_of(panel)
    strip.click(position={"x": box["width"] * 0.6, "y": box["height"] - 10})
    assert 0 < first < time_of(panel)
    label = strip.get_attribute("aria-label")
    assert label.startswith("Phases of the control unit.") and "torque:" in label
