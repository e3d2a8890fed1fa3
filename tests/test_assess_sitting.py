"""Issuing a sitting and working at the desk: a strict roll, folders without secrets, a clock, and a
state that survives.
"""

import json
import math
import re
import time

import pytest
from sittings import ids_of, paper_of

from tractionlab.assess.answers.case_log import open_answer
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.desk import desk as desk_module
from tractionlab.assess.desk.desk import Desk, desk
from tractionlab.assess.desk.sheet import read_sheet
from tractionlab.assess.sitting.candidate_notebook import notebook
from tractionlab.assess.sitting.issue import issue, practice
from tractionlab.assess.sitting.roll import Candidate, read_roll
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.catalogue.places import lessons_folder
from tractionlab.errors import UserError
from tractionlab.workshop.case.replay import replay
from tractionlab.workshop.case.score import score
from tractionlab.workshop.faults import faults
from tractionlab.workshop.tests.base import reading_minutes
from tractionlab.workshop.wiring.netlist import plan


def roll(tmp_path, text, **more):
    path = tmp_path / "roll.csv"
    path.write_bytes(text.encode("utf-8"))
    return read_roll(path, **more)


@pytest.mark.parametrize(
    "text",
    [
        "candidate,name\n007,Zoë A\n",
        "\ufeffcandidate;name\r\n007;Zoë A\r\n",
        'name,candidate\n"Zoë A",007\n\n',
        "Candidate , Name\n007, Zoë A \n",
    ],
)
def test_a_roll_comes_as_spreadsheets_write_it(tmp_path, text):
    assert roll(tmp_path, text) == [Candidate("007", "Zoë A")]


def test_conditions_come_from_the_row_or_from_the_command(tmp_path):
    text = "candidate,name,extra_time_percent,larger_print\n1,A,50,yes\n2,B,,\n3,C,0,no\n"
    found = roll(tmp_path, text, extra_percent=25, larger_print=True)
    assert [(one.extra_percent, one.larger_print) for one in found] == [
        (50, True),
        (25, True),
        (0, False),
    ]


@pytest.mark.parametrize(
    "text, words",
    [
        ("", "candidate is missing"),
        ("candidate\n1\n", "name is missing"),
        ("candidate,name,marks\n", "'marks' is unknown"),
        ("candidate,name,name\n", "twice"),
        ("candidate,name\n", "has 1 to"),
        ("candidate,name\n1\n", "line 2: needs 2 cells"),
        ("candidate,name\n../x,A\n", "line 2, candidate"),
        ("candidate,name\n1,\n", "line 2, name"),
        ("candidate,name\n1,A\n1,B\n", "stands in line 2 already"),
        ("candidate,name\nab,A\nAB,B\n", "stands in line 2"),
        ("candidate,name,extra_time_percent\n1,A,-5\n", "whole number from 0 to 200"),
        ("candidate,name,extra_time_percent\n1,A,300\n", "0 to 200"),
        ("candidate,name,larger_print\n1,A,maybe\n", "must be yes or no"),
        ("candidate,name\n1,A\x07\n", "line 2, name"),
        ('candidate,name\n1,"A\n', "not a readable CSV"),
        ("candidate,name\n=1+1,A\n", "line 2, candidate"),
    ],
)
def test_a_mistake_in_the_roll_is_one_sentence(tmp_path, text, words):
    with pytest.raises(UserError, match=words):
        roll(tmp_path, text)


@pytest.fixture(scope="module")
def issued(tmp_path_factory):
    out = tmp_path_factory.mktemp("issue") / "out"
    return (
        issue(
            find_paper("graded_2"),
            [Candidate("007", "Zoë *A*", 25, True), Candidate("008", "B")],
            out,
            place="Room | 4",
            day="2026-03-02",
        ),
        out,
    )


def test_each_candidate_gets_a_folder_and_the_key_stays_with_the_assessor(issued):
    sitting, out = issued
    assert sorted(path.name for path in (out / "candidates").iterdir()) == [
        "candidate_007",
        "candidate_008",
    ]
    assert {path.name for path in (out / "assessor").iterdir()} >= {
        "sitting.json",
        "sign_on_list.pdf",
        "observation_sheets.html",
    }
    assert read_sitting(out / "assessor" / "sitting.json") == sitting
    for number in ("007", "008"):
        folder = out / "candidates" / f"candidate_{number}"
        text = "".join(path.read_text(encoding="utf-8") for path in folder.iterdir())
        other = "008" if number == "007" else "007"
        assert (
            sitting.key not in text
            and sitting.seal(other) not in text
            and not any(f'"{name}"' in text for name in faults())
        )
        assert {path.name for path in folder.iterdir()} == {"sitting.ipynb", "sheet.json"}


def test_the_notebook_has_one_folded_line_of_code_and_the_words_that_must_be_there(issued):
    sitting, out = issued
    book = json.loads(
        (out / "candidates" / "candidate_007" / "sitting.ipynb").read_text(encoding="utf-8")
    )
    code = [cell for cell in book["cells"] if cell["cell_type"] == "code"]
    assert (
        len(code) == 1
        and len(code[0]["source"]) == 1
        and code[0]["metadata"]["jupyter"]["source_hidden"]
    )
    text = "\n".join(
        "".join(cell["source"]) for cell in book["cells"] if cell["cell_type"] == "markdown"
    )
    for words in (
        "Zoë \\*A\\*",
        "2026-03-02, Room \\| 4",
        sitting.id.replace("_", "\\_"),
        "Own work",
        "Safety",
        "How it is marked",
        f"{sitting.minutes_of('007')} minutes",
    ):
        assert words in text, words


def test_practicals_are_not_in_the_time_at_the_desk(issued):
    sitting, _ = issued
    paper = find_paper("graded_2")
    watched = sum(
        items()[name].minutes for name in paper.items if items()[name].kind == "checklist"
    )
    assert sitting.minutes == paper.minutes - watched and sitting.minutes_of("007") == math.ceil(
        1.25 * sitting.minutes
    )


def test_nothing_issued_is_written_over_and_a_broken_issue_leaves_nothing(issued, tmp_path):
    _, out = issued
    before = (out / "assessor" / "sitting.json").read_bytes()
    with pytest.raises(UserError, match="never written over"):
        issue(find_paper("mock"), [Candidate("1", "A")], out)
    assert (out / "assessor" / "sitting.json").read_bytes() == before
    with pytest.raises(UserError, match="--date must be written"):
        issue(find_paper("mock"), [Candidate("1", "A")], tmp_path / "x", day="tomorrow")
    with pytest.raises(ZeroDivisionError):
        issue(
            find_paper("mock"),
            [Candidate("1", "A")],
            tmp_path / "x",
            progress=lambda done, total: 1 / 0,
        )
    assert list(tmp_path.iterdir()) == []


def test_a_long_roll_is_drawn_in_groups_that_the_sign_on_list_shows(tmp_path, monkeypatch, capsys):
    from itertools import combinations

    from tractionlab.assess.bank.answer_key import keys, tolerance
    from tractionlab.assess.bank.neighbours import SHARED
    from tractionlab.assess.sitting.assessor_sheets import sign_on
    from tractionlab.cli.main import main

    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *args, **more: None)
    monkeypatch.setattr("tractionlab.assess.sitting.sitting.GROUP", 20)
    (tmp_path / "roll.csv").write_text(
        "candidate,name\n" + "".join(f"{n},Person {n}\n" for n in range(45)), encoding="utf-8"
    )
    assert (
        main(
            [
                "paper",
                "issue",
                "graded_1",
                "--roll",
                str(tmp_path / "roll.csv"),
                "--out",
                str(tmp_path / "out"),
                "--date",
                "2026-03-02",
            ]
        )
        == 0
    )
    assert "groups:              3" in capsys.readouterr().out
    sitting = read_sitting(tmp_path / "out" / "assessor" / "sitting.json")
    assert [len(group) for group in sitting.groups()] == [20, 20, 5] and sum(
        sitting.groups(), []
    ) == list(sitting.candidates)
    html = sign_on(sitting).html()
    assert all(f"Group {place} of 3" in html for place in (1, 2, 3)) and html.count("<tbody>") == 3
    numeric = [
        items()[name]
        for name in sitting.paper["items"]
        if any(part.kind == "number" for part in items()[name].fields)
    ]
    for group in sitting.groups():
        known = {
            number: [keys(item, sitting.variant(item, number).params) for item in numeric]
            for number in group
        }
        for one, other in combinations(group, 2):
            shared = sum(
                any(
                    part.kind == "number"
                    and abs(mine[part.name] - yours[part.name]) <= tolerance(part, mine[part.name])
                    for part in item.fields
                )
                for item, mine, yours in zip(numeric, known[one], known[other])
            )
            assert shared <= SHARED * len(sitting.paper["items"])


@pytest.mark.parametrize(
    "text, words", [("{", "damaged"), ("[]", "not a key file"), ('{"format":1}', "not a key file")]
)
def test_a_damaged_key_file_is_one_sentence(tmp_path, text, words):
    (tmp_path / "k.json").write_text(text)
    with pytest.raises(UserError, match=words):
        read_sitting(tmp_path / "k.json")
    with pytest.raises(UserError, match="no such key file"):
        read_sitting(tmp_path / "none.json")


def test_another_item_bank_is_refused(issued, tmp_path):
    table = json.loads(issued[0].to_json())
    table["versions"] = {name: version + 1 for name, version in table["versions"].items()}
    (tmp_path / "k.json").write_text(json.dumps(table))
    with pytest.raises(UserError, match="Mark with the edition"):
        read_sitting(tmp_path / "k.json")


@pytest.fixture
def at_desk(tmp_path):
    """A desk whose messages to the browser are kept in `.told`."""
    issue(
        paper_of(ids_of("choice", "number", most=5), minutes=30),
        [Candidate("007", "A")],
        tmp_path / "out",
    )
    return open_desk(tmp_path / "out" / "candidates" / "candidate_007")


def open_desk(folder):
    found = Desk(folder)
    found.told = []
    found.send = lambda message, buffers=None: found.told.append(message)
    return found


def first_field(found):
    item = found.sheet["items"][0]
    return item["id"], item["fields"][0]["name"]


def test_the_clock_runs_from_start_and_everything_is_there_after_reopening(at_desk):
    assert at_desk.phase() == "ready" and not at_desk.file.path.exists()
    at_desk.start()
    item, field = first_field(at_desk)
    at_desk.save(item, field, "B", ask=1)
    assert (
        at_desk.told[-1]["kind"] == "saved"
        and at_desk.told[-1]["ask"] == 1
        and len(at_desk.told[-1]["at"]) == 8
    )
    later = open_desk(at_desk.folder)
    assert (
        later.phase() == "working"
        and later.face["answers"] == {item: {field: "B"}}
        and 1790 < later.seconds_left() <= 1800
    )


def test_after_the_time_nothing_is_saved_but_hand_in_works(at_desk, monkeypatch):
    at_desk.start()
    item, field = first_field(at_desk)
    at_desk.save(item, field, "A")
    monkeypatch.setattr(desk_module.time, "time", lambda now=time.time: now() + 1900)
    at_desk.save(item, field, "B")
    assert (
        at_desk.told[-1] == {"kind": "refused", "ask": 0, "words": "Not saved: the time is over."}
        and at_desk.phase() == "over"
    )
    at_desk.hand_in(False)
    assert at_desk.phase() == "over" and "Declare first" in at_desk.face["message"]
    at_desk.hand_in(True)
    assert (
        at_desk.phase() == "handed_in"
        and (at_desk.folder / at_desk.face["file"]).read_bytes() == at_desk.file.path.read_bytes()
    )
    assert at_desk.face["answers"] == {item: {field: "A"}}


def test_a_hand_in_that_was_cut_short_is_made_good(at_desk):
    at_desk.start()
    at_desk.hand_in(True)
    (at_desk.folder / at_desk.face["file"]).unlink()
    assert (
        open_desk(at_desk.folder).face["number"] == at_desk.face["number"]
        and (at_desk.folder / at_desk.face["file"]).exists()
    )


@pytest.mark.parametrize(
    "item, field, value, words",
    [
        ("none", "answer", "A", "no question of this paper"),
        (None, None, "x" * 5000, "more than 4000 characters"),
        (None, None, "\x07", "control character"),
        (None, None, 1e99, "beyond all reason"),
    ],
)
def test_what_may_not_be_kept_is_refused_in_words(at_desk, item, field, value, words):
    at_desk.start()
    known = first_field(at_desk)
    at_desk.save(item or known[0], field or known[1], value)
    assert at_desk.told[-1]["kind"] == "refused" and words in at_desk.told[-1]["words"]


def test_a_disk_that_does_not_write_is_said_at_once(at_desk, monkeypatch):
    at_desk.start()

    def full(handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("tractionlab.written.line_file.os.fsync", full)
    at_desk.save(*first_field(at_desk), "A")
    assert at_desk.told[-1]["words"].startswith(
        "NOT saved: the answer file cannot be written (No space left on device)"
    )


def test_the_form_of_a_number_is_said_but_never_whether_it_is_right(at_desk):
    at_desk.start()
    item = next(one for one in at_desk.sheet["items"] if one["fields"][0]["kind"] == "number")
    field = item["fields"][0]
    for text in ("1 250", "abc"):
        at_desk.save(item["id"], field["name"], text)
        assert at_desk.told[-1]["kind"] == "saved" and at_desk.told[-1]["words"]
    at_desk.save(item["id"], field["name"], "1,5 N" if field.get("unit_asked") else "1,5")
    assert at_desk.told[-1]["words"] == ""
    assert "right" not in json.dumps(at_desk.told)


def test_the_browser_gets_no_seal_and_no_key(at_desk):
    assert at_desk.sheet["seal"] not in json.dumps([at_desk.paper, at_desk.face])


def test_strange_messages_from_the_browser_do_nothing(at_desk):
    for message in ({}, {"command": "none"}, {"command": None}):
        at_desk._hear(None, message, [])
    assert at_desk.phase() == "ready"


@pytest.mark.parametrize("content", [None, "", "{", "[]", '{"format": 1}'])
def test_a_missing_or_damaged_sheet_is_one_sentence(tmp_path, content):
    if content is not None:
        (tmp_path / "sheet.json").write_text(content)
    with pytest.raises(UserError, match="supervisor"):
        read_sheet(tmp_path / "sheet.json")
    assert "role='alert'" in desk(tmp_path).data


def test_practice_tells_marks_reasons_and_the_right_answer(tmp_path):
    practice(paper_of(ids_of("choice", most=1) + ids_of("number", most=1)), tmp_path / "own")
    found = open_desk(tmp_path / "own")
    found.start()
    item, field = first_field(found)
    right = None
    for letter in "ABCDEFGH":
        found.save(item, field, letter)
        found.check(item)
        lines = found.told[-1]["lines"]
        if lines[0] == f"{items()[item].marks} of {items()[item].marks} marks.":
            right = letter
        else:
            assert lines[0].startswith("0 of") and any(
                line.startswith("Right answer") for line in lines
            )
    assert right


def test_practice_nudges_before_an_impossible_number_counts(tmp_path):
    (name,) = ids_of("number", most=1)
    practice(paper_of([name]), tmp_path / "own")
    found = open_desk(tmp_path / "own")
    found.start()
    found.save(name, items()[name].fields[0].name, "-98765432")
    found.check(name)
    assert "check the size" in found.told[-1]["lines"][0]


def test_a_graded_desk_never_checks(at_desk):
    at_desk.start()
    at_desk.check(first_field(at_desk)[0])
    assert [said["words"] for said in at_desk.told] == ["feedback is for practice"]


def test_settings_are_tried_as_they_are_saved_on_the_road_that_is_shown(tmp_path, monkeypatch):
    item = next(item for item in items().values() if item.kind == "tuning")
    issue(paper_of([item.id]), [Candidate("007", "A")], tmp_path / "out")
    found = open_desk(tmp_path / "out" / "candidates" / "candidate_007")
    found.start()
    found.open_item(item.id)
    (box,), low = (
        found.bench.children,
        {row["name"]: str(row["low"]) for row in item.fields[0].settings},
    )
    card, picture = box.children
    assert "flat, the pedal at 60 %" in card.face["text"]
    card.on_command("run", {})
    assert "Cannot be tried" in card.face["message"] and not picture.value
    seen = []
    for settings in (
        {
            row["name"]: f"{(row['low'] + row['high']) / 4:g}".replace(".", ",")
            for row in item.fields[0].settings
        },
        low,
    ):
        found.save(item.id, "answer", settings)
        card.on_command("run", {})
        seen.append(card.face["data"])
        assert card.face["message"].startswith("Tried: ") and picture.value.startswith("<img")
    assert seen[0] != seen[1] and [label for label, _ in seen[0]][:2] == [
        "Share of grip used",
        "Mean slip of the driven wheels",
    ]


def test_a_reading_in_the_wiring_is_kept_in_the_answer_file_and_marked(tmp_path):
    """It costs minutes, stands in the chained file without its value, is there again after a
    restart, and marking takes it anew.
    """
    item = items()["11-case-lead"]
    sitting = issue(paper_of([item.id]), [Candidate("007", "A")], tmp_path / "out")
    folder = tmp_path / "out" / "candidates" / "candidate_007"

    def bench_of(desk):
        desk.open_item(item.id)
        return desk.bench.children[0].children[0]

    found = open_desk(folder)
    found.start()
    bench = bench_of(found)
    bench.command("cautions")
    bench.command("measure_at", group="wheel_sensors")
    points = plan(bench.case.vehicle).points
    bench.measuring.set(
        probes={**bench.measuring.values["probes"], "R": next(iter(points)), "B": "body"}
    )
    bench.command("reading")
    entry = found.file.reading.answers()[item.id]["answer"][-1]
    assert (
        entry["do"] == "measure"
        and entry["minutes"] == bench.case.minutes == reading_minutes()
        and "readings" not in entry
    )
    again = bench_of(open_desk(folder))
    assert (
        again.case.minutes == reading_minutes()
        and again.case.log == bench.case.log
        and again.face["message"] == "Go on where you stopped."
    )
    again.command("honest_stop", suspected=[again.case.candidates()[0]], next="T10")
    drawn = sitting.variant(item, "007")
    log = open_answer(
        drawn,
        read_answers((folder / "answers_007.jsonl").read_bytes(), sitting.sheet("007")).answers()[
            item.id
        ],
    )["answer"]
    assert (
        score(log).reasons == score(again.case.log).reasons
        and replay(log).log[2]["readings"] == bench.case.log[2]["readings"]
    )


def test_the_candidates_notebook_starts_with_the_button_of_a_lesson(issued):
    own = issued[1] / "candidates" / "candidate_007" / "sheet.json"
    own = json.loads(own.read_text(encoding="utf-8"))
    lesson = json.loads((lessons_folder() / "mock_paper.ipynb").read_text(encoding="utf-8"))
    words = re.search(r"<button[^>]*>", "".join(lesson["cells"][1]["source"]))[0]
    for sheet in (own, {**own, "practice": {}}):
        cover, how = ("".join(cell["source"]) for cell in notebook(sheet)["cells"][:2])
        assert words in cover and "Show the paper</button>" in cover
        assert (
            "shows itself" in how
            and "Show the paper" in how
            and "Shift" not in how
            and "Run All" not in how
        )
