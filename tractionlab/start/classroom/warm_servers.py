"""A process that has loaded JupyterLab and makes learners' servers of itself by fork, so that a
class that signs in at once does not load all that again for everybody. It is asked as the process
for kernels is (`start/warm_process.py`); an order names a "log" as well, a file in the home.
"""

import contextlib
import gc
import os
import socket
import sys
import tempfile
from importlib import import_module
from pathlib import Path

from tractionlab.start.classroom import learner
from tractionlab.start.classroom.left_behind import end_with_parent
from tractionlab.start.forking import Warm

#: What a server loads until it answers. Not the hub's part: as it is loaded it reads from the
#: environment whose server it is, and with it the path that cookies are kept for.
_NEEDED = (
    "jinja2.ext",
    "jupyterhub.user",
    "jupyterlab.labapp",
    "jupyterlab_server.workspaces_handler",
    "jupyter_core.migrate",
    "jupyter_lsp.virtual_documents_shadow",
    "jupyter_server.kernelspecs.handlers",
    "jupyter_server.nbconvert.handlers",
    "jupyter_server.services.api.handlers",
    "jupyter_server.services.config.handlers",
    "jupyter_server.services.contents.handlers",
    "jupyter_server.services.events.handlers",
    "jupyter_server.services.kernels.handlers",
    "jupyter_server.services.kernelspecs.handlers",
    "jupyter_server.services.nbconvert.handlers",
    "jupyter_server.services.security.handlers",
    "jupyter_server.services.sessions.handlers",
    "jupyter_server.services.shutdown",
    "jupyter_server.view.handlers",
    "jupyter_server_terminals",
    "IPython",
    "ipykernel.kernelspec",
    "nbformat.sign",
    "tornado.platform.asyncio",
    "unittest.mock",
    "tractionlab.start.classroom.whereabouts",
    "tractionlab.start.classroom.flood",
    "tractionlab.start.warm_kernels",
)


def be_server(order):
    """Become the server of the learner whose home is the order's "cwd"."""
    import resource  # not on Windows

    os.setsid()
    if "among" not in order:  # else it ends with those around it
        end_with_parent()
    resource.setrlimit(resource.RLIMIT_DATA, order["data"])
    os.environ.clear()
    os.environ.update(order["env"])
    os.chdir(order["cwd"])
    write_to(order["log"])
    sys.argv = ["learner", *order["argv"]]
    learner.main()


def write_to(log):
    """What this process prints goes into a new file from now on, whatever a learner's code put in
    its place.
    """
    with contextlib.suppress(FileNotFoundError):
        os.unlink(log)
    descriptor = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    os.dup2(descriptor, 1)
    os.dup2(descriptor, 2)


def load():
    """Load what a server needs, and bring a folder of nobody's up to date: what that reads and
    works out is the same for every learner.
    """
    for name in _NEEDED:
        import_module(name)
    with tempfile.TemporaryDirectory() as home:
        before = dict(os.environ)
        os.environ.update(HOME=home, JUPYTER_CONFIG_DIR=home, JUPYTER_DATA_DIR=home)
        learner.prepare(Path(home) / "course")
        os.environ.clear()
        os.environ.update(before)


def main():
    """Load, say so, then make servers."""
    warm = Warm(socket.socket(fileno=0), be_server)
    warm.notice_ends()
    load()
    gc.collect()
    gc.freeze()
    warm.tell(ready=True)
    while True:
        warm.attend()


if __name__ == "__main__":
    main()
