"""The big screen: what the last row of a hall can read of the main panel and of every guess of
every lesson, and demonstrations gone through with the keys of a presenter's remote.
"""

import json
import math
import re
import tomllib
from contextlib import contextmanager

import nbformat
import pytest
from labserver import open_notebook, run_all_cells, write_notebook

import tractionlab.lesson
from tractionlab.catalogue.places import data_folder, lessons_folder
from tractionlab.lesson.start import lessons
from tractionlab.panels.demonstration import OWN_FOLDER, Demonstration, pictures_of, shipped

pytestmark = pytest.mark.browser
#: A hall: its last row sits so far [m] from a picture so wide [m, pixels]; capitals of at least so
#: many minutes of arc (ISO 9241-303, from memory).
DISTANCE, WIDE, ACROSS, MINUTES = 8.0, 2.0, 1920, 16.0

#: Notes each text that is painted: words, height of a capital and place, in pixels of its canvas.
NOTING = """() => {
    const plain = CanvasRenderingContext2D.prototype.fillText;
    window.painted = [];
    CanvasRenderingContext2D.prototype.fillText = function (words, x, y, ...more) {
        const { a, e } = this.getTransform(), wide = this.measureText(words).width * a;
        const share = { center: 0.5, right: 1, end: 1 }[this.textAlign] ?? 0;
        const left = a * x + e - share * wide, { textBaseline } = this;
        this.textBaseline = 'alphabetic';
        const capital = this.measureText('H').actualBoundingBoxAscent * a;
        this.textBaseline = textBaseline;
        painted.push({ words, capital, left, right: left + wide, canvas: this.canvas.width });
        return plain.call(this, words, x, y, ...more);
    };
}"""

#: The same of every text of the panel on the big screen, and whether its canvases are sharp.
TEXTS = """() => {
    const root = document.querySelector('.tl-big'), found = [];
    const pen = document.createElement('canvas').getContext('2d');
    const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const node = walker.currentNode, host = node.parentElement;
        const heard = '.tl-voice, .tl-hidden, .tl-points, option, title';
        const seen = host.checkVisibility() && !host.closest(heard);
        if (!seen || !node.data.trim()) continue;
        const range = document.createRange(), style = getComputedStyle(host);
        range.selectNodeContents(node);
        const box = range.getBoundingClientRect();
        pen.font = `${style.fontWeight} 100px ${style.fontFamily}`;
        const share = pen.measureText('H').actualBoundingBoxAscent / 100;
        const size = parseFloat(style.fontSize) * host.currentCSSZoom;
        found.push({ words: node.data.trim(), capital: size * share, left: box.left,
            right: box.right, canvas: innerWidth, shortened: host.matches('.tl-big-opener') });
    }
    const canvases = [...root.querySelectorAll('canvas')].filter((node) => node.checkVisibility());
    const blurred = canvases.filter(
        (node) => Math.abs(node.getBoundingClientRect().width - node.width) > 2);
    const { scrollHeight, clientHeight } = root.querySelector('.tl-body');
    const low = root.querySelector('.tl-big-line').getBoundingClientRect().bottom;
    return { found, blurred: blurred.length, over: scrollHeight - clientHeight,
        low: low - innerHeight };
}"""


def main_panels():
    """{id of the block: source of its cell without the guess that opens it} of every lesson."""
    found = {}
    for entry in lessons():
        text = (data_folder() / "demonstrations" / f"{entry['number']:02d}.toml").read_text()
        block = re.search(r'^panel = "(.+)"', text, re.M)[1]
        cells = json.loads((lessons_folder() / entry["notebook"]).read_text(encoding="utf-8"))
        source = next("".join(c["source"]) for c in cells["cells"] if c["id"] == block)
        found[block] = re.sub(r"locked_by=\w+(?:, )?", "", source)
    return found


PANELS = main_panels()


@pytest.fixture(scope="module")
def hall(shared, lab):
    """A page as wide as the picture in the hall, with the main panel of every lesson."""
    page = shared
    page.set_viewport_size({"width": ACROSS, "height": 1080})
    page.problems = []
    page.on("pageerror", lambda error: page.problems.append(str(error)))
    book = nbformat.v4.new_notebook(
        cells=[
            nbformat.v4.new_code_cell(f"from tractionlab.lesson import *\n{source}", id=block)
            for block, source in PANELS.items()
        ]
    )
    book.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3"}
    nbformat.write(book, lab.folder / "hall.ipynb")
    open_notebook(page, lab, "hall.ipynb")
    page.evaluate(NOTING)
    run_all_cells(page)
    return page


@contextmanager
def big_screen(page, block):
    """The panel of a block while it is on the big screen; Escape ends that."""
    panel = page.locator(".tl-panel").nth(list(PANELS).index(block))
    panel.get_by_role("button", name="Big screen").click()
    page.locator(".tl-big .tl-big-steps").wait_for()
    try:
        yield panel
    finally:
        page.keyboard.press("Escape")
        page.locator(".tl-big").wait_for(state="detached")
    assert page.problems == []


def minutes_of_arc(pixels):
    return math.degrees(math.atan(pixels * WIDE / ACROSS / DISTANCE)) * 60


def python_panel(block):
    """The panel itself, made by the cell's source."""
    names = {name: getattr(tractionlab.lesson, name) for name in tractionlab.lesson.__all__}
    return eval(PANELS[block], names)


def faults_of(page):
    """What a person in the last row could not read of the picture shown, in words."""
    told = page.evaluate(TEXTS)
    texts = [*told["found"], *page.evaluate("painted")]
    assert len(texts) > 3, texts
    faults = [
        f"{minutes_of_arc(text['capital']):.1f} minutes of arc: {text['words']}"
        for text in texts
        if minutes_of_arc(text["capital"]) < MINUTES - 0.05
    ]
    faults += [
        f"cut: {text['words']}"
        for text in texts
        if not text.get("shortened") and (text["left"] < -1 or text["right"] > text["canvas"] + 1)
    ]
    if told["blurred"]:
        faults.append("a canvas is blurred")
    if told["low"] > 1:
        faults.append("the line below is cut")
    return faults, told["over"]


@pytest.mark.parametrize("block", PANELS)
def test_the_last_row_reads_every_text_of_every_picture(hall, block):
    seen, shown = [], Demonstration(shipped(block), python_panel(block))
    with big_screen(hall, block) as panel:
        step(hall, panel, "Home", 1)
        while (picture := panel.get_attribute("data-picture")) not in seen:
            seen.append(picture)
            faults, over = faults_of(hall)
            assert not faults, f"{block}, {picture}: {faults}"
            assert over <= 1 or picture == "tables", f"{block}, {picture}: {over} px too high"
            hall.evaluate("painted.length = 0")
            hall.keyboard.press("ArrowDown")
    assert set(seen) == set(pictures_of(shown.seen(0)["now"].view))


@pytest.mark.parametrize("block", ["01-09", "06-09", "10-10"])
def test_a_remote_goes_through_a_demonstration(hall, block):
    shown = Demonstration(shipped(block), python_panel(block))
    with big_screen(hall, block) as panel:
        for at, one in enumerate(shown.steps):
            step(hall, panel, "PageDown" if at else "Home", at + 1)
            words = panel.locator(".tl-big-words").inner_text().replace("\xa0", " ")
            assert words.endswith(shown.told(at)) and words.startswith(one.name)
            assert panel.get_attribute("data-picture") == one.picture
            values = json.loads(panel.get_attribute("data-values"))
            assert values == shown.values(at)
            if one.time is not None and not one.speed:
                assert abs(float(panel.get_attribute("data-time")) - one.time) < 0.01
            faults, over = faults_of(hall)
            assert not faults and over <= 1, f"{block}, {one.name}: {faults}, {over} px too high"
        assert panel.get_by_role("button", name="Next step").is_disabled()
        hall.keyboard.press("PageDown")
        step(hall, panel, "ArrowLeft", len(shown.steps) - 1)
        step(hall, panel, "PageUp", len(shown.steps) - 2)


#: A panel that waits for a guess, as lesson 1 has it; then the guesses of all lessons, which is all
#: a card can ask a hall: one of several answers, a number, axes to draw in.
GUESSES = """from tractionlab.lesson import *
from tractionlab.lesson.questions import questions
first = predict("1.throttle")
display(first, throttle_panel(locked_by=first))
names = [name for name, entry in questions().items() if "answer" not in entry]
for name in names: display(predict(name))"""


def guess_on_the_big_screen(page, card):
    """What the hall cannot read of a guess, on each of its pictures."""
    faults = []
    page.evaluate("painted.length = 0")
    card.get_by_role("button", name="Big screen").click()
    page.locator(".tl-big .tl-big-hint", has_text="Enter").wait_for()
    pictures = ["question", "drawing"] if card.locator(".tl-drawn").count() else ["question"]
    for picture in pictures:
        if picture == "drawing":
            page.evaluate("painted.length = 0")
            page.keyboard.press("ArrowDown")
        assert card.get_attribute("data-picture") == picture
        page.wait_for_timeout(50)
        found, over = faults_of(page)
        faults += [f"{card.locator('legend, label').first.inner_text()}: {one}" for one in found]
        faults += [f"{over} px too high"] * (over > 1)
    for _ in pictures:
        page.keyboard.press("Escape")
    page.locator(".tl-big").wait_for(state="detached")
    return faults


def test_a_hall_reads_each_guess_and_goes_on_to_the_panel_by_keys(browser, lab):
    page = browser.new_page(viewport={"width": ACROSS, "height": 1080})
    write_notebook(lab.folder / "guesses.ipynb", [GUESSES])
    open_notebook(page, lab, "guesses.ipynb")
    page.evaluate(NOTING)
    run_all_cells(page)
    cards = page.locator(".tl-card", has_text="Your prediction")
    faults = [one for card in cards.all() for one in guess_on_the_big_screen(page, card)]
    assert cards.count() > 25 and faults == []

    card = cards.first
    card.get_by_role("button", name="Big screen").click()
    page.locator(".tl-big .tl-big-hint", has_text="Keys 1 to 3, Enter").wait_for()
    chosen = "() => [...document.querySelectorAll('.tl-big [type=radio]')].map((r) => r.checked)"
    page.keyboard.press("Enter")
    card.locator(".tl-message", has_text="Choose one answer first").wait_for()
    for key, at in (("PageDown", 0), ("PageDown", 1), ("3", 2), ("PageUp", 1)):
        page.keyboard.press(key)
        assert [i for i, on in enumerate(page.evaluate(chosen)) if on] == [at], key
    page.keyboard.press("p")
    assert card.evaluate("(node) => node.matches('.tl-big')"), "nothing to go on to yet"
    page.keyboard.press("ArrowDown")
    for key in ("ArrowUp", "ArrowRight", "ArrowDown"):
        page.keyboard.press(key)
    points = card.locator(".tl-points input").evaluate_all("(all) => all.map((b) => b.value)")
    assert points[:3] == ["20.8", "19.2", ""]
    page.keyboard.press("Enter")
    card.locator(".tl-message", has_text="Written down").wait_for()
    page.keyboard.press("p")
    panel = page.locator(".tl-panel.tl-big")
    panel.wait_for()
    assert not card.evaluate("(node) => node.matches('.tl-big')")
    page.keyboard.press("Escape")
    panel.wait_for(state="detached")
    page.close()


def step(page, panel, key, number):
    page.evaluate("painted.length = 0")
    page.keyboard.press(key)
    panel.locator(".tl-big-steps span", has_text=f"{number} of").wait_for(timeout=60_000)


def test_keys_of_the_big_screen_and_a_step_recorded_there(hall, lab):
    block = "01-09"
    panel = hall.locator(".tl-panel").nth(0)
    panel.get_by_role("button", name="Reset").click()
    panel.get_by_label("Throttle [%]", exact=True).focus()
    hall.keyboard.press("Escape")
    panel.get_by_role("button", name="Reset").focus()
    hall.keyboard.press("p")
    hall.locator(".tl-big .tl-big-steps").wait_for()
    dark = "(root) => getComputedStyle(root, '::after').backgroundColor === 'rgb(0, 0, 0)'"
    for key, is_dark in (("b", True), (".", False), ("B", True), ("PageDown", False)):
        hall.keyboard.press(key)
        assert panel.evaluate(dark) == is_dark, key
    step(hall, panel, "Home", 1)
    panel.locator(".tl-big-opener").click()
    slider = panel.get_by_label("Throttle [%]", exact=True)
    slider.focus()
    hall.keyboard.press("ArrowRight")  # in a slider an arrow moves the slider
    panel.locator(".tl-big-opener", has_text="Throttle").wait_for()
    pedal = json.loads(panel.get_attribute("data-values"))["pedal"]
    panel.get_by_label("Sentence of a new step").fill("A little more. Look!")
    panel.get_by_role("button", name="Record this step").click()
    panel.locator(".tl-big-said", has_text="Step 1 is in my_demonstrations").wait_for()
    hall.keyboard.press("Escape")
    assert not slider.is_visible() and hall.locator(".tl-big").count()
    step(hall, panel, "PageDown", 1)
    panel.locator(".tl-big-words", has_text="Step 1. A little more. Look!").wait_for()
    hall.keyboard.press("Escape")
    hall.locator(".tl-big").wait_for(state="detached")
    path = lab.folder / OWN_FOLDER / f"{block}.toml"
    text = path.read_text()
    assert tomllib.loads(text)["steps"][0]["values"] == {"pedal": pedal} and pedal > 10
    path.write_text(text.replace(str(pedal), "1100"))
    with big_screen(hall, block):
        panel.locator(".tl-big-said", has_text="step 1: values, pedal: Throttle must").wait_for()
    path.unlink()
    assert hall.problems == []
