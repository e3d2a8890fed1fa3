"""A user's mistake in a notebook: one sentence in its place, no traceback, and the rest of the
lesson still runs.
"""

import json
import os
import subprocess
import sys

import pytest

from tractionlab.catalogue.places import lessons_folder
from tractionlab.lesson.notebook_errors import TRACEBACKS

#: Runs every code cell of the notebooks named in each of the folders named, as the kernel does, and
#: prints what came of each; what one folder has computed of the course's own the next need not.
SCRIPT = """
import json, os, sys
from pathlib import Path
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output

def said(data):
    return 'role="alert"' in data.get("text/html", "")

def cells(name):
    shell.reset()
    for cell in json.loads(Path(name).read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code":
            with capture_output() as seen:
                result = shell.run_cell("".join(cell["source"]))
            shown = [output.data for output in seen.outputs]
            yield {
                "cell": cell["id"],
                "failed": not result.success,
                "text": seen.stdout + seen.stderr,
                "said": [data["text/plain"] for data in shown if said(data)],
                "html": [data.get("text/html", "") for data in shown],
            }

shell, found = InteractiveShell.instance(), []
folders, names = json.loads(sys.argv[1])
for folder in folders:
    os.chdir(folder)
    found.append([cell for name in names for cell in cells(name)])
print(json.dumps(found))
"""


def cells(folders, *notebooks, **environment):
    """What each code cell showed, in each folder."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, json.dumps([[*map(str, folders)], [*map(str, notebooks)]])],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, TRACEBACKS: "", **environment},
    )
    return json.loads(done.stdout.splitlines()[-1])


#: An own file with a mistake, and least how many panels of the lessons say so.
WRONG = {
    "my_vehicles.toml": ('[my_van]\nname = "Van"\nlike = "front_petrl"\n', 20),
    "my_surfaces.toml": ("ice = 3", 20),
    "my_control.toml": ('[circit]\nname = "x"\n', 12),
}


@pytest.fixture(scope="module")
def wrong(tmp_path_factory):
    """{own file with a mistake: (its folder, what each code cell of all lessons shows there)}."""
    folders = []
    for name, (text, _) in WRONG.items():
        folders.append(tmp_path_factory.mktemp("wrong"))
        (folders[-1] / name).write_text(text, encoding="utf-8")
    found = cells(folders, *sorted(lessons_folder().glob("*.ipynb")))
    return dict(zip(WRONG, zip(folders, found)))


@pytest.mark.parametrize("name", WRONG)
def test_a_bad_own_file_is_one_sentence_in_place_of_each_panel(wrong, name):
    folder, found = wrong[name]
    assert [one for one in found if one["failed"] or "Traceback" in one["text"]] == []
    said = [words for one in found for words in one["said"]]
    assert "press the button at the top of this page" in str(found)
    assert any(words.startswith(name) for words in said) and str(folder) not in str(said)
    assert len(said) >= WRONG[name][1] and all(name in words for words in said)


def test_a_sound_folder_says_nothing(tmp_path):
    (found,) = cells([tmp_path], lessons_folder() / "02_open_differential.ipynb")
    assert not any(one["failed"] or one["said"] for one in found)


def test_the_tests_of_the_lessons_see_a_mistake_as_an_error(tmp_path):
    (tmp_path / "my_vehicles.toml").write_text("broken", encoding="utf-8")
    (found,) = cells(
        [tmp_path], lessons_folder() / "02_open_differential.ipynb", **{TRACEBACKS: "1"}
    )
    assert any(one["failed"] for one in found) and not any(one["said"] for one in found)
