"""Papers as notebooks: a learner's own mock paper, and the forms with which an assessor issues,
observes, marks, reports and releases.
"""

import json

import pytest
from assess_answers import perfect, perfect_rows
from sittings import file_of, ids_of, paper_of

from tractionlab.assess.bank import paper as papers_module
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.bank.preview import about
from tractionlab.assess.desk.desk import Desk
from tractionlab.assess.sitting.issue import practice as make_practice
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.catalogue.places import lessons_folder
from tractionlab.cli.main import main
from tractionlab.lesson import office
from tractionlab.lesson.practice_paper import practice_paper
from tractionlab.start.learner_folder import ASSESSOR, bring_up_to_date
from tractionlab.written.record import PAPERS


@pytest.fixture
def here(tmp_path, monkeypatch):
    """A working folder, and a short paper named like the mock paper and like graded paper 1."""
    monkeypatch.chdir(tmp_path)
    practical = next(item.id for item in items().values() if item.kind == "checklist")
    short = paper_of([*ids_of("choice", most=2), *ids_of("number", most=1), practical])
    monkeypatch.setattr(papers_module, "papers", lambda: {"mock": short, "graded_1": short})
    return tmp_path


def press(form, command, **values):
    """Press a button with these values in the fields; returns what the card then says."""
    form.on_command(
        command, {field["name"]: field["value"] for field in form.face["fields"]} | values
    )
    return form.face["message"]


def test_a_mock_paper_stays_between_runs_and_is_drawn_anew_on_demand(here):
    below, card, sums = practice_paper("mock").children
    first = card.desk
    first.start()
    name = first.sheet["items"][0]["id"]
    first.save(name, "answer", "A")
    _, again, _ = practice_paper("mock").children
    assert again.desk.sheet == first.sheet and again.desk.file.reading.answers() == {
        name: {"answer": "A"}
    }
    assert "earlier paper stays" in press(again, "new")
    assert again.desk.sheet["seal"] != first.sheet["seal"] and sorted(
        path.name for path in (here / PAPERS).iterdir()
    ) == ["test-paper-1", "test-paper-2"]
    assert practice_paper("mock").children[1].desk.sheet == again.desk.sheet


def test_a_mock_paper_adds_up_by_outcome_and_names_the_lesson(here):
    _, card, sums = practice_paper("mock").children
    press(card, "sum")
    assert "So far: 0 of" in sums.value and "not tried" in sums.value
    card.desk.start()
    sheet = card.desk.sheet
    from tractionlab.assess.desk.practice import drawn_again

    item, drawn = drawn_again(sheet, sheet["items"][0]["id"])
    for field, value in perfect(item, drawn).items():
        card.desk.save(item.id, field, value)
    press(card, "sum")
    assert f"So far: {item.marks} of" in sums.value and "practicals are for the bay" in sums.value


def test_the_totals_of_the_mock_paper_say_what_each_one_counts():
    _, card, sums = practice_paper("mock").children
    told, chosen = about(find_paper("mock"))[0].text, [items()[i] for i in find_paper("mock").items]
    bay = [item.marks for item in chosen if item.kind == "checklist"]
    here_marks = sum(item.marks for item in chosen) - sum(bay)
    assert f"{len(chosen) - len(bay)} to answer here for {here_marks} marks" in told
    assert f"{len(bay)} practicals in the bay for {sum(bay)} marks" in told
    assert "5 h 40 min in all" in told and "338.5" not in told
    press(card, "sum")
    assert f"of {here_marks} marks that you can get here" in sums.value
    assert f"bring {sum(bay)} marks more" in sums.value


def test_a_question_that_has_changed_says_so(here):
    _, card, _ = practice_paper("mock").children
    card.desk.sheet["items"][0]["version"] = 99
    told = []
    card.desk.send = lambda message, buffers=None: told.append(message)
    card.desk.check(card.desk.sheet["items"][0]["id"])
    assert "Draw a new paper" in told[-1]["lines"][0]
    card.desk.start()
    card.desk.save(card.desk.sheet["items"][0]["id"], "answer", "A")
    assert "Draw a new paper" in press(card, "sum")


def test_practice_shows_the_right_curve_after_a_whole_sketch_and_no_answer_to_what_cannot_be_read(
    tmp_path,
):
    sketch, number = (
        next(item for item in items().values() if item.kind == kind)
        for kind in ("sketch", "number")
    )
    make_practice(paper_of([sketch.id, number.id]), tmp_path / "own")
    at, told = Desk(tmp_path / "own"), []
    at.send = lambda message, buffers=None: told.append(message)
    at.start()
    (part,) = sketch.fields
    half = [f"{part.y_range[0]:g}"] * len(part.points)
    at.check(sketch.id)
    assert told[-1]["html"] == ""
    at.save(sketch.id, part.name, ["", *half[1:]])
    at.check(sketch.id)
    assert told[-1]["html"] == "", "a sketch that is not whole is not answered"
    at.save(sketch.id, part.name, half)
    at.check(sketch.id)
    assert told[-1]["html"].startswith("<img") and "computed, yours" in told[-1]["html"]
    field = number.fields[0]
    for text, words in (
        ("1 250", "Leave out separators"),
        ("1e", "I do not know the unit"),
        (f"{1e9 * field.limits[1]:.0f}", "check the size"),
    ):
        at.save(number.id, field.name, text)
        at.check(number.id)
        assert words in " ".join(told[-1]["lines"]) and "Right answer" not in " ".join(
            told[-1]["lines"]
        )


def test_a_damaged_mock_paper_can_be_replaced(here):
    practice_paper("mock")
    (here / PAPERS / "test-paper-1" / "sheet.json").write_text("{")
    below, card, _ = practice_paper("mock").children
    assert "damaged" in below.children[0].value
    press(card, "new")
    assert card.desk is not None


def test_a_sitting_by_forms_alone(here):
    form = office.IssueForm("graded_1")
    assert "two invented persons" in press(form, "roll") and "stays as it is" in press(form, "roll")
    assert "preview.html written" in press(form, "preview") and "for you alone" in press(
        form, "answers"
    )
    assert (here / "test-paper_preview.html").stat().st_size < (
        here / "test-paper_answers.html"
    ).stat().st_size
    assert (
        "Issued: sitting" in press(form, "issue", place="Room 4", day="2026-03-02", minutes="20,5")
        and "candidate_002" in form.below.value
    )
    key = here / "sitting-test-paper" / "assessor" / "sitting.json"
    sitting = read_sitting(key)
    assert sitting.minutes == 20.5 and sitting.place == "Room 4"
    inbox = here / "inbox"
    marking = office.MarkForm("graded_1")
    assert "no folder" in press(marking, "mark")
    inbox.mkdir()
    for number in sitting.candidates:
        rows = perfect_rows(sitting, number)
        (inbox / f"{number}.jsonl").write_bytes(file_of(sitting, number, rows))
    practical = next(name for name in sitting.paper["items"] if items()[name].kind == "checklist")
    watched = office.ObserveForm("graded_1", practical)
    assert "to go" in press(watched, "observe", candidate="001", by="A Person")
    done = dict.fromkeys(watched.steps, "done")
    assert "Write your name" in press(watched, "observe", candidate="001", by="", **done)
    assert "not on the roll" in press(watched, "observe", candidate="009", by="A Person", **done)
    assert f"{items()[practical].marks:g} of {items()[practical].marks}" in press(
        watched, "observe", candidate="001", by="A Person", **done
    )
    assert not any(
        field["value"] for field in watched.face["fields"] if field["name"] in (*done, "candidate")
    ), "nothing stays for the next candidate"
    assert press(marking, "mark") == "Marked." and "2 counted" in marking.below.value
    assert "marks are open" in press(marking, "list") and "100.0" in marking.below.value
    assert "when the marks are released" in press(marking, "reports")
    assert "Write your name" in press(marking, "release")
    assert "not entered for 1 candidate (002" in press(marking, "release", by="A Person")
    assert "Released" in press(marking, "unfinished", by="A Person")
    press(marking, "reports")
    assert (here / "reports" / sitting.id / "feedback_001.pdf").is_file()


@pytest.mark.parametrize(
    "values, words",
    [
        ({"roll": "none.csv"}, "no such roll"),
        ({"minutes": "a lot"}, "Minutes must be 1 to 600"),
        ({"minutes": "0"}, "Minutes must be"),
        ({"day": "tomorrow"}, "must be written like"),
    ],
)
def test_a_mistake_in_a_form_is_one_sentence_and_keeps_what_was_typed(here, values, words):
    form = office.IssueForm("graded_1")
    press(form, "roll")
    assert words in press(form, "issue", **values)
    assert {
        field["name"]: field["value"] for field in form.face["fields"]
    }.items() >= values.items()


def test_marking_without_the_key_is_one_sentence(here):
    (here / "inbox").mkdir()
    assert "no such key file" in press(office.MarkForm("graded_1"), "mark")


@pytest.mark.parametrize("name", ["graded_1", "graded_2"])
def test_an_opened_notebook_shows_no_answer(name):
    shown = office.paper_facts(name).value + office.proof_facts(name).value
    rights = [
        option.text
        for key in find_paper(name).items
        for part in items()[key].fields
        for option in part.options
        if option.right
    ]
    assert rights and not any(text in shown for text in rights)
    assert "200 marks" in shown and "fail." in shown and "FAILS" not in shown


def test_learners_get_the_mock_paper_and_assessors_the_graded_ones(tmp_path):
    assert "mock_paper.ipynb" in bring_up_to_date(lessons_folder(), tmp_path / "learner").new
    assert not [
        path
        for path in (tmp_path / "learner").rglob("*")
        if "graded" in path.name or path.name == "repair_cases.ipynb"
    ]
    assert bring_up_to_date(lessons_folder() / ASSESSOR, tmp_path / "office").new == [
        "graded_paper_1.ipynb",
        "graded_paper_2.ipynb",
        "guide.md",
        "repair_cases.ipynb",
    ]


def test_the_office_opens_on_its_notebooks_and_a_sitting_on_its_own(tmp_path, monkeypatch, capsys):
    from jupyterlab.labapp import LabApp

    started, prepared = [], []
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *more, **named: None)
    monkeypatch.setattr("tractionlab.start.opening.compile_kernels", prepared.append)
    monkeypatch.setattr(LabApp, "launch_instance", started.append)
    monkeypatch.setenv("JUPYTER_CONFIG_DIR", "")
    monkeypatch.setenv("JUPYTER_PREFER_ENV_PATH", "")
    assert main(["paper", "office", str(tmp_path / "office"), "--no-browser"]) == 0
    assert (
        "graded_paper_2.ipynb" in capsys.readouterr().out
        and (tmp_path / "office" / "graded_paper_1.ipynb").is_file()
    )
    assert (
        f"--ServerApp.root_dir={tmp_path / 'office'}" in started[0]
        and "--LabApp.default_url=/lab/tree/graded_paper_1.ipynb" in started[0]
    )
    assert len(prepared) == 1
    assert (
        main(["paper", "sit", str(tmp_path / "office")]) == 2
        and "is no candidate's folder" in capsys.readouterr().err
    )


def test_the_notebooks_name_the_papers_that_there_are():
    for path in (lessons_folder() / ASSESSOR).glob("graded_paper_*.ipynb"):
        code = [
            "".join(cell["source"])
            for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]
            if cell["cell_type"] == "code"
        ]
        name = path.stem.replace("_paper", "")
        assert sum(f'("{name}")' in line for line in code) == 5 and find_paper(name)
