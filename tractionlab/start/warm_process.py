"""A process that has loaded the course and makes kernels of itself by fork, so that a lesson does
not wait for Python, its libraries and the compiled models (`start/warm_kernels.py` asks it).

It serves one JupyterLab over the socket that is its standard input, and ends with it. Lines of JSON
there: an order {"argv", "env", "cwd", "until"} is answered by {"pid"}, which is null after the
(monotonic) time `until`; {"gone", "code"} tells of a kernel that has ended. First of all it says
{"ready"}.
"""

import contextlib
import gc
import io
import json
import os
import random
import re
import select
import signal
import socket
import sys
import tempfile
import time
import traceback

#: What holds a panel back until a prediction is written down.
_LOCK = re.compile(r"locked_by=\w+(, )?")


class Warm:
    """The line to the server, and the kernels at work."""

    def __init__(self, line):
        """`line` is a connected stream socket."""
        self._line, self._heard = line, b""
        self._children = set()
        self._ended, self._wake = os.pipe()
        os.set_blocking(self._ended, False)
        os.set_blocking(self._wake, False)

    def notice_ends(self):
        """Let the end of a kernel wake this process."""
        signal.set_wakeup_fd(self._wake, warn_on_full_buffer=False)
        signal.signal(signal.SIGCHLD, lambda *_: None)

    def tell(self, **words):
        """Write one line to the server; ends the process when the server has gone."""
        try:
            self._line.sendall(json.dumps(words).encode() + b"\n")
        except OSError:
            sys.exit()

    def attend(self, patience=None):
        """Do what the server asks for; wait `patience` seconds for it, or until there is
        something. Ends the process when the server has gone.
        """
        ready, _, _ = select.select([self._line, self._ended], [], [], patience)
        if self._ended in ready:
            self._bury()
        if self._line in ready:
            said = self._hear()
            *orders, self._heard = (self._heard + said).split(b"\n")
            for order in orders:
                self._bear(json.loads(order))

    def _hear(self):
        with contextlib.suppress(ConnectionResetError):
            if said := self._line.recv(1 << 16):
                return said
        sys.exit()

    def _bury(self):
        with contextlib.suppress(BlockingIOError):
            os.read(self._ended, 4096)
        for pid in list(self._children):
            gone, status = os.waitpid(pid, os.WNOHANG)
            if gone:
                self._children.discard(pid)
                self.tell(gone=pid, code=os.waitstatus_to_exitcode(status))

    def _bear(self, order):
        pid = os.fork() if time.monotonic() < order["until"] else None
        if pid is None:
            return self.tell(pid=None)
        if pid:
            self._children.add(pid)
            return self.tell(pid=pid)
        try:
            self._forget()
            _be_kernel(order)
        except BaseException:  # nothing of the parent's stack may run in the child
            traceback.print_exc()
        finally:
            os._exit(0)

    def _forget(self):
        signal.set_wakeup_fd(-1)
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        nothing = os.open(os.devnull, os.O_RDWR)
        for descriptor in (self._line.fileno(), self._ended, self._wake):
            os.dup2(nothing, descriptor)


def _be_kernel(order):
    import numpy  # loaded long ago; the command line reads this module before anything is there
    from ipykernel.kernelapp import IPKernelApp

    os.setsid()
    os.environ.clear()
    os.environ.update(order["env"])
    os.chdir(order["cwd"])
    random.seed()
    numpy.random.seed()
    sys.argv = ["ipykernel_launcher", *order["argv"]]
    # A kernel ends when the process that made it is gone.
    IPKernelApp.launch_instance(order["argv"], parent_handle=os.getppid())


def load():
    """Load what a kernel and a lesson need."""
    import ipykernel.zmqshell  # noqa: F401  (loaded for the kernels to come)
    import matplotlib_inline.backend_inline  # noqa: F401

    import tractionlab.lesson as lesson
    from tractionlab.start.warm import warm

    _parts(lesson)
    warm(lambda words: None)


def rehearsals(folder):
    """Show the panels of the lessons in a folder of notebooks, one after the other, to nobody: what
    they show first is computed and kept.
    """
    from ipywidgets import Widget

    import tractionlab.lesson as lesson

    for path in sorted(folder.glob("[0-9][0-9]_*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            words = "".join(cell["source"])
            if cell["cell_type"] == "code" and "_panel(" in words:
                with contextlib.redirect_stdout(io.StringIO()):
                    exec(_LOCK.sub("", words), _parts(lesson))
                Widget.close_all()
                yield path.name


def _parts(lesson):
    return {name: getattr(lesson, name) for name in lesson.__all__}


def main():
    """Load, say so, then make kernels; what lessons show first is computed in between."""
    from tractionlab.catalogue.places import lessons_folder

    warm = Warm(socket.socket(fileno=0))
    warm.notice_ends()
    load()
    gc.freeze()
    warm.tell(ready=True)
    home = os.getcwd()
    with tempfile.TemporaryDirectory() as empty:
        os.chdir(empty)
        for _ in rehearsals(lessons_folder()):
            warm.attend(0)
        os.chdir(home)
    gc.collect()
    gc.freeze()
    while True:
        warm.attend()


if __name__ == "__main__":
    main()
