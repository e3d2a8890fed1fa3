"""The files in a folder of answer files: which ones are read, under what printable name, and what
cannot be read.
"""

import hashlib
import os
import re
import stat
from pathlib import Path

from tractionlab.assess.answers.reading import LONGEST_FILE, claimed
from tractionlab.assess.answers.sent import ADDED, as_written
from tractionlab.assess.sitting.candidate_notebook import NOTEBOOK, SHEET_FILE
from tractionlab.catalogue.places import PRIVATE
from tractionlab.errors import UserError

#: What desk and JupyterLab leave in a candidate's folder beside the answers. When whole folders are
#: collected it is passed over, unless an answer file goes by that name.
_OURS = re.compile(
    rf"{re.escape(NOTEBOOK)}|{re.escape(SHEET_FILE)}|.*\.lock|.*\.aside-\d+"
    rf"|.*-checkpoint\.ipynb|{Path(SHEET_FILE).stem}-checkpoint\.json"
)
_DEEPEST = 8


def answer_files(folder):
    """Pairs (printable name, path) of all files under `folder` in a fixed order, and of what cannot
    be read or looked into, for which `content_of` has the reason. Links are not followed."""
    folder = Path(folder)
    if not folder.is_dir():
        raise UserError(f"{folder} is no folder. Give the folder that holds the answer files.")
    _entries(folder)
    yield from _walk(folder, folder, 0)


def _entries(folder):
    with os.scandir(folder) as entries:
        return sorted(entries, key=lambda entry: os.fsencode(entry.name))


def _walk(top, folder, depth):
    try:
        found = _entries(folder) if depth <= _DEEPEST else None
    except OSError:
        found = None
    if found is None:
        yield _name(top, folder), folder
        return
    for entry in found:
        path = Path(entry.path)
        if entry.is_dir(follow_symlinks=False):
            if entry.name != PRIVATE:
                yield from _walk(top, path, depth + 1)
        elif not _OURS.fullmatch(entry.name) or claimed(content_of(path)[0]):
            yield _name(top, path), path


def _name(top, path):
    return printable(os.path.relpath(path, top).replace(os.sep, "/"))


def printable(name):
    """A file name that harms no table, terminal or page: odd signs as escapes, at most 200
    characters.
    """
    shown = "".join(
        (
            sign
            if sign.isprintable() and sign != "\\" and not 0xD800 <= ord(sign) < 0xE000
            else sign.encode("unicode_escape", "surrogatepass").decode()
        )
        for sign in name
    )
    if len(shown) > 200:
        shown = f"{shown[:150]}...{hashlib.sha256(os.fsencode(name)).hexdigest()[:16]}"
    return shown


def content_of(path):
    """(bytes, "") of a file as the desk wrote it (`sent.py`), or (b"", why not); of one that is too
    long to be read, more than may be read.
    """
    try:
        kind = os.lstat(path).st_mode
        if stat.S_ISDIR(kind):
            os.scandir(path).close()
            return (
                b"",
                (
                    f"It is a folder inside more than {_DEEPEST} others and was not looked into. "
                    "Move its files up, and mark again."
                ),
            )
        if not stat.S_ISREG(kind):
            return b"", "It is a link or no ordinary file, and was not opened."
        with open(path, "rb") as file:
            return as_written(file.read(LONGEST_FILE + ADDED + 1)), ""
    except OSError as problem:
        return b"", f"It cannot be read ({problem.strerror})."
