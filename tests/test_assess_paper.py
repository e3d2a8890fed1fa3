"""Papers: the blueprint is kept to the mark, nothing is shared between mock and graded papers, a
resit takes spare items, and the commands do their work.
"""

import re
import tomllib
from collections import Counter
from html import escape

import pytest
from assess_answers import letter_of

from tractionlab.assess.bank.blueprint import blueprint, new_paper
from tractionlab.assess.bank.draw import variant
from tractionlab.assess.bank.item import OUTCOMES, items
from tractionlab.assess.bank.paper import find_paper, papers, read_paper
from tractionlab.assess.bank.preview import item_blocks, preview
from tractionlab.assess.proof.second_person import PREVIEW
from tractionlab.cli.main import main
from tractionlab.errors import UserError
from tractionlab.paint.document import Document
from tractionlab.workshop.faults import faults

FULL = {
    "LO1": 11,
    "LO2": 10,
    "LO3": 12,
    "LO4": 10,
    "LO5": 10,
    "LO6": 14,
    "LO7": 14,
    "LO8": 11,
    "LO9": 10,
    "LO10": 18,
    "LO11": 52,
    "LO12": 28,
}


def cells(names):
    """{(outcome, kind): marks} of items."""
    return sum(
        (
            Counter({(items()[name].outcome, items()[name].kind): items()[name].marks})
            for name in names
        ),
        Counter(),
    )


def test_the_blueprint_adds_up():
    plan = blueprint()
    assert {outcome: sum(kinds.values()) for outcome, kinds in plan.marks.items()} == FULL and sum(
        FULL.values()
    ) == 200
    assert plan.levels == {"remember": 20, "apply": 45, "analyse": 35}
    assert (
        plan.rules.overall_percent == 60
        and set(plan.rules.outcome_percent) == {"LO9", "LO11", "LO12"}
        and plan.rules.one_of == (("LO6", "LO7"),)
    )


def test_there_are_two_graded_papers_and_a_mock():
    assert sorted(paper.kind for paper in papers().values()) == ["graded", "graded", "mock"]


@pytest.mark.parametrize("name", ("graded_1", "graded_2", "mock"))
def test_a_paper_keeps_the_blueprint(name):
    paper = papers()[name]
    assert cells(paper.items) == {
        (outcome, kind): marks
        for outcome, kinds in blueprint().marks.items()
        for kind, marks in kinds.items()
    }
    assert (
        paper.marks == 200
        and paper.marks_by_outcome() == FULL
        and paper.outcomes == tuple(OUTCOMES)
    )
    assert (
        paper.minutes
        == sum(items()[item].minutes for item in paper.items)
        == sum(paper.minutes_by_part().values())
    )
    assert 140 <= paper.minutes_by_part()["written"] <= 180
    assert not any(items()[item].spare for item in paper.items)
    assert paper.rules == blueprint().rules


@pytest.mark.parametrize("name", ("graded_1", "graded_2", "mock"))
def test_levels_of_a_paper(name):
    marks = Counter()
    for item in papers()[name].items:
        marks[items()[item].level] += 1
    shares = {level: 100 * marks[level] / 40 for level in marks}
    assert all(abs(shares[level] - wanted) <= 8 for level, wanted in blueprint().levels.items()), (
        shares
    )  # 8 = three items of 40


def test_papers_of_one_length():
    minutes = [paper.minutes for paper in papers().values()]
    assert max(minutes) / min(minutes) <= 1.15


def test_no_item_is_in_two_papers():
    counts = Counter(item for paper in papers().values() for item in paper.items)
    assert max(counts.values()) == 1


def test_a_resit_asks_only_for_what_was_failed_with_new_items():
    paper = new_paper(blueprint(), ["LO9", "LO3"], seed=4, kind="resit")
    assert paper.outcomes == ("LO3", "LO9") and all(items()[item].spare for item in paper.items)
    assert paper.marks_by_outcome() == {"LO3": 12, "LO9": 10}
    assert (
        dict(paper.rules.outcome_percent) == {"LO9": 50.0}
        and paper.rules.one_of == ()
        and paper.rules.exact_faults == 0
    )


@pytest.mark.parametrize("outcome", OUTCOMES)
def test_every_outcome_can_be_sat_again(outcome):
    paper = new_paper(blueprint(), [outcome], seed="again", kind="resit")
    assert paper.marks == FULL[outcome] and not set(paper.items) & {
        item for other in papers().values() for item in other.items
    }


def test_the_seed_decides():
    plan = blueprint()
    assert new_paper(plan, OUTCOMES, seed=1) == new_paper(plan, OUTCOMES, seed=1)
    assert len({new_paper(plan, OUTCOMES, seed=seed).items for seed in range(6)}) > 3
    assert new_paper(plan, OUTCOMES, seed=1).marks == 200


def test_time_can_be_longer_but_not_too_short():
    assert new_paper(blueprint(), ["LO1"], minutes=60).minutes == 60
    with pytest.raises(UserError, match="minutes must be at least .* for LO1, got 3"):
        new_paper(blueprint(), ["LO1"], minutes=3)


@pytest.mark.parametrize(
    "outcomes, kind, words",
    [
        (["LO13"], "graded", "got 'LO13'"),
        ([], "graded", "at least one outcome"),
        (["LO1"], "final", "got 'final'"),
    ],
)
def test_a_paper_that_cannot_be(outcomes, kind, words):
    with pytest.raises(UserError) as caught:
        new_paper(blueprint(), outcomes, kind=kind)
    assert words in str(caught.value)


def test_a_paper_comes_back_from_its_file(tmp_path):
    paper = new_paper(blueprint(), ["LO6", "LO11"], seed=2, title='A "quoted" title')
    path = tmp_path / "p.toml"
    path.write_text(paper.to_toml(), encoding="utf-8")
    assert read_paper(path) == paper == find_paper(str(path))
    assert tomllib.loads(paper.to_toml())["rules"] == paper.rules_as_dict()


@pytest.mark.parametrize(
    "old, new, words",
    [
        (
            'kind = "graded"',
            'kind = "final"',
            "kind must be one of mock, graded, resit; got 'final'",
        ),
        ('"1-', '"1x-', "is not in the item bank"),
        ("items = [", "items = []\nrest = [", "unknown field 'rest'"),
        ("minutes = ", "minutes = -", "minutes must be a number from 1 to 2000"),
        (
            "overall_percent = 60",
            "overall_percent = 160",
            "overall_percent must be a number from 0 to 100, got 160",
        ),
        ("overall_percent", "overal_percent", "unknown rule 'overal_percent'"),
    ],
)
def test_a_mistake_in_a_paper_is_named(tmp_path, old, new, words):
    path = tmp_path / "p.toml"
    text = new_paper(blueprint(), ["LO1"]).to_toml()
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(UserError) as caught:
        read_paper(path)
    assert words in str(caught.value) and "p.toml" in str(caught.value)


def test_an_unknown_paper_is_answered_with_those_there_are():
    with pytest.raises(UserError, match="graded_1, graded_2, mock"):
        find_paper("final")


def test_blueprint_levels_must_add_up(tmp_path):
    path = tmp_path / "b.toml"
    path.write_text(
        "[levels]\nremember = 20\napply = 40\nanalyse = 35\n[marks]\n", encoding="utf-8"
    )
    with pytest.raises(UserError, match="levels must add up to 100, got 95"):
        blueprint(path)


def test_the_preview_stands_alone_and_shows_every_item():
    shown = preview(papers()["mock"]).html()
    assert not re.search(r'(?:src|href)="(?!data:)', shown)
    assert all(f"{number}. " in shown for number in range(1, 41)) and shown.count("<img ") == sum(
        items()[item].figure is not None for item in papers()["mock"].items
    )
    assert "Right: " not in shown and "Source: " not in shown
    assert preview(papers()["mock"], answers=True).html().count("Right: ") > 40


def test_who_reads_every_item_sees_all_cars_of_a_repair_case_and_a_candidate_none():
    item = items()["11-case-ring"]
    told, asked = (
        Document("", item_blocks(1, item, variant(item, *PREVIEW), answers)).html()
        for answers in (True, False)
    )
    for draw in item.draws["car"]:
        entry = faults()[draw["fault"]]
        for secret in (entry.cause, entry.repair, entry.verification):
            assert escape(secret) in told and escape(secret) not in asked, secret


def test_the_rule_sheet_says_what_marking_does():
    shown = preview(papers()["mock"]).html()
    for words in (
        "2 % off",
        "5 %",
        "gets 50 %",
        "gets 80 %",
        "at most half the marks",
        "60 % of all marks",
        "One of LO6, Hydraulic layout A, and LO7, Hydraulic layout B, must",
        "a hint 5",
        "at least 1 repair case",
        "From 88 % the grade is: very good",
    ):
        assert words in shown, words
    resit = preview(new_paper(blueprint(), ["LO4"], kind="resit")).html()
    assert "repair case" not in resit and "To pass you need 60 %" in resit


def test_the_commands(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *more, **named: None)
    assert (
        main(
            [
                "paper",
                "new",
                "--outcomes",
                "lo4, lo1",
                "--kind",
                "resit",
                "--seed",
                "x",
                "--out",
                "re.toml",
            ]
        )
        == 0
    )
    assert (
        read_paper(tmp_path / "re.toml").outcomes == ("LO1", "LO4")
        and "21 marks" in capsys.readouterr().out
    )
    assert (
        main(["paper", "new", "--out", "re.toml"]) == 2
        and "re.toml is there already" in capsys.readouterr().err
    )
    assert main(["paper", "preview", "re.toml", "--answers"]) == 0
    assert len(list(tmp_path.glob("resit-*_answers.html"))) == 1
    assert main(["paper", "proof", "re.toml", "--html", "proof.html", "--all"]) == 0
    told = capsys.readouterr().out
    assert (
        "0 fail" in told
        and "second route agrees" in told
        and "<h1>Proof of the keys</h1>" in (tmp_path / "proof.html").read_text(encoding="utf-8")
    )
    assert main(["paper", "new", "--outcomes", "LO1", "--minutes", "1"]) == 2
    assert main(["paper", "new", "--outcomes", "LO1", "--blueprint", "none.toml"]) == 2
    capsys.readouterr()
    for words in (
        ["new", "--out", "no/p.toml"],
        ["preview", "mock", "--out", "no/p.html"],
        ["preview", "mock", "--out", "."],
    ):
        assert main(["paper", *words]) == 2 and "cannot be written" in capsys.readouterr().err
    assert (
        main(["paper", "proof", "nothing"]) == 2
        and "no paper is called 'nothing'" in capsys.readouterr().err
    )


def test_a_proof_that_fails_ends_with_one(tmp_path, monkeypatch, capsys):
    item = next(item for item in items().values() if item.id == "6-pedal-not-needed")
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *more, **named: None)
    wrong = letter_of(
        item,
        variant(item, *PREVIEW),
        "answer",
        next(option.id for option in item.fields[0].options if not option.right),
    )
    (tmp_path / "key.csv").write_text(
        f"item,field,answer\n6-pedal-not-needed,answer,{wrong}\n", encoding="utf-8"
    )
    (tmp_path / "p.toml").write_text(
        'id = "p"\ntitle = "P"\nkind = "mock"\nitems = ["6-pedal-not-needed"]\n', encoding="utf-8"
    )
    assert (
        main(["paper", "proof", str(tmp_path / "p.toml"), "--key", str(tmp_path / "key.csv")]) == 1
    )
    assert "FAILS" in capsys.readouterr().out
