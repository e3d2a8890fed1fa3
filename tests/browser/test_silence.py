"""No answer: the kernel is killed, frozen or at work.

What was moved goes back, what was typed stays, and words say how to go on.
"""

import os
import signal

import pytest
from labserver import SIZE, open_notebook, run_all_cells, write_notebook

pytestmark = pytest.mark.browser
CELLS = [
    (
        'from IPython.display import HTML\nHTML(\'<button data-commandlinker-command="none">Start'
        " this lesson</button>')"
    ),
    (
        "import time\nfrom synthetic import launch_view\nfrom tractionlab.panels.base import Panel,"
        " Slider, Switch\ndef draw(values):\n    time.sleep(4 if values['pedal'] == 45 else 0)\n   "
        " return launch_view(values)\nPanel('Launch', [Slider('pedal', 'Pedal', '%', 0, 100, 5,"
        " 60), Switch('control', 'Control on', True)], draw)"
    ),
    "from tractionlab.lesson import exercise, predict, trace_path\npredict('1.throttle')",
    "exercise('1.1')",
    "from tractionlab.panels.case import repair_case\nrepair_case('passive-sensor-open-circuit')",
]
WAY_ON = 'Press "Start this lesson" at the top of this page to go on.'
SILENT = f"No answer from the computation. {WAY_ON}"


@pytest.fixture(scope="module")
def opened(shared, lab):
    """A page with a panel, two cards and a repair case at work; errors of the page are kept in
    `problems`.
    """
    page = shared
    page.set_viewport_size({**SIZE, "height": 6000})
    page.problems = []
    page.on("pageerror", lambda error: page.problems.append(str(error)))
    write_notebook(lab.folder / "silence.ipynb", CELLS)
    open_notebook(page, lab, "silence.ipynb")
    run_all_cells(page)
    case = page.locator(".tl-case")
    case.get_by_role("button", name="I have read the cautions").click()
    case.locator(".tl-echo", has_text="Now choose a test").wait_for()
    return page


def in_kernel(page, code):
    page.evaluate(
        "(code) => {"
        " window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.requestExecute({ code"
        " }); }",
        code,
    )


def kernel_id(page, lab):
    in_kernel(
        page,
        "import os; open('.pid.new', 'w').write(str(os.getpid())); os.replace('.pid.new', '.pid')",
    )
    path = lab.folder / ".pid"
    for _ in range(100):
        if path.exists():
            break
        page.wait_for_timeout(50)
    number = int(path.read_text())
    path.unlink()
    return number


def panel(page):
    return page.locator(".tl-panel", has_text="Launch")


def pedal(page):
    return page.get_by_label("Pedal as a number, percent")


def move(page, value):
    pedal(page).fill(value)
    pedal(page).press("Enter")


def goes_back(page, moved, kept):
    """Move the pedal; nothing comes, the control goes back and the panel says how to go on."""
    move(page, moved)
    panel(page).locator(".tl-note", has_text=SILENT).wait_for(timeout=8_000)
    assert (
        pedal(page).input_value() == kept
        and page.get_by_label("Pedal [%]", exact=True).get_attribute("aria-valuetext")
        == f"{kept} percent"
    )
    assert f"pedal at {kept} percent" in panel(page).locator(".tl-sentence").inner_text()


def test_a_frozen_computation(opened, lab):
    page, case = opened, opened.locator(".tl-case")
    move(page, "30")
    panel(page).locator(".tl-sentence", has_text="pedal at 30 percent").wait_for()
    frozen = kernel_id(page, lab)
    os.kill(frozen, signal.SIGSTOP)
    try:
        goes_back(page, "80", "30")
        assert pedal(page).evaluate("(box) => box === document.activeElement")
        case.get_by_role("button", name="Take T01").click()
        note = case.get_by_label("Note with value")
        note.fill("Supply 12.4 V before the repair")
        case.get_by_role("button", name="Write down").click()
        case.locator(".tl-echo", has_text="One step at a time").wait_for()
        assert note.input_value() == "Supply 12.4 V before the repair"
        case.locator(".tl-echo", has_text=SILENT).wait_for(timeout=8_000)
    finally:
        os.kill(frozen, signal.SIGCONT)
    case.locator("details[data-key] summary", has_text="T01 ").wait_for(timeout=30_000)
    case.get_by_role("button", name="Write down").click()
    case.locator(".tl-line li", has_text="Supply 12.4 V").wait_for()
    assert (
        note.input_value() == ""
        and case.locator(".tl-line li", has_text="Supply 12.4 V").count() == 1
    )
    panel(page).locator(".tl-sentence", has_text="pedal at 80 percent").wait_for()
    assert (
        pedal(page).input_value() == "80" and panel(page).locator(".tl-note").inner_text() == ""
    ), "an answer that comes after all is shown, and the control stands at it"


def test_a_note_that_is_refused_stays(opened):
    case = opened.locator(".tl-case")
    note = case.get_by_label("Note with value")
    note.fill("x" * 2001)
    case.get_by_role("button", name="Write down").click()
    case.locator(".tl-echo", has_text="the note has 2001 characters").wait_for()
    assert len(note.input_value()) == 2001
    note.fill("")


def test_a_computation_at_work_is_waited_for(opened, lab):
    move(opened, "45")
    panel(opened).locator(".tl-note", has_text="still at work").wait_for(timeout=8_000)
    assert pedal(opened).input_value() == "45"
    panel(opened).locator(".tl-sentence", has_text="pedal at 45 percent").wait_for(timeout=6_000)
    assert panel(opened).locator(".tl-note").inner_text() == ""


def test_a_computation_that_was_killed(opened, lab):
    page, case = opened, opened.locator(".tl-case")
    last = panel(page).locator(".tl-sentence").inner_text().split("pedal at ")[1].split(" ")[0]
    os.kill(kernel_id(page, lab), signal.SIGKILL)
    goes_back(page, "20", last)
    page.get_by_role("button", name="Ok", exact=False).first.click(timeout=30_000)
    page.wait_for_function(
        "() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.status ==="
        " 'idle'",
        timeout=30_000,
    )
    goes_back(page, "25", last)
    panel(page).get_by_role("button", name="Print this").click()
    panel(page).locator(".tl-note", has_text=SILENT).wait_for()
    guess = page.locator(".tl-card", has_text="Your prediction")
    guess.locator("input").first.focus()
    page.keyboard.press("Space")
    page.keyboard.press("Enter")
    guess.locator(".tl-message", has_text=SILENT).wait_for(timeout=8_000)
    sum_card = page.locator(".tl-card", has_text="Exercise 1.1")
    sum_card.locator("input").first.fill("123")
    sum_card.get_by_role("button", name="Check").click()
    sum_card.locator(".tl-message", has_text=f"{SILENT} What you typed stays here.").wait_for(
        timeout=4_500
    )
    assert sum_card.locator("input").first.input_value() == "123"
    case.get_by_label("Note with value").fill("Resistance 1.1 kilohm")
    case.get_by_role("button", name="Write down").click()
    case.locator(".tl-echo", has_text=SILENT).wait_for(timeout=8_000)
    assert case.get_by_label("Note with value").input_value() == "Resistance 1.1 kilohm"
    assert page.problems == []
    run_all_cells(page)
    page.wait_for_function(
        "() => document.querySelectorAll('.tl-case').length === 1 &&"
        " document.querySelector('.tl-case button')"
    )
    case.get_by_role("button", name="I have read the cautions").click()
    assert case.get_by_label("Note with value").input_value() == "Resistance 1.1 kilohm", (
        "a note not yet written down is there after a new start"
    )
