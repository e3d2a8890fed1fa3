"""A whole sitting in the browser: sign in, answer by keyboard, lose the server in the middle, go
on, hand in, mark, report.
"""

import json
import shutil
import signal
import sys
from pathlib import Path

import pytest
from labserver import SIZE, Lab, open_notebook, run_all_cells

from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import Paper
from tractionlab.assess.bank.rules import Rules
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.reports.feedback import feedback
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here
from tractionlab.assess.sitting.issue import issue, practice
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.catalogue.places import lessons_folder
from tractionlab.start.learner_folder import ASSESSOR

sys.path.append(str(Path(__file__).resolve().parents[1]))
from room_client import Served

pytestmark = pytest.mark.browser
KINDS = ("choice", "number", "path", "states", "sketch", "tuning", "waveform", "case", "checklist")


def first(kind):
    return next(item.id for item in items().values() if item.kind == kind)


@pytest.fixture(scope="module")
def sat(tmp_path_factory):
    """A sitting in larger print with one item of each kind, and the exam room that serves it."""
    base = tmp_path_factory.mktemp("sitting")
    paper = Paper(
        id="short",
        title="Short paper",
        kind="mock",
        items=tuple(first(kind) for kind in KINDS),
        minutes=300,
        rules=Rules(),
    )
    sitting = issue(
        paper, [Candidate("007", "A Person", 0, larger_print=True)], base / "out", place="Room 4"
    )
    room = Served(base / "out")
    room.start()
    yield sitting, room
    room.stop()


@pytest.fixture
def opened(browser, sat):
    context = browser.new_context(viewport=SIZE)
    page = context.new_page()
    page.problems = []
    page.on("pageerror", lambda error: page.problems.append(str(error)))
    page.goto(sat[1].base)
    page.get_by_label("Your number").fill("007")
    page.get_by_label("The PIN on your slip").fill(sat[1].secrets["pins"]["007"])
    page.keyboard.press("Enter")
    page.locator(".tl-desk").wait_for(timeout=60_000)
    yield page
    context.close()


def place_of(sat):
    """The candidate's folder."""
    return sat[1].folder / "candidates" / "candidate_007"


def go_to(page, place):
    page.locator(".tl-picker").select_option(index=place)
    page.locator(".tl-desk h3", has_text=f"{place + 1}  ").wait_for()


def saved(page):
    page.locator(".tl-saved", has_text="Saved at").wait_for()


def kept(sat):
    path = place_of(sat) / "answers_007.jsonl"
    return read_answers(path.read_bytes(), sat[0].sheet("007")).answers() if path.exists() else {}


def wait_for_answer(page, sat, place):
    name = sat[0].paper["items"][place]
    for _ in range(50):
        if name in kept(sat):
            return kept(sat)[name]
        page.wait_for_timeout(100)
    raise AssertionError(f"no answer to {name} was kept")


def serious(found):
    """What axe calls serious or critical."""
    return [
        (v["id"], v["nodes"][0]["html"])
        for v in found.response["violations"]
        if v["impact"] in ("serious", "critical")
    ]


def measure_at_the_desk(page):
    """By keyboard: from the item to the bench, into the wiring drawing, one reading, and back."""

    def press(locator):
        locator.focus()
        page.keyboard.press("Enter")

    press(page.get_by_role("button", name="Go to the bench"))
    assert page.evaluate("() => document.activeElement.closest('.tl-case') !== null")
    press(page.locator(".tl-case").get_by_role("button", name="Measure at: supply"))
    panel, card = page.locator(".tl-panel"), page.locator(".tl-card")
    panel.locator(".tl-wiring canvas").wait_for()
    press(panel.locator("button[aria-label^='pin ']").first)
    panel.get_by_text("The display stays dark until you take the reading: 3 minutes").wait_for()
    press(card.get_by_role("button", name="Take this reading (3 min)"))
    card.get_by_text("the meter shows").wait_for()
    press(card.get_by_role("button", name="Back to the case"))
    page.locator(".tl-case details[data-key]", has_text="Measured in the wiring").first.wait_for()


def watch_the_room(page, server, number, axe):
    """The supervisor's page beside the candidate's: who has handed in, and what was refused."""
    page.request.get(f"{server.base}/api/contents")
    watch = page.context.browser.new_context(viewport=SIZE).new_page()
    watch.goto(f"{server.base}/supervisor")
    watch.get_by_label("The supervisor's password").fill(server.secrets["supervisor"])
    watch.keyboard.press("Enter")
    row = watch.locator("#candidates tbody tr")
    row.filter(has_text="handed in").filter(has_text=number).wait_for()
    watch.locator("#attempts tbody tr").filter(has_text="asked for /api/contents").wait_for()
    assert row.get_attribute("data-look") == "yes" and "1 refused" in watch.inner_text("#sum")
    assert serious(axe.run(watch)) == []
    watch.context.close()


def take_a_break(page, axe):
    """A supervisor begins a break, by keyboard, and ends it."""
    page.get_by_text("For the supervisor: a break").click()
    form = page.locator(".tl-entered", has=page.get_by_role("button", name="Begin a break"))
    form.get_by_label("Name of the supervisor").fill("Sam Supervisor")
    form.get_by_label("Reason").fill("lunch")
    page.keyboard.press("Enter")
    page.get_by_text("entered by Sam Supervisor: lunch").wait_for()
    clock = page.get_by_role("timer", name="Time left")
    stands = clock.inner_text()
    assert page.locator(".tl-picker, .tl-case").count() == 0 and serious(axe.run(page)) == []
    page.wait_for_timeout(1500)
    assert stands.startswith("Break. Time left 4:") and clock.inner_text() == stands
    page.get_by_label("Name of the supervisor").fill("Sam Supervisor")
    page.keyboard.press("Enter")
    page.locator(".tl-picker").wait_for()


def zoom_of(page, selector):
    """How much larger than in ordinary print something is shown."""
    return page.locator(selector).first.evaluate("(node) => node.currentCSSZoom")


def test_from_start_to_report(opened, sat, tmp_path):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page, (sitting, server) = opened, sat
    assert serious(axe.run(page)) == []
    start = page.get_by_role("button", name="Start", exact=True)
    start.focus()
    box = start.bounding_box()
    assert box["y"] + box["height"] < SIZE["height"], "in sight below the cover page"
    page.keyboard.press("Enter")
    page.locator(".tl-picker").wait_for()
    assert page.get_by_role("timer", name="Time left").inner_text().startswith("Time left 4:")

    page.locator(".tl-item input[type=radio]").first.focus()  # choice
    page.keyboard.press("Space")
    saved(page)
    assert wait_for_answer(page, sat, 0) == {"answer": "A"}
    page.get_by_role("button", name="Next question").focus()
    page.keyboard.press("Enter")
    assert (
        page.evaluate("() => document.activeElement.tagName") == "H3"
    )  # reading goes on at the new item
    page.keyboard.press("Tab")  # number
    page.keyboard.type("12,5")
    page.keyboard.press("Tab")
    first_field = items()[sitting.paper["items"][1]].fields[0].name
    assert wait_for_answer(page, sat, 1)[first_field] == "12,5"

    server.stop(signal.SIGKILL)
    page.get_by_text("The line is lost").wait_for(timeout=15_000)
    page.locator(".tl-item input[type=text]").first.fill("13,5")
    page.keyboard.press("Tab")
    page.locator(".tl-notice", has_text="NOT saved").wait_for(timeout=15_000)
    assert kept(sat)[sitting.paper["items"][1]][first_field] == "12,5"
    server.start()
    page.locator(".tl-done", has_text="of 8 answered").wait_for(timeout=60_000)
    saved(page)
    assert page.locator(".tl-desk h3").inner_text().startswith("2 "), "at the same item"
    assert (
        wait_for_answer(page, sat, 0) == {"answer": "A"}
        and kept(sat)[sitting.paper["items"][1]][first_field] == "13,5"
    ), "what was typed meanwhile was sent again"

    go_to(page, 2)  # path
    page.get_by_label("Next place").select_option(index=2)
    page.get_by_role("button", name="Add", exact=True).click()
    assert len(wait_for_answer(page, sat, 2)["answer"]) == 2
    go_to(page, 3)  # states
    page.locator(".tl-pair select").first.select_option(index=1)
    assert len(wait_for_answer(page, sat, 3)["answer"]) == 1
    go_to(page, 4)  # sketch: box, arrow key, mouse
    box = page.locator(".tl-points input").first
    box.focus()
    page.keyboard.press("ArrowUp")
    canvas = page.locator(".tl-sketch")
    canvas.scroll_into_view_if_needed()
    frame = canvas.bounding_box()
    page.mouse.move(frame["x"] + 0.97 * frame["width"], frame["y"] + 0.4 * frame["height"])
    page.mouse.down()
    page.mouse.move(frame["x"] + 0.97 * frame["width"], frame["y"] + 0.5 * frame["height"])
    page.mouse.up()
    page.wait_for_timeout(1200)
    drawn = wait_for_answer(page, sat, 4)
    (curve,) = drawn.values()
    assert curve[0] and curve[-1] and not any(curve[1:-1])
    go_to(page, 5)  # tuning
    slider = page.locator(".tl-item input[type=range]").first
    slider.focus()
    page.keyboard.press("ArrowRight")
    assert len(next(iter(wait_for_answer(page, sat, 5).values()))) == 1
    go_to(page, 6)  # waveform
    picture = page.locator(".tl-figure img")
    picture.wait_for(timeout=20_000)
    assert "against" in picture.get_attribute("alt")
    assert serious(axe.run(page)) == []
    go_to(page, 7)  # repair case
    page.get_by_role("button", name="I have read the cautions").click(timeout=30_000)
    page.get_by_role("button", name="Take T01").click()
    page.locator(".tl-case details[data-key]").first.wait_for()
    assert [entry["do"] for entry in wait_for_answer(page, sat, 7)["answer"]] == [
        "start",
        "cautions",
        "test",
    ]
    assert [zoom_of(page, part) for part in (".tl-desk", ".tl-case")] == [1.375] * 2
    said = page.locator(".tl-strip")
    assert "Time left 4:" in said.inner_text() and "Saved at" in said.inner_text()
    assert said.bounding_box()["y"] >= 0, "in sight at the bench"
    assert said.evaluate("(node) => getComputedStyle(node).fontSize") == "22px"
    measure_at_the_desk(page)
    assert [entry["do"] for entry in wait_for_answer(page, sat, 7)["answer"]] == [
        "start",
        "cautions",
        "test",
        "measure",
    ]
    assert "fault" not in json.dumps(wait_for_answer(page, sat, 7)["answer"][0])
    go_to(page, 8)
    page.get_by_text("Your assessor watches you do this task").wait_for()
    take_a_break(page, axe)

    page.get_by_label("I worked alone").focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    number = page.locator(".tl-number")
    number.wait_for()
    page.wait_for_function(
        "() => { const box = document.querySelector('.tl-number').getBoundingClientRect(); return"
        " box.top > 0 && box.bottom < innerHeight; }"
    )
    with page.expect_download() as download:
        page.get_by_role("link", name="download a copy").click()
    sent = place_of(sat) / "hand_in_007.jsonl"
    assert sent.read_bytes() == (place_of(sat) / "answers_007.jsonl").read_bytes()
    assert Path(download.value.path()).read_bytes() == sent.read_bytes()
    assert page.problems == []
    watch_the_room(page, server, number.inner_text(), axe)

    inbox = tmp_path / "inbox"
    inbox.mkdir()
    shutil.copy(sent, inbox)
    store = Store(str(tmp_path / "m.sqlite"))
    told = mark_folder(inbox, sitting, store, Here())
    book = open_book(store)
    assert (
        told.counts["counted"] == 1
        and ["a break of 1 min" in words for _, words in told.named] == [True]
        and book.files("007")[0].check_number == number.inner_text()
    )
    html = feedback(book, "007").html()
    assert "Short paper" in html and "A Person" in html
    store.close()


def test_after_hand_in_nothing_can_be_changed(opened, sat):
    opened.locator(".tl-number").wait_for()
    assert (
        opened.locator(".tl-desk input").count() == 0
        and opened.get_by_role("button", name="Hand in").count() == 0
    )


@pytest.fixture
def in_jupyterlab(browser, tmp_path):
    """A page, and a JupyterLab on a folder `own` to fill with papers."""
    (tmp_path / "own").mkdir()
    (tmp_path / "home").mkdir()
    server = Lab(tmp_path / "own", tmp_path / "home")
    context = browser.new_context(viewport=SIZE)
    yield context.new_page(), server
    context.close()
    server.stop()


def short_paper(*kinds):
    chosen = tuple(first(kind) for kind in kinds)
    return Paper(id="short", title="Short", kind="mock", items=chosen, minutes=300, rules=Rules())


def below_the_head(page, part):
    """What the strip says when a part of the work is at the top of the window, and where it is."""
    page.locator(part).first.evaluate("(node) => node.scrollIntoView({ block: 'start' })")
    strip = page.locator("body > .tl-strip")
    strip.wait_for()
    assert page.locator(".tl-desk .tl-clock").bounding_box()["y"] < strip.bounding_box()["y"]
    return strip


def test_in_jupyterlab_time_left_and_saved_stay_in_sight_and_practice_tells_at_once(in_jupyterlab):
    page, server = in_jupyterlab
    practice(short_paper("choice", "number"), server.folder / "practice", larger_print=True)
    issue(
        short_paper("sketch", "tuning", "case"),
        [Candidate("007", "A Person", 0)],
        server.folder / "out",
    )
    open_notebook(page, server, "out/candidates/candidate_007/sitting.ipynb")
    run_all_cells(page)
    page.get_by_role("button", name="Start", exact=True).click()
    strip = page.locator("body > .tl-strip")
    page.locator(".tl-picker").wait_for()
    page.locator(".tl-desk").evaluate("(node) => node.scrollIntoView()")
    strip.wait_for(state="hidden")
    for place, part in enumerate((".tl-sketch", ".tl-card", ".tl-case")):
        page.locator(".tl-desk").evaluate("(node) => node.scrollIntoView()")
        go_to(page, place)
        if not place:
            page.locator(".tl-points input").first.focus()
            page.keyboard.press("ArrowUp")
            saved(page)
        page.locator(part).first.wait_for(timeout=60_000)
        said = below_the_head(page, part)
        assert said.inner_text().startswith("Time left 4:") and "Saved at" in said.inner_text()
    page.get_by_role("button", name="I have read the cautions").click()
    page.get_by_role("button", name="Measure at: supply").click(timeout=30_000)
    page.locator(".tl-panel .tl-wiring canvas").wait_for()
    assert "Saved at" in below_the_head(page, ".tl-panel").inner_text()

    open_notebook(page, server, "practice/sitting.ipynb")
    strip.wait_for(state="hidden")
    run_all_cells(page)
    page.get_by_role("button", name="Start", exact=True).click()
    page.locator(".tl-item input[type=radio]").first.check()
    page.get_by_role("button", name="Check this answer").click()
    page.locator(".tl-feedback li", has_text="marks").first.wait_for()
    assert zoom_of(page, ".tl-desk") == 1.375
    assert page.get_by_role("button", name="Hand in").count() == 0


def test_an_assessor_issues_and_a_learner_practises_in_the_notebooks_of_the_course(
    browser, tmp_path
):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    (tmp_path / "work").mkdir()
    (tmp_path / "home").mkdir()
    for path in (
        lessons_folder() / "mock_paper.ipynb",
        lessons_folder() / ASSESSOR / "graded_paper_2.ipynb",
    ):
        shutil.copy(path, tmp_path / "work")
    server = Lab(tmp_path / "work", tmp_path / "home")
    context = browser.new_context(
        viewport={"width": 1280, "height": 7000}
    )  # all cells are attached: JupyterLab draws only what is in view
    page = context.new_page()
    try:
        open_notebook(page, server, "graded_paper_2.ipynb")
        run_all_cells(page)
        page.get_by_role("button", name="Write an example roll").click(timeout=60_000)
        page.locator(".tl-card .tl-message", has_text="two invented persons").wait_for()
        issue = page.get_by_role("region", name="Look at it and issue it")
        issue.get_by_label("Place").fill("Room 4")
        page.keyboard.press("Enter")
        page.locator(".tl-card .tl-message", has_text="Issued: sitting").wait_for(timeout=60_000)
        assert (
            tmp_path
            / "work"
            / "sitting-graded_2"
            / "candidates"
            / "candidate_002"
            / "sitting.ipynb"
        ).is_file()
        assert page.get_by_text("For a person").count() == 1
        found = axe.run(page, context=".jp-Notebook").response["violations"]
        assert [
            (v["id"], v["nodes"][0]["html"])
            for v in found
            if v["impact"] in ("serious", "critical") and ".tl-" in str(v["nodes"])
        ] == []
        open_notebook(page, server, "mock_paper.ipynb")
        run_all_cells(page)
        page.get_by_role("button", name="Start", exact=True).click(timeout=60_000)
        page.locator(".tl-item input[type=radio]").first.check()
        page.locator(".tl-saved", has_text="Saved at").wait_for()
        page.get_by_role("button", name="Add up so far").click()
        page.get_by_text("So far:").wait_for()
    finally:
        context.close()
        server.stop()
