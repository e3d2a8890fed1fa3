"""Habits of the code: what is broken is named with what mends it; types and worked examples reach
what others call.
"""

import argparse
import ast
import doctest
import importlib
import re
from pathlib import Path

import pytest

from tractionlab.start import habits, testing

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "tractionlab"


@pytest.fixture
def broken_code(tmp_path, monkeypatch):
    """A folder that keeps none of the habits, with the rules of this project."""
    for folder in ("tractionlab", "tests", "data", "lessons"):
        (tmp_path / folder).mkdir()
    for name in ("README.md", "DEVELOPERS.md"):
        (tmp_path / name).write_text("Fine.\n")
    settings = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    settings = re.sub(r"(?s)\nfiles = \[.*?\]", '\nfiles = ["tractionlab"]', settings)
    (tmp_path / "pyproject.toml").write_text(settings)
    (tmp_path / "tractionlab" / "tyre.py").write_text(
        'import os\n\ndef twice( x ):\n    """T'
        'eh double.\n\n    >>> twice(2)\n    5\n    """\n'
        "    return 2 * x\n"
    )
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("habit", habits.HABITS, ids=lambda habit: habit.name)
def test_a_broken_habit_is_named_with_what_mends_it(broken_code, habit, monkeypatch, capsys):
    command = tuple(word for word in habit.command if word not in habits.EXAMPLES)
    if habit.name == "examples":
        command += ("tractionlab/tyre.py",)
    monkeypatch.setattr(habits, "HABITS", (habit._replace(command=command),))
    assert habits.run_habits() == f"FAILED: {habit.name}"
    said = capsys.readouterr().out
    assert f"{habit.name}: BROKEN" in said and "tyre.py" in said
    assert said.rstrip().endswith(f"to mend: {habit.mend}")


def test_kept_habits_are_one_line_each(broken_code, monkeypatch, capsys):
    kept = habits.Habit("spelling", ("codespell_lib", "README.md"), "")
    monkeypatch.setattr(habits, "HABITS", (kept, kept))
    assert habits.run_habits() == "passed"
    assert capsys.readouterr().out == "spelling: kept\n" * 2


@pytest.mark.parametrize("chosen, first", [([], "habits: FAILED: rules"), (["-k", "tyre"], "")])
def test_habits_come_first_and_are_left_out_where_tests_are_chosen(
    chosen, first, monkeypatch, capsys
):
    monkeypatch.setattr(testing, "run_habits", lambda: "FAILED: rules")
    monkeypatch.setattr(testing, "compile_once", lambda: None)
    monkeypatch.setattr(testing, "find_browser", lambda: "/usr/bin/true")
    monkeypatch.setattr(testing, "run_part", lambda arguments, extra: "passed")
    code = testing.main(argparse.Namespace(pytest=chosen))
    summary = capsys.readouterr().out.rpartition("\n\n")[2]
    assert code == (1 if first else 0)
    assert ("habits" in summary) == bool(first)
    assert summary.startswith(first or "package: passed")


@pytest.mark.parametrize("example", habits.EXAMPLES)
def test_every_place_with_worked_examples_has_some(example):
    place = ROOT / example
    finder = doctest.DocTestFinder()
    found = 0
    for path in [place] if place.is_file() else place.glob("*.py"):
        name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        found += sum(bool(test.examples) for test in finder.find(importlib.import_module(name)))
    assert found >= 2


@pytest.mark.parametrize("room", ["physics", "textbook"])
def test_the_door_of_a_room_says_what_each_module_holds(room):
    text = ast.get_docstring(ast.parse((PACKAGE / room / "__init__.py").read_text())).lower()
    named = set(re.findall(r"`(\w+)`", text))
    assert {path.stem for path in (PACKAGE / room).glob("[a-z]*.py")} <= named
    for word in ("magic formula", "quarter car", "combined slip", "published"):
        assert word in text


def test_types_are_shipped_and_cover_what_the_package_offers():
    import tomllib

    import tractionlab

    checked = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["mypy"]["files"]
    assert (PACKAGE / "py.typed").is_file()
    for name in tractionlab.__all__:
        home = importlib.import_module(f"tractionlab.{tractionlab._HOME[name]}").__file__
        assert Path(home).relative_to(ROOT).as_posix() in checked, name
