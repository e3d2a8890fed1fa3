"""What pip says, in words for a learner: each step while it runs, and why an installation failed.

Standard library only.
"""

import re
import sys

from tractionlab.progress import last_lines

#: What a line of pip's output looks like -> the sentence for the learner. First match wins.
_PIP_FAILURES = (
    (
        (
            r"No space left on device|Errno 28\b|WinError 112|Disk quota exceeded|not enough space"
            r" on the disk"
        ),
        "The disk is full. Free about 1.5 GB and start the same command again.",
    ),
    (
        r"CERTIFICATE_VERIFY_FAILED",
        (
            "The network answers with a certificate that Python does not trust, as some school and"
            " company networks do. Ask whoever runs your network for its certificate and set"
            " PIP_CERT to that file, or use another network."
        ),
    ),
    (
        r"NewConnectionError|ConnectTimeoutError|ReadTimeoutError|Max retries exceeded|Failed to"
        r" establish a new connection|"
        r"name resolution|Name or service not known|getaddrinfo failed|Network is"
        r" unreachable|ProxyError|Connection refused|"
        r"Connection reset|RemoteDisconnected|Connection aborted|Read timed out",
        (
            "The packages could not be fetched: no way to the package index on the network. Connect"
            " to the internet (behind a proxy, set HTTPS_PROXY) and start the same command again."
        ),
    ),
    (
        r"Permission denied|Errno 13\b|WinError 5\b|Read-only file system",
        (
            "The installation may not write here. Put the course into a folder of your own and"
            " start again."
        ),
    ),
    (
        (
            r"No matching distribution found|Failed building wheel|Failed to build|requires a"
            r" different Python"
        ),
        (
            "A package of the course is not offered for Python {version} on this machine. Use"
            " Python 3.11 to 3.13 (64 bit)."
        ),
    ),
)


def pip_words(line):
    """Short words for a line of pip's output, or None."""
    if found := re.match(
        r"\s*(Collecting|Downloading|Using cached) ([A-Za-z0-9_.]+?)(?:[-=<>!~ ;\[(]|$)(.*)", line
    ):
        size = re.search(r"\(([\d.]+ [kMG]?B)\)", line)
        verb = "looking for" if found.group(1) == "Collecting" else "fetching"
        return f"{verb} {found.group(2)}" + (f", {size.group(1)}" if size else "")
    if line.startswith("Installing collected packages:"):
        return f"unpacking {line.count(',') + 1} packages, the longest step"
    if "Building" in line or "Preparing" in line or "build dependencies" in line:
        return "preparing the course's own package"
    return None


def explain(log, otherwise):
    """The sentence for a failed step, chosen by its log file, with the log's last lines below."""
    try:
        text = log.read_text(encoding="utf-8", errors="replace")
    except OSError:
        text = ""
    version = ".".join(map(str, sys.version_info[:2]))
    sentence = next(
        (words for pattern, words in _PIP_FAILURES if re.search(pattern, text)), otherwise
    )
    return f"{sentence.format(version=version)}\n{last_lines(log)}\n    (all of it: {log})"
