"""A class of ten light learners goes through lesson 2 while the instructor's pages are open in a
real browser: what they show is right at each step, readable from the last row, without names until
they are asked for, and fit for everybody.
"""

import asyncio
import threading
from contextlib import contextmanager

import pytest
from class_client import Learner
from playwright.sync_api import expect
from test_big_screen import MINUTES, minutes_of_arc
from test_class import PASSWORD, code_of, needs_hub, served
from wire import free_port

from tractionlab.lesson.questions import questions
from tractionlab.start.classroom.register import Register

pytestmark = [pytest.mark.browser, needs_hub]
LESSON = "02_open_differential.ipynb"
NAMES = [f"learner{letter}" for letter in "abcdefghij"]
PROJECTOR = {"width": 1920, "height": 1080}
#: First answers of the ten, made up for this test. Option 3 is right, 700 N and option 3 come true.
RECALL = "3131231323"
SPLIT = ["700", "3150", "350", "3150", "0,7 kN", "3150", "2800", "700", "3150", "700"]
HILL = "1233321323"
WRONG_IN_THE_EXERCISE = (0, 4, 7)


@contextmanager
def beside():
    """Calls coroutines in a thread of their own: the browser has this one."""
    loop = asyncio.new_event_loop()
    thread = threading.Thread(target=loop.run_forever)
    thread.start()
    yield lambda *work: asyncio.run_coroutine_threadsafe(together(work), loop).result(240)
    loop.call_soon_threadsafe(loop.stop)
    thread.join()
    loop.close()


async def together(work):
    return await asyncio.gather(*work)


async def arrive(base, name):
    learner = await Learner(base).__aenter__()
    assert (await learner.sign_in(name, PASSWORD, "4711"))[0] == 302
    await learner.own_server(name)
    await learner.open(name, LESSON)
    for cell in code_of(LESSON):
        assert "Error" not in await learner.run(cell)
    return learner


def answer(learners, ask, button, field, given):
    return [
        learner.press(ask[:60], button, **{field: one}) for learner, one in zip(learners, given)
    ]


def shows(page, place, *words):
    """Wait until an element has these words, and only read what the page shows by itself."""
    for one in words:
        page.locator(place, has_text=one).first.wait_for(timeout=20_000)


def figures(page, present, still, hints):
    words = f"{present} at work", f"{still} not moved for 10 minutes", f"{hints} hints used"
    shows(page, "#figures", *words)


def serious(page):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    found = axe.run(page).response["violations"]
    return [
        (one["id"], [node["html"][:200] for node in one["nodes"]])
        for one in found
        if one["impact"] in ("serious", "critical")
    ]


def lowest_capitals(page, place):
    """Minutes of arc of the lowest capitals in an element, for the last row of a hall."""
    high = page.evaluate(
        """(place) => Math.min(...[...document.querySelectorAll(`${place}, ${place} *`)]
          .filter((node) => [...node.childNodes]
            .some((one) => one.nodeType === 3 && one.data.trim()))
          .map((node) => {
            const drawn = document.createElement("canvas").getContext("2d");
            drawn.font = getComputedStyle(node).font;
            return drawn.measureText("H").actualBoundingBoxAscent;
          }))""",
        place,
    )
    return minutes_of_arc(high)


def bars(page):
    """[(words, count, marked as right)] as the picture shows them."""
    return [
        (row.locator("th").inner_text(), int(row.locator("td").last.inner_text()), right)
        for row in page.locator("#bars tr").all()
        for right in [row.locator("em").count() == 1]
    ]


def picture(page, name, answered):
    """Choose a question on the open page of guesses."""
    page.locator("#question").select_option(name)
    shows(page, "#asked", questions()[name]["ask"])
    shows(page, "#count", f"{answered} of 10 have answered.")
    return bars(page)


def counted(name, given):
    return [
        (words, given.count(str(number)), False)
        for number, words in enumerate(questions()[name]["options"], 1)
    ]


def test_a_class_of_ten_in_lesson_2_as_its_instructor_sees_it(browser, tmp_path):
    folder, port = tmp_path / "class", free_port()
    folder.mkdir()
    context = browser.new_context(viewport=PROJECTOR)
    with served(folder, port, "--password", PASSWORD) as base, beside() as call:
        page, projector = context.new_page(), context.new_page()
        page.goto(f"{base}/hub/login")
        assert serious(page) == []
        page.get_by_label("Your name").fill("instructor")
        own = Register(folder / ".tractionlab" / "register.json")
        page.get_by_label("Class password").fill(own.instructor)
        page.keyboard.press("Enter")
        shows(page, "#people", "Nobody yet.")
        projector.goto(f"{base}/hub/class/sign-in")
        assert serious(projector) == [] and lowest_capitals(projector, "main") >= MINUTES

        learners = call(*(arrive(base, name) for name in NAMES))
        figures(page, "10 of 10", 0, 0)
        shows(page, "#places", "2 Open differential and ice on one side")
        expect(page.locator("#places .count")).to_have_text(["10"], timeout=30_000)

        entry = questions()["2.recall"]
        call(*answer(learners, entry["ask"], "check", "answer", RECALL))
        shows(page, "#wrong", f"{len(RECALL) - RECALL.count('3')} of 10")
        shows(page, "#people tr:nth-child(10)", "1 of 7")

        projector.goto(f"{base}/hub/class/guesses?question=2.split")
        entry = questions()["2.split"]
        call(*answer(learners[:6], entry["ask"], "keep", "guess", SPLIT))
        shows(projector, "#count", "6 of 10 have answered.")
        call(*answer(learners[6:], entry["ask"], "keep", "guess", SPLIT[6:]))
        expected = [("350 N", 1), ("700 N", 4), ("2800 N", 1), ("3150 N", 4)]
        assert picture(projector, "2.split", 10) == [(*one, False) for one in expected]
        projector.keyboard.press("r")
        shows(projector, "#count", "Worked out: 700 N")
        assert [words for words, _, right in bars(projector) if right] == ["700 N"]
        assert serious(projector) == [] and lowest_capitals(projector, ".picture") >= MINUTES

        entry = questions()["2.hill"]
        call(*answer(learners, entry["ask"], "keep", "guess", HILL))
        assert picture(projector, "2.hill", 10) == counted("2.hill", HILL)
        projector.get_by_role("button", name="Show the right one").click()
        projector.locator("#bars em").wait_for(timeout=30_000)
        assert [right for _, _, right in bars(projector)] == [False, False, True]
        shows(page, "#guesses tr:nth-child(2)", "10")

        blank = {"0": "", "1": "", "2": ""}
        call(*(learner.press("Exercise 2.1", "hint", **blank) for learner in learners[:4]))
        figures(page, "10 of 10", 0, 4)
        wrong = [learners[number] for number in WRONG_IN_THE_EXERCISE]
        ones = dict.fromkeys(blank, "1")
        call(*(one.press("Exercise 2.1", "check", **ones) for one in wrong))
        shows(page, "#wrong tr", "exercise 2.1")
        assert "3 of 3" in page.locator("#wrong tr", has_text="exercise 2.1").inner_text()

        text = page.locator("body").inner_text() + projector.locator("body").inner_text()
        assert not any(name in text for name in NAMES)
        assert serious(page) == []
        page.get_by_label("Names").check()
        shows(page, "#people", *NAMES)
        assert serious(page) == []

        page.get_by_role("link", name="Delete").click()
        page.get_by_label(f"Delete {NAMES[0]}").check()
        assert serious(page) == []
        page.get_by_role("button", name="Delete those chosen").click()
        shows(page, "[role=status]", f"Deleted: {NAMES[0]}.")
        left = sorted(home.name for home in (folder / "learners").iterdir())
        assert left == NAMES[1:]
        assert Register(folder / ".tractionlab" / "register.json").names() == NAMES[1:]
        assert NAMES[0] not in (folder / ".tractionlab" / "hub.log").read_text()
        page.goto(f"{base}/hub/class")
        figures(page, "9 of 9", 0, 3)
        call(*(learner.__aexit__() for learner in learners))
    context.close()
