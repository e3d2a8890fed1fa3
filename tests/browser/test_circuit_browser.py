"""The living circuit as a learner meets it: clicks, keyboard, screen reader names, car and circuit,
and the path that is traced.
"""

import pytest
from labserver import SIZE, open_notebook, run_all_cells, write_notebook

pytestmark = pytest.mark.browser

PANEL = """from tractionlab.panels.circuit import circuit_panel
panel = circuit_panel("A", mode="tc_increase")
panel"""
TRACE = """from tractionlab.lesson.path_tracing import trace_path
trace_path("A", "tc_increase", "ACC", "W_RL")"""
BESIDE = """from dataclasses import replace
from synthetic import car_scene
from tractionlab.panels.base import Panel
from tractionlab.panels.circuit import circuit_view
reducing = circuit_view({"layout": "B", "mode": "abs_reduce", "pedal": 60.0})
view = replace(reducing, scenes=(car_scene(frames=90, seconds=1.7),))
Panel("Car and circuit", [], lambda values: view)"""
DRIVE = """from tractionlab.panels.drive import drive_panel
drive_panel("B", drive="stop", left="wet_asphalt")"""
CELLS, READY = [PANEL, BESIDE, DRIVE, TRACE], ".tl-trace"


@pytest.fixture
def panel(opened):
    found = opened.locator(".tl-panel", has_text="Hydraulic circuit, layout A")
    found.scroll_into_view_if_needed()
    return found


def part(box, key):
    return box.locator(f".tl-parts button[data-part={key}]")


def scrub(panel, time):
    panel.locator(".tl-scrub").evaluate(
        "(s, t) => { s.value = t; s.dispatchEvent(new Event('input')); }", time
    )


def test_a_click_opens_the_card_of_a_part_and_it_follows_the_time(panel):
    scrub(panel, 0.0)
    part(panel, "feed_valve").click()
    card = panel.get_by_role("dialog", name="Feed valve")
    card.get_by_text("closed, no current").wait_for()
    assert (
        "Lets stored pressure into the rear line" in card.inner_text()
        and "Stuck closed" in card.inner_text()
    )
    scrub(panel, 1.0)
    card.get_by_text("open, 2.0 A").wait_for()
    card.get_by_role("button", name="Close").click()
    assert card.count() == 0


def test_the_keyboard_reaches_every_part_by_its_name(opened, panel):
    page = opened
    scrub(panel, 1.0)
    names = panel.locator(".tl-parts button").evaluate_all(
        "(all) => all.map((b) => b.getAttribute('aria-label'))"
    )
    assert (
        all(names)
        and "Feed valve, open, 2.0 A" in names
        and any(name.startswith("Rear left brake, 17") for name in names)
        and len(set(names)) == len(names)
    )
    assert panel.locator(".tl-parts button[tabindex='0']").count() == 1
    panel.locator(".tl-parts button[tabindex='0']").focus()
    page.keyboard.press("Home")
    seen = set()
    for _ in names:
        seen.add(page.evaluate("() => document.activeElement.getAttribute('aria-label')"))
        page.keyboard.press("ArrowRight")
    assert seen == set(names)
    page.keyboard.press("Home")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    dialog = panel.get_by_role("dialog")
    dialog.wait_for()
    page.keyboard.press("Escape")
    assert dialog.count() == 0
    assert page.evaluate("() => document.activeElement.dataset.part") == "pedal_port"
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.textContent") == "Play"


def test_controls_by_hand_appear_with_the_choice(panel):
    choice = panel.get_by_label("What happens")
    assert not panel.get_by_label("Feed valve: 2.0 A").is_visible()
    choice.select_option("hand")
    panel.get_by_label("Feed valve: 2.0 A").wait_for()
    panel.get_by_label("Feed valve: 2.0 A").check()
    panel.get_by_label("Cut-off valve: 2.0 A").check()
    panel.locator(".tl-sentence", has_text="rear left wheel and rear right wheel reach").wait_for()
    choice.select_option("tc_increase")
    panel.locator(".tl-sentence", has_text="Traction control: increase").wait_for()
    assert not panel.get_by_label("Feed valve: 2.0 A").is_visible()


def test_car_and_circuit_play_side_by_side(opened):
    page = opened
    box = page.locator(".tl-panel", has_text="Car and circuit")
    box.scroll_into_view_if_needed()
    car, circuit = (
        box.locator(f"{name} canvas").bounding_box() for name in (".tl-car", ".tl-circuit")
    )
    assert car["x"] > circuit["x"] + circuit["width"] - 1 and abs(circuit["y"] - car["y"]) < 5, (
        "side by side"
    )
    box.get_by_label("Speed", exact=True).select_option("0.1")
    box.get_by_role("button", name="Play").click()
    before = int(box.get_attribute("data-frames"))
    more = "([box, before]) => box.dataset.frames > before + 20"
    page.wait_for_function(more, arg=[box.element_handle(), before])
    box.get_by_role("button", name="Pause").click()


def test_a_driven_car_and_its_circuit_follow_one_clock_and_show_a_fault(opened):
    box = opened.locator(".tl-panel", has_text="The circuit in the moving car")
    box.scroll_into_view_if_needed()
    car, circuit = (
        box.locator(f"{name} canvas").bounding_box() for name in (".tl-car", ".tl-circuit")
    )
    assert car["x"] > circuit["x"] + circuit["width"] - 1 and abs(circuit["y"] - car["y"]) < 5, (
        "side by side"
    )
    scrub(box, 1.0)
    assert box.get_attribute("data-time") == "1.000"
    name = part(box, "wheel_FL").get_attribute("aria-label")
    assert name.startswith("Front left brake, ") and not name.endswith(" 0 bar")
    box.get_by_label("Fault").select_option("inlet")
    box.locator(".tl-sentence", has_text="inlet valve front left stuck closed").wait_for()
    scrub(box, 1.0)
    assert part(box, "wheel_FL").get_attribute("aria-label") == "Front left brake, 0 bar"
    cut = box.locator("select:visible").evaluate_all("""(all) => all.filter((select) => {
        const pen = document.createElement("canvas").getContext("2d");
        const style = getComputedStyle(select);
        pen.font = `${style.fontSize} ${style.fontFamily}`;
        return pen.measureText(select.selectedOptions[0].text).width > select.clientWidth - 24;
    }).map((select) => select.selectedOptions[0].text)""")
    assert cut == []


def test_it_fits_its_panel(opened, panel):
    over = panel.evaluate(
        "(root) => [...root.querySelectorAll('canvas')].map((c) => c.getBoundingClientRect().right"
        " - root.getBoundingClientRect().right)"
    )
    assert max(over) <= 0
    labels = panel.locator(".tl-parts button").evaluate_all(
        "(all) => all.map((b) => { const r = b.getBoundingClientRect(), f ="
        " b.parentElement.getBoundingClientRect(); return r.left >= f.left - 2 && r.right <="
        " f.right + 2 && r.width > 10; })"
    )
    assert all(labels)


BLUE = """(canvas) => {
  const {data} = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  let n = 0;
  for (let i = 0; i < data.length; i += 4)
    n += data[i] === 0 && data[i + 1] === 114 && data[i + 2] === 178;
  return n; }"""


def test_the_path_is_traced_by_mouse_and_explained(opened, lab):
    page = opened
    card = page.locator(".tl-trace")
    card.scroll_into_view_if_needed()
    assert card.locator("canvas").evaluate(BLUE) == 0, (
        "no arrow of the flow before the way is found"
    )
    part(card, "cut_off_valve").click()
    card.get_by_text("No pipe joins the cut-off valve to the accumulator").wait_for()
    part(card, "feed_valve").click()
    card.get_by_text("Now the fluid is in the rear brake line").wait_for()
    part(card, "wheel_valve_RR").click()
    card.get_by_text("stands at hold; this way is open only at increase").wait_for()
    card.get_by_role("button", name="Undo").click()
    card.get_by_text("The fluid is now in the accumulator").wait_for()


def test_the_path_is_traced_by_keyboard_alone(opened, lab):
    page = opened
    card = page.locator(".tl-trace")
    card.get_by_role("button", name="Start again").focus()
    page.keyboard.press("Enter")
    card.get_by_text("From the start again").wait_for()
    for key in ("feed_valve", "wheel_valve_RL"):
        card.locator(".tl-parts button[tabindex='0']").focus()
        page.keyboard.press("Home")
        for _ in range(40):
            if page.evaluate("() => document.activeElement.dataset.part") == key:
                break
            page.keyboard.press("ArrowRight")
        page.keyboard.press("Enter")
        card.locator("ol li").nth(0 if key == "feed_valve" else 1).wait_for()
    card.get_by_text("Arrived in the rear left brake").wait_for()
    assert card.locator("canvas").evaluate(BLUE) > 100, "then the fluid flows"
    assert "trace.A.tc_increase.ACC.W_RL" in (lab.folder / "my_record.jsonl").read_text()


@pytest.mark.parametrize("place", [".tl-panel", ".tl-trace"])
def test_axe_finds_nothing_serious(opened, place):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    found = axe.run(opened, context=place).response["violations"]
    assert [
        (v["id"], v["impact"], v["nodes"][0]["html"])
        for v in found
        if v["impact"] in ("serious", "critical")
    ] == []
    part(opened.locator(place).first, "accumulator").click()
    found = axe.run(opened, context=place).response["violations"]
    assert [
        (v["id"], v["impact"], v["nodes"][0]["html"])
        for v in found
        if v["impact"] in ("serious", "critical")
    ] == []


def test_car_circuit_charts_and_time_are_seen_together_on_a_projector(page, lab):
    write_notebook(lab.folder / "projector.ipynb", [DRIVE])
    open_notebook(page, lab, "projector.ipynb")
    page.evaluate("() => window.jupyterapp.shell.collapseLeft()")
    run_all_cells(page)
    box = page.locator(".tl-panel")
    box.locator(".tl-roomy").wait_for()
    room = SIZE["height"] - 40  # below the bar of a lesson's page
    top = box.bounding_box()["y"]
    for name in (".tl-car", ".tl-drawing", ".tl-transport", ".tl-charts", ".tl-phases"):
        place = box.locator(name).first.bounding_box()
        assert place["height"] > 40 and place["y"] + place["height"] <= top + room, name
    rows = box.locator(".tl-control:visible").evaluate_all(
        "(all) => all.map((node) => Math.round(node.getBoundingClientRect().bottom))"
    )
    assert len(set(rows)) <= 2, "controls in two rows"
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    found = axe.run(page, context=".tl-panel").response["violations"]
    assert [(v["id"], v["impact"]) for v in found if v["impact"] in ("serious", "critical")] == []
