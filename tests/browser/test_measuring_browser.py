"""Measuring as a learner does it: probes by mouse and by keyboard, plugs pulled, another car,
screen reader names, and axe.
"""

import pytest

pytestmark = pytest.mark.browser

PANEL = """from tractionlab.panels.measuring import measuring_panel
panel = measuring_panel()
panel"""
CELLS, READY = [PANEL], ".tl-panel .tl-parts button"


@pytest.fixture
def panel(opened):
    found = opened.locator(".tl-panel")
    found.get_by_role("button", name="Reset").click()
    found.locator(".tl-sentence", has_text="Put the red probe on a point").wait_for()
    return found


def place(panel, key):
    return panel.locator(f".tl-parts button[data-part='{key}']")


def says(panel, words):
    panel.locator(".tl-sentence", has_text=words).wait_for(timeout=10000)


def test_two_clicks_measure_and_a_third_pulls_a_plug(panel):
    place(panel, "unit.sensor_fl").click()
    place(panel, "unit.ground").click()
    says(panel, "the meter shows 0.547 V.")
    assert panel.locator(".tl-figures").inner_text().split() == ["Meter", "0.547", "V"]
    place(panel, "sensor_fl").click()
    says(panel, "the meter shows 4.99 V.")
    assert (
        place(panel, "sensor_fl").get_attribute("aria-label")
        == "plug of the front left wheel sensor: off, Enter puts it back"
    )
    assert place(panel, "sensor_fl.1.device").count() == 1
    panel.get_by_role("button", name="Put all back").click()
    says(panel, "the meter shows 0.547 V.")
    assert place(panel, "sensor_fl.1.device").count() == 0


def test_the_keyboard_does_the_same(opened, panel):
    keys = opened.keyboard
    panel.locator(".tl-parts button[tabindex='0']").focus()
    names = panel.locator(".tl-parts button").evaluate_all(
        "(all) => all.map((b) => b.getAttribute('aria-label'))"
    )
    assert all(names) and len(set(names)) == len(names)
    keys.press("Home")
    for target in ("unit.sensor_fl", "unit.ground"):
        for _ in range(2 * len(names)):
            if opened.evaluate("() => document.activeElement.dataset.part") == target:
                break
            keys.press("ArrowRight")
        else:
            keys.press("Home")
            while opened.evaluate("() => document.activeElement.dataset.part") != target:
                keys.press("ArrowRight")
        keys.press("Enter")
        opened.wait_for_timeout(300)
    says(panel, "the meter shows 0.547 V.")
    assert opened.evaluate("() => document.activeElement.dataset.part") == "unit.ground"
    assert place(panel, "unit.sensor_fl").get_attribute("aria-label").endswith("with red probe")
    keys.press("Tab")
    assert opened.evaluate("() => document.activeElement.closest('.tl-parts') === null")


def test_pulling_by_keyboard_keeps_the_focus(opened, panel):
    place(panel, "loom_fr").focus()
    opened.keyboard.press("Enter")
    panel.locator(".tl-pulled", has_text="front right").wait_for()
    opened.wait_for_timeout(300)
    assert opened.evaluate("() => document.activeElement.dataset.part") == "loom_fr"
    opened.keyboard.press("Enter")
    panel.locator(".tl-pulled", has_text="none").wait_for()


def test_instruments_have_their_own_probes(panel):
    assert panel.get_by_role("radio").evaluate_all(
        "(all) => all.filter((r) => r.offsetParent).map((r) => r.value)"
    ) == ["R", "B"]
    panel.get_by_label("Instrument").select_option("clamp")
    says(panel, "Put the current clamp on a point")
    assert panel.get_by_role("radio").evaluate_all(
        "(all) => all.filter((r) => r.offsetParent).map((r) => r.value)"
    ) == ["C"]
    panel.get_by_label("Part of the wiring").select_option("valves")
    panel.get_by_label("What happens").select_option("pump")
    place(panel, "pump.1").click()
    says(panel, "feed cable of the return pump motor shows 24.8 A")


@pytest.mark.parametrize(
    "vehicle, group",
    [
        ("front_petrol", "torque"),
        ("front_electric", "torque"),
        ("front_petrol", "valves"),
        ("rear_petrol", "driver"),
        ("rear_petrol", "supply"),
    ],
)
def test_every_drawing_opens(opened, panel, vehicle, group):
    panel.get_by_label("Vehicle").select_option(vehicle)
    panel.get_by_label("Part of the wiring").select_option(group)
    place(
        panel,
        {
            "torque": "airbag",
            "valves": "hydraulic_unit.housing",
            "driver": "splice_stop.lamp",
            "supply": "generator.plus",
        }[group],
    ).click()
    says(panel, "Airbag circuits are not measured" if group == "torque" else "the meter shows")
    assert opened.problems == []


def test_names_contrast_and_roles(opened, panel):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    place(panel, "unit.sensor_fl").click()
    place(panel, "sensor_fl").click()
    says(panel, "5.00 V")
    results = axe.run(opened, context=".tl-panel").response
    assert [(v["id"], v["nodes"][0]["html"][:200]) for v in results["violations"]] == []


def test_it_fits_the_width_of_the_page(panel):
    assert panel.locator(".tl-wiring").evaluate_all(
        "(all) => all.every((box) => box.scrollWidth <= box.clientWidth + 1)"
    )
