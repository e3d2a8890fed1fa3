"""`tractionlab handouts`: a lesson on paper.

A worksheet for the class, and what the instructor needs to go through it.
"""

import re
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from IPython.display import Markdown

from tractionlab.bench.stories import film
from tractionlab.catalogue import entries as catalogue
from tractionlab.errors import UserError
from tractionlab.lesson.ask import Question
from tractionlab.lesson.demonstration_page import demonstration_pages
from tractionlab.lesson.exercise_cars import of_car
from tractionlab.lesson.lesson_cells import OnScreen, results
from tractionlab.lesson.lesson_plan import Plan
from tractionlab.lesson.observations import observations
from tractionlab.lesson.on_paper import axes_of, plain
from tractionlab.lesson.outcomes import outcome_of
from tractionlab.lesson.path_tracing import TracePath, riddle
from tractionlab.lesson.practice import Practice
from tractionlab.lesson.prediction import Prediction
from tractionlab.lesson.questions import shown_order
from tractionlab.lesson.start import lesson, lessons
from tractionlab.paint.blocks import NAME_AND_DATE, Heading, Lines, Page, Picture, Rows, Text
from tractionlab.paint.document import Document
from tractionlab.paint.live import LivePicture
from tractionlab.paint.printed import png
from tractionlab.paint.safety_words import safety_words
from tractionlab.progress import Progress
from tractionlab.view import View

_BLANK = "____________"
#: Ruled lines for a working, an explanation, an observation.
_WORKING, _EXPLANATION, _OBSERVATION = Lines(2), Lines(3), Lines(1)
#: The section that answers the check questions; it stands on the instructor's sheet only.
_RECAP = "Recap"


class Handout:
    """A lesson on paper: `worksheet` and `answers`, each a Document.

    Exercises have the numbers, and options the order, of set `numbers`. Of own files nothing counts
    but a `car` (an Entry), where one is asked for: exercises have its numbers, and a panel that
    lets one choose the car has a second picture, with this one.
    """

    def __init__(self, number, numbers=1, car=None):
        entry = lesson(number)
        self.title, self.key = f"lesson {number}, {entry['title']}", f"handout {numbers}"
        self.pictures, self.plan, self.car = {}, Plan(entry), car
        self.asks, self.tells, self.heading = [], [], ""
        cells = list(results(entry))
        self.shown = {name: result for name, result in cells if isinstance(result, LivePicture)}
        for name, result in cells:
            (
                self._add_text(name, result)
                if isinstance(result, str)
                else self._add_result(name, result)
            )
        drawings = [block for picture in self.pictures.values() for block in picture]
        self.worksheet = Document(
            f"Worksheet: {self.title}",
            [
                NAME_AND_DATE,
                safety_words(),
                *_without_empty(self.asks),
                *([Page(), *drawings] if drawings else []),
            ],
        )
        self.answers = Document(
            f"For the instructor: {self.title}",
            [
                Text(
                    f"Answers to the worksheet with set {numbers} of the numbers, worked out by the"
                    " course."
                ),
                *self.plan.blocks(),
                *_without_empty(self.tells),
                *demonstration_pages(self.shown),
            ],
        )

    def _add_text(self, name, source):
        for piece in re.split(r"(<details>.*?</details>)", source, flags=re.DOTALL):
            folded = re.fullmatch(
                r"<details>\s*(?:<summary>.*?</summary>)?(.*)</details>", piece, flags=re.DOTALL
            )
            if folded:
                self.tells += plain(folded[1])
                if "Show the explanation" in piece:
                    self.asks.append(_EXPLANATION)
                    self.plan.add("explain")
                continue
            tasks = iter(self._expected(name))
            for block in plain(piece):
                self._add_block(name, block, tasks)

    def _expected(self, name):
        if name not in observations():
            return ()
        found = observations()[name]
        return found.expected(self.shown[found.panel])

    def _add_block(self, name, block, tasks):
        if isinstance(block, Heading):
            self.heading = block.text
            self.plan.begin(block.text)
            self.asks.append(block)
            self.tells.append(block)
        elif self.heading == _RECAP:
            self.tells.append(block)
        elif (
            name in observations() and isinstance(block, Text) and re.match(r"\d+\.  ", block.text)
        ):
            self.plan.add("task")
            self.asks += [replace(block, keep=True), _OBSERVATION]
            self.tells += [replace(block, strong=True, keep=True), Text(next(tasks))]
        else:
            self.plan.add("text")
            self.asks.append(block)

    def _add_result(self, name, result):
        if isinstance(result, Markdown):
            self._add_text(name, result.data)
            self.tells += plain(result.data) if self.heading == "In the bay" else []
        elif isinstance(result, (Prediction, Question)):
            self._add_question(result)
        elif isinstance(result, Practice):
            self._add_exercise(result.exercise)
        elif isinstance(result, LivePicture):
            self._add_picture(name, result)
        elif isinstance(result, TracePath):
            self._add_trace(result)
        elif isinstance(result, OnScreen) and result.words:
            self.plan.add(result.kind)
            self.asks.append(Text(f"On the screen: {result.words}."))

    def _add_question(self, card):
        entry, title = card.entry, card.face["title"]
        self.plan.add("question")
        self.asks.append(
            Text(
                f"{title}{'' if title.endswith('?') else ':'} {entry['ask']}",
                strong=True,
                keep=True,
            )
        )
        order = shown_order(card.name, entry, self.key) if "options" in entry else ()
        letters = dict(zip(order, "ABCDEFGH"))
        self.asks += [
            Text(f"\u2610 {letters[i]}  {entry['options'][i - 1]}", keep=i != order[-1])
            for i in order
        ] or [Text(f"{_BLANK} {entry['unit']}")]
        self.asks += axes_of(entry)
        if "answer" in entry:
            right = entry["answer"]
            self.tells += [
                Text(entry["ask"], strong=True, keep=True),
                Text(f"{letters[right]}  {entry['options'][right - 1]}. {entry['why']}"),
                *(
                    Text(f"Who chose {letters[i]}: {entry['wrong'][str(i)]}")
                    for i in order
                    if i != right
                ),
            ]
        else:
            found = outcome_of(card.name)
            right = (
                ""
                if found.truth is None
                else (
                    f"{letters[found.truth]}  {entry['options'][found.truth - 1]}. "
                    if order
                    else f"About {round(found.truth, 1):.3g} {entry['unit']}. "
                )
            )
            self.tells += [
                Text(f"Prediction: {entry['ask']}", strong=True, keep=True),
                Text(right + found.words),
                Text(f"A full answer says: {'; '.join(entry['model'])}."),
            ]

    def _add_exercise(self, exercise):
        own = of_car(exercise, self.car) if self.car else None
        task = (own or exercise).task(self.key, 0)
        whose = f", with the numbers of {self.car.name}" if own else ""
        title = Heading(f"Exercise {exercise.id}: {exercise.title}{whose}")
        given = [Rows("Given", ("What", "Value"), task.data, (3, 1))] if task.data else []
        self.plan.add("exercise")
        self.asks += [title, Text(task.text), *given]
        for part in task.parts:
            self.asks += [
                Text(
                    f"{part.label}:   {_BLANK}"
                    f" {part.unit if part.unit not in ('1', 'times') else ''}",
                    keep=True,
                ),
                _WORKING,
            ]
        self.tells += [title, *given, *map(Text, task.working)]

    def _add_picture(self, name, panel):
        values = next(
            (found.picture for found in observations().values() if found.panel == name), {}
        )
        view = panel.drawn(values) if values else panel.view
        caption = self._picture(name, panel.title, _open_picture(view))
        self.asks.append(
            Text(f"{caption}, on a sheet at the end. First write down your prediction, then look.")
        )
        if self.car and panel.offers("vehicle", self.car.key):
            view = panel.drawn({**values, "vehicle": self.car.key})
            title = f"{panel.title}, with {self.car.name}"
            caption = self._picture(f"{name} own", title, _open_picture(view))
            self.asks.append(Text(f"{caption}: what is different, and why?"))
            self.asks.append(_OBSERVATION)

    def _add_trace(self, trace):
        """A way to colour; the ways of a lesson share one drawing of the circuit at rest."""
        key, plan = trace.plan.key, trace.plan
        if key not in self.pictures:
            rest = View(charts=(), circuit=riddle(film(key, "all_off", 0.0)), sentence="")
            self._picture(
                key,
                f"Circuit to colour, layout {key}",
                Picture(png(rest), "The circuit at rest: no current, no pressure at the brakes."),
            )
        number = self.pictures[key][0].text.split(":")[0]
        asked = (
            f"{plan.mode_names[trace.mode]}, from {plan.nodes[trace.start]} to"
            f" {plan.nodes[trace.goal]}."
        )
        self.plan.add("task")
        self.asks.append(Text(f"\u2022  {number}. {asked}"))
        self.tells += [
            Text(asked, strong=True, keep=True),
            Text(" \u2192 ".join(plan.nodes[place] for place in trace.best)),
        ]

    def _picture(self, name, title, picture):
        caption = f"Picture {len(self.pictures) + 1}: {title}"
        self.pictures[name] = Heading(caption), picture
        return caption

    def save(self, stem):
        """Write worksheet and answers as HTML and PDF; returns the four paths."""
        return [*self.worksheet.save(f"{stem}-worksheet"), *self.answers.save(f"{stem}-answers")]


def _open_picture(view):
    """The picture of a view without what the learner is to find."""
    told = tuple(figure for figure in view.figures if not figure.held)
    return Picture(png(replace(view, sentence="", held=(), figures=told)), view.open_sentence)


def _without_empty(blocks):
    """The blocks without headings that have nothing under them."""
    return [
        block
        for block, after in pairwise([*blocks, Heading("")])
        if not (isinstance(block, Heading) and isinstance(after, Heading))
    ]


def main(args):
    """Run `tractionlab handouts`; returns the exit code, 1 if a lesson could not be printed."""
    folder = Path(args.out)
    wanted = [lesson(number)["number"] for number in args.lesson] or [
        entry["number"] for entry in lessons()
    ]
    own = catalogue.with_one_car(args.folder, args.car) if args.car else catalogue.shipped()
    car = own.car if args.car else None
    folder.mkdir(parents=True, exist_ok=True)
    saved, failed = [], []
    with Progress("Printing") as progress, catalogue.using(own):
        for number in wanted:
            progress.say(f"lesson {number}")
            try:
                saved += Handout(number, args.numbers, car).save(folder / f"lesson-{number:02d}")
            except (OSError, UserError):
                raise
            except Exception as problem:
                failed.append(f"lesson {number} ({type(problem).__name__}: {problem})")
    print(
        f"Saved {len(saved)} files in {folder}: for each lesson a worksheet and the instructor's"
        " sheet, to print (PDF) and to read (HTML)."
    )
    if failed:
        print(f"Not printed: {'; '.join(failed)}.", file=sys.stderr)
    return int(bool(failed))
