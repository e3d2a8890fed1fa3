"""Demonstrations: every lesson has one, its numbers are computed, and an own one is read, recorded
and corrected.
"""

import json
import re

import pytest
from printed_lessons import handout

from tractionlab.catalogue.places import data_folder, lessons_folder
from tractionlab.lesson.demonstration_page import demonstration_pages
from tractionlab.lesson.start import lessons
from tractionlab.panels.demonstration import OWN_FOLDER, Demonstration, own, shipped
from tractionlab.panels.seen import holds
from tractionlab.panels.throttle import throttle_panel

LESSONS = [entry["number"] for entry in lessons()]
_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def file_of(number):
    return data_folder() / "demonstrations" / f"{number:02d}.toml"


def demonstration(number):
    block = re.search(r'^panel = "(.+)"', file_of(number).read_text(encoding="utf-8"), re.M)[1]
    assert shipped(block) == file_of(number)
    return Demonstration(file_of(number), handout(number).shown[block])


@pytest.mark.parametrize("number", LESSONS)
def test_every_lesson_has_a_demonstration_whose_numbers_are_computed(number):
    shown = demonstration(number)
    assert 5 <= len(shown.steps) <= 8
    assert any(step.claims for step in shown.steps)
    for at, step in enumerate(shown.steps):
        told, seen = shown.told(at), shown.seen(at)
        assert step.picture and told and not re.search(r"[{}]|nan", told)
        assert len(step.name) + len(told) < 170, f"{step.name}: more than a hall reads at a glance"
        for claim in step.claims:
            assert holds(claim, seen), f"lesson {number}, {step.name}: {claim}"


@pytest.mark.parametrize("number", LESSONS)
def test_a_number_in_a_sentence_is_computed_or_set(number):
    """A digit that is typed is a setting of the panel, the time of the cursor, or part of a name;
    every result is a field.
    """
    shown = demonstration(number)
    for at, step in enumerate(shown.steps):
        fields = re.findall(r"\{.+?\}", step.sentence)
        typed = set(_NUMBER.findall(re.sub(r"\{.+?\}", "", step.sentence)))
        settings = [value for n in range(at + 1) for value in shown.values(n).values()]
        settings += [step.time, *(control["label"] for control in shown.panel.controls)]
        known = {f"{abs(n):g}" for n in settings if type(n) in (int, float)}
        known |= set(_NUMBER.findall(" ".join(fields + [str(v) for v in settings])))
        assert typed <= known, f"lesson {number}, {step.name}: {sorted(typed - known)}"


def test_each_panel_stands_in_its_lesson():
    for entry in lessons():
        cells = json.loads((lessons_folder() / entry["notebook"]).read_text(encoding="utf-8"))
        ids = {cell["id"] for cell in cells["cells"]}
        assert demonstration(entry["number"]).block in ids


@pytest.fixture
def panel(tmp_path, monkeypatch):
    """The main panel of lesson 1, as in a learner's folder."""
    monkeypatch.chdir(tmp_path)
    made = throttle_panel()
    made.place = "01-09"
    made.answers = []
    monkeypatch.setattr(made, "send", lambda content, buffers=None: made.answers.append(content))
    return made


def ask(panel, kind, **more):
    panel._hear(panel, {"kind": kind, **more}, [])
    return panel.answers.pop()


def test_a_step_moves_the_panel_and_travels_with_its_picture(panel):
    assert ask(panel, "steps", own=None) == {
        "kind": "presented",
        "ask": None,
        "count": len(demonstration(1).steps),
        "own": False,
        "owned": False,
    }
    ask(panel, "step", own=False, at=2, ask="a")
    step = panel.picture["step"]
    assert panel.values["pedal"] == 100 and panel.picture["values"]["pedal"] == 100
    assert step["ask"] == "a" and step["name"] == "Full throttle" and step["picture"] == "car"
    speed = next(f.value for f in panel.view.figures if f.label == "Speed after 5 s")
    assert f"{speed} km/h" in step["sentence"]
    ask(panel, "step", own=False, at=0, ask="b")
    assert panel.values["pedal"] == 10, "a step begins from how the panel opens"
    panel.set(pedal=20)
    assert "step" not in panel.picture


def test_what_is_recorded_is_played(panel):
    panel.set(pedal=40, surface="ice")
    told = {"sentence": 'Say "{ice}"', "picture": "Speeds", "time": 1.234, "speed": 0.5}
    answer = ask(panel, "record", **told)
    assert answer["said"].startswith("Step 1 is in my_demonstrations") and answer["own"]
    panel.set(sweep=True)
    ask(panel, "record", sentence=" ", picture="words", time=None, speed=0)
    panel.set(pedal=10, surface="packed_snow", sweep=False)
    assert ask(panel, "steps", own=None)["count"] == 2
    ask(panel, "step", own=True, at=0, ask="a")
    assert (panel.values["pedal"], panel.values["surface"]) == (40, "ice")
    step = panel.picture["step"]
    assert (step["sentence"], step["time"], step["speed"]) == ('Say "{ice}"', 1.23, 0.5)
    ask(panel, "step", own=True, at=1, ask="b")
    assert panel.values["sweep"] and panel.picture["step"]["sentence"] == panel.view.sentence
    assert ask(panel, "steps", own=False)["count"] == len(demonstration(1).steps)


def test_a_panel_outside_the_lessons_says_so(panel):
    panel.place = ""
    assert ask(panel, "steps", own=None)["count"] == 0
    told = ask(panel, "record", sentence="", picture="car", time=None, speed=0)
    assert "in the lessons of the course" in told["wrong"]


STEP = '[[steps]]\nname = "A"\nsentence = "B"\n'


@pytest.mark.parametrize(
    "text, words",
    [
        ("x = 1\n" + STEP, "unknown key 'x'; allowed are panel, steps"),
        ("", r"steps must be tables, each under a line \[\[steps\]\]"),
        (STEP + "tempo = 1\n", "step 1: unknown field 'tempo'; allowed are claims, name"),
        (STEP + STEP, "step 2: name 'A' is taken"),
        (
            STEP + "values = { pedal = 140 }",
            "step 1: values, pedal: Throttle must be a number from",
        ),
        (STEP + "values = { surface = 'mud' }", "values, surface: Surface must be one of dry_asph"),
        (
            STEP + "values = { gear = 1 }",
            "values, gear: panel .* has no control gear; it has pedal",
        ),
        (STEP + "speed = 2", "step 1: speed must be one of 0, 0.1, 0.25, 0.5, 1; got 2"),
        (STEP + "time = 'end'", "step 1: time must be a number from 0 to 3600, got 'end'"),
        (STEP + "time = 7", "step 1: time must be a number from 0 to 5 s, got 7"),
        (STEP + "picture = 'boat'", "step 1: picture must be one of car, Speeds, .*; got 'boat'"),
        ('[[steps]]\nname = "A"\nsentence = ""', "step 1: sentence must be a text"),
        (STEP.replace('"B"', '"{now[Height]}"'), "step 1: sentence: nothing named 'Height'"),
        (STEP.replace('"B"', '"{then[Way]}"'), "no step is named 'then'; fields begin with now, A"),
        (STEP.replace('"B"', '"50 % {"'), r"a field is written \{now\[NAME OF A FIGURE\]\}"),
        (STEP + "name", "not readable as TOML"),
    ],
)
def test_a_mistake_names_file_step_field_and_range(panel, text, words):
    path = own("01-09")
    path.parent.mkdir()
    path.write_text('panel = "01-09"\n' + text, encoding="utf-8")
    answer = ask(panel, "step", own=True, at=0, ask="a")
    assert answer["wrong"].startswith(f"{OWN_FOLDER}/01-09.toml")
    assert re.search(words, answer["wrong"]), answer["wrong"]


def test_nothing_is_recorded_into_a_file_with_a_mistake(panel):
    path, text = own("01-09"), 'panel = "01-09"\n' + STEP + "tempo = 1\n"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    told = ask(panel, "record", sentence="", picture="car", time=None, speed=0)
    assert "step 1: unknown field 'tempo'" in told["wrong"]
    assert path.read_text(encoding="utf-8") == text


def test_the_instructors_sheet_ends_with_the_demonstrations(panel):
    panel.set(pedal=40)
    ask(panel, "record", sentence="Mine.", picture="car", time=2, speed=1)
    page, title, keys, rows, *after = demonstration_pages({"01-09": panel})
    assert "Demonstration before a hall" in title.text and "Escape" in keys.text
    assert [row[2] for row in rows.rows] == [
        demonstration(1).told(at) for at in range(len(demonstration(1).steps))
    ]
    assert rows.rows[0][1] == "Throttle 10 %; picture: Car; from 0 s on"
    (own_row,) = after[-1].rows
    assert own_row == ("1. Step 1", "Throttle 40 %; picture: Car; from 2 s on", "Mine.")
    assert demonstration_pages({"01-15": panel}) == []
    told = [getattr(block, "rows", ()) for block in handout(10).answers.blocks][-1]
    assert any("R on pin" in shown for _, shown, _ in told)
