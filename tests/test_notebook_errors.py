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

#: Runs every code cell of the notebooks named, as the kernel does, and prints what came of each.
SCRIPT = """
import json, sys
from pathlib import Path
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output

def said(data):
    return 'role="alert"' in data.get("text/html", "")

shell, found = InteractiveShell.instance(), []
for name in sys.argv[1:]:
    shell.reset()
    for cell in json.loads(Path(name).read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code":
            with capture_output() as seen:
                result = shell.run_cell("".join(cell["source"]))
            shown = [output.data for output in seen.outputs]
            found.append({
                "cell": cell["id"],
                "failed": not result.success,
                "text": seen.stdout + seen.stderr,
                "said": [data["text/plain"] for data in shown if said(data)],
                "html": [data.get("text/html", "") for data in shown],
            })
print(json.dumps(found))
"""


def cells(folder, *notebooks, **environment):
    """What each code cell showed."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, *map(str, notebooks)],
        cwd=folder,
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, TRACEBACKS: "", **environment},
    )
    return json.loads(done.stdout.splitlines()[-1])


@pytest.mark.parametrize(
    "name, text, least",
    [
        ("my_vehicles.toml", '[my_van]\nname = "Van"\nlike = "front_petrl"\n', 20),
        ("my_surfaces.toml", "ice = 3", 20),
        ("my_control.toml", '[circit]\nname = "x"\n', 12),
    ],
)
def test_a_bad_own_file_is_one_sentence_in_place_of_each_panel(tmp_path, name, text, least):
    (tmp_path / name).write_text(text, encoding="utf-8")
    found = cells(tmp_path, *sorted(lessons_folder().glob("*.ipynb")))
    assert [one for one in found if one["failed"] or "Traceback" in one["text"]] == []
    said = [words for one in found for words in one["said"]]
    assert "press the button at the top of this page" in str(found)
    assert any(words.startswith(name) for words in said) and str(tmp_path) not in str(said)
    assert len(said) >= least and all(name in words for words in said)


def test_a_sound_folder_says_nothing(tmp_path):
    found = cells(tmp_path, lessons_folder() / "02_open_differential.ipynb")
    assert not any(one["failed"] or one["said"] for one in found)


def test_the_tests_of_the_lessons_see_a_mistake_as_an_error(tmp_path):
    (tmp_path / "my_vehicles.toml").write_text("broken", encoding="utf-8")
    found = cells(tmp_path, lessons_folder() / "02_open_differential.ipynb", **{TRACEBACKS: "1"})
    assert any(one["failed"] for one in found) and not any(one["said"] for one in found)
