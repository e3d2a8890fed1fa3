"""A panel as a learner meets it: JupyterLab, mouse, keyboard, screen reader roles."""

import re

import pytest
from labserver import open_notebook, run_all_cells, write_notebook

pytestmark = pytest.mark.browser

IMPORTS = (
    "from synthetic import grip_view, launch_view, car_scene\nfrom tractionlab.panels.base import"
    " Choice, Panel, Slider, Switch"
)
LAUNCH = """panel = Panel("Launch", [Slider("pedal", "Pedal", "%", 0, 100, 5, 60),
    Choice("surface", "Road on the left", [("ice", "Ice"), ("snow", "Packed snow")], "ice"),
    Switch("control", "Control on", True)], draw)
panel"""
CHOOSY = """def draw(values):
    if values["pedal"] > 90: raise ValueError("Above 90 percent the engine stalls.")
    return launch_view(values)"""
LOCKED = """import traitlets
class Prediction(traitlets.HasTraits):
    answered = traitlets.Bool(False)
    question = "Which wheel will spin?"
prediction = Prediction()
pedal = Slider("pedal", "Pedal", "%", 0, 100, 5, 60)
locked = Panel("Locked", [pedal], launch_view, locked_by=prediction)
locked"""


def show(page, lab, *cells, name="panel.ipynb"):
    """Open a notebook of `cells`, run it, and give the first panel."""
    write_notebook(lab.folder / name, [IMPORTS, *cells])
    open_notebook(page, lab, name)
    run_all_cells(page)
    return first_panel(page)


def first_panel(page):
    panel = page.locator(".tl-panel").first
    panel.wait_for()
    panel.scroll_into_view_if_needed()
    page.wait_for_function(
        "() => document.querySelector('.tl-panel .tl-charts canvas')?.width > 100"
    )
    return panel


@pytest.fixture(scope="module")
def opened(shared, lab):
    """A page with the launch notebook open, shared by the tests of this module."""
    show(shared, lab, CHOOSY, LAUNCH)
    return shared


@pytest.fixture
def launch(opened):
    """The launch panel, made anew."""
    opened.evaluate(
        "() => document.querySelectorAll('.tl-panel').forEach((old) =>"
        " old.classList.replace('tl-panel', 'tl-old'))"
    )
    run_all_cells(opened)
    return first_panel(opened)


def run_in_kernel(page, code):
    """Run `code` in the kernel of the open notebook, as another cell would."""
    page.evaluate(
        """(code) => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel
                     .requestExecute({code}).done.then(() => true)""",
        code,
    )


def wait_for_sentence(panel, words):
    panel.locator(".tl-sentence", has_text=words).wait_for(timeout=10_000)


def pixels(panel):
    """A number that changes with what the lower canvases show."""
    return panel.evaluate(
        """(root) => [...root.querySelectorAll('canvas')].map((c) =>
        c.getContext('2d').getImageData(0, 0, c.width, c.height).data
        .reduce((sum, v, i) => (sum * 31 + v * (i % 7 + 1)) % 1000003, 7)).join()"""
    )


def focused(page):
    return page.evaluate(
        "() => document.activeElement.closest('.tl-panel') ?"
        " (document.activeElement.labels?.[0]?.textContent ||"
        " document.activeElement.getAttribute('aria-label') || document.activeElement.textContent)"
        " : 'outside'"
    )


def test_the_keyboard_moves_slider_and_picture(opened, launch):
    page = opened
    before = pixels(launch)
    slider = launch.get_by_label("Pedal [%]", exact=True)
    slider.focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    wait_for_sentence(launch, "pedal at 75 percent")
    assert slider.get_attribute("aria-valuetext") == "75 percent"
    assert launch.get_by_label("Pedal as a number, percent").input_value() == "75"
    assert pixels(launch) != before
    page.keyboard.press("Home")
    wait_for_sentence(launch, "pedal at 0 percent")


def test_the_mouse_drags_slider_and_picture(opened, launch):
    page = opened
    before = pixels(launch)
    box = launch.get_by_label("Pedal [%]", exact=True).bounding_box()
    y = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + box["width"] * 0.6, y)
    page.mouse.down()
    for part in (0.5, 0.4, 0.3, 0.25):
        page.mouse.move(box["x"] + box["width"] * part, y)
    page.mouse.up()
    # Values on the way are shown, too: the last one stands where the mouse let go.
    page.wait_for_function(
        """() => {
        const panel = document.querySelector('.tl-panel')
        const { pedal } = JSON.parse(panel.dataset.values || '{}')
        return pedal < 28 && panel.querySelector('.tl-sentence').textContent
            .includes(`pedal at ${Math.round(pedal)} percent`)
        }"""
    )
    assert pixels(launch) != before


FLOOD = """(root) => {
    const slider = root.querySelector('.tl-controls input[type=range]');
    window.shown = [];
    window.letters = root.querySelector('.tl-sentence').firstChild;
    new MutationObserver(() => window.shown.push(JSON.parse(root.dataset.values).pedal))
        .observe(root, {attributes: true, attributeFilter: ['data-pictures']});
    for (let n = 1; n <= 50; n++) {
        slider.value = 5 * n % 100;
        slider.dispatchEvent(new Event('input', {bubbles: true}));
    }
}"""


def test_of_fifty_quick_movements_the_last_is_shown_and_nothing_comes_after_it(opened, launch):
    launch.evaluate(FLOOD)
    wait_for_sentence(launch, "pedal at 50 percent")
    run_in_kernel(opened, "pass")  # what was sent before this has arrived by then
    assert opened.evaluate("window.shown") == [5, 50]
    # Other letters in the same text: a new one makes the browser look through the whole page.
    assert launch.evaluate("(root) => root.querySelector('.tl-sentence').firstChild === letters")


def test_the_number_box_takes_comma_and_point_and_clamps(opened, launch):
    page = opened
    box = launch.get_by_label("Pedal as a number, percent")
    box.fill("42,5")
    box.press("Enter")
    page.wait_for_function(
        "() => document.querySelector('.tl-panel').dataset.values?.includes('42.5')"
    )
    box.fill("-7.5")
    box.press("Tab")
    wait_for_sentence(launch, "pedal at 0 percent")
    launch.get_by_role("status").filter(has_text="goes from 0 to 100").wait_for(state="attached")
    box.fill("fast")
    box.press("Tab")
    assert launch.locator(".tl-note").inner_text() == '"fast" is not a number. Pedal stays at 0 %.'
    assert box.input_value() == "0"
    for typed in ("35 %", "36%"):
        box.fill(typed)
        box.press("Enter")
        wait_for_sentence(launch, f"pedal at {typed[:2]} percent")
    box.fill("")
    box.press("Tab")
    assert launch.locator(".tl-note").inner_text() == "The box is empty. Pedal stays at 36 %."


def test_undo_goes_back_one_change_and_reset_to_the_start(opened, launch):
    page = opened
    undo, reset = (
        launch.get_by_role("button", name="Undo"),
        launch.get_by_role("button", name="Reset"),
    )
    assert undo.is_disabled()
    box = launch.get_by_label("Pedal as a number, percent")
    for value in ("20", "30"):
        box.fill(value)
        box.press("Enter")
        wait_for_sentence(launch, f"pedal at {value} percent")
    undo.click()
    wait_for_sentence(launch, "pedal at 20 percent")
    undo.click()
    wait_for_sentence(launch, "pedal at 60 percent")
    assert undo.is_disabled()
    launch.get_by_label("Control on").uncheck()
    launch.get_by_label("Road on the left").select_option("snow")
    page.wait_for_function(
        "() => { const v = JSON.parse(document.querySelector('.tl-panel').dataset.values); return"
        " v.surface === 'snow' && !v.control; }"
    )
    reset.click()
    page.wait_for_function(
        "() => { const v = JSON.parse(document.querySelector('.tl-panel').dataset.values); return"
        " v.surface === 'ice' && v.control; }"
    )
    assert launch.get_by_label("Control on").is_checked()


def test_play_pause_step_and_scrub(opened, launch):
    page = opened
    time_of = lambda: float(launch.get_attribute("data-time"))
    launch.get_by_role("button", name="Play").click()
    page.wait_for_timeout(900)
    launch.get_by_role("button", name="Pause").click()
    stopped = time_of()
    assert 0.3 < stopped < 1.6
    page.wait_for_timeout(200)
    assert time_of() == stopped
    launch.get_by_role("button", name="Step forward").click()
    stepped = time_of()
    assert 0 < stepped - stopped <= 0.1
    launch.get_by_role("button", name="Step back").click()
    assert time_of() < stepped
    scrub = launch.get_by_label("Time [s]", exact=True)
    scrub.focus()
    page.keyboard.press("End")
    assert time_of() == 10.0 and scrub.get_attribute("aria-valuetext") == "10.00 seconds"
    launch.get_by_role("status").filter(
        has_text=re.compile("10.00 seconds. rim speed .km/h.: front left 39")
    ).wait_for(state="attached")
    launch.get_by_label("Speed", exact=True).select_option("0.25")
    launch.get_by_role("button", name="Play").click()
    page.wait_for_timeout(900)
    launch.get_by_role("button", name="Pause").click()
    assert 0.05 < time_of() < 0.45
    chart = launch.locator(".tl-charts canvas").first
    chart.click(position={"x": 200, "y": 40})
    assert 2 < time_of() < 8


def test_the_values_beside_the_curves_say_their_moment(opened, launch):
    opened.evaluate(
        "() => { const draw = CanvasRenderingContext2D.prototype.fillText; window.written = [];"
        " CanvasRenderingContext2D.prototype.fillText = function (text, ...place) {"
        " window.written.push(text); return draw.call(this, text, ...place); }; }"
    )
    launch.get_by_label("Time [s]", exact=True).focus()
    opened.keyboard.press("End")
    assert "at 10.00 s" in opened.evaluate("() => window.written")


def test_playing_asks_nothing_of_the_kernel(opened, launch):
    page = opened
    page.evaluate(
        "() => { const send = WebSocket.prototype.send; window.sent = 0; WebSocket.prototype.send ="
        " function (...a) { window.sent++; return send.apply(this, a); }; }"
    )
    launch.get_by_role("button", name="Play").click()
    page.wait_for_timeout(1000)
    sent = page.evaluate("() => window.sent")
    assert sent == 0 and int(launch.get_attribute("data-frames")) > 20


def test_tab_enters_and_leaves(opened, launch):
    page = opened
    launch.get_by_role("button", name="Reset").focus()
    order = []
    for _ in range(14):
        page.keyboard.press("Tab")
        order.append(focused(page))
        if order[-1] == "outside":
            break
    assert order == [
        "Print this",
        "Big screen (P)",
        "Pedal [%]",
        "Pedal as a number, percent",
        "Road on the left",
        "Control on",
        "Play",
        "Step back",
        "Step forward",
        "Speed",
        "Time [s]",
        "outside",
    ]
    page.keyboard.press("Shift+Tab")
    assert focused(page) == "Time [s]"


def test_the_notebook_does_not_take_the_keys(opened, launch):
    page = opened
    cells = page.locator(".jp-NotebookPanel .jp-Cell").count()
    box = launch.get_by_label("Pedal as a number, percent")
    box.focus()
    for key in ("a", "b", "d", "d", "x"):
        page.keyboard.press(key)
    assert page.locator(".jp-NotebookPanel .jp-Cell").count() == cells
    assert "abddx" in box.input_value()


def test_an_error_is_one_sentence_and_the_picture_stays(opened, launch):
    page = opened
    before = pixels(launch)
    box = launch.get_by_label("Pedal as a number, percent")
    box.fill("95")
    box.press("Enter")
    launch.locator(
        ".tl-note",
        has_text="Above 90 percent the engine stalls. The picture still shows the values before.",
    ).wait_for()
    assert pixels(launch) == before and "60 percent" in launch.locator(".tl-sentence").inner_text()
    assert page.locator("text=Traceback").count() == 0
    box.fill("80")
    box.press("Enter")
    wait_for_sentence(launch, "pedal at 80 percent")
    assert launch.locator(".tl-note").inner_text() == ""


def test_print_saves_a_hand_out(lab, launch):
    launch.get_by_role("button", name="Print this").click()
    launch.locator(
        ".tl-note", has_text=re.compile(r"Saved handouts.launch-\d+.pdf and .png")
    ).wait_for(timeout=20_000)
    assert list((lab.folder / "handouts").glob("launch-*.pdf"))


def test_python_moves_the_controls_and_a_second_display_shows_the_last_picture(page, lab):
    launch = show(page, lab, CHOOSY, LAUNCH, name="twice.ipynb")
    run_in_kernel(page, "panel.set(pedal=35)")
    wait_for_sentence(launch, "pedal at 35 percent")
    assert launch.get_by_label("Pedal as a number, percent").input_value() == "35"
    page.evaluate("() => window.jupyterapp.commands.execute('notebook:insert-cell-below')")
    page.keyboard.press("Enter")
    page.keyboard.type("panel")
    page.keyboard.press("Shift+Enter")
    second = page.locator(".tl-panel").nth(1)
    second.wait_for()
    assert "35 percent" in second.locator(".tl-sentence").inner_text()
    box = second.get_by_label("Pedal as a number, percent")
    assert box.input_value() == "35"
    box.fill("50")
    box.press("Enter")
    wait_for_sentence(launch, "pedal at 50 percent")
    assert launch.get_by_label("Pedal as a number, percent").input_value() == "50"


def test_a_lock_hides_everything_until_the_prediction_is_there(page, lab):
    panel = show_locked(page, lab)
    assert (
        panel.locator(".tl-lock").inner_text().split("\n")[0] == "Write down your prediction first"
    )
    assert "Which wheel will spin?" in panel.locator(".tl-lock").inner_text()
    assert (
        not panel.locator("canvas").first.is_visible()
        and not panel.get_by_label("Pedal [%]", exact=True).is_visible()
    )
    assert all(button.is_disabled() for button in panel.get_by_role("button").all())
    run_in_kernel(page, "prediction.answered = True")
    wait_for_sentence(panel, "pedal at 60 percent")
    assert panel.locator(".tl-car canvas").evaluate("(c) => c.width") > 300
    assert not panel.locator(".tl-lock").is_visible()


def show_locked(page, lab):
    write_notebook(lab.folder / "locked.ipynb", [IMPORTS, LOCKED])
    open_notebook(page, lab, "locked.ipynb")
    run_all_cells(page)
    panel = page.locator(".tl-panel").first
    panel.wait_for()
    return panel


def test_nothing_jumps_while_the_values_change(opened, launch):
    places = lambda: launch.evaluate(
        "(root) => [...root.querySelectorAll('canvas, input, button, .tl-figures')].map((n) => {"
        " const r = n.getBoundingClientRect(); return [r.x, r.y, r.width,"
        " r.height].map(Math.round).join(); })"
    )
    before = places()
    box = launch.get_by_label("Pedal as a number, percent")
    for value in ("5", "100", "45"):
        if value == "100":
            value = "90"
        box.fill(value)
        box.press("Enter")
        wait_for_sentence(launch, f"pedal at {value} percent")
        assert places() == before


@pytest.mark.parametrize("draw", ["launch_view", "grip_view"])
def test_axe_finds_nothing_serious(page, lab, draw):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    show(page, lab, f"draw = {draw}", LAUNCH.replace("Launch", draw), name=f"axe_{draw}.ipynb")
    found = axe.run(page, context=".tl-panel").response["violations"]
    assert [(v["id"], v["impact"]) for v in found if v["impact"] in ("serious", "critical")] == []


def test_it_fits_at_1280_by_720_and_in_one_column_at_200_percent(page, lab):
    panel = show(page, lab, "draw = launch_view", LAUNCH, name="fits.ipynb")
    box = panel.bounding_box()
    assert box["height"] <= 560 and 780 <= box["width"] <= 950
    page.set_viewport_size({"width": 640, "height": 360})
    page.wait_for_timeout(500)
    wide = panel.evaluate(
        "(root) => [root.scrollWidth - root.clientWidth,"
        " ...[...root.querySelectorAll('canvas')].map((c) => c.getBoundingClientRect().right -"
        " root.getBoundingClientRect().right)]"
    )
    assert max(wide) <= 0
