"""Lessons on paper: the worksheet gives no answer away, the instructor's sheet has them all, and
both need nothing else.
"""

import json
import re
import tomllib
from html import escape, unescape
from io import BytesIO
from itertools import pairwise

import pytest
from PIL import Image
from printed_lessons import handout, sheets

from tractionlab.catalogue.places import data_folder, lessons_folder
from tractionlab.cli import main as cli
from tractionlab.errors import UserError
from tractionlab.lesson import handouts
from tractionlab.lesson.ask import questions
from tractionlab.lesson.exercises import all_exercises
from tractionlab.lesson.handouts import Handout
from tractionlab.lesson.on_paper import plain
from tractionlab.lesson.start import lesson, lessons
from tractionlab.paint.blocks import Heading, Lines, Picture, Text
from tractionlab.paint.document import Document

NUMBERS = [entry["number"] for entry in lessons()]


def asked_in(number):
    """Ids of the questions with one right answer that the lesson asks."""
    entry = next(entry for entry in lessons() if entry["number"] == number)
    cells = json.loads((lessons_folder() / entry["notebook"]).read_text(encoding="utf-8"))["cells"]
    return re.findall(
        r'(?:question|recall)\("(.+?)"\)', "\n".join("".join(cell["source"]) for cell in cells)
    )


def test_no_picture_of_the_worksheet_shows_the_figure_that_is_to_be_found(monkeypatch):
    drawn = []
    monkeypatch.setattr(handouts, "png", lambda view: drawn.append(view) or b"")
    panels = Handout(1).shown
    assert any(figure.held for panel in panels.values() for figure in panel.view.figures)
    assert len(drawn) >= len(panels) and not any(f.held for view in drawn for f in view.figures)


@pytest.mark.parametrize("number", NUMBERS)
def test_the_worksheet_asks_everything_and_gives_nothing_away(number):
    worksheet, answers, made = sheets(number)
    assert asked_in(number)
    for name in asked_in(number):
        entry = questions()[name]
        right = f"{entry['options'][entry['answer'] - 1]}. {entry['why']}"
        assert escape(entry["ask"]) in worksheet and escape(entry["why"]) not in worksheet
        assert escape(right) in answers
    tasks = [
        exercise.task("handout 1", 0)
        for exercise in all_exercises().values()
        if exercise.lesson == number
    ]
    assert len(tasks) == 2
    for task in tasks:
        assert escape(task.text) in worksheet and all(
            escape(part.label) in worksheet for part in task.parts
        )
        assert all(
            escape(step) in answers and escape(step) not in worksheet for step in task.working
        )
    assert "Run All Cells" not in worksheet and "Safety." in worksheet


@pytest.mark.parametrize("number", NUMBERS)
def test_explanations_stand_with_the_instructor_only(number):
    worksheet, answers, _ = sheets(number)
    entry = next(entry for entry in lessons() if entry["number"] == number)
    cells = json.loads((lessons_folder() / entry["notebook"]).read_text(encoding="utf-8"))["cells"]
    folded = re.findall(
        r"<details>\s*<summary>.*?</summary>(.*?)</details>",
        "\n".join("".join(c["source"]) for c in cells if c["cell_type"] == "markdown"),
        flags=re.DOTALL,
    )
    assert len(folded) >= 2
    for block in (
        block for text in folded for block in plain(text) if len(getattr(block, "text", "")) > 40
    ):
        assert block.text in unescape(answers) and block.text not in unescape(worksheet)


def test_pages_need_nothing_else_and_name_their_pictures():
    worksheet, answers, _ = sheets(2)
    assert not re.search(r'(?:src|href)="(?!data:)', worksheet + answers)
    assert worksheet.count("<img") == 2 and all(
        len(alt) > 20 for alt in re.findall(r'<img alt="(.*?)"', worksheet)
    )


def test_the_same_set_prints_the_same_and_another_has_other_numbers(tmp_path):
    first, again, other = handout(2), Handout(2), handout(2, 2)
    assert [path.read_bytes() for path in first.save(tmp_path / "a")] == [
        path.read_bytes() for path in again.save(tmp_path / "a")
    ]
    assert first.answers.html() != other.answers.html()
    assert (tmp_path / "a-worksheet.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("number", NUMBERS)
def test_every_lesson_prints_on_a4_sheets(number):
    """The whole way to the PDF: a picture higher than a sheet ends it."""
    made = handout(number)
    for document in (made.worksheet, made.answers):
        page = document.pdf()
        assert page.startswith(b"%PDF") and set(
            re.findall(rb"/MediaBox \[ 0 0 (.+?) \]", page)
        ) == {b"595.2756 841.8898"}


@pytest.mark.parametrize("number", NUMBERS)
def test_the_worksheet_fits_paper(number):
    """Room to write, no words about the screen, no heading without text, no picture twice, no
    answer before its question.
    """
    worksheet, answers, made = sheets(number)
    shown = unescape(worksheet)
    assert not re.search(r"panel (?:below|above)|[Cc]lick the|A click on", shown)
    pictures = [block.png for block in made.worksheet.blocks if isinstance(block, Picture)]
    assert len(set(pictures)) == len(pictures)
    kinds = [type(block) for block in made.worksheet.blocks]
    assert (Heading, Heading) not in list(pairwise(kinds)) and kinds[-1] is not Heading
    parts = [
        part
        for exercise in all_exercises().values()
        if exercise.lesson == number
        for part in exercise.task("handout 1", 0).parts
    ]
    rooms = sum(block.count for block in made.worksheet.blocks if isinstance(block, Lines))
    tasks = sum(
        bool(re.match(r"\d+\.  ", getattr(block, "text", ""))) for block in made.worksheet.blocks
    )
    assert rooms >= 2 * len(parts) + (tasks if number != 11 else 0)
    assert "<h2>Recap</h2>" not in worksheet and "<h2>Recap</h2>" in answers


@pytest.mark.parametrize("number", [6, 7])
def test_ways_to_trace_are_asked_one_by_one_on_one_drawing(number):
    worksheet, answers, _ = sheets(number)
    assert worksheet.count("Circuit to colour") == 1
    asked = re.findall(r"<p>\u2022  Picture \d+\. (.*?)</p>", worksheet)
    assert len(asked) == len(set(asked)) == {6: 3, 7: 2}[number]
    assert all(words in answers for words in asked) and answers.count("\u2192") >= len(asked)


@pytest.mark.parametrize("number", NUMBERS)
def test_minutes_of_the_steps_are_those_of_the_lesson(number):
    entry, made = lesson(number), handout(number)
    minutes = made.plan.minutes()
    assert sum(minutes.values()) == entry["minutes"] and min(minutes.values()) >= 0
    table = next(
        block
        for block in made.answers.blocks
        if getattr(block, "caption", "") == "Minutes, step by step"
    )
    assert sum(int(row[1]) for row in table.rows) == entry["minutes"]


@pytest.mark.parametrize("number", NUMBERS)
def test_the_cautions_of_the_bay_stand_with_the_instructor_too(number):
    entry, answers = lesson(number), unescape(sheets(number)[1])
    words = tomllib.loads((data_folder() / "safety.toml").read_text(encoding="utf-8"))["cautions"]
    assert entry["cautions"] and all(words[key]["text"] in answers for key in entry["cautions"])


@pytest.mark.parametrize("width, height", [(300, 4000), (4000, 300), (1240, 1991)])
def test_a_picture_of_any_shape_fits_its_sheet(width, height):
    drawn = BytesIO()
    Image.new("RGB", (width, height)).save(drawn, "PNG")
    page = Document(
        "Sheet",
        [
            Text("before"),
            Heading("Picture 1"),
            Picture(drawn.getvalue(), "What it shows, in words. " * 20),
        ],
    ).pdf()
    assert page.count(b"/Type /Page\n") <= 2


def test_a_lesson_that_fails_is_named_and_does_not_stop_the_rest(tmp_path, monkeypatch, capsys):
    """Lesson 2 cannot be printed, lesson 3 and 12 can."""
    made = Handout.__init__

    def broken(self, number, numbers=1, car=None):
        if number == 2:
            raise LookupError("no room for it")
        made(self, number, numbers, car)

    monkeypatch.setattr(Handout, "__init__", broken)
    assert cli.main(["handouts", "3", "2", "12", "--out", str(tmp_path)]) == 1
    assert {path.name[:9] for path in tmp_path.iterdir()} == {"lesson-03", "lesson-12"}
    said = capsys.readouterr()
    assert (
        "8 files" in said.out
        and "Not printed: lesson 2 (LookupError: no room for it)" in said.err
        and "Traceback" not in said.err
    )


def test_the_command_names_what_it_saved_and_leaves_no_record_behind(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert cli.main(["handouts", "12", "--out", "sheets"]) == 0
    assert sorted(path.name for path in tmp_path.rglob("*") if path.is_file()) == [
        f"lesson-12-{kind}.{end}" for kind in ("answers", "worksheet") for end in ("html", "pdf")
    ]
    assert "4 files in sheets" in capsys.readouterr().out


def test_an_unknown_lesson_is_refused_in_one_sentence(capsys):
    with pytest.raises(UserError, match="no lesson 13; there are 1 to 12"):
        Handout(13)
    assert cli.main(["handouts", "13"]) == 2
    assert "Traceback" not in capsys.readouterr().err
