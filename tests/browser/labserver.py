"""A JupyterLab server on a folder of its own, and how to open and run a notebook in it."""
import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import nbformat

from tractionlab.opening import lay_out_notebooks

ROOT = Path(__file__).resolve().parents[2]
SIZE = {"width": 1280, "height": 720}
QUIET = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]


def chromium_path():
    """The browser to use: TRACTIONLAB_CHROMIUM, or the first one on PATH, or None for the one that Playwright installed."""
    found = (shutil.which(name) for name in ("chromium", "chromium-browser", "google-chrome"))
    return os.environ.get("TRACTIONLAB_CHROMIUM") or next((path for path in found if path), None)


def write_notebook(path, cells):
    """Write a notebook of code cells; each cell is a string."""
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(source) for source in cells])
    notebook.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(notebook, path)
    return path


class Lab:
    """A running JupyterLab. `folder` is what it serves; `url(notebook)` opens one."""

    def __init__(self, folder, home, theme="JupyterLab Light"):
        self.folder = Path(folder)
        settings = Path(home) / "settings" / "@jupyterlab" / "apputils-extension"
        settings.mkdir(parents=True)
        (settings / "notification.jupyterlab-settings").write_text('{"fetchNews": "false", "checkForUpdates": false}')
        (settings / "themes.jupyterlab-settings").write_text(json.dumps({"theme": theme}))
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.home = Path(home)
        lay_out_notebooks(self.home / "config")
        paths = [str(ROOT), str(ROOT / "tests"), os.environ.get("PYTHONPATH", "")]
        environment = os.environ | {
            "JUPYTERLAB_SETTINGS_DIR": str(self.home / "settings"), "JUPYTERLAB_WORKSPACES_DIR": str(self.home / "workspaces"),
            "JUPYTER_CONFIG_DIR": str(self.home / "config"), "JUPYTER_DATA_DIR": str(self.home / "data"), "JUPYTER_RUNTIME_DIR": str(self.home / "runtime"),
            "IPYTHONDIR": str(self.home / "ipython"), "PYTHONPATH": os.pathsep.join(p for p in paths if p)}
        self.log = open(self.home / "server.log", "w")
        self.server = subprocess.Popen(
            [sys.executable, "-m", "jupyter", "lab", "--no-browser", "--ip=127.0.0.1", f"--port={self.port}", "--ServerApp.port_retries=0",
             "--IdentityProvider.token=browsertest", f"--ServerApp.root_dir={self.folder}", "--LabApp.expose_app_in_browser=True",
             "--LabApp.custom_css=True",
             "--ServerApp.kernel_websocket_connection_class=tractionlab.connection.PromptConnection", "--allow-root"],
            env=environment, cwd=self.folder, stdout=self.log, stderr=subprocess.STDOUT)
        self._wait()

    def _wait(self):
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline:
            try:
                urllib.request.urlopen(f"http://127.0.0.1:{self.port}/api/status?token=browsertest", timeout=2)
                return
            except OSError:
                time.sleep(0.2)
        raise RuntimeError(f"JupyterLab did not start; see {self.home / 'server.log'}")

    def url(self, notebook):
        return f"http://127.0.0.1:{self.port}/lab/tree/{notebook}?token=browsertest&reset"

    def stop(self):
        self.server.terminate()
        self.server.wait(timeout=20)
        self.log.close()


def open_notebook(page, lab, notebook):
    """Open a notebook and wait until its kernel is ready."""
    page.goto(lab.url(notebook))
    page.wait_for_selector(".jp-NotebookPanel .jp-Cell", timeout=60_000)
    page.wait_for_function(
        "() => window.jupyterapp?.shell?.currentWidget?.sessionContext?.session?.kernel?.status === 'idle'", timeout=60_000)


def run_all_cells(page, timeout=120):
    """Run every cell and wait for the last; fails with the text of the first error output."""
    finished = page.evaluate("() => window.jupyterapp.commands.execute('notebook:run-all-cells').then(() => true)")
    page.wait_for_function("() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.status === 'idle'", timeout=timeout * 1000)
    errors = page.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr'], .jp-OutputArea-output[data-mime-type='application/vnd.jupyter.error']")
    assert errors.count() == 0, errors.first.inner_text()
    return finished


def ids_shown_twice(page):
    """Ids that more than one element of the open notebook has."""
    return page.evaluate("""() => {
        const ids = [...document.querySelectorAll('.jp-NotebookPanel:not(.lm-mod-hidden) [id]')].map((node) => node.id);
        return ids.filter((id, i) => ids.indexOf(id) !== i);
    }""")


def strange_labels(page):
    """Words of labels whose input is missing or belongs to another widget."""
    return page.evaluate("""() => [...document.querySelectorAll('.jp-NotebookPanel:not(.lm-mod-hidden) .jp-OutputArea-output label')]
        .filter((label) => label.textContent.trim() && (!label.control || label.closest('.jp-OutputArea-output') !== label.control.closest('.jp-OutputArea-output')))
        .map((label) => label.textContent)""")
