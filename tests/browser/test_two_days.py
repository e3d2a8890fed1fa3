"""Two days of an apprentice alone: three lessons by words and keys, a lost kernel, a new day."""

import json
import os
import re
import signal
from datetime import datetime, timedelta

import pytest
from labserver import READY, Course, choose_page, page_in_front, page_says

from tractionlab.lesson.exercises import all_exercises
from tractionlab.lesson.questions import questions
from tractionlab.lesson.start import lesson
from tractionlab.written.record import FILE_NAME, progress

pytestmark = pytest.mark.browser
START = "00_start.ipynb"
#: What the browser itself says while there is no server, and JupyterLab's debugger of a page that
#: is closed.
_NO_SERVER = re.compile(
    "Failed to load resource|WebSocket connection to|Failed to fetch|NetworkError|ERR_CONNECTION"
    "|Could not restore the debugger state"
)


class Learner:
    """One browser profile of a learner, on the server of a day."""

    def __init__(self, browser, folder, home):
        self.folder, self.home, self.problems = folder, home, []
        self.context = browser.new_context(viewport={"width": 1366, "height": 768})
        self.server = Course(folder, home)
        self.page = self.context.new_page()
        self.page.on("pageerror", lambda error: self.problems.append(f"{error} {error.stack}"))
        self.page.on("console", self.heard)

    def heard(self, said):
        """Keep what the console says of an error."""
        if said.type == "error" and not _NO_SERVER.search(said.text):
            self.problems.append(said.text)

    @property
    def book(self):
        """The notebook in front."""
        return self.page.locator(".jp-NotebookPanel:visible")

    def open_course(self):
        """What the window of `open` does: the start page, and whatever was open before."""
        self.page.goto(self.server.url(START))
        self.page.wait_for_function("() => window.jupyterapp", timeout=60_000)
        self.page.evaluate("() => window.jupyterapp.restored.then(() => true)")
        self.in_front(START)

    def in_front(self, notebook):
        """The page of this notebook is there, and all of it is computed."""
        page_in_front(self.page, notebook)
        page_says(self.page, READY)
        assert self.page.get_by_text("Error displaying widget").count() == 0

    def go_home(self):
        """To the start page by the list of the bar."""
        choose_page(self.page, "Traction control: start here")
        self.in_front(START)

    def follow(self, number, by_key=False):
        """From the start page into a lesson."""
        self.go_home()
        link = self.book.get_by_role("link", name=lesson(number)["title"]).first
        link.press("Enter") if by_key else link.click()
        self.in_front(lesson(number)["notebook"])

    def card(self, name):
        card = self.book.locator(".tl-card", has_text=questions()[name]["ask"])
        card.wait_for()
        return card

    def chosen(self, card):
        """Words of the option that is chosen."""
        return card.locator("input:checked").evaluate("(box) => box.labels[0].textContent")

    def answer(self, name, place, by_key=False):
        """Choose option `place` (1 is the first of the table) by its words or by arrow keys, and
        press the button or Enter. Gives the card."""
        card, words = self.card(name), questions()[name]["options"][place - 1]
        if by_key:
            card.locator("input").first.focus()
            self.page.keyboard.press("Space")
            while self.chosen(card) != words:
                self.page.keyboard.press("ArrowDown")
            self.page.keyboard.press("Enter")
        else:
            card.get_by_text(words, exact=True).click()
            assert self.chosen(card) == words
            card.locator(".tl-body").get_by_role("button").first.click()
        return card

    def right(self, name, by_key=False):
        """Answer a question rightly; the card says so and stays in view."""
        again = self.card(name).get_by_role("button", name="Answer once more")
        if again.count():
            again.focus()
            self.page.keyboard.press("Enter")
            again.wait_for(state="detached")
        card = self.answer(name, questions()[name]["answer"], by_key)
        card.locator(".tl-said", has_text="Right.").wait_for()
        assert card.evaluate(
            "(card) => { const box = card.getBoundingClientRect(); "
            "return box.bottom > 0 && box.top < innerHeight; }"
        )

    def guess(self, name, place, by_key=False):
        self.answer(name, place, by_key).get_by_text("Written down").wait_for()

    def lines(self):
        text = (self.folder / FILE_NAME).read_text(encoding="utf-8")
        return [json.loads(line) for line in text.splitlines()]

    def so_far(self, number, *states):
        """Progress in a lesson, outcome by outcome: the list at its end and the record agree."""
        outcomes = lesson(number)["outcomes"]
        for outcome, state in zip(outcomes, states, strict=True):
            row = self.book.locator("li", has_text=outcome["text"])
            row.locator("strong", has_text=re.compile(f"^{state}$")).wait_for()
        assert [progress(self.lines(), outcome["shown_by"]) for outcome in outcomes] == list(states)

    def on_the_map(self, number, words):
        """What the start page says of a lesson."""
        link = self.page.get_by_role("link", name=lesson(number)["title"])
        row = self.book.locator("tr", has=link)
        row.get_by_text(words, exact=True).wait_for()

    def calculate(self, name):
        """An exercise with the own numbers, by keyboard."""
        card = self.book.locator(".tl-card", has_text=f"Exercise {name}:")
        key = next(line["answer"] for line in self.lines() if line["kind"] == "key")
        parts = all_exercises()[name].task(key, 0).parts
        for box, part in zip(card.locator("input").all(), parts, strict=True):
            box.focus()
            self.page.keyboard.type(f"{part.answer:.2f}".replace(".", ","))
        self.page.keyboard.press("Enter")
        card.get_by_text("All right").wait_for()

    def kill_kernel(self):
        number = self.page.evaluate("""async () => {
            const { kernel } = window.jupyterapp.shell.currentWidget.sessionContext.session;
            const { content } = await kernel.requestExecute(
              { code: "import os", user_expressions: { number: "os.getpid()" } }).done;
            return Number(content.user_expressions.number.data["text/plain"]); }""")
        os.kill(number, signal.SIGKILL)

    def sleep_a_night(self):
        """The course is closed, then the page; what was done becomes yesterday's; a new server."""
        self.server.stop()
        self.page.get_by_text("The course does not answer").wait_for()
        card = self.card("11.q.noise")
        card.locator("input").first.focus()
        self.page.keyboard.press("Space")
        self.page.keyboard.press("Enter")
        way_on = "open the course again. Then reload this page (F5). What you typed stays here."
        card.locator(".tl-message", has_text=way_on).wait_for()
        self.page.goto("about:blank")
        yesterday = ""
        for line in self.lines():
            time = datetime.fromisoformat(line["time"]) - timedelta(days=1)
            yesterday += json.dumps(line | {"time": time.isoformat()}, ensure_ascii=False) + "\n"
        (self.folder / FILE_NAME).write_text(yesterday, encoding="utf-8")
        self.server = Course(self.folder, self.home, port=self.server.port)

    def close(self):
        self.context.close()
        self.server.stop()


@pytest.fixture
def learner(browser, tmp_path_factory):
    found = Learner(browser, tmp_path_factory.mktemp("learner"), tmp_path_factory.mktemp("home"))
    yield found
    found.close()


def lesson_1_by_words(learner):
    learner.follow(1)
    learner.guess("1.throttle", 1)
    panel = learner.book.locator(".tl-panel", has_text="More throttle, more push?")
    panel.get_by_text("Show all throttle positions").click()
    panel.locator(".tl-sentence", has_text="More throttle is better").wait_for()
    learner.guess("1.side", 2)
    learner.answer("1.q.peak", 1).locator("[data-mark=wrong]").wait_for()
    learner.right("1.q.side")
    learner.so_far(1, "tried", "not tried", "not tried", "shown once")


def lesson_5_by_keyboard(learner):
    """In the middle the kernel is killed."""
    page = learner.page
    learner.follow(5, by_key=True)
    learner.right("5.recall", by_key=True)
    learner.guess("5.delay", 1, by_key=True)
    panel = learner.book.locator(".tl-panel").first
    slider = panel.locator("input[type=range]").first
    before = slider.get_attribute("aria-valuetext")
    learner.kill_kernel()
    slider.focus()
    page.keyboard.press("ArrowRight")
    silent = panel.locator(".tl-note", has_text="No answer from the computation. Press")
    silent.wait_for()
    assert slider.get_attribute("aria-valuetext") == before
    button = learner.book.get_by_role("button", name="Start to go on")
    button.wait_for(timeout=15_000)
    if page.get_by_role("dialog").count():
        page.keyboard.press("Enter")
    button.focus()
    page.keyboard.press("Enter")
    page_says(page, READY)
    learner.card("5.delay").get_by_text("Written down").wait_for()
    slider.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.tl-panel')]"
        ".some((panel) => panel.dataset.pictures > 1)"
    )
    learner.guess("5.path", 2, by_key=True)
    learner.right("5.q.order", by_key=True)
    learner.calculate("5.1")
    learner.so_far(5, "shown once", "not tried", "shown once", "not tried")


def lesson_11_by_words(learner):
    learner.follow(11)
    learner.right("11.q.first")
    case = learner.book.locator(".tl-case").nth(1)
    case.get_by_text("I have read the cautions").click()
    case.get_by_text("Goggles and gloves on").click()
    assert learner.book.locator(".tl-case input:checked").count() == 1
    assert case.locator("input:checked").count() == 1
    case.get_by_text("Goggles and gloves on").click()
    case.get_by_role("button", name="Take T01").click()
    case.locator("details[data-key] summary", has_text="T01 ").wait_for(timeout=60_000)
    learner.so_far(11, "shown once", "not tried", "not tried", "not tried", "not tried")


def the_map_of_day_one(learner):
    """What the start page says in the evening, and the next morning."""
    learner.on_the_map(1, "2 of 4 outcomes tried, 1 shown once")
    learner.on_the_map(5, "2 of 4 outcomes tried, 2 shown once")
    learner.on_the_map(11, "1 of 5 outcomes tried, 1 shown once")


def second_day(learner):
    learner.open_course()
    the_map_of_day_one(learner)
    learner.follow(1)
    guessed = questions()["1.throttle"]["options"][0]
    assert learner.chosen(learner.card("1.throttle")) == guessed
    learner.right("1.q.peak")
    learner.right("1.q.side", by_key=True)
    learner.so_far(1, "shown once", "not tried", "not tried", "shown twice")
    learner.follow(5, by_key=True)
    learner.right("5.q.order", by_key=True)
    learner.right("5.q.depth", by_key=True)
    learner.so_far(5, "shown twice", "shown once", "shown once", "not tried")


def test_two_days_of_an_apprentice(learner):
    learner.open_course()
    lesson_1_by_words(learner)
    lesson_5_by_keyboard(learner)
    lesson_11_by_words(learner)
    learner.go_home()
    the_map_of_day_one(learner)
    learner.follow(11)
    learner.sleep_a_night()
    second_day(learner)
    assert learner.problems == []
