"""Every command that the documents show runs as shown, one after the other, in a folder of its own:
exit code 0 and no traceback.
"""

import ast
import contextlib
import csv
import json
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from assess_answers import perfect, perfect_rows
from sittings import file_of

from tractionlab.assess.bank.item import items
from tractionlab.assess.markbook import amend
from tractionlab.assess.markbook.book import open_book
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.sitting.candidate_notebook import NOTEBOOK
from tractionlab.assess.sitting.sitting import read_sitting
from tractionlab.catalogue.places import cache_folder, lessons_folder
from tractionlab.cli import main as cli
from tractionlab.cli.reference import PUBLIC
from tractionlab.start import requirements
from tractionlab.written.record import Record

ROOT = Path(__file__).resolve().parent.parent
README, GUIDE = ROOT / "README.md", ROOT / "lessons" / "assessor" / "guide.md"
PROGRAM = "python3 -m tractionlab"
#: Commands that end only when somebody stops them.
SERVERS = ("open", "class", "paper office", "paper sit", "paper room")
#: What a person puts in place of a word in capitals.
FILLED = {"FILE": "second-marking/second_marks.csv"}


def markdown(path):
    """Text of a document: a Markdown file, or the Markdown cells of a notebook."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".md":
        return text
    return "\n\n".join(
        "".join(cell["source"])
        for cell in json.loads(text)["cells"]
        if cell["cell_type"] == "markdown"
    )


def shown(text):
    """Commands in the order of the text: indented lines, and words in code quotes."""
    found = re.findall(rf"^ {{4,}}({PROGRAM}\b.*)$|`({PROGRAM} [^`]*)`", text, flags=re.MULTILINE)
    return [(line or quoted).split("   #")[0].strip() for line, quoted in found]


def arguments(command):
    """What follows the program's name, as a shell hands it over."""
    return [FILLED.get(word, word) for word in shlex.split(command.removeprefix(PROGRAM))]


def is_server(command):
    words = " ".join(arguments(command))
    return words.startswith(SERVERS) and not words.startswith("class overview")


def is_of_tests(command):
    return arguments(command)[0] == "test"


def run(command, capsys):
    """Run a shown command here; what it said."""
    try:
        code = cli.main(arguments(command))
    except SystemExit as stop:
        code = stop.code
    said = capsys.readouterr()
    assert code == 0, f"{command}\n{said.out[-2000:]}{said.err[-2000:]}"
    assert "Traceback" not in said.out + said.err
    return said.out


def go_through(text, capsys, before):
    """Run all commands of a text but servers and tests; `before`: what a person does before the
    command that contains these words. Returns the commands."""
    commands = [one for one in shown(text) if not is_server(one) and not is_of_tests(one)]
    for command in commands:
        for words, work in before.items():
            if words in command:
                work()
        run(command, capsys)
    return commands


def messages(path):
    """All texts in a module that are no docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    notes = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    return "\n".join(
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in notes
    )


def test_every_command_is_shown_with_its_program():
    """`tractionlab run` alone is no command: nothing puts that word on the path."""
    bare = re.compile(
        r"(?<!-m )\btractionlab (?:open|test|run|handouts|case|paper|mark|markbook|check)\b"
    )
    papers = [README, GUIDE, *lessons_folder().glob("**/*.ipynb")]
    texts = {path: path.read_text(encoding="utf-8") for path in papers}
    texts |= {path: messages(path) for path in (ROOT / "tractionlab").rglob("*.py")}
    for path, text in texts.items():
        assert not bare.search(text), f"{path.name}: {bare.search(text)[0]}"


def test_commands_of_the_readme(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    text = README.read_text(encoding="utf-8")
    Path("hill.toml").write_text(
        re.search(r"```toml\n(.*?)```", text, re.DOTALL)[1], encoding="utf-8"
    )
    commands = go_through(text, capsys, {"class overview": send_in_a_record})
    assert {arguments(one)[0] for one in commands} >= {
        "class",
        "run",
        "handouts",
        "case",
        "check",
        "reference",
    }
    assert Path("handouts/lesson-06-answers.pdf").is_file() and Path("hill.csv").is_file()
    assert Path("case-answer-sheet.pdf").is_file()
    the_reference_has_a_page_for_each_public_module(Path("reference"))


def send_in_a_record():
    """One learner's record lies in the folder that the README names."""
    Path("records").mkdir()
    Record("records").add("question", 1, "1.q.peak", "1", right=False, hints=0, counts=False)


def the_reference_has_a_page_for_each_public_module(folder):
    """It fetches nothing from elsewhere."""
    for name in (*PUBLIC, "tractionlab.physics.tyre", "tractionlab.textbook.quarter_car"):
        assert folder.joinpath(*name.split(".")).with_suffix(".html").is_file(), name
    page = (folder / "tractionlab.html").read_text(encoding="utf-8")
    for name in ("Scenario", "simulate_many", "Trace", "View"):
        assert f'id="{name}"' in page
    fetched = re.findall(r'<(?:script|img|link)[^>]*(?:src|href)="(https?:[^"]*)', page)
    assert (folder / "index.html").is_file() and fetched == []


def hand_in():
    """The two of the roll answer all but the repair cases, and their files are collected."""
    sitting = read_sitting("sitting-march/assessor/sitting.json")
    Path("inbox").mkdir()
    for number in sitting.candidates:
        answers = perfect_rows(sitting, number)
        Path(f"inbox/hand_in_{number}.jsonl").write_bytes(file_of(sitting, number, answers))


def fill(path, value):
    """Write `value(row)` into the last column of a CSV file."""
    with open(path, newline="", encoding="utf-8-sig") as file:
        head, *rows = csv.reader(file)
    with open(path, "w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([head, *([*row[:-1], value(row)] for row in rows)])


def answer_sheet():
    """A colleague answers the questions that only a person can."""
    from tractionlab.assess.bank.draw import variant
    from tractionlab.assess.bank.item import items
    from tractionlab.assess.proof.second_person import PREVIEW

    fill(
        "second.csv",
        lambda row: perfect(items()[row[0]], variant(items()[row[0]], *PREVIEW))[row[1]],
    )


def enter_practicals():
    """All practicals of all candidates are entered, and seen done."""
    key = Path("sitting-march/assessor/sitting.json")
    sitting, store = read_sitting(key), Store("markbook.sqlite")
    for name in sitting.paper["items"]:
        steps = [step["id"] for part in items()[name].fields for step in part.steps]
        for number in sitting.candidates if items()[name].kind == "checklist" else ():
            amend.observe(open_book(store, sitting.id), number, name, steps, "A. Person", "seen")
    store.close()


@pytest.fixture
def sitting_with_guide(tmp_path, monkeypatch):
    """A folder with the roll of the guide."""
    monkeypatch.chdir(tmp_path)
    roll = re.search(
        r"^( +candidate,name.*?)\n\n", GUIDE.read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE
    )[1]
    Path("roll.csv").write_text(
        "\n".join(line.strip() for line in roll.splitlines()), encoding="utf-8"
    )
    return tmp_path


def test_commands_of_the_guide_for_assessors(sitting_with_guide, capsys):
    commands = go_through(
        GUIDE.read_text(encoding="utf-8"),
        capsys,
        {
            "--key second.csv": answer_sheet,
            "mark inbox": hand_in,
            "markbook release": enter_practicals,
            "second --enter": lambda: fill("second-marking/second_marks.csv", lambda row: "1"),
        },
    )
    assert {arguments(one)[1] for one in commands if "markbook" in one} >= {
        "observe",
        "sample",
        "second",
        "compare",
        "statistics",
        "similar",
        "report",
        "release",
        "resit",
        "lock",
        "export",
        "appeal",
        "forget",
    }
    assert list(Path("reports").iterdir()) and list(Path("export").iterdir())


@pytest.mark.parametrize("number", [1, 2])
def test_commands_of_the_notebooks_for_assessors(sitting_with_guide, number, capsys):
    """Text and table of a graded paper's notebook, after its forms have issued and marked."""
    text = markdown(lessons_folder() / "assessor" / f"graded_paper_{number}.ipynb")
    Path("roll.csv").write_text(
        "candidate,name\n001,Invented Person\n002,Another Person\n", encoding="utf-8"
    )
    run(f"{PROGRAM} paper issue graded_{number} --roll roll.csv --out sitting-march", capsys)
    hand_in()
    run(f"{PROGRAM} mark inbox --sitting sitting-march/assessor/sitting.json", capsys)
    with_tables = re.sub(
        r"^\|[^|\n]*\|[^\n]*\|$",
        lambda row: "; ".join(
            f"`{PROGRAM} markbook {words}`"
            for words in re.findall(r"`([^`]*)`", row[0])
            if not words.startswith(PROGRAM)
        ),
        text,
        flags=re.MULTILINE,
    )
    enter_practicals()
    item = read_sitting("sitting-march/assessor/sitting.json").paper["items"][0]
    commands = go_through(
        with_tables.replace("ITEM MARKS", f"{item} 1"),
        capsys,
        {"lock": lambda: run(f"{PROGRAM} markbook release --by NAME", capsys)},
    )
    assert {arguments(one)[1] for one in commands} == {"show", "export", "lock", "forget"}


def test_commands_for_tests_are_taken():
    """They would run this very test, so they are read and not run."""
    found = [
        arguments(one) for one in shown(README.read_text(encoding="utf-8")) if is_of_tests(one)
    ]
    assert [cli.parser().parse_args(words).pytest for words in found] == [[], ["-k", "tyre"]]


def page_of_the_paper(said, child):
    """The page whose address the window shows."""
    deadline = time.monotonic() + 120
    while time.monotonic() < deadline and child.poll() is None:
        if found := re.search(r"The paper is at  (\S+)", Path(said).read_text()):
            return urllib.request.build_opener(urllib.request.HTTPCookieProcessor).open(found[1])
        time.sleep(0.2)
    raise AssertionError("no server came")


def asker(folder, child):
    """What asks the server that writes its data below `folder`, once it answers: it writes its
    address down before it listens there.
    """
    deadline = time.monotonic() + 240
    while time.monotonic() < deadline and child.poll() is None:
        for file in folder.glob("jpserver-*.json"):
            about = json.loads(file.read_text(encoding="utf-8") or "{}")

            def ask(what, about=about):
                address = f"{about['url']}api/{what}?token={about['token']}"
                return json.load(urllib.request.urlopen(address, timeout=20))

            with contextlib.suppress(KeyError, urllib.error.URLError):
                assert "started" in ask("status")
                return ask
        time.sleep(0.2)
    raise AssertionError("no server came")


@pytest.mark.skipif(
    requirements.clone_folder() != ROOT or not requirements.installed_from(ROOT),
    reason="a server needs the course installed from this folder",
)
@pytest.mark.parametrize(
    "text, word", [(README, "open"), (README, "paper office"), (GUIDE, "paper sit")]
)
def test_servers_come_and_go(text, word, sitting_with_guide, capsys):
    """As shown, with a home folder of its own and a browser that does nothing; asked for their
    address, and stopped by Ctrl-C twice as the README says, in the middle of what a page asks
    first and what takes a thread half a second."""
    command = next(
        one
        for one in shown(text.read_text(encoding="utf-8"))
        if one.startswith(f"{PROGRAM} {word}")
    )
    if word == "paper sit":
        run(f"{PROGRAM} paper issue graded_1 --roll roll.csv --out sitting-march", capsys)
        shutil.copytree("sitting-march/candidates/candidate_007", "candidate_007")
    home, runtime = sitting_with_guide / "home", sitting_with_guide / "runtime"
    home.mkdir()
    surroundings = os.environ | {
        "HOME": str(home),
        "JUPYTER_RUNTIME_DIR": str(runtime),
        "BROWSER": "true",
        "TRACTIONLAB_CACHE": str(cache_folder()),
    }
    _, keyboard = os.openpty()
    with open("said.txt", "w") as said:
        child = subprocess.Popen(
            [sys.executable, "-m", "tractionlab", *arguments(command)],
            env=surroundings,
            stdin=keyboard,
            stdout=said,
            stderr=said,
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
        )
        try:
            if word == "paper sit":
                assert b"Cover page" in page_of_the_paper("said.txt", child).read()
            else:
                ask = asker(runtime, child)
                child.send_signal(signal.SIGINT)
                time.sleep(0.5)
                threading.Thread(target=ask, args=["nbconvert"]).start()
                time.sleep(0.2)
            child.send_signal(signal.SIGINT)
            assert child.wait(timeout=20) == 0
        finally:
            child.kill()
    assert "Traceback" not in Path("said.txt").read_text()
    made = (
        home / "tractionlab-course" / "00_start.ipynb",
        home / "tractionlab-assessor" / "graded_paper_1.ipynb",
        Path("candidate_007") / NOTEBOOK,
    )
    assert made[["open", "paper office", "paper sit"].index(word)].is_file()


def test_commands_named_in_the_start_page_exist():
    """The instructor's part names commands without their file names: their help is asked for."""
    found = shown(markdown(lessons_folder() / "00_start.ipynb"))
    assert len(found) >= 4
    for command in found:
        with pytest.raises(SystemExit) as stop:
            cli.main([*arguments(command), "--help"])
        assert stop.value.code == 0
