"""Opening the course: learner's copies, environment and its repair, ports, and each failure as one
sentence.
"""

import errno
import hashlib
import json
import os
import shutil
import socket
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tractionlab.__main__ import too_old
from tractionlab.catalogue.places import lessons_folder
from tractionlab.errors import UserError
from tractionlab.lesson.observations import observations
from tractionlab.progress import Progress, run_step
from tractionlab.start import (
    environment,
    learner_folder,
    opening,
    own_notebooks,
    pip_output,
    requirements,
    saving,
)
from tractionlab.written.record import FILE_NAME

ROOT = Path(__file__).resolve().parent.parent
NAMES = ("00_start.ipynb", "01_first.ipynb", "drawings/car.txt")


def notebook(*sources, outputs=()):
    cells = [
        {
            "cell_type": "code",
            "id": f"cell-{n}",
            "source": [text],
            "outputs": list(outputs),
            "execution_count": None,
            "metadata": {},
        }
        for n, text in enumerate(sources)
    ]
    return json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


def ship(lessons, edition):
    for name in NAMES:
        file = lessons / name
        file.parent.mkdir(parents=True, exist_ok=True)
        text = f"{name} edition {edition}"
        file.write_text(notebook(text) if file.suffix == ".ipynb" else text)


@pytest.fixture
def places(tmp_path):
    lessons, folder = tmp_path / "lessons", tmp_path / "mine"
    ship(lessons, 1)
    return lessons, folder


# ---- the learner's copies


def test_first_copy_brings_every_lesson_but_no_record_and_no_checkpoint(places):
    lessons, folder = places
    (lessons / FILE_NAME).write_text("{}")
    (lessons / ".ipynb_checkpoints").mkdir()
    (lessons / ".ipynb_checkpoints" / "old.ipynb").write_text("{}")
    done = learner_folder.bring_up_to_date(lessons, folder)
    assert sorted(done.new) == sorted(NAMES)
    assert sorted(path.name for path in folder.rglob("*.*") if path.is_file()) == [
        "00_start.ipynb",
        "01_first.ipynb",
        "car.txt",
        "shipped.json",
    ]


def test_untouched_copy_is_updated_even_after_it_was_run(places):
    lessons, folder = places
    learner_folder.bring_up_to_date(lessons, folder)
    (folder / NAMES[1]).write_text(notebook(f"{NAMES[1]} edition 1", outputs=["a picture"]))
    ship(lessons, 2)
    done = learner_folder.bring_up_to_date(lessons, folder)
    assert sorted(done.updated) == sorted(NAMES) and not done.beside
    assert "edition 2" in (folder / NAMES[1]).read_text()


def test_edited_copy_stays_and_the_new_edition_comes_beside_it_once(places):
    lessons, folder = places
    learner_folder.bring_up_to_date(lessons, folder)
    (folder / NAMES[1]).write_text(notebook("mine"))
    assert not learner_folder.bring_up_to_date(lessons, folder).beside
    ship(lessons, 2)
    done = learner_folder.bring_up_to_date(lessons, folder)
    assert done.beside == {NAMES[1]: "01_first (new edition).ipynb"}
    assert any("Your changed copy stays" in line for line in opening.told(done, folder))
    assert "mine" in (folder / NAMES[1]).read_text()
    (folder / "01_first (new edition).ipynb").unlink()
    assert not learner_folder.bring_up_to_date(lessons, folder).beside
    ship(lessons, 3)
    assert learner_folder.bring_up_to_date(lessons, folder).beside


def test_a_lost_memory_overwrites_nothing(places):
    lessons, folder = places
    learner_folder.bring_up_to_date(lessons, folder)
    (folder / ".tractionlab" / "shipped.json").write_text("[not, what, it, was]")
    ship(lessons, 2)
    assert len(learner_folder.bring_up_to_date(lessons, folder).beside) == len(NAMES)
    assert "edition 1" in (folder / NAMES[0]).read_text()


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["open", "ship", "edit", "delete", "run", "forget"]), st.integers(0, 9)
    ),
    max_size=14,
)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(STEPS)
def test_no_word_of_the_learner_is_ever_lost(tmp_path, steps):
    shutil.rmtree(tmp_path)
    lessons, folder = tmp_path / "lessons", tmp_path / "mine"
    edition = 1
    ship(lessons, edition)
    learner_folder.bring_up_to_date(lessons, folder)
    kept = {}
    for number, (step, which) in enumerate(steps):
        mine = sorted(folder.glob("*.ipynb"))
        target = mine[which % len(mine)] if mine else None
        if step == "open":
            learner_folder.bring_up_to_date(lessons, folder)
        elif step == "ship":
            edition += 1
            ship(lessons, edition)
        elif step == "forget":
            (folder / ".tractionlab" / "shipped.json").unlink(missing_ok=True)
        elif target and step == "edit":
            word = f"word-{number}"
            target.write_text(target.read_text().replace("edition", f"{word} edition", 1))
            kept.setdefault(target, []).append(word)
        elif target and step == "run":
            target.write_text(target.read_text().replace('"outputs": []', '"outputs": ["seen"]'))
        elif target and step == "delete":
            target.unlink()
            kept.pop(target, None)
        for file, words in kept.items():
            assert all(word in file.read_text() for word in words)
    learner_folder.bring_up_to_date(lessons, folder)
    for file, words in kept.items():
        assert all(word in file.read_text() for word in words)
    if not any(step in ("delete", "forget") for step, _ in steps):
        assert any(
            f"edition {edition}" in file.read_text() for file in folder.glob("00_start*.ipynb")
        )


@pytest.mark.parametrize(
    "where, words", [("lessons", "as they are shipped"), ("a-file", "is a file")]
)
def test_folder_that_cannot_serve(places, where, words):
    lessons, _ = places
    (lessons.parent / "a-file").touch()
    with pytest.raises(UserError, match=f"{words}.*--folder"):
        learner_folder.check_folder(lessons.parent / where, lessons)


def test_folder_without_write_permission(places, monkeypatch):
    lessons, folder = places

    def refuse(self, *args, **kwargs):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(
        UserError, match=r"may not write into .* \(Permission denied\)\. .*--folder"
    ):
        learner_folder.check_folder(folder, lessons)


# ---- the environment


@pytest.fixture
def clone(tmp_path):
    (tmp_path / "pyproject.toml").write_text(
        '[project]\ndependencies = ["pytest>=1"]\n'
        '[project.optional-dependencies]\ntest = ["hypothesis"]\n'
    )
    return tmp_path


@pytest.fixture
def python_311(monkeypatch):
    monkeypatch.setattr(environment, "version_of", lambda venv: "3.11")


def stamped(clone, **changes):
    venv = clone / ".venv"
    venv.mkdir(exist_ok=True)
    stamp = {"key": environment.stamp_key(clone, "3.11"), "extras": []} | changes
    (venv / "tractionlab-ready.json").write_text(json.dumps(stamp))
    return venv


def test_stamp_says_ready(clone, python_311):
    venv = stamped(clone)
    assert environment.is_ready(venv, clone, [])
    assert not environment.is_ready(venv, clone, ["test"])
    assert environment.is_ready(stamped(clone, extras=["test"]), clone, ["test"])


def test_stamp_falls_with_requirements_place_python_and_damage(clone, python_311, monkeypatch):
    venv = stamped(clone)
    assert environment.stamp_key(clone, "3.12") != environment.stamp_key(clone, "3.11")
    (venv / "tractionlab-unfinished").touch()
    assert not environment.is_ready(venv, clone, [])
    (venv / "tractionlab-unfinished").unlink()
    (clone / "pyproject.toml").write_text(
        (clone / "pyproject.toml").read_text().replace(">=1", ">=2")
    )
    assert not environment.is_ready(venv, clone, [])
    for damage in ("", "[]", "{}", '{"extras": 3}'):
        (venv / "tractionlab-ready.json").write_text(damage)
        assert not environment.is_ready(venv, clone, [])
    moved = clone / "moved"
    moved.mkdir()
    shutil.copy(clone / "pyproject.toml", moved)
    assert environment.stamp_key(moved, "3.11") != environment.stamp_key(clone, "3.11")


def test_own_requirements_are_readable_and_versions_compared():
    for text in requirements.required(ROOT, ["test"]):
        requirements.missing([text])
    assert requirements.missing(
        ["pytest>=1", "pytest>=999.1", "pytest==0.1", "no-such-package-here", "hypothesis"]
    ) == ["pytest>=999.1", "pytest==0.1", "no-such-package-here"]


@pytest.mark.parametrize("system, lacking", [("linux", True), ("darwin", True), ("win32", False)])
def test_what_windows_does_without_is_not_missed_there(monkeypatch, system, lacking):
    monkeypatch.setattr(requirements.sys, "platform", system)
    text = "no-such-package-here>=1; sys_platform != 'win32'"
    assert requirements.missing([text]) == [text] * lacking


@pytest.mark.parametrize("state", ["no python", "interrupted", "other python"])
def test_broken_environment_is_made_anew(clone, monkeypatch, state):
    venv = clone / ".venv"
    (venv / "bin").mkdir(parents=True)
    (venv / "pyvenv.cfg").write_text("home = /nowhere\nversion = 3.11.2\n")
    (venv / "old").touch()
    if state == "interrupted":
        (venv / "tractionlab-unfinished").touch()
    monkeypatch.setattr(
        environment,
        "version_of",
        lambda venv: {"no python": "", "interrupted": "3.11", "other python": "3.12"}[state],
    )
    commands = []
    monkeypatch.setattr(
        environment, "run_step", lambda title, command, log, **more: commands.append(command)
    )
    environment.make(venv, clone)
    assert commands == [[sys.executable, "-m", "venv", str(venv)]]
    assert not (venv / "old").exists()


def test_working_environment_of_a_contributor_stays(clone, python_311, monkeypatch):
    venv = clone / ".venv"
    venv.mkdir()
    (venv / "pyvenv.cfg").write_text("version = 3.11.9\n")
    monkeypatch.setattr(environment, "run_step", None)
    environment.make(venv, clone)


def test_foreign_folder_named_venv_is_not_touched(clone):
    (clone / ".venv").mkdir()
    (clone / ".venv" / "letter.txt").touch()
    with pytest.raises(UserError, match="not a Python environment. Rename or remove"):
        environment.make(clone / ".venv", clone)
    assert (clone / ".venv" / "letter.txt").exists()


def test_missing_venv_module_names_the_package(clone, monkeypatch):
    monkeypatch.setattr(
        environment.importlib.util, "find_spec", lambda name: None if name == "ensurepip" else name
    )
    with pytest.raises(UserError, match="no 'ensurepip' module.*apt install python3-venv"):
        environment.make(clone / ".venv", clone)
    assert not (clone / ".venv").exists()


def test_clone_without_write_permission(clone, monkeypatch):
    monkeypatch.setattr(environment.os, "access", lambda path, mode: False)
    with pytest.raises(UserError, match="may not be written to.*folder of your own"):
        environment.make(clone / ".venv", clone)


FAILURES = {
    "WARNING: Retrying: NewConnectionError('Failed to establish a new connection')\n"
    "ERROR: No matching distribution found for x": ("no way to the package index"),
    "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device": (
        "disk is full"
    ),
    "SSLError(SSLCertVerificationError(1, '[SSL: CERTIFICATE_VERIFY_FAILED]'))"
    " Max retries exceeded": ("certificate"),
    "ERROR: [Errno 13] Permission denied: '/usr/lib'": "may not write here",
    "ERROR: No matching distribution found for numba>=0.61": "not offered for Python 3.",
    "something else": "The installation failed",
}


@pytest.mark.parametrize("output", FAILURES)
def test_failed_installation_says_why_and_shows_the_end_of_the_log(
    clone, python_311, monkeypatch, output
):
    venv = stamped(clone)

    def fail(title, command, log, **more):
        log.write_text(output + "\nlast line\n")
        raise subprocess.CalledProcessError(1, command)

    monkeypatch.setattr(environment, "run_step", fail)
    with pytest.raises(UserError) as caught:
        environment.install(venv, clone, [])
    sentence, *rest = str(caught.value).split("\n")
    assert FAILURES[output] in sentence
    assert "last line" in rest[-2] and "tractionlab-install.log" in rest[-1]
    assert not (venv / "tractionlab-unfinished").exists()


def test_interrupted_installation_leaves_its_mark(clone, python_311, monkeypatch):
    venv = stamped(clone)

    def interrupt(*args, **more):
        raise KeyboardInterrupt

    monkeypatch.setattr(environment, "run_step", interrupt)
    with pytest.raises(KeyboardInterrupt):
        environment.install(venv, clone, [])
    assert not environment.is_ready(venv, clone, [])


def test_second_start_runs_no_installer(clone, python_311, monkeypatch):
    stamped(clone)
    monkeypatch.setattr(environment, "clone_folder", lambda: clone)
    monkeypatch.setattr(environment, "run_step", None)
    assert environment.ensure() == environment.venv_python(clone / ".venv")


def test_complete_environment_is_used_as_it_is(clone, monkeypatch):
    monkeypatch.setattr(environment, "clone_folder", lambda: clone)
    monkeypatch.setattr(environment, "installed_from", lambda folder: folder == clone)
    assert environment.ensure(["test"]) is None
    assert not (clone / ".venv").exists()


@pytest.mark.parametrize(
    "line, words",
    [
        ("Collecting numpy>=2.0 (from tractionlab==0.1.0)", "looking for numpy"),
        (
            "  Downloading numpy-2.4.6-cp311-cp311-manylinux_x86_64.whl (16.6 MB)",
            "fetching numpy, 16.6 MB",
        ),
        (
            "  Downloading widgetsnbextension-4.0.16.whl.metadata (1.6 kB)",
            "fetching widgetsnbextension, 1.6 kB",
        ),
        ("Installing collected packages: a, b, c", "unpacking 3 packages, the longest step"),
        ("  Installing build dependencies: started", "preparing the course's own package"),
        ("Requirement already satisfied: x", None),
    ],
)
def test_words_for_the_progress_line(line, words):
    assert pip_output.pip_words(line) == words


@pytest.mark.parametrize(
    "version, sentence",
    [
        ((3, 11, 0), None),
        ((3, 14, 1), None),
        ((3, 10, 9), "needs Python 3.11"),
        ((2, 7, 18), "needs Python 3.11"),
    ],
)
def test_old_python_is_told(version, sentence):
    found = too_old(version)
    assert (
        (found is None)
        if sentence is None
        else (sentence in found and f"{version[0]}.{version[1]}" in found)
    )


def test_progress_line_and_step(tmp_path, capsys):
    with Progress("Working") as progress:
        progress.say("hard")
    run_step(
        "Step", [sys.executable, "-c", "print('words')"], tmp_path / "log", read_line=str.strip
    )
    with pytest.raises(subprocess.CalledProcessError):
        run_step("Bad step", [sys.executable, "-c", "raise SystemExit(3)"], tmp_path / "log")
    shown = capsys.readouterr().err
    assert (
        "Working: done (0:00)" in shown and "Step: done" in shown and "Bad step: stopped" in shown
    )
    assert (tmp_path / "log").read_text() == "words\n"


# ---- JupyterLab


def test_occupied_port_is_named_and_a_free_one_suggested():
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        sentence = opening.port_problem(port)
    suggested = int(sentence.rsplit(" ", 1)[1])
    assert (
        f"Port {port} is taken" in sentence
        and suggested != port
        and opening.port_problem(suggested) is None
    )


def test_first_start_folds_the_list_of_files_and_later_ones_keep_the_window(tmp_path):
    (room,) = (opening.private_settings(tmp_path, []) / "lab" / "workspaces").iterdir()
    assert json.loads(room.read_text())["data"]["layout-restorer:data"]["left"]["collapsed"] is True
    room.write_text('{"data": {}, "metadata": {"id": "default"}}')
    opening.private_settings(tmp_path, [])
    assert json.loads(room.read_text())["data"] == {}


@pytest.mark.parametrize("port", [0, -1, 65536])
def test_impossible_port(port):
    assert "1 to 65535" in opening.port_problem(port)


def test_no_server_starts_other_programs_to_look_for_language_helpers(monkeypatch):
    from jupyter_lsp import LanguageServerManager
    from traitlets.config import Config

    looked = []
    monkeypatch.setattr(
        LanguageServerManager, "_autodetect_language_servers", lambda *_, **__: looked.append(1)
    )
    LanguageServerManager(config=Config(opening.SERVER_SETTINGS)).initialize()
    assert not looked


def test_lab_is_local_on_the_start_page_and_asks_for_no_news(tmp_path):
    arguments = opening.lab_arguments(tmp_path, 8899, browser=False)
    assert (
        "--LabApp.default_url=/lab/tree/00_start.ipynb" in arguments
        and f"--ServerApp.root_dir={tmp_path}" in arguments
    )
    assert (
        "--ServerApp.ip=localhost" in arguments
        and "--no-browser" in arguments
        and "--ServerApp.port_retries=0" in arguments
    )
    assert not any("token" in argument or "password" in argument for argument in arguments)
    assert "--no-browser" not in opening.lab_arguments(tmp_path, None, browser=True)
    chosen = json.loads(
        (
            opening.private_settings(tmp_path, []) / "labconfig" / "default_setting_overrides.json"
        ).read_text()
    )
    assert chosen["@jupyterlab/apputils-extension:notification"]["fetchNews"] == "false"
    assert (
        "--LabApp.custom_css=True" in arguments
        and "Placeholder"
        in (opening.private_settings(tmp_path, []) / "custom" / "custom.css").read_text()
    )


def test_folder_is_checked_before_anything_is_installed(tmp_path):
    args = SimpleNamespace(folder=str(tmp_path / "new"), port=None)
    opening.check(args)
    assert args.folder.is_dir()


# ---- the real command


def command(*arguments, folder=ROOT, **variables):
    return subprocess.run(
        [sys.executable, "-m", "tractionlab", *arguments],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=60,
        env={**os.environ, **variables},
    )


def test_command_with_occupied_port(tmp_path):
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        answer = command("open", "--no-browser", "--port", str(port), "--folder", str(tmp_path))
    assert answer.returncode == 2 and f"Port {port} is taken" in answer.stderr
    assert "Traceback" not in answer.stderr and answer.stderr.count("\n") == 1


@pytest.fixture
def fresh_clone(tmp_path):
    """A clone in which nothing was installed yet."""
    root = tmp_path / "a clone"
    shutil.copytree(
        ROOT / "tractionlab", root / "tractionlab", ignore=shutil.ignore_patterns("__pycache__")
    )
    shutil.copy(ROOT / "pyproject.toml", root)
    (root / "lessons").mkdir()
    return root


def test_command_in_a_clone_whose_venv_is_something_else(fresh_clone):
    (fresh_clone / ".venv").write_text("a letter")
    answer = command("open", "--no-browser", "--folder", "mine", folder=fresh_clone)
    assert (
        answer.returncode == 2
        and "is not a Python environment" in answer.stderr
        and "Traceback" not in answer.stderr
    )
    assert (fresh_clone / ".venv").read_text() == "a letter"


def test_command_on_a_machine_without_the_venv_module(fresh_clone, tmp_path):
    (tmp_path / "sitecustomize.py").write_text("import sys\nsys.modules['ensurepip'] = None\n")
    answer = command(
        "open", "--no-browser", "--folder", "mine", folder=fresh_clone, PYTHONPATH=str(tmp_path)
    )
    assert (
        answer.returncode == 2
        and "apt install python3-venv" in answer.stderr
        and "Traceback" not in answer.stderr
    )
    assert not (fresh_clone / ".venv").exists()


def test_jupyterlab_trusts_the_notebooks_just_copied_and_no_other(places, tmp_path, monkeypatch):
    import nbformat
    from nbformat.sign import NotebookNotary

    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "data"))
    lessons, folder = places
    learner_folder.bring_up_to_date(lessons, folder)
    (folder / NAMES[0]).write_text(notebook("mine"))
    ship(lessons, 2)
    opening.sign(folder, learner_folder.bring_up_to_date(lessons, folder))
    trusted = {
        path.name
        for path in folder.glob("*.ipynb")
        if NotebookNotary().check_signature(nbformat.read(path, as_version=4))
    }
    assert trusted == {"00_start (new edition).ipynb", NAMES[1]}
    own = sorted(lessons_folder().glob("*.ipynb"))
    opening.sign_notebooks(own)
    notary = NotebookNotary()
    assert own and all(notary.check_signature(nbformat.read(path, as_version=4)) for path in own)


# ---- what is saved, and the browser's part of the Start button


def test_no_widget_is_ever_saved_and_kept_text_stays():
    import nbformat

    text = nbformat.v4.new_output(
        "execute_result", {"text/markdown": "You can", "text/plain": "x"}, execution_count=1
    )
    view = nbformat.v4.new_output(
        "display_data",
        {"application/vnd.jupyter.widget-view+json": {"model_id": "1"}, "text/plain": "card"},
    )
    book = nbformat.v4.new_notebook(
        cells=[
            nbformat.v4.new_code_cell("a", outputs=[text, view]),
            nbformat.v4.new_markdown_cell("b"),
        ],
        metadata={"widgets": {"state": {}}},
    )
    saving.pre_save({"type": "notebook", "content": book}, path="x", contents_manager=None)
    assert book.cells[0].outputs == [text] and "widgets" not in book.metadata
    saving.pre_save({"type": "file", "content": "text"}, path="x", contents_manager=None)
    assert saving.strip(book) is False


def test_an_unchanged_lesson_begins_each_day_as_it_is_shipped(places):
    lessons, folder = places
    learner_folder.bring_up_to_date(lessons, folder)
    saved = json.loads((folder / NAMES[0]).read_text())
    saved["metadata"]["widgets"] = {"state": {}}
    (folder / NAMES[0]).write_text(json.dumps(saved))
    done = learner_folder.bring_up_to_date(lessons, folder)
    assert (
        done.fresh == [NAMES[0]]
        and not done.updated
        and (folder / NAMES[0]).read_bytes() == (lessons / NAMES[0]).read_bytes()
    )


def test_damaged_notebooks_stop_no_cleaning(tmp_path):
    for name, content in {
        "a.ipynb": '"widgets"',
        "b.ipynb": '{torn "widgets"',
        "c.ipynb": '["widgets"]',
        "d.ipynb": '{"nbformat": 4, "widgets": 0}',
        "e.ipynb": '{"nbformat": 3, "nbformat_minor": 0, "metadata": {}, "widgets": []}',
    }.items():
        (tmp_path / name).write_text(content)
    saving.clean_folder(tmp_path)
    assert (tmp_path / "b.ipynb").read_text() == '{torn "widgets"'


def test_what_an_older_edition_saved_is_cleaned_and_nothing_else_written(tmp_path, monkeypatch):
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "data"))
    ours, dead = json.loads(notebook("mine")), json.loads(notebook("mine"))
    dead["metadata"]["widgets"] = {"state": {}}
    view = {"application/vnd.jupyter.widget-view+json": {"model_id": "1"}}
    dead["cells"][0]["outputs"] = [{"output_type": "display_data", "metadata": {}, "data": view}]
    for name, book in {"ours.ipynb": ours, "dead.ipynb": dead}.items():
        (tmp_path / name).write_text(json.dumps(book, indent=3))
    saving.clean_folder(tmp_path)
    assert (tmp_path / "ours.ipynb").read_text() == json.dumps(ours, indent=3)
    assert "widget" not in (tmp_path / "dead.ipynb").read_text()


def test_the_page_in_the_browser_is_the_one_of_its_version():
    """Browsers keep these files by their address: whoever changes one gives their folder a new
    version, as in package.json.
    """
    (package,) = opening.PAGE.glob("*/package.json")
    about, (folder,) = json.loads(package.read_text()), (package.parent / "static").iterdir()
    files = sorted(folder.iterdir())
    assert folder.name == about["version"]
    assert package.parent / about["jupyterlab"]["_build"]["load"] in files
    found = hashlib.sha256(b"".join(path.read_bytes() for path in files)).hexdigest()[:16]
    assert found == about["digest"], (
        f"changed: raise the version {about['version']} of the folder and in package.json, and set"
        f" digest to {found}"
    )


def test_notebooks_that_run_by_themselves_are_told_by_what_is_written_in_their_cells(places):
    lessons, folder = places
    path = lessons / NAMES[1]
    book = json.loads(notebook("say('Größe')", outputs=["a picture"]))
    words = {"cell_type": "markdown", "id": "01-10", "source": ["# 1 Grip\n", "\n", "Words."]}
    book["cells"].insert(0, words)
    path.write_text(json.dumps(book))
    settings = opening.private_settings(folder, own_notebooks.notebooks_in(lessons))
    told = json.loads((settings / "labconfig" / "page_config.json").read_text())
    start, first = told[own_notebooks.OPTION]
    text = '[["markdown","# 1 Grip\\n\\nWords."],["code","say(\'Größe\')"]]'
    mark = hashlib.sha256(text.encode()).hexdigest()
    tasks = first.pop("tasks")
    assert first == {"path": NAMES[1], "title": "1 Grip", "print": mark}
    asked = [list(task["runs"].values()) for task in observations()["01-10"].tasks]
    assert tasks == {"01-10": asked} and {"pedal": 100} in asked[1]
    assert start["title"] == "00_start" and start["tasks"] == {}
    book["cells"][1]["source"] = ["say('Größe') "]
    assert own_notebooks.cells_print(book) != mark
    path.write_text(json.dumps(book))
    os.utime(path, ns=(1, 1))
    (_, other) = own_notebooks.page_config(own_notebooks.notebooks_in(lessons))[
        own_notebooks.OPTION
    ]
    assert other["print"] == own_notebooks.cells_print(book), "a new edition is told at once"


def test_closed_and_idle_lessons_end_and_the_page_is_loaded(tmp_path):
    arguments = opening.lab_arguments(tmp_path, None, browser=False)
    assert f"--LabApp.extra_labextensions_path={opening.PAGE}" in arguments
    assert (
        "--MappingKernelManager.cull_idle_timeout=3600" in arguments
        and "--MappingKernelManager.cull_connected=True" in arguments
    )
    assert opening.LAB_SETTINGS["@jupyterlab/notebook-extension:tracker"]["kernelShutdown"] is True
