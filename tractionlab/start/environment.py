"""The course's own Python environment: `.venv` in the clone, made, filled and repaired.

Standard library only.
"""

import hashlib
import importlib.metadata
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

from tractionlab.errors import UserError
from tractionlab.progress import run_step
from tractionlab.start.pip_output import explain, pip_words
from tractionlab.start.requirements import clone_folder, installed_from, missing, required

_STAMP = "tractionlab-ready.json"
_UNFINISHED = "tractionlab-unfinished"
_LOG = "tractionlab-install.log"


def ensure(extras=(), installed=True):
    """Make sure that a Python with everything exists; return its path, or None if the present one
    will do.

    `installed=False` is enough for commands that import the package from the clone and start no
    kernel. Raises UserError with the way out."""
    clone = clone_folder()
    if clone is None or (
        not missing(required(clone, extras)) and (not installed or installed_from(clone))
    ):
        return None
    venv = clone / ".venv"
    inside = Path(sys.prefix).resolve() == venv.resolve()
    python = venv_python(venv)
    if not is_ready(venv, clone, extras):
        if not inside:
            make(venv, clone)
        install(venv, clone, extras)
    return None if inside else python


def venv_python(venv):
    """Path of the Python program inside an environment."""
    return venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def stamp_key(clone, version):
    """Changes when the requirements, the place of the clone or the environment's Python (`3.11`)
    change.
    """
    parts = (clone / "pyproject.toml").read_bytes(), str(clone).encode(), version.encode()
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def is_ready(venv, clone, extras):
    """True if the stamp says that everything was installed and the environment's Python runs."""
    try:
        stamp = json.loads((venv / _STAMP).read_text(encoding="utf-8"))
        return (
            not (venv / _UNFINISHED).exists()
            and set(extras) <= set(stamp["extras"])
            and stamp["key"] == stamp_key(clone, version_of(venv))
        )
    except (OSError, ValueError, KeyError, TypeError):
        return False


def version_of(venv):
    """Version of the environment's Python as `3.11`; empty if it does not run or has no pip."""
    probe = (
        "import sys, importlib.util as u; print('%d.%d' % sys.version_info[:2] if"
        " u.find_spec('pip') else '')"
    )
    try:
        answer = subprocess.run(
            [venv_python(venv), "-c", probe], capture_output=True, text=True, timeout=60
        )
    except (OSError, subprocess.TimeoutExpired):
        return ""
    return answer.stdout.strip() if answer.returncode == 0 else ""


def make(venv, clone):
    """Make the environment unless a working one is there; replace a broken or half-made one."""
    if not os.access(clone, os.W_OK):
        raise UserError(
            f"{clone} may not be written to, so the course cannot install itself there. "
            "Copy the course into a folder of your own and start it from there."
        )
    unfinished = (venv / _UNFINISHED).exists()
    ours = unfinished or (venv / "pyvenv.cfg").is_file()
    if venv.exists() and not ours and (not venv.is_dir() or any(venv.iterdir())):
        raise UserError(
            f"{venv} is there but is not a Python environment. Rename or remove it and start again."
        )
    if unfinished or not works(venv):
        if venv.exists():
            print(
                "The environment in .venv is unfinished or broken: making it again.",
                file=sys.stderr,
            )
            shutil.rmtree(venv)
        _create(venv)


def works(venv):
    """True if the environment's Python runs, has pip, and is the version the environment was made
    with.
    """
    version = version_of(venv)
    try:
        made_with = re.search(
            r"^version\s*=\s*(\d+\.\d+)", (venv / "pyvenv.cfg").read_text(), re.MULTILINE
        )
    except OSError:
        return False
    return bool(version and made_with) and made_with.group(1) == version


def _create(venv):
    lacking = [name for name in ("venv", "ensurepip") if importlib.util.find_spec(name) is None]
    if lacking:
        raise UserError(
            f"This Python has no '{lacking[0]}' module. On Debian or Ubuntu:  sudo apt install"
            " python3-venv  (elsewhere: install Python from python.org); then start the same"
            " command again."
        )
    venv.mkdir()
    (venv / _UNFINISHED).touch()
    log = venv / _LOG
    try:
        run_step("Making the environment", [sys.executable, "-m", "venv", str(venv)], log)
    except subprocess.CalledProcessError:
        raise UserError(explain(log, "The environment in .venv could not be made.")) from None


def install(venv, clone, extras):
    """Install the course and what it needs with pip, then write the stamp."""
    log = venv / _LOG
    log.unlink(missing_ok=True)
    (venv / _UNFINISHED).touch()
    wanted = f"{clone}[{','.join(extras)}]" if extras else str(clone)
    command = [
        str(venv_python(venv)),
        "-m",
        "pip",
        "install",
        "--no-input",
        "--disable-pip-version-check",
        "--progress-bar",
        "off",
        "-e",
        wanted,
    ]
    try:
        run_step(
            "Installing the course",
            command,
            log,
            read_line=pip_words,
            environment={"PIP_USER": "0"},
        )
    except subprocess.CalledProcessError:
        (venv / _UNFINISHED).unlink()
        raise UserError(explain(log, "The installation failed.")) from None
    stamp = {"key": stamp_key(clone, version_of(venv)), "extras": list(extras)}
    (venv / _STAMP).write_text(json.dumps(stamp), encoding="utf-8")
    (venv / _UNFINISHED).unlink()


def hand_over(python, arguments):
    """Go on with the same command in another Python.

    On Windows returns its exit code, elsewhere never returns.
    """
    command = [str(python), "-m", "tractionlab", *arguments]
    sys.stdout.flush()
    if os.name != "nt":
        os.execv(python, command)
    child = subprocess.Popen(command)
    while True:
        try:
            return child.wait()
        except KeyboardInterrupt:
            continue
