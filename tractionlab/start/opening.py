"""`tractionlab open`: the learner's folder up to date, then JupyterLab on the start page."""

import json
import os
import shutil
import socket
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

from tractionlab.catalogue.places import PRIVATE, lessons_folder
from tractionlab.errors import UserError
from tractionlab.progress import last_lines, run_step
from tractionlab.start.late_parts import LATE_PARTS
from tractionlab.start.learner_folder import bring_up_to_date, check_folder
from tractionlab.start.own_notebooks import notebooks_in, page_config

START_PAGE = "00_start.ipynb"
#: JupyterLab's own settings: ask no news server, look for no new version; light or dark as the
#: learner's machine is; a lesson that is closed ends its kernel.
LAB_SETTINGS = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
    "@jupyterlab/apputils-extension:themes": {"adaptive-theme": True},
    "@jupyterlab/notebook-extension:tracker": {"kernelShutdown": True},
}
#: Settings of the server that every way to the course needs: small pictures go at once, nothing
#: dead is saved.
SERVER_SETTINGS = {
    "ServerApp": {
        "kernel_websocket_connection_class": "tractionlab.start.connection.PromptConnection"
    },
    "FileContentsManager": {"pre_save_hook": "tractionlab.start.saving.pre_save"},
    # No helpers for programs of one's own are looked for: where Node is, that starts it.
    "LanguageServerManager": {"autodetect": False},
}
#: A lesson that nobody has used for an hour ends, even if its tab is open: it holds 225 to 305 MB.
#: Looked at each minute.
_IDLE = ("cull_idle_timeout=3600", "cull_interval=60", "cull_connected=True")
#: Folder with what makes a page of a lesson in the browser, a ready-made JupyterLab extension.
PAGE = Path(__file__).parent / "page"
#: Variables that would lead JupyterLab to other settings or to another kernel than the course's.
_FOREIGN = (
    "JUPYTER_PATH",
    "JUPYTER_CONFIG_PATH",
    "JUPYTERLAB_SETTINGS_DIR",
    "JUPYTERLAB_WORKSPACES_DIR",
)


def default_folder():
    """Where a learner's copies live unless --folder says otherwise."""
    return Path.home() / "tractionlab-course"


def check(args):
    """What can be known before anything is installed: the folder may be written to and the port is
    free.
    """
    args.folder = Path(args.folder).expanduser().absolute() if args.folder else default_folder()
    check_folder(args.folder, lessons_folder())
    if args.port and (problem := port_problem(args.port)):
        raise UserError(problem)


def port_problem(port):
    """The sentence for a port that cannot be used, or None."""
    if not 1 <= port <= 65535:
        return f"--port must be 1 to 65535, got {port}."
    try:
        _try_port(port)
    except PermissionError:
        return (
            f"Port {port} is reserved for the system. Choose one from 1024 to 65535, for example"
            f" --port {free_port(8888)}"
        )
    except OSError:
        return (
            f"Port {port} is taken by another program. Choose another, for example --port"
            f" {free_port(port + 1)}"
        )
    return None


def _try_port(port):
    with socket.socket() as probe:
        if os.name != "nt":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind(("127.0.0.1", port))


def free_port(first):
    """The first port from `first` on that nobody uses, 0 if there is none."""
    for port in [*range(max(first, 1024), min(first + 50, 65536)), *range(8888, 8999)]:
        try:
            _try_port(port)
            return port
        except OSError:
            continue
    return 0


def main(args):
    """Run `open`: returns when the learner stops JupyterLab."""
    copied = bring_up_to_date(lessons_folder(), args.folder)
    for line in told(copied, args.folder):
        print(line)
    from tractionlab.start.saving import clean_folder  # nbformat, there once installed

    sign(args.folder, copied)
    clean_folder(args.folder)
    compile_kernels(args.folder / PRIVATE / "compile.log")
    settings = private_settings(args.folder, notebooks_in(lessons_folder()))
    for variable in _FOREIGN:
        os.environ.pop(variable, None)
    os.environ.update(JUPYTER_CONFIG_DIR=str(settings), JUPYTER_PREFER_ENV_PATH="1")
    print(
        "Opening JupyterLab. Leave this window open; to stop, press Ctrl-C here twice.", flush=True
    )
    from jupyterlab.labapp import LabApp

    LabApp.launch_instance(lab_arguments(args.folder, args.port, args.browser))


def told(copied, folder):
    """The sentences about what was copied."""
    if copied.new:
        yield f"Copied to {folder}: {', '.join(copied.new)}"
    if copied.updated:
        yield f"Brought up to date: {', '.join(copied.updated)}"
    for name, beside in copied.beside.items():
        yield (
            f"There is a new edition of {name}. Your changed copy stays; the new one lies beside"
            f" it: {beside}"
        )


def sign(folder, copied):
    """Tell JupyterLab that the notebooks just copied are the course's own, so that the button at
    their top works without a question.
    """
    sign_notebooks(
        path
        for path in [
            *(folder / name for name in copied.new + copied.updated + copied.fresh),
            *((folder / name).with_name(beside) for name, beside in copied.beside.items()),
        ]
        if path.suffix == ".ipynb"
    )


def sign_notebooks(paths):
    """Sign notebooks that are the course's own, so that nobody has to check their format."""
    # Heavy: JupyterLab's own libraries, and not there before the installation.
    from jupyter_core.paths import jupyter_data_dir
    from nbformat import reader
    from nbformat.sign import NotebookNotary

    own = Path(jupyter_data_dir())
    own.mkdir(mode=0o700, parents=True, exist_ok=True)
    notary = NotebookNotary(data_dir=str(own))
    # Each signature is a change of its own: do not wait for the disk at each of them
    # (sqlite.org/pragma.html, "synchronous"). What a power cut takes is asked for in the page.
    notary.store.db.execute("PRAGMA synchronous=OFF")
    for path in paths:
        notary.sign(reader.reads(path.read_text(encoding="utf-8")))
    notary.store.close()


def compile_kernels(log):
    """Compile the calculations in a process of their own, so that the server stays small."""
    if find_spec("tractionlab.run.kernels") is None:
        raise UserError(
            "This copy of the course is not complete: tractionlab/run/kernels.py is missing. Fetch"
            " it again."
        )
    log.unlink(missing_ok=True)
    code = "from tractionlab.start.warm import warm; warm(lambda text: print(text, flush=True))"
    try:
        run_step(
            "Preparing the calculations", [sys.executable, "-c", code], log, read_line=str.strip
        )
    except subprocess.CalledProcessError:
        raise UserError(
            f"The calculations could not be prepared.\n{last_lines(log)}\n    (all of it: {log})"
        ) from None


def private_settings(folder, own):
    """Folder for JupyterLab's settings that belongs to the course; the learner's own settings stay
    untouched. Notebooks that are as those of the paths `own` run by themselves when opened.
    """
    settings = folder / PRIVATE / "jupyter"
    lab = settings / "labconfig"
    lab.mkdir(parents=True, exist_ok=True)
    told = page_config(own) | LATE_PARTS
    for name, content in {"default_setting_overrides": LAB_SETTINGS, "page_config": told}.items():
        (lab / f"{name}.json").write_text(json.dumps(content), encoding="utf-8")
    lay_out_notebooks(settings)
    show_lessons_wide(settings)
    return settings


def show_lessons_wide(settings):
    """Begin with the list of files folded, so that a lesson has the whole width; how the learner
    leaves the window later is kept.
    """
    from jupyterlab_server.workspaces_handler import WorkspacesManager

    rooms = WorkspacesManager(str(settings / "lab" / "workspaces"))
    if not rooms.list_workspaces():
        layout = {
            "main": {"dock": None},
            "left": {"collapsed": True, "visible": True, "widgets": ["filebrowser"]},
        }
        rooms.save(
            "default",
            json.dumps({"data": {"layout-restorer:data": layout}, "metadata": {"id": "default"}}),
        )


def lay_out_notebooks(settings):
    """Put the course's style sheet for notebooks where JupyterLab's `custom_css` looks for it,
    under the folder of its settings.
    """
    (settings / "custom").mkdir(parents=True, exist_ok=True)
    shutil.copyfile(Path(__file__).parent / "notebook.css", settings / "custom" / "custom.css")


def lab_arguments(folder, port, browser, page=START_PAGE, end_idle=True):
    """Command line for JupyterLab: on this machine only, with its token, in the learner's folder,
    on a page.

    `end_idle` False leaves kernels alone that nobody uses, as in a sitting.
    """
    arguments = [
        f"--LabApp.default_url=/lab/tree/{page}",
        f"--ServerApp.root_dir={folder}",
        "--ServerApp.ip=localhost",
        f"--LabApp.extra_labextensions_path={PAGE}",
        "--LabApp.extension_manager=readonly",
        "--LabApp.custom_css=True",
        "--ServerApp.kernel_manager_class=tractionlab.start.warm_kernels.WarmKernels",
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
        "--ServerApp.log_level=ERROR",
        "--LabApp.log_level=ERROR",
    ]
    arguments += [
        f"--{part}.{name}={value}"
        for part, settings in SERVER_SETTINGS.items()
        for name, value in settings.items()
    ]
    if end_idle:
        arguments += [f"--MappingKernelManager.{setting}" for setting in _IDLE]
    if port:
        arguments += [f"--ServerApp.port={port}", "--ServerApp.port_retries=0"]
    if not browser:
        arguments.append("--no-browser")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        arguments.append("--allow-root")
    return arguments
