"""The form of the lessons: short hidden cells, all sections, stripped outputs, living links,
numbers only from checked cells.
"""

import json
import re

import pytest

from tractionlab.catalogue.places import lessons_folder
from tractionlab.lesson.start import lessons

PATHS = sorted(lessons_folder().rglob("*.ipynb"))
LESSONS = [path for path in PATHS if path.name[:2].isdigit() and path.name != "00_start.ipynb"]
SECTIONS = (
    "Predict",
    "Try it",
    "Explain",
    "Your own numbers",
    "Recap",
    "In the bay",
    "What comes next",
)


def cells(path, kind):
    return [
        cell
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]
        if cell["cell_type"] == kind
    ]


def text(cell):
    return "".join(cell["source"])


def prose(path):
    return "\n\n".join(map(text, cells(path, "markdown")))


def test_every_ready_lesson_is_there():
    assert {path.name for path in LESSONS} == {
        entry["notebook"] for entry in lessons() if "notebook" in entry
    }


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_code_cells_are_short_hidden_and_stripped(path):
    assert (
        json.loads(path.read_text(encoding="utf-8"))["metadata"]["kernelspec"]["name"] == "python3"
    )
    for cell in cells(path, "code"):
        assert len(text(cell).splitlines()) <= 3 and not text(cell).rstrip().endswith(";")
        assert cell["metadata"]["jupyter"]["source_hidden"] is True
        tags = cell["metadata"].get("tags", [])
        assert bool(cell["outputs"]) == ("keep_output" in tags) == ("nbval-check-output" in tags), (
            text(cell)
        )


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_lesson_has_its_form(path):
    headings = re.findall(r"^#+ (.+)$", prose(path), flags=re.M)
    assert [
        section for section in SECTIONS if section not in headings and section != "Try it"
    ] == []
    assert len(re.findall(r"^# ", prose(path), flags=re.M)) == 1
    code = [text(cell) for cell in cells(path, "code")]
    number = int(path.name[:2])
    assert (
        code[0] == "from tractionlab.lesson import *"
        and code[1] == f"you_can({number})"
        and code[-1] == f"what_next({number})"
    )
    assert sum(line.startswith("exercise(") for line in code) == 2
    assert number == 1 or any(line.startswith("recall(") for line in code)
    locked = re.findall(r"_panel\((?:\"[AB]\", )?locked_by=(\w+)", "\n".join(code))
    assert len(locked) >= 2 and all(
        re.search(rf"^{name} = predict\(", "\n".join(code), flags=re.M) for name in locked
    )
    assert prose(path).count("<details>") == prose(path).count("</details>") >= 2


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_the_result_of_a_prediction_is_folded_like_its_explanation(path):
    both = json.loads(path.read_text(encoding="utf-8"))["cells"]
    after = [
        text(cell)
        for before, cell in zip(both, both[1:])
        if text(before).rstrip().endswith("</details>") and cell["cell_type"] == "code"
    ]
    assert not any(re.search(r"^say\(", code, flags=re.M) for code in after)


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_prose_states_no_computed_number(path):
    """Numbers with a unit stand in checked cells; prose keeps settings of a panel, the definition's
    100 % and given constants.
    """
    allowed = {"100 %", "4°", "9.81 m", "50 ms", "3 km"}
    found = set(re.findall(r"\d+(?:[.,]\d+)? ?(?:%|°|N\b|bar|ms|km|m\b|kW|K\b|s\b)", prose(path)))
    assert found <= allowed, found - allowed


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_links_lead_somewhere(path):
    for target in re.findall(r"\]\(([^)#]+)\)", prose(path)):
        assert (path.parent / target).exists(), target


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_sentences_are_short(path):
    plain = re.sub(r"^>.*$|[*`#]|<[^>]+>|^\d+\. ", " ", prose(path), flags=re.M)
    sentences = [s.split() for s in re.split(r"[.?!:]\s|\n\n", plain) if len(s.split()) > 2]
    assert sum(map(len, sentences)) / len(sentences) <= 14
    assert max(map(len, sentences)) <= 34, max(sentences, key=len)
