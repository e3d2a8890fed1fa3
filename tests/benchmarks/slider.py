"""How fast a panel follows its slider: real JupyterLab, headless Chromium, a mouse that drags and
keys that step.

    python tests/benchmarks/slider.py                              a made-up draw of 22 ms
    python tests/benchmarks/slider.py --draw package.module:function   your own draw(values) -> View
    with a slider "pedal", 0-100
    python tests/benchmarks/slider.py --panel "package.module:make_panel(left='ice')"  a whole
    panel; its first slider is moved,
                                                                   in finer steps than the
                                                                   learner's and evenly, so that
                                                                   every input counts
    python tests/benchmarks/slider.py --lesson 02_open_differential.ipynb ...  the same as the last
    block of a lesson's page, among all its cards, as a learner meets it; without it the panel
    stands alone in a notebook with JupyterLab's tools

Printed: the time from an input event until its value stands on the canvas, single steps and while
dragging (p50, p95); pictures per second while dragging; how long after the last input the last
picture came; frames per second while playing; time from the start of the cell to a visible panel.
"""

import argparse
import json
import sys
import tempfile
import time
from pathlib import Path

import nbformat
import numpy as np

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS), str(TESTS / "browser")]
from labserver import (
    QUIET,
    READY,
    SIZE,
    Lab,
    chromium_path,
    open_notebook,
    page_says,
    run_all_cells,
    write_notebook,
)

from tractionlab.catalogue.places import lessons_folder

NOTEBOOK = "benchmark.ipynb"

BARS = {
    "single p95 [ms]": (50, "<="),
    "dragging pictures/s": (15, ">="),
    "last picture after last input [ms]": (150, "<="),
    "first panel [s]": (3, "<="),
}

DRAW_CELL = """from {module} import {function} as draw
from tractionlab.panels.base import Panel, Slider
Panel("Benchmark", [Slider("pedal", "Pedal", "%", 0, 100, 0.5, 60)], draw)"""

PANEL_CELL = """from {module} import *
panel = {call}
panel.controls = [
    c | {{"step": (c["high"] - c["low"]) / 400, "fine": False}} if c["kind"] == "Slider" else c
    for c in panel.controls]
panel"""

WATCH = """(place) => {
    const root = [...document.querySelectorAll('.tl-panel')].at(place);
    const slider = root.querySelector('.tl-controls input[type=range]');
    const moved = () => window.inputs.push([performance.now(), Number(slider.value)]);
    const drawn = () => window.pictures.push([performance.now(), JSON.parse(root.dataset.values)]);
    window.inputs = []; window.pictures = [];
    slider.addEventListener('input', moved);
    slider.addEventListener('keydown', moved);
    new MutationObserver(drawn)
        .observe(root, {attributes: true, attributeFilter: ['data-pictures']});
}"""


def ages(inputs, pictures):
    """For each first picture of a value: milliseconds since the event that set it.

    A second picture of the same values does not count.
    """
    out, before = [], None
    for shown, values in pictures:
        if values == before:
            continue
        before = values
        numbers = [
            v for v in values.values() if isinstance(v, (int, float)) and not isinstance(v, bool)
        ]
        set_at = [
            t for t, value in inputs if t <= shown and any(abs(value - n) < 1e-6 for n in numbers)
        ]
        if set_at:
            out.append(shown - set_at[-1])
    return np.array(out)


def collect(page):
    inputs, pictures = page.evaluate("() => [window.inputs, window.pictures]")
    page.evaluate("() => { window.inputs = []; window.pictures = []; }")
    return inputs, pictures


def drag(page, slider, seconds):
    box = slider.bounding_box()
    y = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + box["width"] * 0.5, y)
    page.mouse.down()
    started = time.monotonic()
    while (now := time.monotonic() - started) < seconds:
        page.mouse.move(box["x"] + box["width"] * (0.5 + 0.42 * np.sin(1.7 * now)), y)
        time.sleep(0.004)
    page.mouse.up()


def lesson_with(cell, lesson, path):
    """Write the notebook of a lesson with one more block at its end to `path`."""
    book = nbformat.read(lessons_folder() / lesson, 4)
    block = nbformat.v4.new_code_cell(cell, metadata={"jupyter": {"source_hidden": True}})
    book.cells.append(block)
    nbformat.write(book, path)
    return path


def show(page, lab, cell, lesson):
    """Seconds until the panel stands there: from the start of its cell, or of a lesson from the
    address on, where all cards before it are computed first.
    """
    if lesson:
        lesson_with(cell, lesson, lab.folder / NOTEBOOK)
        started = time.monotonic()
        page.goto(lab.url(NOTEBOOK))
        page_says(page, READY)
    else:
        write_notebook(lab.folder / NOTEBOOK, [cell])
        open_notebook(page, lab, NOTEBOOK)
        started = time.monotonic()
        run_all_cells(page)
    page.locator(".tl-panel").last.locator("canvas:visible").first.wait_for()
    return time.monotonic() - started


def measure(page, lab, cell, seconds=8.0, lesson=""):
    """Figures as a dict; `cell` is the source of the cell that shows the panel."""
    first = show(page, lab, cell, lesson)
    panel = page.locator(".tl-panel").last
    slider = panel.locator(".tl-controls input[type=range]").first
    slider.scroll_into_view_if_needed()
    page.evaluate(WATCH, -1)
    drag(page, slider, 0.2)
    page.wait_for_timeout(1000)
    collect(page)
    slider.focus()
    for step in range(60):
        page.keyboard.press("ArrowRight" if step % 20 < 10 else "ArrowLeft")
        page.wait_for_timeout(110)
    single = ages(*collect(page))
    drag(page, slider, seconds)
    page.wait_for_timeout(600)
    inputs, pictures = collect(page)
    dragging = ages(inputs, pictures)
    changes = [now for now, before in zip(inputs[1:], inputs) if now[1] != before[1]]
    ended = changes[-1][0]
    figures = {
        "single p50 [ms]": np.percentile(single, 50),
        "single p95 [ms]": np.percentile(single, 95),
        "dragging p50 [ms]": np.percentile(dragging, 50),
        "dragging p95 [ms]": np.percentile(dragging, 95),
        "dragging pictures/s": (
            sum(
                t <= ended and values != before
                for (t, values), (_, before) in zip(pictures, [(0, None), *pictures])
            )
            / (ended - inputs[0][0])
            * 1000
        ),
        "dragging inputs/s": len(inputs) / (ended - inputs[0][0]) * 1000,
        "last picture after last input [ms]": pictures[-1][0] - ended,
        "all cards of the lesson [s]" if lesson else "first panel [s]": first,
    }
    if panel.locator(".tl-play").is_visible():
        page.evaluate(
            "() => { window.beats = []; const beat = (t) => { window.beats.push(t);"
            " requestAnimationFrame(beat); }; requestAnimationFrame(beat); }"
        )
        page.wait_for_timeout(2000)
        idle = (
            page.evaluate("() => { const n = window.beats.length; window.beats = []; return n; }")
            / 2
        )
        before = int(panel.get_attribute("data-frames") or 0)
        panel.locator(".tl-play").click()
        page.wait_for_timeout(3000)
        after = int(panel.get_attribute("data-frames"))
        figures |= {"frames/s of the machine": idle, "frames/s while playing": (after - before) / 3}
    return {name: float(value) for name, value in figures.items()}


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--draw", default="synthetic:slow_launch_view", help="module:function")
    parser.add_argument("--panel", help="module:call of a panel maker")
    parser.add_argument("--lesson", default="", help="notebook among whose cards it stands")
    parser.add_argument("--seconds", type=float, default=8.0)
    parser.add_argument("--json", action="store_true")
    chosen = parser.parse_args()
    if chosen.panel:
        module, call = chosen.panel.split(":", 1)
        cell = PANEL_CELL.format(module=module, call=call)
    else:
        module, function = chosen.draw.split(":")
        cell = DRAW_CELL.format(module=module, function=function)
    from playwright.sync_api import sync_playwright

    with (
        tempfile.TemporaryDirectory() as work,
        tempfile.TemporaryDirectory() as home,
        sync_playwright() as play,
    ):
        own = None
        if chosen.lesson:
            own = [lesson_with(cell, chosen.lesson, Path(home) / NOTEBOOK)]
        lab = Lab(work, home, own)
        try:
            browser = play.chromium.launch(executable_path=chromium_path(), args=QUIET)
            page = browser.new_page(viewport=SIZE)
            figures = measure(page, lab, cell, chosen.seconds, chosen.lesson)
            browser.close()
        finally:
            lab.stop()
    if chosen.json:
        print(json.dumps(figures, indent=1))
        return
    for name, value in figures.items():
        bar, sense = BARS.get(name, (None, None))
        verdict = (
            ""
            if bar is None
            else f"   bar {sense} {bar}: "
            + ("met" if (value <= bar if sense == "<=" else value >= bar) else "MISSED")
        )
        print(f"{name:38s}{value:9.1f}{verdict}")


if __name__ == "__main__":
    main()
