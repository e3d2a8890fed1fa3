"""README and DEVELOPERS.md are true: the library's lines run as shown, the plan of the house names
every room, and what they name is there.
"""

import re
import runpy
from pathlib import Path

import pytest
from test_house import FLOORS

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def block(language, word):
    """The code block of the README that holds a word."""
    found = re.findall(rf"```{language}\n(.*?)```", README, re.DOTALL)
    return next(text for text in found if word in text)


def test_the_lines_of_the_library_run_as_shown(tmp_path, monkeypatch, capsys):
    own = tmp_path / "our_cars"
    own.mkdir()
    (own / "my_vehicles.toml").write_text(block("toml", "[my_van]"), encoding="utf-8")
    (own / "my_surfaces.toml").write_text(block("toml", "[wet_leaves]"), encoding="utf-8")
    (tmp_path / "library.py").write_text(block("python", "simulate_many"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    runpy.run_path("library.py")
    figures, swept, third, van = capsys.readouterr().out.splitlines()
    assert figures.endswith("(601, 4) -") and len(swept.split(",")) == 3
    assert 0.0 < float(third) < float(figures.split()[0])
    assert float(van) > 0.0


def test_the_first_paragraph_states_the_whole_job():
    first = README.split("\n\n")[1]
    for word in "explain show practise faults assess defend resit ice markbook".split():
        assert word in first, word


def test_the_plan_lists_the_rooms_in_the_order_of_the_floors():
    plan = DEVELOPERS.split("## The house")[1].split("\n## ")[0]
    assert re.findall(r"^\| `(\w+)/?` \|", plan, re.MULTILINE) == list(reversed(FLOORS))


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_what_the_documents_name_is_there(text):
    linked = re.findall(r"\]\(([^)#:]+)\)", text)
    quoted = re.findall(r"`((?:tractionlab|data|tests|lessons|binder)/[\w./*-]+)`", text)
    rooms = [
        f"tractionlab/{name}"
        for name in re.findall(r"`((?:\w+/)+[\w*]+\.(?:py|js|css))`", text)
        if name.split("/")[0] in FLOORS
    ]
    named = [re.sub(r"NN_name|NN|LOn", "*", name) for name in (*linked, *quoted, *rooms)]
    assert len(named) > 5
    assert [name for name in named if not list(ROOT.glob(name))] == []


#: What a stranger looks for -> (door of the room, its words, where they lead, what is found there).
LOOKED_FOR = {
    "combined slip": ("physics", "`combined_force`", "physics/tyre.py", "def combined_force("),
    "the end of anti-lock": (
        "control",
        "begins and ends",
        "control/antilock.py",
        "def end_antilock(",
    ),
    "a leaking outlet valve": (
        "workshop",
        "`outlet-valve-leaks`",
        "../data/workshop/faults.toml",
        "[faults.outlet-valve-leaks]",
    ),
    "a thick line": ("paint", "`PIPE_STEPS`", "view/__init__.py", "PIPE_STEPS = ("),
    "marks that are enough": (
        "assess",
        "markbook/result.py",
        "assess/markbook/result.py",
        "OUTCOME_PERCENT = ",
    ),
}


@pytest.mark.parametrize("sought", LOOKED_FOR)
def test_a_stranger_finds_it_in_the_third_file(sought):
    room, words, place, found = LOOKED_FOR[sought]
    assert f"(tractionlab/{room}/__init__.py)" in README
    door = (ROOT / "tractionlab" / room / "__init__.py").read_text(encoding="utf-8")
    assert words in door and Path(place).stem in door
    assert found in (ROOT / "tractionlab" / place).read_text(encoding="utf-8")
