"""The proof of the keys: the whole bank passes it, and each kind of mistake is found."""

import csv
from dataclasses import replace

import pytest
from assess_answers import item_from, letter_of, perfect

from tractionlab.assess.bank.answer_key import keys
from tractionlab.assess.bank.draw import variant
from tractionlab.assess.bank.item import items
from tractionlab.assess.keys import grip as keys_grip
from tractionlab.assess.proof.claims import CLAIMS
from tractionlab.assess.proof.prove import prove
from tractionlab.assess.proof.second import (
    axle as second_axle,
)
from tractionlab.assess.proof.second import (
    fluid as second_fluid,
)
from tractionlab.assess.proof.second_person import PREVIEW, read_second_key
from tractionlab.assess.proof.second_route import rounded_key
from tractionlab.assess.proof.three_digits import ThreeDigits, three
from tractionlab.errors import UserError

NUMBER = """
kind = "number"
level = "apply"
minutes = 2
marks = 2
title = "T"
text = "{mass} {rate}"
draws = { mass = [1237.4, 1512.6], rate = [4] }
tolerance = "formula"
source = "S"
label = "Force"
unit = "N"
limits = [1, 10000]
key = "grip.acceleration(mass, rate)"
"""


def kinds(findings):
    return {finding.kind for finding in findings}


def test_every_key_of_the_bank_is_proved():
    findings = prove(items().values(), simulate=False)
    assert not [finding for finding in findings if finding.kind == "fails"]
    shown = [finding for finding in findings if finding.kind == "shown"]
    watched = [finding for finding in findings if "an assessor watches" in finding.words]
    assert len(shown) > 0.8 * (len(findings) - len(watched))
    computed = {
        (item.id, part.name)
        for item in items().values()
        for part in item.fields
        if part.key is not None and part.kind != "tuning"
    }
    assert computed <= {(finding.item, finding.field) for finding in shown}


def test_what_no_computation_can_tell_asks_for_a_person():
    (finding,) = prove([items()["12-make-safe"]])
    assert finding.kind == "seen" and "second person" in finding.words


@pytest.mark.parametrize(
    "item", [i for i in items().values() if i.kind == "tuning"], ids=lambda item: item.id
)
def test_settings_are_proved_by_simulation(item):
    (finding,) = prove([item])
    assert finding.kind == "shown" and "course's own settings" in finding.words


def test_faults_of_a_case_are_alike_in_difficulty():
    (finding,) = prove([items()["11-case-lead"]])
    assert finding.kind == "shown" and "8 faults" in finding.words


def test_a_case_with_a_harder_fault_among_its_draws_is_found():
    from tractionlab.assess.bank.item import read_item

    table = {
        "kind": "case",
        "level": "apply",
        "minutes": 40,
        "marks": 25,
        "title": "T",
        "text": "T",
        "label": "L",
        "tolerance": "stated",
        "source": "S",
        "draws": {
            "car": [
                {"vehicle": "rear_petrol", "fault": "passive-sensor-open-circuit"},
                {"vehicle": "rear_petrol", "fault": "tone-ring-wrong-count-low"},
            ]
        },
    }
    (finding,) = prove([read_item("LO11.toml", "LO11", "11-test", table, {"S": "a test"})])
    assert finding.kind == "fails" and "par times differ" in finding.words
    table["draws"] = {"car": [{"vehicle": "front_petrol", "fault": "passive-sensor-open-circuit"}]}
    (finding,) = prove([read_item("LO11.toml", "LO11", "11-test", table, {"S": "a test"})])
    assert (
        finding.kind == "fails"
        and "no fault passive-sensor-open-circuit on front_petrol" in finding.words
    )


@pytest.mark.parametrize(
    "item, name, words",
    [
        ("1-push-rear", "push", ("the second route gives", "grip = ")),
        (
            "1-grip-of-stop",
            "mean_grip",
            ("a worked example says otherwise", "(worked by hand here)"),
        ),
    ],
)
def test_a_wrong_formula_is_found(monkeypatch, item, name, words):
    right = getattr(keys_grip, name)
    monkeypatch.setattr(keys_grip, name, lambda *values: 1.01 * right(*values))
    from tractionlab.assess.bank import call

    call.function_of.cache_clear()
    try:
        first, *_ = prove([items()[item]])
        assert first.kind == "fails" and all(part in first.words for part in words)
    finally:
        monkeypatch.undo()
        call.function_of.cache_clear()


def test_a_tolerance_that_rounding_breaks_is_found():
    text = NUMBER.replace(
        'key = "grip.acceleration(mass, rate)"', 'key = "axle.high_side(mass, rate, other)"'
    ).replace("rate = [4]", "rate = [1], other = [1225.2]")
    item = item_from(
        text.replace("places = 0", "places = 2").replace(
            'label = "Force"', 'label = "Force"\nplaces = 2'
        )
    )
    (finding,) = prove([item])
    assert finding.kind == "fails" and "widen the tolerance to 'rounded'" in finding.words


def test_rounding_goes_through_every_step():
    assert float(ThreeDigits(1.0) / 3) == 0.333
    assert (
        float(2 * ThreeDigits(1.0) / 3 * 3) == pytest.approx(2.0, abs=0.002)
        and float(ThreeDigits(1234.0) + 0.0) == 1230.0
    )
    assert three(0.0012345) == 0.00123
    item = items()["1-push-rear"]
    params = variant(item, "k", "c").params
    part = item.fields[1]
    exact, rounded = keys(item, params)["torque"], rounded_key(item, part, params)
    assert exact != rounded and rounded == pytest.approx(exact, rel=0.02)


def test_a_draw_without_fair_numbers_is_found():
    (finding,) = prove([item_from(NUMBER.replace("limits = [1, 10000]", "limits = [1, 2]"))])
    assert finding.kind == "fails" and "no draw" in finding.words


def test_a_sketch_whose_wrong_idea_passes_is_found():
    text = """
kind = "sketch"
level = "apply"
minutes = 2
marks = 1
title = "T"
text = "Side."
label = "Side"
key = "curves.side_over_drive(points)"
points = [0, 50, 90, 100]
x = "x [%]"
y = "y [%]"
y_range = [0, 100]
features = [{ rule = "falls", first = 0, last = 3, marks = 1, words = "it falls" }]
traps = [{ key = "curves.side_by_subtraction(points)", idea = "subtraction" }]
source = "S"
tolerance = "stated"
"""
    (finding,) = prove([item_from(text)])
    assert finding.kind == "fails" and "wrong idea has every feature" in finding.words
    (finding,) = prove([item_from(text.replace("falls", "rises"))])
    assert finding.kind == "fails" and "lacks a feature" in finding.words


def test_the_second_search_of_the_circuit_finds_what_the_first_finds():
    from tractionlab.hydraulics.layout import layout
    from tractionlab.hydraulics.paths import can_reach

    for key in "AB":
        shown = layout(key)
        for mode, positions in shown.modes.items():
            for start in shown.nodes:
                reached = second_fluid.reached(shown, positions, start)
                assert {goal for goal in shown.nodes if can_reach(shown, mode, start, goal)} | {
                    start
                } == reached


def test_second_routes_give_the_worked_answers_of_lesson_2():
    """Worked by hand for the lesson: 1684 N at 30 bar, 23.3 bar for a hill of 10 %, 1464 N."""
    assert second_axle.split_force(0.10, 0.8, 3500, 30, 10, 0.305) == pytest.approx(1684, abs=1)
    assert second_axle.brake_pressure(1464, 0.10, 3500, 0.305, 10) == pytest.approx(23.3, abs=0.05)


def second_file(tmp_path, *rows):
    path = tmp_path / "second.csv"
    path.write_text("\n".join(("item,field,answer", *rows)) + "\n", encoding="utf-8")
    return path


def test_a_second_person_confirms_or_objects(tmp_path):
    item = items()["12-make-safe"]
    drawn = variant(item, *PREVIEW)
    right = perfect(item, drawn)["answer"]
    assert kinds(
        prove([item], read_second_key(second_file(tmp_path, f"{item.id},answer,{right}")))
    ) == {"shown"}
    wrong = letter_of(
        item,
        drawn,
        "answer",
        next(option.id for option in item.fields[0].options if not option.right),
    )
    (finding,) = prove([item], read_second_key(second_file(tmp_path, f"{item.id},answer,{wrong}")))
    assert finding.kind == "fails" and "a second person answers" in finding.words


def test_the_sheet_for_a_second_person_goes_out_and_comes_back(tmp_path, capsys):
    from tractionlab.cli.main import main

    sheet = tmp_path / "sheet.csv"
    assert main(["paper", "proof", "graded_1", "--sheet", str(sheet)]) == 0
    head, *rows = csv.reader(sheet.read_text(encoding="utf-8-sig").splitlines())
    assert (
        head == ["item", "field", "question", "options", "answer"]
        and rows
        and all(row[3].startswith("A) ") and not row[4] for row in rows)
    )
    assert f"{len(rows)} questions for a second person" in capsys.readouterr().out
    assert main(["paper", "proof", "graded_1", "--sheet", str(sheet)]) == 2, (
        "what was filled in is never written over"
    )
    for row in rows:
        row[4] = perfect(items()[row[0]], variant(items()[row[0]], *PREVIEW))[row[1]].lower()
    rows[0][4] = ""
    filled = tmp_path / "filled.csv"
    with open(filled, "w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=";").writerows([head, *rows])
    capsys.readouterr()
    assert (
        main(["paper", "proof", "graded_1", "--key", str(filled), "--by", "B. Person", "--all"])
        == 0
    )
    out = capsys.readouterr().out
    assert (
        out.count("B. Person gives the same answer") == len(rows) - 1
        and f"{rows[0][0]}, {rows[0][1]}: no computation can tell" in out
    )


def proof_of(tmp_path, capsys, *rows):
    """(exit code, what is printed) of a quick proof of a paper with a second person's sheet."""
    from tractionlab.cli.main import main

    code = main(
        [
            "paper",
            "proof",
            "graded_1",
            "--quick",
            "--key",
            str(second_file(tmp_path, *rows)),
            "--by",
            "B. Person",
        ]
    )
    return code, capsys.readouterr().out


def test_an_objection_to_a_computed_key_is_judged(tmp_path, capsys):
    code, out = proof_of(tmp_path, capsys, "1-push-rear,force,99999")
    assert (
        code == 1
        and "1-push-rear, force: B. Person answers '99999', and that is not the key" in out
    )
    item = items()["6-bad-plug"]
    drawn = variant(item, *PREVIEW)
    wrong = [
        letter for letter, _ in drawn.fields[0].choices if letter != perfect(item, drawn)["answer"]
    ]
    code, out = proof_of(tmp_path, capsys, *(f"6-bad-plug,answer,{letter}" for letter in wrong[:1]))
    assert code == 1 and "6-bad-plug, answer: B. Person answers" in out
    right = perfect(items()["1-push-rear"], variant(items()["1-push-rear"], *PREVIEW))[
        "force"
    ].replace(",", ".")
    code, out = proof_of(tmp_path, capsys, f"1-push-rear,force,{right}")
    assert code == 0 and "1 more answers were compared with computed keys" in out


def test_an_answer_that_cannot_be_compared_is_named(tmp_path, capsys):
    code, out = proof_of(
        tmp_path,
        capsys,
        "1-curve,answer,up and down",
        "6-way-reduce,answer,none",
        "12-make-safe,answer,A",
    )
    assert (
        "Not used: " in out
        and "1-curve, answer (no letter or number)" in out
        and "6-way-reduce, answer (not in this paper)" in out
    )


def test_an_empty_sheet_is_not_accepted_in_silence(tmp_path, capsys):
    code, out = proof_of(tmp_path, capsys, "12-make-safe,answer,")
    assert code == 1 and "A second person answered 0 of 56 fields" in out


@pytest.mark.parametrize("name", sorted(CLAIMS))
def test_statements_are_tested_by_the_models_and_a_wrong_mark_is_found(name):
    item = items()[name]
    (part,) = item.fields
    assert kinds(prove([item])) == {"shown"}
    for place in range(len(part.options)):
        swapped = tuple(replace(option, right=k == place) for k, option in enumerate(part.options))
        (finding,) = prove([replace(item, fields=(replace(part, options=swapped),))])
        assert finding.kind == ("shown" if part.options[place].right else "fails"), place


@pytest.mark.parametrize(
    "rows, words",
    [
        (["9-none,answer,A"], "line 2: item '9-none' is not in the item bank"),
        (["1-slope,size,A"], "line 2: item 1-slope has no field 'size'"),
        (["1-slope,force"], "line 2: needs the columns item, field, answer"),
        (["1-slope,force,1,2"], "line 2: needs the columns item, field, answer"),
    ],
)
def test_a_mistake_in_a_second_key_is_named(tmp_path, rows, words):
    with pytest.raises(UserError) as caught:
        read_second_key(second_file(tmp_path, *rows))
    assert words in str(caught.value)


def test_a_second_key_that_is_not_there():
    with pytest.raises(UserError, match="nowhere.csv: there is no such file"):
        read_second_key("nowhere.csv")
