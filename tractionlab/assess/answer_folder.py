"""The files in a folder of answer files: which ones are read, under what printable name, and what cannot be read."""
import hashlib
import os
import stat
from pathlib import Path

from tractionlab.assess.answer_reading import LONGEST_FILE
from tractionlab.assess.candidate_notebook import NOTEBOOK, SHEET_FILE
from tractionlab.errors import UserError

#: What lies in a candidate's folder beside the answers; passed over when whole folders are collected.
_OURS = {NOTEBOOK, SHEET_FILE}
_DEEPEST = 8


def answer_files(folder):
    """Pairs (printable name, path) of all files under `folder` in a fixed order; links are named but not followed."""
    folder = Path(folder)
    if not folder.is_dir():
        raise UserError(f"{folder} is no folder. Give the folder that holds the answer files.")
    yield from _walk(folder, folder, 0)


def _walk(top, folder, depth):
    with os.scandir(folder) as entries:
        found = sorted(entries, key=lambda entry: os.fsencode(entry.name))
    for entry in found:
        path = Path(entry.path)
        if entry.is_dir(follow_symlinks=False):
            if depth < _DEEPEST and entry.name != ".ipynb_checkpoints":
                yield from _walk(top, path, depth + 1)
        elif entry.name not in _OURS and not entry.name.endswith(".lock") and ".aside-" not in entry.name:
            yield printable(os.path.relpath(path, top).replace(os.sep, "/")), path


def printable(name):
    """A file name that harms no table, terminal or page: odd signs as escapes, at most 200 characters."""
    shown = "".join(sign if sign.isprintable() and sign != "\\" and not 0xD800 <= ord(sign) < 0xE000 else sign.encode("unicode_escape", "surrogatepass").decode()
                    for sign in name)
    if len(shown) > 200:
        shown = f"{shown[:150]}...{hashlib.sha256(os.fsencode(name)).hexdigest()[:16]}"
    return shown


def content_of(path):
    """(bytes, "") of a file, at most one more than may be read, or (b"", why not)."""
    try:
        kind = os.lstat(path).st_mode
        if not stat.S_ISREG(kind):
            return b"", "It is a link or no ordinary file, and was not opened."
        with open(path, "rb") as file:
            return file.read(LONGEST_FILE + 1), ""
    except OSError as problem:
        return b"", f"It cannot be read ({problem.strerror})."
