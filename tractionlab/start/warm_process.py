"""A process that has loaded the course and makes kernels of itself by fork, so that a lesson does
not wait for Python, its libraries and the compiled models (`start/warm_kernels.py` asks it).

It serves one JupyterLab over the socket that is its standard input, and ends with it; called with
the path of a socket it serves those as well that come there, the servers of a class. An order
(`start/forking.py`) for a kernel is {"argv", "env", "cwd", "data"}; `data` is the limit of memory
(soft, hard; bytes).
"""

import contextlib
import gc
import io
import json
import os
import random
import re
import socket
import sys
import tempfile
from importlib import import_module

from tractionlab.start.forking import Warm

#: What a kernel loads until it answers.
_NEEDED = (
    "IPython.core.completerlib",
    "IPython.extensions.storemagic",
    "ipykernel.debugger",
    "ipykernel.kernelapp",
    "matplotlib_inline.backend_inline",
)
#: What holds a panel back until a prediction is written down.
_LOCK = re.compile(r"locked_by=\w+(, )?")
#: So long [s] in all what is shown first waits for kernels that work.
_MOST_WAY = 30.0
#: What is the same for every learner.
_SHOWS = re.compile(r"_panel\(|repair_case\(|\b(reveal|say)\(")


def be_kernel(order):
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
    # What was typed on other days is asked for by nobody, and its file waits for the disk.
    kernel.initialize([*order["argv"], "--HistoryManager.hist_file=:memory:"])
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
    for name in _NEEDED:
        import_module(name)
    import tractionlab.lesson as lesson
    from tractionlab.lesson.exercises import all_exercises
    from tractionlab.lesson.questions import questions
    from tractionlab.start.warm import warm

    _parts(lesson)
    questions()
    all_exercises()
    warm(lambda words: None)


def rehearsals(folder):
    """Show the panels, the cars on the bench and the numbers in the text of the lessons in a folder
    of notebooks, one after the other, to nobody: what they show first is computed and kept. Then
    work out, piece by piece, what later clicks at these cars will need.
    """
    from ipywidgets import Widget

    import tractionlab.lesson as lesson
    from tractionlab.panels.case_ahead import preparing

    cases = []

    def bench(*car, **more):
        shown = lesson.repair_case(*car, **more)
        shown.leave()
        shown.ahead.known()  # waits until its thread has ended: who forks may have no other
        cases.append(shown.case)

    for path in sorted(folder.glob("[0-9][0-9]_*.ipynb")):
        names = _parts(lesson) | {"repair_case": bench}
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            words = "".join(cell["source"])
            if cell["cell_type"] == "code" and _SHOWS.search(words):
                with contextlib.redirect_stdout(io.StringIO()):
                    exec(_LOCK.sub("", words), names)
                Widget.close_all()
                yield path.name
    for case in cases:
        for _ in preparing(case):
            yield case.fault.id


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
    warm = Warm(socket.socket(fileno=0), be_kernel, meeting)
    warm.notice_ends()
    load()
    gc.freeze()
    warm.tell(ready=True)
    home = os.getcwd()
    with tempfile.TemporaryDirectory() as empty:
        os.chdir(empty)
        patience = _MOST_WAY
        for _ in rehearsals():
            warm.attend(0)
            patience -= warm.make_way(patience)
        os.chdir(home)
    gc.collect()
    gc.freeze()
    while True:
        warm.attend()


if __name__ == "__main__":
    main()
