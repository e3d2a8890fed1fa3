"""A fork whose child is one of the processes around another one: it enters the namespaces that
bubblewrap made for that one (`classroom/apart.py`), with their files and processes, and has no
more rights there than any program in them.

Linux 5.8 or newer: setns(2) with the descriptor of a process, pidfd_open(2), capset(2), prctl(2).
"""

import contextlib
import ctypes
import os
import traceback

#: Kinds of namespaces that are entered: mounts, IPC, users, processes (setns(2)).
_ENTERED = 0x00020000 | 0x08000000 | 0x10000000 | 0x20000000
#: prctl(2)
_PR_CAPBSET_DROP, _PR_SET_CHILD_SUBREAPER, _PR_SET_NO_NEW_PRIVS = 24, 36, 38
#: _LINUX_CAPABILITY_VERSION_3 (capset(2)); numbers of capabilities are below 64.
_CAPABILITIES, _HIGHEST = 0x20080522, 64


def fork_among(process):
    """As `os.fork`, with the child among the processes around `process`, a descriptor of one.

    Returns 0 in the child and its process id, as this process sees it, in the parent, whose child
    it is; None in the parent if there is none.
    """
    # Only children of a process that has entered are among the others, so there is one between;
    # when it has ended its child becomes this process's own.
    _library().prctl(_PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0)
    ours, its = os.pipe()
    between = os.fork()
    if between == 0:
        try:
            _enter(process)
            child = os.fork()
        except BaseException:
            traceback.print_exc()
            os._exit(1)
        if child == 0:
            os.close(ours)
            os.close(its)
            return 0
        os.write(its, b"%d" % child)
        os._exit(0)
    os.close(its)
    said = os.read(ours, 32)
    os.close(ours)
    os.waitpid(between, 0)
    # Others who lose their parent are not this process's to bury.
    _library().prctl(_PR_SET_CHILD_SUBREAPER, 0, 0, 0, 0)
    return int(said) if said else None


def _library():
    return ctypes.CDLL(None, use_errno=True)


def _enter(process):
    """Enter, and give up the rights that whoever enters has there."""
    library = _library()
    if library.setns(process, _ENTERED):
        raise OSError(ctypes.get_errno(), "setns")
    for number in range(_HIGHEST):
        library.prctl(_PR_CAPBSET_DROP, number, 0, 0, 0)
    library.prctl(_PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0)
    version, none = (ctypes.c_uint32 * 2)(_CAPABILITIES, 0), (ctypes.c_uint32 * 6)()
    if library.capset(version, none):
        raise OSError(ctypes.get_errno(), "capset")


def seen_inside(pid):
    """Process id of a process as those around it see it; its own if it has ended (proc(5))."""
    with contextlib.suppress(OSError), open(f"/proc/{pid}/status") as file:
        for line in file:
            if line.startswith("NSpid:"):
                return int(line.split()[-1])
    return pid
