"""`tractionlab handouts`: a lesson on paper. A worksheet for the class, and what the instructor needs to go through it."""
import ast
import json
import re
import sys
import tempfile
from contextlib import chdir
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import mistune
from IPython.display import Markdown

from tractionlab.assess.document import NAME_AND_DATE, Document, Heading, Page, Picture, Rows, Text
from tractionlab.assess.report import safety_words
from tractionlab.errors import UserError
from tractionlab.lesson.ask import Practice, Prediction, Question
from tractionlab.lesson.questions import shown_order
from tractionlab.lesson.start import lesson, lessons, needs_of
from tractionlab.paint.live import LivePicture
from tractionlab.paint.printed import png
from tractionlab.places import lessons_folder
from tractionlab.progress import Progress

_BLANK = "____________"
_LINES = [Text("_" * 84)] * 3
_PARSE = mistune.create_markdown(renderer=None, plugins=["table"])
#: What only a screen can do, and the words that stand for it on paper.
_ON_SCREEN = {"repair_case": "a repair case. For paper: python3 -m tractionlab case new, then case sheet", "trace_path": "trace the way of the fluid, part by part",
              "service_work": "choose the steps of the work in their order", "what_next": ""}


class _OnScreen:
    def __init__(self, words):
        self.words = words


class Handout:
    """A lesson on paper: `worksheet` and `answers`, each a Document. Exercises have the numbers, and options the order, of set `numbers`."""

    def __init__(self, number, numbers=1):
        entry = lesson(number)
        self.title, self.key, self.pictures = f"lesson {number}, {entry['title']}", f"handout {numbers}", []
        self.worksheet = Document(f"Worksheet: {self.title}", [NAME_AND_DATE, safety_words()])
        self.answers = Document(f"For the instructor: {self.title}", [
            Text(f"Answers to the worksheet with set {numbers} of the numbers, worked out by the course."), Rows("Plan", ("What", "In this lesson"), tuple(_plan(entry)), (1, 4))])
        cells = json.loads((lessons_folder() / entry["notebook"]).read_text(encoding="utf-8"))["cells"]
        with tempfile.TemporaryDirectory() as nobody, chdir(nobody):
            names, on_screen = {}, {name: lambda *_, words=words, **__: _OnScreen(words) for name, words in _ON_SCREEN.items()}
            for cell in cells:
                names |= on_screen
                source = "".join(cell["source"])
                if cell["cell_type"] == "markdown":
                    self._add_text(source)
                else:
                    self._add_result(_value(source, names))
        self.worksheet.blocks += [Page(), *(block for picture in self.pictures for block in picture)] if self.pictures else []
        self.answers.blocks = [block for block, after in pairwise([*self.answers.blocks, Heading("")]) if not (isinstance(block, Heading) and isinstance(after, Heading))]

    def _add_text(self, source):
        for piece in re.split(r"(<details>.*?</details>)", source, flags=re.DOTALL):
            folded = re.fullmatch(r"<details>\s*(?:<summary>.*?</summary>)?(.*)</details>", piece, flags=re.DOTALL)
            if folded:
                self.answers.blocks += plain(folded[1])
                self.worksheet.blocks += _LINES if "Show the explanation" in piece else []
            else:
                found = plain(piece)
                self.worksheet.blocks += found
                self.answers.blocks += [block for block in found if isinstance(block, Heading)]

    def _add_result(self, result):
        result = getattr(result, "panel", result)
        if isinstance(result, Markdown):
            self._add_text(result.data)
        elif isinstance(result, (Prediction, Question)):
            self._add_question(result)
        elif isinstance(result, Practice):
            self._add_exercise(result.exercise)
        elif isinstance(result, LivePicture):
            number = len(self.pictures) + 1
            caption = f"Picture {number}: {result.title}"
            self.pictures.append((Heading(caption), Picture(png(replace(result.view, sentence="", held=())), result.view.open_sentence)))
            self.worksheet.blocks.append(Text(f"{caption}, on a sheet at the end. First write down your prediction, then look."))
        elif isinstance(result, _OnScreen) and result.words:
            self.worksheet.blocks.append(Text(f"On the screen: {result.words}."))

    def _add_question(self, card):
        entry = card.entry
        title = card.face["title"]
        self.worksheet.blocks.append(Text(f"{title}{'' if title.endswith('?') else ':'} {entry['ask']}", strong=True))
        if "options" in entry:
            order = shown_order(card.name, entry, self.key)
            letters = dict(zip(order, "ABCDEFGH"))
            self.worksheet.blocks += [Text(f"\u2610 {letters[i]}  {entry['options'][i - 1]}") for i in order]
        else:
            self.worksheet.blocks.append(Text(f"{_BLANK} {entry['unit']}"))
        if "answer" in entry:
            right = entry["answer"]
            self.answers.blocks += [
                Text(entry["ask"], strong=True), Text(f"{letters[right]}  {entry['options'][right - 1]}. {entry['why']}"),
                *(Text(f"Who chose {letters[i]}: {entry['wrong'][str(i)]}") for i in order if i != right)]

    def _add_exercise(self, exercise):
        task = exercise.task(self.key, 0)
        title = Heading(f"Exercise {exercise.id}: {exercise.title}")
        given = [Rows("Given", ("What", "Value"), task.data, (3, 1))] if task.data else []
        self.worksheet.blocks += [title, Text(task.text), *given, *(Text(f"{part.label}:   {_BLANK} {part.unit if part.unit not in ('1', 'times') else ''}") for part in task.parts)]
        self.answers.blocks += [title, *given, *map(Text, task.working)]

    def save(self, stem):
        """Write worksheet and answers as HTML and PDF; returns the four paths."""
        return [*self.worksheet.save(f"{stem}-worksheet"), *self.answers.save(f"{stem}-answers")]


def _plan(entry):
    yield "Time", f"{entry['minutes']} minutes without the bay work"
    yield "Needs", needs_of(entry)
    yield "Learners can", "; ".join(outcome["text"] for outcome in entry["outcomes"])
    yield "In the bay", entry["bay"]


def _value(source, names):
    """Run a cell of the course; the value of its last expression, or None."""
    tree = ast.parse(source)
    last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
    exec(compile(tree, "<lesson>", "exec"), names)
    return None if last is None else eval(compile(ast.Expression(last.value), "<lesson>", "eval"), names)


def plain(source):
    """Blocks of a document from the Markdown of a lesson, without its title and without words about the screen, which stand in italics."""
    return [block for token in _PARSE(source) for block in _blocks(token)]


def _blocks(token):
    kind, inner = token["type"], token.get("children", ())
    if kind == "heading" and token["attrs"]["level"] > 1:
        yield Heading(_words_of(token))
    elif kind in ("paragraph", "block_text") and [part["type"] for part in inner] != ["emphasis"]:
        yield Text(_words_of(token))
    elif kind == "block_quote":
        yield from (replace(block, text="      " + block.text) for part in inner for block in _blocks(part))
    elif kind == "list":
        for number, item in enumerate(inner, 1):
            mark = f"{number}." if token["attrs"]["ordered"] else "\u2022"
            yield Text(f"{mark}  " + " ".join(map(_words_of, item["children"])))
    elif kind == "table":
        head, body = inner
        yield Rows("", tuple(map(_words_of, head["children"])), tuple(tuple(map(_words_of, row["children"])) for row in body["children"]))


def _words_of(token):
    if token["type"] in ("softbreak", "linebreak"):
        return " "
    return token["raw"] if "raw" in token else "".join(map(_words_of, token.get("children", ())))


def main(args):
    """Run `tractionlab handouts`; returns the exit code, 1 if a lesson could not be printed."""
    folder = Path(args.out)
    wanted = [lesson(number)["number"] for number in args.lesson] or [entry["number"] for entry in lessons()]
    folder.mkdir(parents=True, exist_ok=True)
    saved, failed = [], []
    with Progress("Printing") as progress:
        for number in wanted:
            progress.say(f"lesson {number}")
            try:
                saved += Handout(number, args.numbers).save(folder / f"lesson-{number:02d}")
            except (OSError, UserError):
                raise
            except Exception as problem:
                failed.append(f"lesson {number} ({type(problem).__name__}: {problem})")
    print(f"Saved {len(saved)} files in {folder}: for each lesson a worksheet and the instructor's sheet, to print (PDF) and to read (HTML).")
    if failed:
        print(f"Not printed: {'; '.join(failed)}.", file=sys.stderr)
    return int(bool(failed))
