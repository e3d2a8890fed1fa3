"""Makes the pictures of README.md anew: `python tests/readme_pictures.py`, a minute, with the test
extras and a Chromium. A learner's own course is opened, and what README shows is photographed.
"""

import io
import os
import sys
import tempfile
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent / "browser"), str(Path(__file__).parents[1])]

from labserver import QUIET, READY, Course, chromium_path, page_in_front, page_says  # noqa: E402
from PIL import Image  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from tractionlab.catalogue.places import lessons_folder  # noqa: E402

PICTURES = lessons_folder() / "readme_pictures"
WINDOW = {"width": 1366, "height": 768}
COLOURS = 200
#: Picture -> notebook, title of the panel, settings by label, moment as a share of the run's time.
PANELS = {
    "launch": ("02_open_differential.ipynb", "Pulling away", {"Control": "both"}, 0.45),
    "circuit": (
        "06_hydraulic_layout_a.ipynb",
        "The circuit in the moving car, layout A",
        {},
        0.53,
    ),
    "sensor": ("03_wheel_speed_sensors.ipynb", "Sensor and ring", {"Ring": "missing"}, 0.4),
}


def opened(page, course, notebook):
    """Open a lesson and write down its guesses, which open its panels."""
    page.goto(course.url(notebook))
    page_in_front(page, notebook)
    page_says(page, READY)
    while (cards := page.locator(".tl-card.tl-waits:visible")).count():
        card = cards.first
        if (options := card.locator(".tl-option label")).count():
            options.first.click()
        else:
            card.locator("input[type=text]").first.fill("50")
        name = card.locator("input").first.get_attribute("id")
        card.get_by_role("button", name="Write down my prediction").click()
        page.locator(f'.tl-card:not(.tl-waits) [id="{name}"]').wait_for()


def panel_of(page, course, name):
    """The panel of a picture, set and at its moment, at the top of the window with its task."""
    notebook, title, settings, moment = PANELS[name]
    opened(page, course, notebook)
    panel = page.get_by_role("region", name=title, exact=True)
    for label, value in settings.items():
        before = int(panel.get_attribute("data-pictures"))
        panel.get_by_label(label, exact=True).select_option(value)
        page.wait_for_function(
            "([node, before]) => Number(node.dataset.pictures) > before",
            arg=[panel.element_handle(), before],
        )
    panel.get_by_role("slider", name="Time").evaluate(
        """(node, share) => {
            node.value = Number(node.min) + share * (node.max - node.min);
            node.dispatchEvent(new Event("input"));
        }""",
        moment,
    )
    panel.evaluate("(node) => node.scrollIntoView()")


def keep(page, name):
    """The window as a small PNG."""
    page.mouse.move(0, 300)
    page.wait_for_timeout(800)
    image = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    few = image.quantize(COLOURS, Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
    path = PICTURES / f"{name}.png"
    few.save(path, optimize=True)
    print(f"{path.name}: {path.stat().st_size / 1000:.0f} kB")


def make():
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        places = [Path(folder) / name for name in ("learner", "home")]
        for place in places:
            place.mkdir()
        os.environ["PYTHONPATH"] = os.pathsep.join(sys.path[:2])
        course = Course(*places)
        chromium = play.chromium.launch(executable_path=chromium_path(), args=QUIET)
        try:
            page = chromium.new_page(viewport=WINDOW)
            page.goto(course.url("00_start.ipynb"))
            page_says(page, READY)
            keep(page, "start")
            for name in PANELS:
                panel_of(page, course, name)
                keep(page, name)
        finally:
            chromium.close()
            course.stop()


if __name__ == "__main__":
    make()
