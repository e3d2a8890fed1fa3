"""What a class leaves behind whose process was killed at once (kill -9, a lack of memory): its
proxy still holds the port. The next start of the same class ends it.

Standard library only; on Linux, where processes can be looked up in /proc (proc(5)).
"""

import contextlib
import ctypes
import os
import signal
import sys
import time
from pathlib import Path

#: Settings of the proxy, in the class's own folder; its process names the first.
PROXY_SETTINGS, PROXY_RULES = "proxy.toml", "rules.toml"
_PATIENCE = 5.0  #: s
_PR_SET_PDEATHSIG = 1  #: prctl(2)


def end_proxies(own):
    """End the proxies that serve a class's own folder, and delete their settings, whose password
    another proxy would not know; how many there were. Call it only while no class is served from
    there.
    """
    found = _proxies(os.path.realpath(own / PROXY_SETTINGS))
    for pid in found:
        with contextlib.suppress(ProcessLookupError, PermissionError):
            os.kill(pid, signal.SIGTERM)
    until = time.monotonic() + _PATIENCE
    while _proxies(os.path.realpath(own / PROXY_SETTINGS)) and time.monotonic() < until:
        time.sleep(0.05)
    for name in (PROXY_SETTINGS, PROXY_RULES):
        (own / name).unlink(missing_ok=True)
    return len(found)


def _proxies(settings):
    found = []
    for path in Path("/proc").glob("[0-9]*/cmdline"):
        with contextlib.suppress(OSError):
            words = [os.fsdecode(word) for word in path.read_bytes().split(b"\0")]
            if "--configfile" in words and os.path.realpath(words[-2]) == settings:
                found.append(int(path.parent.name))
    return found


def end_with_parent():
    """Let this process end when the one that made it does, however that ends; on Linux."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, signal.SIGTERM)
