"""The file that a candidate sends: a copy of the answer file beside it."""

from tractionlab.assess.answers.check_number import check_number
from tractionlab.written.line_file import write_whole


def copy_name(candidate):
    """Name of the file that a candidate sends."""
    return f"hand_in_{candidate}.jsonl"


def copy_to_send(path, candidate):
    """Write the copy of the answer file at `path`, unless it is there.

    Returns what the desk shows: name and check number of the file to send, the answer file itself
    where there is no room for a copy.
    """
    content, copy = path.read_bytes(), path.with_name(copy_name(candidate))
    found = {"file": copy.name, "number": check_number(content)}
    try:
        if not copy.exists() or copy.read_bytes() != content:
            write_whole(copy, content)
    except OSError as problem:
        found |= {
            "file": path.name,
            "notice": (
                f"No copy to send could be written ({problem.strerror}). Your answer file is"
                " whole: send that one."
            ),
        }
    return found
