"""The words beside an input belong to that input, on every page: lessons, repair cases, mock paper,
assessor's forms.
"""

import shutil

import pytest
from labserver import ids_shown_twice, open_notebook, run_all_cells, strange_labels

from tractionlab.catalogue.places import lessons_folder

pytestmark = pytest.mark.browser
LESSON, CASES = "12_service_and_safety.ipynb", "11_fault_finding.ipynb"
OTHERS = [
    "00_start.ipynb",
    "mock_paper.ipynb",
    "assessor/graded_paper_1.ipynb",
    "assessor/repair_cases.ipynb",
]


@pytest.fixture(scope="module")
def course(lab):
    """A JupyterLab on a folder with all lessons and the assessor's notebooks."""
    shutil.copytree(lessons_folder(), lab.folder, dirs_exist_ok=True)
    return lab


def show(page, lab, notebook, height=720):
    page.set_viewport_size({"width": 1280, "height": height})
    open_notebook(page, lab, notebook)
    run_all_cells(page)
    page.locator(".tl-card, .tl-case, .tl-desk").first.wait_for(state="attached")


def ticked_elsewhere(card):
    """Words of all options and boxes that are ticked in other cards, with their card's place."""
    return card.evaluate(
        """(own) => [...document.querySelectorAll('.tl-card, .tl-case')].flatMap((card, place) =>
        card === own ? [] : [...card.querySelectorAll('input:checked')]
        .map((box) => [place, box.labels[0]?.textContent]))"""
    )


def test_each_option_of_a_lesson_is_chosen_by_its_words(page, course):
    show(page, course, LESSON, height=12_000)
    page.wait_for_timeout(1500)
    cards = page.locator(".tl-card:visible", has=page.locator("input[type=radio]"))
    assert cards.count() >= 8
    for card in cards.all():
        before = ticked_elsewhere(card)
        for option in card.locator(".tl-option").all():
            option.locator("label").click()
            assert option.locator("input").is_checked(), option.inner_text()
            assert option.locator("input").evaluate("(box) => box === document.activeElement")
            assert card.locator("input:checked").count() == 1
            assert ticked_elsewhere(card) == before
    for field in page.locator(".tl-card:visible .tl-field", has=page.locator("input")).all():
        field.locator("label").click()
        assert field.locator("input").evaluate("(box) => box === document.activeElement"), (
            field.inner_text()
        )


def test_the_page_stays_where_the_words_were_clicked(page, course):
    show(page, course, LESSON)
    card = page.locator(".tl-card", has_text="Check yourself").last
    for _ in range(60):
        if card.count() and card.is_visible():
            break
        page.mouse.move(640, 400)
        page.mouse.wheel(0, 700)
        page.wait_for_timeout(150)
    card = page.locator(".tl-card", has_text=card.locator("legend").first.text_content())
    words = card.locator(".tl-option label").last
    words.scroll_into_view_if_needed()
    page.wait_for_timeout(500)
    before = words.bounding_box()["y"]
    words.click()
    page.wait_for_timeout(500)
    assert card.locator("input").last.is_checked() and abs(words.bounding_box()["y"] - before) < 40


def test_a_preparation_is_ticked_in_the_case_whose_words_are_clicked(page, course):
    show(page, course, CASES, height=14_000)
    cases = page.locator(".tl-case")
    cases.nth(1).wait_for()
    cells = page.locator(".jp-NotebookPanel .jp-Cell").count()
    for case in (cases.nth(0), cases.nth(1)):
        case.get_by_role("button", name="I have read the cautions").click()
        case.locator(".tl-echo", has_text="Now choose a test").wait_for()
    second = cases.nth(1)
    second.get_by_text("Goggles and gloves on").click()
    assert second.locator("input:checked").evaluate_all(
        "(boxes) => boxes.map((box) => box.labels[0].textContent)"
    ) == ["Goggles and gloves on"]
    assert cases.nth(0).locator("input:checked").count() == 0
    assert second.evaluate("(root) => root.contains(document.activeElement)"), (
        "the focus is in the case, not on the notebook"
    )
    for key in ("a", "b", "x", "d", "d"):
        page.keyboard.press(key)
    assert page.locator(".jp-NotebookPanel .jp-Cell").count() == cells
    assert ids_shown_twice(page) == [] and strange_labels(page) == []


def test_a_step_of_a_practical_is_done_where_its_words_are_clicked(page, course):
    show(page, course, "assessor/graded_paper_1.ipynb", height=14_000)
    forms = page.locator(".tl-card", has_text="Practical:")
    forms.nth(1).wait_for()
    assert forms.count() >= 2
    last = forms.last
    last.locator("fieldset", has_text="(SAFETY)").first.get_by_text("done", exact=True).click()
    assert (
        last.locator("input:checked").count() == 1
        and page.locator(".tl-card input:checked").count() == 1
    )
    last.get_by_text("Candidate number").click()
    assert last.get_by_label("Candidate number").evaluate("(box) => box === document.activeElement")


@pytest.mark.parametrize("notebook", OTHERS)
def test_ids_are_unique_and_nothing_is_serious_for_axe(page, course, notebook):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    show(page, course, notebook, height=12_000)
    page.wait_for_timeout(1500)
    if page.locator(".tl-desk").count():
        page.locator(".tl-desk").get_by_role("button", name="Start", exact=True).click()
        page.locator(".tl-picker").wait_for()
    assert ids_shown_twice(page) == [] and strange_labels(page) == []
    for place in (".tl-card", ".tl-panel", ".tl-case", ".tl-desk"):
        if page.locator(place).count():
            found = axe.run(page, context=place).response["violations"]
            assert [
                (v["id"], v["impact"]) for v in found if v["impact"] in ("serious", "critical")
            ] == [], place
