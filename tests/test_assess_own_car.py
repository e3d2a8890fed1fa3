"""A paper that asks for a car of a person's own: its numbers travel with the paper."""

import json

import pytest
from assess_answers import perfect

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.paper import find_paper
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.cli import main as cli
from tractionlab.errors import UserError

VAN = """[my_van]
name = "Our van"
like = "front_petrol"
mass_kg = { value = 1900, source = "weighed in our workshop" }
"""


@pytest.fixture
def paper(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lessons").mkdir()
    (tmp_path / "lessons/my_vehicles.toml").write_text(VAN, encoding="utf-8")
    asked = ["paper", "new", "--outcomes", "LO1,LO2,LO3", "--out", "van.toml"]
    assert cli.main([*asked, "--car", "my_van", "--folder", "lessons"]) == 0
    return tmp_path / "van.toml"


def test_the_numbers_travel_with_the_paper(paper, tmp_path):
    """Issued, then marked where nobody has the car: everything right gets all marks."""
    (tmp_path / "roll.csv").write_text(
        "candidate,name\n001,Ada\n002,Ben\n003,Cleo\n", encoding="utf-8"
    )
    assert cli.main(["paper", "issue", "van.toml", "--roll", "roll.csv", "--out", "sitting"]) == 0
    (tmp_path / "lessons/my_vehicles.toml").unlink()
    numbers = find_paper("van.toml").numbers
    assert numbers["1-slope"] == {"mass": 1900, "share": 60} and len(numbers) >= 3
    sitting, shown = read_sitting("sitting/assessor/sitting.json"), set()
    assert sitting.paper["title"].endswith("with the numbers of Our van")
    for number in sitting.candidates:
        sheet = tmp_path / f"sitting/candidates/candidate_{number}"
        text = "".join(file.read_text("utf-8") for file in sheet.glob("*.json"))
        assert "1900 kg" in text and "Our van" in text
        for name in numbers:
            drawn = sitting.variant(items()[name], number)
            assert numbers[name].items() <= drawn.params.items()
            shown.add((name, json.dumps(dict(drawn.params), sort_keys=True)))
            full = judge(items()[name], drawn, perfect(items()[name], drawn))
            assert full.marks == items()[name].marks
    assert len(shown) > len(numbers), "neighbours still have different numbers"


def test_practice_and_preview_have_them_too(paper, tmp_path):
    assert cli.main(["paper", "preview", "van.toml", "--out", "look.html"]) == 0
    assert "1900 kg" in (tmp_path / "look.html").read_text(encoding="utf-8")
    assert cli.main(["paper", "practice", "van.toml", "--out", "alone"]) == 0
    (sheet,) = (tmp_path / "alone").glob("*.json")
    table = json.loads(sheet.read_text("utf-8"))
    from tractionlab.assess.desk.practice import drawn_again

    item, drawn = drawn_again(table, "1-slope")
    assert drawn.params["mass"] == 1900
    issued = next(one for one in table["items"] if one["id"] == "1-slope")
    assert f"{drawn.params['slope']} %" in json.dumps(issued, ensure_ascii=False)


def test_mistakes_are_one_sentence(paper, tmp_path, capsys):
    asked = ["paper", "new", "--outcomes", "LO9", "--out", "x.toml", "--folder", "lessons"]
    assert cli.main([*asked, "--car", "my_van"]) == 2
    assert "no item of the paper can take the numbers of Our van" in capsys.readouterr().err
    assert cli.main([*asked, "--car", "my_vann"]) == 2
    assert "did you mean 'my_van'" in capsys.readouterr().err
    text = paper.read_text(encoding="utf-8")
    for old, new, said in (
        ("mass = 1900", "mass = nan", "1-slope: mass = nan does not fit"),
        ("mass = 1900", "weight = 1900", "1-slope: weight = 1900 does not fit"),
        ("mass = 1900", "mass = 999999", "1-slope: no draw with"),
        ('numbers."1-slope"', 'numbers."9-lamp"', "'9-lamp' is no item of this paper"),
    ):
        (tmp_path / "wrong.toml").write_text(text.replace(old, new), encoding="utf-8")
        with pytest.raises(UserError, match=said):
            find_paper("wrong.toml")
