"""A process that has loaded the course and makes kernels of itself by fork, so that a lesson does
not wait for Python, its libraries and the compiled models (`start/warm_kernels.py` asks it).

It serves one JupyterLab over the socket that is its standard input, and ends with it; called with
the path of a socket it serves those as well that come there, the servers of a class. Lines of JSON:
an order {"argv", "env", "cwd", "data", "until"} is answered by {"pid"}, which is null after the
(monotonic) time `until`; `data` is the limit of memory (soft, hard; bytes); {"gone", "code"} tells
of a kernel that has ended. First of all it says {"ready"}.
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
    """The lines to servers, and their kernels at work."""

    def __init__(self, line, meeting=None, become=None):
        """`line` is a connected stream socket: without it this process ends. `meeting`, a listening
        one, is where others come. A child calls `become(order)`; left out, it is a kernel.
        """
        self._become = become or _be_kernel
        self._own, self._meeting = line, meeting
        self._heard = {line: b""}
        #: {process id of a kernel: line of the server that asked for it}
        self._children = {}
        self._ended, self._wake = os.pipe()
        os.set_blocking(self._ended, False)
        os.set_blocking(self._wake, False)

    def notice_ends(self):
        """Let the end of a kernel wake this process."""
        signal.set_wakeup_fd(self._wake, warn_on_full_buffer=False)
        signal.signal(signal.SIGCHLD, lambda *_: None)

    def tell(self, line=None, **words):
        """Write one line to a server, its own unless another is named."""
        line = line or self._own
        try:
            line.sendall(json.dumps(words).encode() + b"\n")
        except OSError:
            self._hang_up(line)

    def attend(self, patience=None):
        """Do what servers ask for; wait `patience` seconds for it, or until there is something.
        Ends the process when its own server has gone.
        """
        doors = [self._meeting] if self._meeting else []
        ready, _, _ = select.select([*self._heard, *doors, self._ended], [], [], patience)
        if self._ended in ready:
            self._bury()
        for line in ready:
            if line is self._meeting:
                newcomer, _ = line.accept()
                self._heard[newcomer] = b""
                self.tell(newcomer, ready=True)
            elif line in self._heard:
                self._listen(line)

    def _listen(self, line):
        said = b""
        with contextlib.suppress(ConnectionResetError):
            said = line.recv(1 << 16)
        if not said:
            return self._hang_up(line)
        *orders, self._heard[line] = (self._heard[line] + said).split(b"\n")
        for order in orders:
            try:
                self._bear(line, json.loads(order))
            except (ValueError, KeyError, TypeError):  # not one of the course's servers
                return self._hang_up(line)

    def _hang_up(self, line):
        """A server has gone, and its kernels with it; with the own one, everything."""
        if line is self._own:
            sys.exit()
        if self._heard.pop(line, None) is not None:
            line.close()
        for pid in [pid for pid, asker in self._children.items() if asker is line]:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGTERM)

    def _bury(self):
        with contextlib.suppress(BlockingIOError):
            os.read(self._ended, 4096)
        for pid, line in list(self._children.items()):
            gone, status = os.waitpid(pid, os.WNOHANG)
            if gone:
                del self._children[pid]
                if line in self._heard:
                    self.tell(line, gone=pid, code=os.waitstatus_to_exitcode(status))

    def _bear(self, line, order):
        pid = os.fork() if time.monotonic() < order["until"] else None
        if pid is None:
            return self.tell(line, pid=None)
        if pid:
            self._children[pid] = line
            return self.tell(line, pid=pid)
        try:
            self._forget()
            self._become(order)
        except BaseException:  # nothing of the parent's stack may run in the child
            traceback.print_exc()
        finally:
            os._exit(0)

    def _forget(self):
        signal.set_wakeup_fd(-1)
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        nothing = os.open(os.devnull, os.O_RDWR)
        sockets = [*self._heard, *([self._meeting] if self._meeting else [])]
        for descriptor in (*(one.fileno() for one in sockets), self._ended, self._wake):
            os.dup2(nothing, descriptor)


def _be_kernel(order):
    import resource  # not on Windows

    import numpy  # loaded long ago; the command line reads this module before anything is there
    from ipykernel.kernelapp import IPKernelApp

    os.setsid()
    resource.setrlimit(resource.RLIMIT_DATA, order["data"])
    os.environ.clear()
    os.environ.update(order["env"])
    os.chdir(order["cwd"])
    random.seed()
    numpy.random.seed()
    sys.argv = ["ipykernel_launcher", *order["argv"]]
    # A kernel ends when the process that made it is gone.
    kernel = IPKernelApp.instance(parent_handle=os.getppid())
    kernel.initialize(order["argv"])
    _set_up_late()
    kernel.start()


def _set_up_late():
    """Set up in the kernel what modules set up when they are loaded in one: these were loaded
    before there was any.
    """
    if "ipywidgets" in sys.modules:
        sys.modules["ipywidgets"].register_comm_target()
    if "tractionlab.lesson" in sys.modules:
        from tractionlab.lesson.notebook_errors import install

        install()


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


def of_the_lessons():
    """The rehearsals of the course's own lessons."""
    from tractionlab.catalogue.places import lessons_folder

    return rehearsals(lessons_folder())


def _parts(lesson):
    return {name: getattr(lesson, name) for name in lesson.__all__}


def main(load=load, rehearsals=of_the_lessons):
    """Load, say so, then make kernels; what is shown first is computed in between."""
    meeting = None
    if len(sys.argv) > 1:
        meeting = socket.socket(socket.AF_UNIX)
        meeting.bind(sys.argv[1])
        meeting.listen(64)
    warm = Warm(socket.socket(fileno=0), meeting)
    warm.notice_ends()
    load()
    gc.freeze()
    warm.tell(ready=True)
    home = os.getcwd()
    with tempfile.TemporaryDirectory() as empty:
        os.chdir(empty)
        for _ in rehearsals():
            warm.attend(0)
        os.chdir(home)
    gc.collect()
    gc.freeze()
    while True:
        warm.attend()


if __name__ == "__main__":
    main()
