"""A JupyterLab server on a folder of its own, and how to open and run a notebook in it."""

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from contextlib import suppress
from pathlib import Path

import nbformat
from wire import free_port

from tractionlab.catalogue.places import lessons_folder
from tractionlab.start.late_parts import LATE_PARTS
from tractionlab.start.opening import (
    PAGE,
    SERVER_SETTINGS,
    bring_up_to_date,
    lab_arguments,
    lay_out_notebooks,
    private_settings,
    sign,
)
from tractionlab.start.own_notebooks import notebooks_in, page_config
from tractionlab.start.saving import clean_folder

ROOT = Path(__file__).resolve().parents[2]
#: The servers of this process listen here, one after the other: to a browser they are one, whose
#: files it need not load again. Where the one is that stays.
PORT, LASTING = free_port(), free_port()
SIZE = {"width": 1280, "height": 720}
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium_path():
    """The browser to use: TRACTIONLAB_CHROMIUM, or the first one on PATH, or None for the one that
    Playwright installed.
    """
    found = (shutil.which(name) for name in ("chromium", "chromium-browser", "google-chrome"))
    return os.environ.get("TRACTIONLAB_CHROMIUM") or next((path for path in found if path), None)


def write_notebook(path, cells):
    """Write a notebook of code cells; each cell is a string."""
    notebook = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(source) for source in cells]
    )
    notebook.metadata["kernelspec"] = {
        "name": "python3",
        "display_name": "Python 3",
        "language": "python",
    }
    nbformat.write(notebook, path)
    return path


def kernel_path():
    """PYTHONPATH for kernels: the course of this clone, and modules of the tests."""
    paths = [str(ROOT), str(ROOT / "tests"), os.environ.get("PYTHONPATH", "")]
    return os.pathsep.join(path for path in paths if path)


def own_port():
    """PORT, or another one while a server is there."""
    with suppress(OSError), socket.create_server(("127.0.0.1", PORT)):
        return PORT
    return free_port()


class Server:
    """A running JupyterLab on `folder`.

    `url(notebook)` opens one; `stop()` ends it and all its kernels.
    """

    def __init__(self, folder, home, port, arguments, **variables):
        self.folder, self.home, self.port = Path(folder), Path(home), port
        environment = os.environ | {
            "JUPYTER_DATA_DIR": str(self.home / "data"),
            "JUPYTER_RUNTIME_DIR": str(self.home / "runtime"),
            "IPYTHONDIR": str(self.home / "ipython"),
            "PYTHONPATH": kernel_path(),
            **variables,
        }
        self.log = open(self.home / "server.log", "a")
        self.server = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "jupyter",
                "lab",
                *arguments,
                "--IdentityProvider.token=browsertest",
                "--LabApp.expose_app_in_browser=True",
            ],
            env=environment,
            cwd=self.folder,
            stdout=self.log,
            stderr=subprocess.STDOUT,
        )
        self._wait()

    def _wait(self):
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline:
            try:
                self.ask("api/status")
                return
            except OSError:
                time.sleep(0.2)
        raise RuntimeError(f"JupyterLab did not start; see {self.home / 'server.log'}")

    def ask(self, path, method="GET", body=None, patience=5):
        """What the server's own interface answers within so many seconds, as data."""
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.port}/{path}",
            method=method,
            data=json.dumps(body).encode() if body else None,
            headers={"Authorization": "token browsertest"},
        )
        with urllib.request.urlopen(request, timeout=patience) as answer:
            text = answer.read()
        return json.loads(text) if text else None

    def url(self, notebook):
        return f"http://127.0.0.1:{self.port}/lab/tree/{notebook}?token=browsertest&reset"

    def clear(self):
        """As new: no kernel, nothing in the folder."""
        for kernel in self.ask("api/kernels"):
            self.ask(f"api/kernels/{kernel['id']}", "DELETE", patience=30)
        for path in self.folder.iterdir():
            shutil.rmtree(path) if path.is_dir() else path.unlink()

    def stop(self):
        self.server.terminate()
        self.server.wait(timeout=60)
        self.log.close()


class Lab(Server):
    """An ordinary JupyterLab with the course's settings and the light theme, on any folder;
    notebooks as those of the paths `own` run by themselves."""

    def __init__(self, folder, home, own=None, port=None):
        home, port = Path(home), port or own_port()
        settings = home / "settings" / "@jupyterlab" / "apputils-extension"
        settings.mkdir(parents=True)
        (settings / "notification.jupyterlab-settings").write_text(
            '{"fetchNews": "false", "checkForUpdates": false}'
        )
        (settings / "themes.jupyterlab-settings").write_text(
            json.dumps({"theme": "JupyterLab Light"})
        )
        lay_out_notebooks(home / "config")
        if own is not None:
            (home / "config" / "labconfig").mkdir()
            (home / "config" / "labconfig" / "page_config.json").write_text(
                json.dumps(page_config(own) | LATE_PARTS)
            )
        shared = [
            f"--{part}.{name}={value}"
            for part, chosen in SERVER_SETTINGS.items()
            for name, value in chosen.items()
        ]
        super().__init__(
            folder,
            home,
            port,
            [
                "--no-browser",
                "--ip=127.0.0.1",
                f"--port={port}",
                "--ServerApp.port_retries=0",
                f"--ServerApp.root_dir={folder}",
                "--LabApp.custom_css=True",
                f"--LabApp.extra_labextensions_path={PAGE}",
                "--ServerApp.kernel_manager_class=tractionlab.start.warm_kernels.WarmKernels",
                *shared,
                "--allow-root",
            ],
            JUPYTERLAB_SETTINGS_DIR=str(home / "settings"),
            JUPYTERLAB_WORKSPACES_DIR=str(home / "workspaces"),
            JUPYTER_CONFIG_DIR=str(home / "config"),
        )


class Course(Server):
    """The server as `open` starts it: the learner's folder brought up to date, with exactly its
    settings. The same folder and port again are the next day; `url` does not reset the window, as a
    learner's address does not."""

    def __init__(self, folder, home, port=None):
        folder, home = Path(folder), Path(home)
        os.environ["JUPYTER_DATA_DIR"] = str(home / "data")
        try:
            sign(folder, bring_up_to_date(lessons_folder(), folder))
            clean_folder(folder)
        finally:
            del os.environ["JUPYTER_DATA_DIR"]
        port = port or own_port()
        super().__init__(
            folder,
            home,
            port,
            lab_arguments(folder, port, browser=False),
            JUPYTER_CONFIG_DIR=str(private_settings(folder, notebooks_in(lessons_folder()))),
            JUPYTER_PREFER_ENV_PATH="1",
        )

    def url(self, notebook):
        return f"http://127.0.0.1:{self.port}/lab/tree/{notebook}?token=browsertest"


def open_notebook(page, lab, notebook):
    """Open a notebook and wait until its kernel is ready."""
    page.goto(lab.url(notebook))
    # Attached, not visible: a page hides the first cell, which has nothing to show.
    page.wait_for_selector(".jp-NotebookPanel .jp-Cell", state="attached", timeout=60_000)
    page.wait_for_function(
        "() => window.jupyterapp?.shell?.currentWidget?.sessionContext?.session?.kernel?.status ==="
        " 'idle'",
        timeout=60_000,
    )


#: What the bar above a lesson says when all of it is there.
READY = "Ready. Read on below."


def page_says(page, words, timeout=90_000):
    """Wait until the bar above the lesson in front says these words."""
    page.locator(".tl-page-said", has_text=words).wait_for(timeout=timeout)


def page_in_front(page, notebook, timeout=60_000):
    """Wait until this notebook is the one in front."""
    page.wait_for_function(
        "(path) => window.jupyterapp?.shell?.currentWidget?.context?.path === path",
        arg=notebook,
        timeout=timeout,
    )


def choose_page(page, title):
    """Open a lesson by the list of the bar."""
    page.locator(".tl-page-bar [popovertarget]").click()
    page.locator("#tl-page-list").get_by_role("button", name=title).click()


def run_all_cells(page, timeout=120):
    """Run every cell and wait for the last; fails with the text of the first error output."""
    finished = page.evaluate(
        "() => window.jupyterapp.commands.execute('notebook:run-all-cells').then(() => true)"
    )
    page.wait_for_function(
        "() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.status ==="
        " 'idle'",
        timeout=timeout * 1000,
    )
    errors = page.locator(
        ".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr'],"
        " .jp-OutputArea-output[data-mime-type='application/vnd.jupyter.error']"
    )
    assert errors.count() == 0, errors.first.inner_text()
    return finished


def guess_by_keyboard(page, card):
    """Write down a prediction, unless that was done before."""
    if card.get_by_text("Written down").count():
        return
    option = card.locator("input[type=radio]")
    if option.count():
        option.first.focus()
        page.keyboard.press("ArrowDown")
    else:
        card.locator("input[type=text]").first.focus()
        page.keyboard.type("7")
    page.keyboard.press("Enter")
    card.get_by_text("Written down").wait_for()


def ids_shown_twice(page):
    """Ids that more than one element of the open notebook has."""
    return page.evaluate("""() => {
        const all = document.querySelectorAll('.jp-NotebookPanel:not(.lm-mod-hidden) [id]');
        const ids = [...all].map((node) => node.id);
        return ids.filter((id, i) => ids.indexOf(id) !== i);
    }""")


def strange_labels(page):
    """Words of labels whose input is missing or belongs to another widget."""
    return page.evaluate(
        """() => {
        const output = '.jp-OutputArea-output', page = '.jp-NotebookPanel:not(.lm-mod-hidden)';
        return [...document.querySelectorAll(`${page} ${output} label`)]
        .filter((label) => label.textContent.trim() &&
            label.closest(output) !== label.control?.closest(output))
        .map((label) => label.textContent);
        }"""
    )
