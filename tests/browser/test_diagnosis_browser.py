"""The self-diagnosis panel in the notebook: chosen by keyboard, lamps and memory below it follow,
nothing serious for axe, no wider than its cell.
"""

import pytest

pytestmark = pytest.mark.browser
CELL = """from tractionlab.panels.self_diagnosis import memory_panel
panel = memory_panel()
panel"""
CELLS, READY = [CELL], ".tl-tables table"


def test_keyboard_changes_the_story_and_the_memory_follows(opened):
    memory = opened.locator(".tl-tables")
    assert "fault is present now" in memory.inner_text()
    opened.get_by_label("What is read").focus()
    opened.keyboard.press("ArrowDown")
    opened.keyboard.press("ArrowDown")
    memory.get_by_text("2C").first.wait_for(timeout=10_000)
    assert "fault is present now" not in memory.inner_text()
    assert "stored, not present" in opened.locator(".tl-sentence").inner_text()


def test_lamps_have_words_for_a_screen_reader(opened):
    label = opened.locator(".tl-lanes canvas").get_attribute("aria-label")
    assert "ABS (amber): on from 0.0" in label and "TC off (amber): on from 0.0 to 3.0 s" in label


def test_lamps_are_drawn_over_the_whole_width(opened):
    """Dark columns of the first lane: each drive begins with the lamps on, for their own test."""
    dark, width = opened.evaluate(
        """() => {
          const canvas = document.querySelector('.tl-lanes canvas'), { width } = canvas;
          const ratio = width / canvas.clientWidth, pen = canvas.getContext('2d');
          const row = pen.getImageData(0, Math.round(32 * ratio), width, 1).data;
          const dark = [...Array(width).keys()]
            .filter((x) => row[4 * x + 3] > 200 && row[4 * x] < 90);
          return [dark.length, width];
        }"""
    )
    host = opened.locator(".tl-main").bounding_box()["width"]
    assert dark > 0.02 * width and width >= 0.95 * host


def test_axe_finds_nothing_serious_and_nothing_sticks_out(opened):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    for part in (".tl-panel",):
        serious = [
            v
            for v in axe.run(opened, context=part).response["violations"]
            if v["impact"] in ("serious", "critical")
        ]
        assert [(v["id"], v["nodes"][0]["html"]) for v in serious] == []
    for zoom in (1, 2):
        opened.evaluate("(zoom) => { document.body.style.zoom = zoom; }", zoom)
        assert (
            opened.evaluate(
                "() => { const r = document.querySelector('.tl-tables'); return r.scrollWidth -"
                " r.clientWidth; }"
            )
            <= 1
        )
    opened.evaluate("() => { document.body.style.zoom = 1; }")
