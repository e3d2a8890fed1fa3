"""What the instructor's sheet says of each "Try it" task: every task has its observation, and the
panels bear it out.
"""

import json
import re

import pytest
from printed_lessons import handout

from tractionlab.catalogue.places import lessons_folder
from tractionlab.errors import UserError
from tractionlab.lesson import observations as module
from tractionlab.lesson.observations import observations
from tractionlab.lesson.start import lessons
from tractionlab.panels.seen import Seen, holds

#: Blocks with a numbered list that is no list of tasks at a panel.
NO_TASKS = {"11-06", "11-23"}
LESSONS = {entry["number"]: entry for entry in lessons()}


def tasks_of(number):
    """{id of a block: its numbered tasks} of a lesson."""
    cells = json.loads(
        (lessons_folder() / LESSONS[number]["notebook"]).read_text(encoding="utf-8")
    )["cells"]
    found = {}
    for cell in cells:
        text = "".join(cell["source"])
        tasks = (
            re.findall(r"^\d+\. (.+)$", text, flags=re.MULTILINE)
            if cell["cell_type"] == "markdown"
            else []
        )
        if tasks and cell["id"] not in NO_TASKS:
            found[cell["id"]] = tasks
    return found


@pytest.mark.parametrize("number", LESSONS)
def test_every_task_has_its_observation(number):
    for block, tasks in tasks_of(number).items():
        assert block in observations(), (
            f"lesson {number}: {block} has {len(tasks)} tasks without observations"
        )
        assert len(observations()[block].tasks) == len(tasks)
        for task in observations()[block].tasks:  # each is read from the lesson's own panel
            assert task.get("runs"), f"lesson {number}, {block}: nothing is computed for {task}"


@pytest.mark.parametrize("number", LESSONS)
def test_the_panels_show_what_the_sheet_says(number):
    shown = handout(number).shown
    told = "\n".join(getattr(block, "text", "") for block in handout(number).answers.blocks)
    for block in tasks_of(number):
        found = observations()[block]
        panel = shown[found.panel]
        for task, expected in zip(found.tasks, found.expected(panel)):
            assert expected in told and not re.search(r"[{}]|nan", expected)
            seen = found.seen(panel, task)
            for claim in task.get("claims", ()):
                assert holds(claim, seen), f"{block}: {claim}"
            for name in task.get("runs", ()):
                assert f"{{{name}[" in task["expect"] or any(
                    f"{name}[" in claim for claim in task.get("claims", ())
                ), f"{block}: {name} is not used"


def test_every_observation_claims_what_a_run_of_the_car_decides():
    without = [
        f"{block}, task {number}"
        for block, found in observations().items()
        for number, task in enumerate(found.tasks, 1)
        if not task.get("claims")
    ]
    assert without == []


def test_no_observation_is_left_over():
    assert set(observations()) == {block for number in LESSONS for block in tasks_of(number)}


def test_a_claim_that_is_wrong_is_found():
    panel = handout(1).shown["01-09"]
    seen = {"low": Seen(panel.drawn({"pedal": 40})), "full": Seen(panel.drawn({"pedal": 100}))}
    assert holds("low[Speed after 5 s] > full[Speed after 5 s]", seen)
    assert not holds("low[Speed after 5 s] < full[Speed after 5 s]", seen)
    assert holds("low[Speed after 5 s] is 25.9 km/h within 0.5", seen)
    for wrong in ("25.9 m/s within 0.5", "23 km/h within 0.5", "full[Speed after 5 s] within 0.5"):
        assert not holds(f"low[Speed after 5 s] is {wrong}", seen)
    assert holds("low[sentence] says 40 %", seen) and not holds("low[sentence] says 41 %", seen)
    with pytest.raises(UserError, match="is no number"):
        holds("low[sentence] > 3", seen)
    with pytest.raises(
        UserError, match="nothing named 'Height' in this picture; it has Speed after 5 s"
    ):
        seen["low"]["Height"]
    with pytest.raises(UserError, match="no line 'Speeds / boat'"):
        seen["low"]["Speeds / boat @ last"]


def test_an_unknown_key_is_named(tmp_path, monkeypatch):
    (tmp_path / "observations").mkdir()
    (tmp_path / "observations" / "01.toml").write_text(
        '["01-10"]\npanel = "01-09"\ntasks = [{ expects = "x" }]\n'
    )
    monkeypatch.setattr(module, "data_folder", lambda: tmp_path)
    with pytest.raises(
        UserError, match=r"\[01-10\], task 1: expects is not one of expect, runs, claims"
    ):
        module.observations.__wrapped__()
