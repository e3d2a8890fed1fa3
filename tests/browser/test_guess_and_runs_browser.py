"""A curve is guessed by keys, laid beside the computed one, and two runs are kept and compared; the
next morning all of it is there.
"""

import pytest
from labserver import READY, Course, page_in_front, page_says

from tractionlab.written.record import FILE_NAME

pytestmark = pytest.mark.browser
LESSON = "01_grip_and_slip.ipynb"
ROOM = """(node) => node.getBoundingClientRect().height
    <= document.querySelector('.jp-WindowedPanel-outer').clientHeight"""


def settle(panel, act):
    """Do something to a panel and wait for the whole picture that answers it."""
    before = int(panel.get_attribute("data-pictures"))
    act()
    panel.page.wait_for_function(
        "([node, before]) => Number(node.dataset.pictures) > before",
        arg=[panel.element_handle(), before],
    )


def set_throttle(panel, value):
    box = panel.get_by_label("Throttle as a number")
    box.fill(value)
    settle(panel, lambda: box.press("Enter"))


def opened(page, course):
    page.goto(course[0].url(LESSON))
    page_in_front(page, LESSON)
    page_says(page, READY)


def test_guess_and_runs_are_kept_compared_and_come_back(page, places, course):
    page.set_viewport_size({"width": 1366, "height": 625})
    opened(page, course)

    # Nothing can fill the big screen yet, and that is said.
    page.keyboard.press("p")
    page_says(page, "a shut one opens with the guess above it")

    # A guess by keys alone: an option, then some points of the curve by arrows.
    card = page.locator(".tl-card", has_text="Your prediction").first
    card.get_by_label("It grows with every bit of throttle").focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    assert card.evaluate(ROOM), "question and drawing are seen together"
    boxes = card.locator(".tl-points input")
    boxes.nth(0).focus()
    for key in ("PageDown", "ArrowDown", "Tab", "ArrowUp", "Tab", "Tab", "4", "0"):
        page.keyboard.press(key)
    assert boxes.nth(1).input_value() == "20.8" and boxes.nth(3).input_value() == "40"
    page.keyboard.press("Enter")
    card.get_by_text("Written down").wait_for()

    # Two runs kept, and what differs between them.
    panel = page.locator(".tl-panel").first
    keep = panel.get_by_role("button", name="Keep this run")
    set_throttle(panel, "30")
    keep.press("Enter")
    panel.locator(".tl-note", has_text="Kept as run A. Speed after 5 s 19.0 km/h").wait_for()
    set_throttle(panel, "100")
    keep.press("Enter")
    rows = panel.locator(".tl-runs tbody tr")
    rows.nth(2).wait_for()
    assert [row.split("\t")[:3] for row in rows.all_inner_texts()] == [
        ["A", "Throttle 30 %", "19.0 km/h"],
        ["B", "Throttle 100 %", "20.5 km/h"],
        ["now", "Throttle 100 %", "20.5 km/h"],
    ]
    assert panel.evaluate(ROOM), "the table takes the place of the car"
    play = panel.get_by_role("slider", name="Time [s]")
    play.press("End")
    voice = panel.locator(".tl-voice", has_text="car in run A 19")
    voice.wait_for(state="attached")

    # Set again, undo and redo; a removed run stays away.
    settle(panel, panel.get_by_role("button", name="Set again what was set in run A").click)
    assert rows.nth(2).inner_text().startswith("now\tThrottle 30 %")
    settle(panel, panel.get_by_role("button", name="Undo").click)
    assert rows.nth(2).inner_text().startswith("now\tThrottle 100 %")
    settle(panel, panel.get_by_role("button", name="Redo").click)
    panel.get_by_role("button", name="Remove run B").press("Enter")
    rows.nth(2).wait_for(state="detached")
    assert keep.evaluate("(node) => node === document.activeElement"), "no key is lost"

    # The computed curve over the drawn one, own words, our sentence.
    back = page.locator(".tl-card", has_text="Your guess and the panel").first
    back.get_by_text("You drew this.").wait_for()
    back.get_by_role("button", name="Show what came out").click()
    back.get_by_text("furthest apart").wait_for()
    back.get_by_label("Was it so?").fill("It slides")
    page.keyboard.press("Enter")
    back.get_by_label("A tyre passes on only so much force").check()
    back.get_by_role("button", name="Keep my ticks").click()
    back.get_by_text("1 of 3 parts").wait_for()

    # The next morning.
    port = course[0].port
    course[0].stop()
    page.get_by_text("The course does not answer").wait_for()
    assert page.get_by_role("dialog").count() == 0
    course[0] = Course(*places, port=port)
    page.get_by_role("button", name="Load this page anew").click()
    page_in_front(page, LESSON)
    page.get_by_text("The course does not answer").wait_for(state="hidden")
    page_says(page, READY)
    back = page.locator(".tl-card", has_text="Your guess and the panel").first
    back.get_by_text("furthest apart").wait_for()
    assert back.get_by_label("Was it so?").input_value() == "It slides"
    assert back.get_by_label("A tyre passes on only so much force").is_checked()
    panel = page.locator(".tl-panel").first
    panel.get_by_role("button", name="My runs (1)").press("Enter")
    assert panel.locator(".tl-runs tbody tr").first.inner_text().startswith("A\tThrottle 30 %")
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    for place in (".tl-card", ".tl-panel"):
        found = axe.run(page, context=place).response["violations"]
        grave = [v["id"] for v in found if v["impact"] in ("serious", "critical")]
        assert grave == [], place
    assert (places[0] / FILE_NAME).read_text().count('"run_removed"') == 1
