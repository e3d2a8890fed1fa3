"""A whole repair case at the bench in the notebook, by keyboard alone: cautions, tests, repair,
proof, points; nothing serious for axe.
"""

import json

import pytest

pytestmark = pytest.mark.browser
CELL = """from tractionlab.panels.case import repair_case
bench = repair_case("passive-sensor-open-circuit")
bench"""
CELLS, READY = [CELL], ".tl-case"


def press(page, locator):
    locator.focus()
    page.keyboard.press("Enter")


def says(box, words):
    """What is read out, and the same words to see."""
    box.get_by_role("status").filter(has_text=words).wait_for()
    box.locator(".tl-echo", has_text=words).wait_for()


def choose(page, label, words):
    """Choose an option with the keyboard: type its first letters."""
    box = page.locator(".tl-case").get_by_label(label, exact=True)
    box.focus()
    page.keyboard.type(words, delay=5)
    page.keyboard.press("Enter")
    return box


def take(page, test, *preparations):
    box = page.locator(".tl-case")
    choose(page, "Test", test)
    for words in preparations:
        tick = box.get_by_label(words)
        tick.focus()
        page.keyboard.press("Space")
    press(page, box.locator("button.tl-main", has_text=f"Take {test}"))
    box.locator("details[data-key] summary", has_text=f"{test} ").first.wait_for(timeout=60_000)


def measure_by_keyboard(page, box):
    """The wiring drawing opens below the case, a reading is taken there, and the case comes back
    with the focus where it was.
    """
    press(page, box.get_by_role("button", name="Measure at: wheel sensors"))
    panel, card = page.locator(".tl-panel"), page.locator(".tl-card")
    panel.locator(".tl-wiring canvas").wait_for()
    assert (
        page.evaluate("() => document.activeElement.textContent") == "Back to the case"
        and not box.get_by_text("The customer says").is_visible()
    )
    panel.get_by_label("black probe (B)").check()
    press(page, panel.locator("button[aria-label^='pin 12 of the plug of the brake control unit']"))
    press(page, panel.locator("button[aria-label^='pin 31 of the plug of the brake control unit']"))
    panel.get_by_text("The display stays dark until you take the reading: 3 minutes").wait_for()
    press(page, card.get_by_role("button", name="Take this reading (3 min)"))
    card.get_by_text("the meter shows 4.99 V").wait_for()
    press(page, card.get_by_role("button", name="Back to the case"))
    box.get_by_text("The customer says").wait_for()
    panel.wait_for(state="hidden")
    assert page.evaluate("() => document.activeElement.textContent") == "Measure at: wheel sensors"
    assert (
        "17 minutes used" in box.inner_text()
        and box.locator("details[data-key]", has_text="Measured in the wiring").first.is_visible()
    )


def test_a_case_by_keyboard_and_axe(opened, lab):
    page, box = opened, opened.locator(".tl-case")
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    press(page, box.get_by_role("button", name="I have read the cautions"))
    says(box, "Now choose a test")
    take(page, "T01")
    take(page, "T04", "Steady supply")
    take(page, "T10", "Ignition off, key away")
    assert "5.00 V" in box.locator("details[data-key]", has_text="T10 ").first.inner_text()
    box.locator(".tl-left input").first.wait_for(timeout=60_000)
    assert box.locator(".tl-left li.tl-out").count() == 0, (
        "the learner says first what the tests cross out"
    )
    box.locator(".tl-left input").first.focus()
    page.keyboard.press("Space")
    press(page, box.get_by_role("button", name="Cross out what I ticked"))
    box.locator(".tl-left li.tl-out").first.wait_for(timeout=60_000)
    assert box.evaluate("(root) => root.contains(document.activeElement)"), (
        "the focus stays in the case"
    )
    assert (
        box.locator(".tl-left li:not(.tl-out)").all_inner_texts()
        == ["possible: wheel speed sensor front left, open circuit"]
        and box.locator(".tl-left li.tl-out").count() >= 4
    )
    measure_by_keyboard(page, box)
    serious = [
        v
        for v in axe.run(page, context=".tl-case").response["violations"]
        if v["impact"] in ("serious", "critical")
    ]
    assert [(v["id"], v["nodes"][0]["html"]) for v in serious] == []
    choose(page, "Place", "wheel speed sensor front left")
    choose(page, "Kind of fault", "open")
    choose(page, "Why it happened", "corrosion")
    press(page, box.get_by_role("button", name="Repair", exact=True))
    says(box, "Now prove it")
    press(page, box.get_by_role("button", name="Clear the memory"))
    says(box, "Memory cleared in all")
    box.get_by_label("Note with value").focus()
    page.keyboard.type("Pin of FL after the repair: 0.54 V")
    press(page, box.get_by_role("button", name="Write down"))
    says(box, "Written down")
    press(page, box.get_by_role("button", name="Hand the car over"))
    box.get_by_role("heading", name="of 100 points").wait_for(timeout=60_000)
    assert "wheel speed sensor front left, open circuit" in box.inner_text()
    log = json.loads((lab.folder / "cases" / "case-1.json").read_text(encoding="utf-8"))
    assert [entry["do"] for entry in log][-1] == "finish"
    serious = [
        v
        for v in axe.run(page, context=".tl-case").response["violations"]
        if v["impact"] in ("serious", "critical")
    ]
    assert [(v["id"], v["nodes"][0]["html"]) for v in serious] == []


def test_it_fits_and_tab_leaves_it(opened):
    over = opened.evaluate(
        "() => { const r = document.querySelector('.tl-case'); return r.scrollWidth -"
        " r.clientWidth; }"
    )
    assert over <= 0
    opened.locator(".tl-case summary").last.focus()
    for _ in range(30):
        opened.keyboard.press("Tab")
        if not opened.evaluate(
            "() => document.querySelector('.tl-case').contains(document.activeElement)"
        ):
            break
    else:
        pytest.fail("Tab never leaves the bench")


def test_the_same_car_is_started_again(opened):
    box = opened.locator(".tl-case")
    press(opened, box.get_by_role("button", name="Start this car again"))
    says(box, "The same car, from the beginning")
    assert (
        "0 minutes used" in box.inner_text()
        and box.get_by_role("button", name="I have read the cautions").is_visible()
    )
    assert box.locator("details[data-key]").count() == 0 and "of 100 points" not in box.inner_text()
