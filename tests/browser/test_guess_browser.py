"""A guess and what becomes of it, as a learner meets it: nothing tells the answer before, and the
guess comes back beside the panel.
"""

import json
import shutil

import pytest
from labserver import open_notebook, run_all_cells

from tractionlab.catalogue.places import lessons_folder

pytestmark = pytest.mark.browser
NOTEBOOK = "01_grip_and_slip.ipynb"
#: Opens every folded text of the lesson; true for each of which more than the summary is to be
#: seen.
FOLDED = """() => [...document.querySelectorAll(".jp-Notebook details")].map((fold) => {
    fold.open = true;
    return [...fold.children].some((child) =>
        child.tagName !== "SUMMARY" && getComputedStyle(child).display !== "none");
})"""

#: Puts what a repair case folds below everything, and says how it is shown.
FOLD_OF_A_CASE = """() => {
    const cell = [...document.querySelectorAll(".jp-Notebook .jp-Cell")].pop();
    const fold = "<details open><summary>Honest stop</summary><p>Why?</p></details>";
    cell.insertAdjacentHTML("beforeend", `<section class="tl-case">${fold}</section>`);
    const { display } = getComputedStyle(cell.querySelector(".tl-case p"));
    cell.querySelector(".tl-case").remove();
    return display;
}"""


@pytest.fixture
def lesson(page, lab):
    shutil.copy(lessons_folder() / NOTEBOOK, lab.folder)
    page.set_viewport_size({"width": 1366, "height": 768})
    open_notebook(page, lab, NOTEBOOK)
    run_all_cells(page)
    page.locator(".tl-card", has_text="Your prediction").first.wait_for()
    return page


def guess(page, number, words):
    card = page.locator(".tl-card", has_text="Your prediction").nth(number)
    card.get_by_text(words).click()
    card.get_by_role("button", name="Write down my prediction").click()
    card.get_by_text("Written down").wait_for()
    panel = page.locator(".tl-panel").nth(number)
    panel.locator("canvas:visible").first.wait_for()
    return panel


def test_a_guess_opens_what_was_folded_and_comes_back(lesson, lab):
    page = lesson
    assert page.evaluate(FOLDED) == [False] * 5
    assert "opens when you have written down your prediction" in page.locator(
        "details summary"
    ).first.evaluate("(s) => getComputedStyle(s, '::after').content")
    assert page.evaluate(FOLD_OF_A_CASE) != "none", "a repair case waits for no guess"
    panel = guess(page, 0, "It grows, then stays the same")
    assert page.evaluate(FOLDED) == [True, True, *[False] * 3], "the second guess is still to come"
    back = page.locator(".tl-card", has_text="Your guess and the panel").first
    back.get_by_text("You wrote: \u201cIt grows, then stays the same\u201d").wait_for()
    back.get_by_role("button", name="Show what came out").click()
    back.get_by_text("Move a control of the panel first").wait_for()
    panel.locator("input[type=range]").first.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("(panel) => panel.dataset.pictures > 1", arg=panel.element_handle())
    back.get_by_label("Was it so?").fill("The tyre slides")
    page.keyboard.press("Enter")
    back.get_by_text("Kept. The panel shows:").wait_for()
    assert "0 of 1 of your guesses came true" in back.inner_text()
    kept = [
        json.loads(line)
        for line in (lab.folder / "my_record.jsonl").read_text(encoding="utf-8").splitlines()
    ]
    assert [(line["answer"], line["right"]) for line in kept if line["kind"] == "look_back"] == [
        ("The tyre slides", False)
    ]

    panel = guess(page, 1, "It gets a little less")
    sentence, value = (
        panel.locator(".tl-sentence"),
        panel.get_by_role("button", name="Show the value"),
    )
    assert (
        sentence.inner_text().endswith("more slip pushes harder.")
        and "yours to find" in panel.locator(".tl-figures").inner_text()
    )
    value.click()
    panel.locator(".tl-note", has_text="Move a control first, and find it yourself.").wait_for()
    panel.locator("input[type=range]").first.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("(panel) => panel.dataset.pictures > 1", arg=panel.element_handle())
    assert sentence.inner_text().endswith("more slip pushes harder.")
    value.click()
    panel.locator(".tl-sentence", has_text="at 25 %").wait_for()
    assert not value.is_visible() and "25.0 %" in panel.locator(".tl-figures").inner_text()
