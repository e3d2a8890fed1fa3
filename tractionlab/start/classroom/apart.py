"""Each learner apart: namespaces, made by bubblewrap (bwrap), in which a learner's server and
lessons work. Inside there are the course and Python, read-only, the learner's own folder and a
small /tmp; no folder, process or socket of anybody else, and nothing of the hub's.

The network is not shut: the hub and browsers reach a server over it, so a learner's code reaches
what the machine reaches, but nothing there answers without the password or token of another.
"""

import contextlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

import tractionlab
from tractionlab.catalogue.places import cache_folder, data_folder, lessons_folder
from tractionlab.run.kernels import source_hash

#: Bytes of /tmp and /dev/shm, each: they are memory.
_SMALL = str(64 * 2**20)
#: What programs read in /etc, none of it secret.
_ETC = (
    "alternatives fonts group hosts ld.so.cache ld.so.conf ld.so.conf.d localtime mime.types"
    " nsswitch.conf passwd resolv.conf ssl ca-certificates"
).split()
_LIBRARIES = ("site-packages", "dist-packages")
_DEVICES = ("null", "zero", "full", "random", "urandom")
#: Where compiled code lies inside.
_COMPILED = "/run/compiled"
_PATIENCE = 20  #: s


class Apart:
    """The namespaces of one learner; they end, and all in them, with `close` or with this process.

    Attributes
    ----------
    pid : int, the process that keeps them open
    """

    def __init__(self, *folders):
        """`folders` may be written to; everything else inside is read-only."""
        ours, its = os.pipe()
        self._keeper = subprocess.Popen(
            [*_words(folders), "--info-fd", str(its), "cat"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            pass_fds=[its],
            # Ctrl-C in the window of the class is the hub's.
            start_new_session=True,
        )
        os.close(its)
        # Once `cat` repeats a line, the namespaces are whole and `cat` is the process in them.
        with contextlib.suppress(BrokenPipeError):
            self._keeper.stdin.write(b"\n")
            self._keeper.stdin.flush()
        if self._keeper.stdout.readline() != b"\n":
            os.close(ours)
            said = self._keeper.communicate(timeout=_PATIENCE)[1].decode(errors="replace").strip()
            raise OSError(said or "bwrap ended without a word")
        with open(ours, encoding="ascii") as info:
            self.pid = int(info.read().partition('"child-pid":')[2].split(",")[0].strip(" \n}"))

    def close(self):
        """End everything inside."""
        with contextlib.suppress(subprocess.TimeoutExpired):
            self._keeper.communicate(timeout=_PATIENCE)
        self._keeper.kill()
        self._keeper.wait()


def why_not():
    """What keeps learners from being apart here, in a few words; "" if they can be."""
    if sys.platform != "linux":
        return "bubblewrap is for Linux"
    if not shutil.which("bwrap"):
        return "bubblewrap, the program bwrap, is not installed"
    try:
        one = Apart()
    except (OSError, subprocess.TimeoutExpired, ValueError) as problem:
        return f"bubblewrap does not work here: {problem}"
    from tractionlab.start.among import fork_among

    keeper = os.pidfd_open(one.pid)
    try:
        child = fork_among(keeper)
        if child == 0:
            os._exit(0)
        if child is None or os.waitpid(child, 0)[1]:
            return "this system does not let a process enter what bubblewrap made"
    finally:
        os.close(keeper)
        one.close()
    return ""


def _words(folders):
    """The command of bubblewrap up to its last options."""
    words = "bwrap --unshare-user --unshare-pid --unshare-ipc"
    words = [*words.split(), "--new-session", "--as-pid-1", "--clearenv", "--cap-drop", "ALL"]
    words += ["--proc", "/proc", "--dir", "/run", "--dir", "/dev"]
    for name in _DEVICES:
        words += ["--dev-bind", f"/dev/{name}", f"/dev/{name}"]
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        words += ["--symlink", f"/proc/self/fd/{number}", f"/dev/{name}"]
    words += ["--symlink", "/proc/self/fd", "/dev/fd"]
    for place in ("/tmp", "/dev/shm"):
        words += ["--size", _SMALL, "--tmpfs", place]
    words += ["--ro-bind", "/usr", "/usr"]
    for name in ("bin", "sbin", "lib", "lib32", "lib64"):
        path = Path("/") / name
        if path.is_symlink():
            words += ["--symlink", os.readlink(path), str(path)]
        elif path.is_dir():
            words += ["--ro-bind", str(path), str(path)]
    for name in _ETC:
        words += ["--ro-bind-try", f"/etc/{name}", f"/etc/{name}"]
    for place in _course_and_python():
        words += ["--ro-bind", str(place), str(place)]
    words += _compiled()
    for folder in folders:
        words += ["--bind", str(folder), str(folder)]
    return words


def _course_and_python():
    """Folders of Python, its libraries and the course, none of them twice."""
    package = Path(tractionlab.__file__).resolve().parent
    found = [Path(sys.prefix), Path(sys.base_prefix)]
    # Other folders that Python looks in hold more than libraries: the one where the class was
    # started, a checkout of the course.
    found += [Path(entry) for entry in sys.path if Path(entry).name in _LIBRARIES]
    kept = []
    for place in sorted([*found, package, data_folder(), lessons_folder()]):
        if not any(place.is_relative_to(other) for other in [*kept, Path("/usr")]):
            kept.append(place)
    return kept


def _compiled():
    """The compiled code, of which each learner may add to a copy that is the learner's alone: what
    one wrote there, another would run.
    """
    whole = cache_folder().absolute() / source_hash()
    if not whole.is_dir():
        return []
    words = ["--ro-bind", str(whole), _COMPILED, "--size", _SMALL, "--tmpfs", str(whole)]
    for path in sorted(whole.rglob("*")):
        if path.is_file():
            inside = path.relative_to(whole)
            words += ["--symlink", f"{_COMPILED}/{inside}", str(path)]
    return words
