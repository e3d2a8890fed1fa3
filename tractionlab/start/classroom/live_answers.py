"""What the instructor's pages ask for every second, as JSON, and the page with the class's guesses
for the projector.
"""

import asyncio
import time
from datetime import UTC, datetime

from tornado import web

from tractionlab.lesson.class_picture import bars
from tractionlab.lesson.questions import questions
from tractionlab.lesson.start import lessons
from tractionlab.start.classroom.instructor_page import PLACE, ForInstructor
from tractionlab.start.classroom.sight import Sight, overview
from tractionlab.start.classroom.truths import Truths

#: Several pages that ask within so many seconds get what was read once.
_FRESH = 0.5


class Watch:
    """The class as it was seen last; files are read beside the hub's own work."""

    def __init__(self, learners):
        self.sight, self.truths = Sight(learners), Truths()
        self._seen, self._when, self._lock = [], 0.0, asyncio.Lock()

    async def seen(self):
        """All learners, as Sight has them."""
        async with self._lock:
            if time.monotonic() - self._when > _FRESH:
                self._seen = await asyncio.to_thread(self.sight.look)
                self._when = time.monotonic()
            return self._seen

    async def forget(self, name):
        """Let go of what was read of a learner."""
        async with self._lock:
            self.sight.forget(name)
            self._when = 0.0


class Now(ForInstructor):
    """The class now; with `?names=1` by name."""

    leads_to_sign_in = False

    async def get(self):
        names = self.get_query_argument("names", "") == "1"
        seen = await self.authenticator.watch.seen()
        present = self.present(one.name for one in seen)
        self.finish(overview(seen, present, datetime.now(UTC), names))


class Picture(ForInstructor):
    """The guesses at `?question=...`; with `&right=1` also which came true."""

    leads_to_sign_in = False

    async def get(self):
        name = self.get_query_argument("question")
        entry = questions().get(name)
        if entry is None:
            raise web.HTTPError(404, "There is no such question.")
        watch = self.authenticator.watch
        seen = await watch.seen()
        present = self.present(one.name for one in seen)
        found, others = bars(name, entry, seen)
        answered = sum(len(bar.guesses) for bar in found) + others
        # Begun now, so that it is there when it is asked for.
        truth = watch.truths.get(name) if answered else None
        waiting = sum(one.name in present and not _has_answered(one, name) for one in seen)
        said = {
            "asked": entry["ask"],
            "bars": [{"words": bar.words, "count": len(bar.guesses)} for bar in found],
            "others": others,
            "answered": answered,
            "of": answered + waiting,
        }
        if answered and self.get_query_argument("right", "") == "1":
            said["right"] = truth and _right(truth, entry, found)
        self.finish(said)


def _has_answered(one, name):
    return any(
        line["question"] == name and line["kind"] in ("prediction", "question")
        for line in one.lines
    )


def _right(truth, entry, found):
    """Numbers of the bars that came true, and the words for the picture."""
    options = entry.get("options", ())
    numbers = range(1, len(options) + 1) if options else [bar.guesses for bar in found]
    came = [
        truth.came_true(one, options)
        if options
        else any(truth.came_true(guess, ()) for guess in one)
        for one in numbers
    ]
    words = truth.words
    if truth.truth is not None:
        unit = "" if options else entry["unit"].replace("times", "")
        words = "" if options else f"Worked out: {truth.truth:.4g} {unit}".rstrip()
    return {"bars": [number for number, true in enumerate(came) if true], "words": words}


class GuessPage(ForInstructor):
    """The picture for the projector; the instructor chooses lesson and question."""

    async def get(self):
        titles = {0: "Start page"} | {entry["number"]: entry["title"] for entry in lessons()}
        groups = [
            {
                "title": f"Lesson {number}, {title}" if number else title,
                "asked": [
                    {"name": name, "words": entry["ask"], "guess": "answer" not in entry}
                    for name, entry in questions().items()
                    if entry["lesson"] == number
                ],
            }
            for number, title in titles.items()
        ]
        await self.show("guesses", "guesses.js", groups=groups)


#: Addresses below the hub's own.
ANSWERS = [(f"{PLACE}/now", Now), (f"{PLACE}/picture", Picture), (f"{PLACE}/guesses", GuessPage)]
