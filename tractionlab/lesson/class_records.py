"""The learners' records of a class: read once from files that came by mail or stick, or read on as
they grow in the folder of a class server. Any of them may be damaged, huge or hostile.
"""

import codecs
import os
import re
import stat
from pathlib import Path
from typing import NamedTuple

from tractionlab.lesson.next_group import EARLIER
from tractionlab.lesson.questions import questions
from tractionlab.lesson.start import lessons
from tractionlab.written.record import FILE_NAME, read_lines

#: A larger file is no record: a year of lessons makes some hundred kilobytes.
LARGEST = 5_000_000
#: Endings of whole mails, of packed files, and of records that a mail program renamed.
_AS_MAIL_HAS_IT = (".eml", ".msg", ".mbox", ".zip", ".gz", ".7z", ".rar", ".txt")
#: An open that follows no link and waits for nobody, where the system has such a thing.
_CAREFULLY = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)


class Learner(NamedTuple):
    """One record: where it lies in the folder, and its readable lines in order."""

    name: str
    lines: list


def read_class(folder):
    """(Learners, remarks on files that are damaged or no record) of all `.jsonl` files below a
    folder. Of two records of one learner the longer one counts.
    """
    found, remarks = {}, list(_not_read(folder))
    for path in sorted(folder.rglob("*.jsonl")):
        place = path.relative_to(folder)
        if EARLIER in place.parts:
            continue
        name, (lines, damaged, problem) = plain(place), _read(path)
        if problem:
            remarks.append(f"{name}: {problem}")
            continue
        if damaged:
            remarks.append(f"{name}: {damaged} damaged of {damaged + len(lines)} lines left out")
        key = next((line["answer"] for line in lines if line["kind"] == "key"), name)
        if key in found:
            shorter, longer = sorted(
                [found[key], Learner(name, lines)], key=lambda one: len(one[1])
            )
            remarks.append(f"{shorter.name}: the same learner as {longer.name}, which has more")
            found[key] = longer
        else:
            found[key] = Learner(name, lines)
    return sorted(found.values()), remarks


def _not_read(folder):
    """Remarks on what came by mail under another ending."""
    for path in sorted(folder.rglob("*")):
        place = path.relative_to(folder)
        hidden = any(part.startswith(".") for part in place.parts)
        if not hidden and path.suffix.lower() in _AS_MAIL_HAS_IT and path.is_file():
            yield (
                f"{plain(place)}: not read. If a record is in it, take it out,"
                " or let the name end in .jsonl"
            )


def _read(path):
    """(lines, number of damaged ones, what is wrong with the file or an empty text)."""
    try:
        if path.is_symlink() or not path.is_file():
            return [], 0, "not an ordinary file"
        if path.stat().st_size > LARGEST:
            return [], 0, f"larger than {LARGEST // 1_000_000} MB, so no record"
        # A mark that a mail program may put before text would cost the first line.
        lines, damaged = read_lines(path.read_bytes().removeprefix(codecs.BOM_UTF8))
    except OSError as error:
        return [], 0, f"cannot be read ({error.strerror})"
    known = [line for line in lines if _belongs(line)]
    if not known:
        return [], 0, "no line of a learner's record in it"
    return known, damaged + len(lines) - len(known), ""


def _belongs(line):
    """Could the course have written this line?"""
    hints = line.get("hints", 0)
    return (
        0 <= line["lesson"] <= len(lessons())
        and type(hints) is int
        and 0 <= hints <= 3
        and type(line.get("right", False)) is bool
        and (
            line["question"] in questions()
            if line["kind"] in ("prediction", "question")
            else line["kind"] != "exercise" or re.fullmatch(r"[\w.-]{1,80}", line["question"])
        )
    )


def plain(path):
    """A path in words that a window prints as they are."""
    words = path.parent if path.name == FILE_NAME and path.parent.name else path
    return "".join(letter if letter.isprintable() else "?" for letter in str(words))


def opened(path):
    """(descriptor, its status) of an ordinary file, which the caller closes. OSError for anything
    else: a link, a pipe, a folder.
    """
    descriptor = os.open(path, _CAREFULLY)
    found = os.fstat(descriptor)
    if not stat.S_ISREG(found.st_mode):
        os.close(descriptor)
        raise OSError(f"{path} is not an ordinary file")
    return descriptor, found


class GrowingRecord:
    """A record that somebody is writing: `look()` reads what has been added since."""

    def __init__(self, path):
        self.path = Path(path)
        self._begin(None)

    def _begin(self, identity):
        self._identity, self._at, self._torn, self.lines = identity, 0, b"", []

    def look(self):
        """All whole lines that the course could have written. A record that was put aside, made
        anew or cut is read from its start; one that cannot be read counts as empty.
        """
        try:
            descriptor, found = opened(self.path)
        except OSError:
            self._begin(None)
            return self.lines
        with open(descriptor, "rb") as file:
            identity = found.st_dev, found.st_ino
            if identity != self._identity or found.st_size < self._at:
                self._begin(identity)
            if self._at < found.st_size <= LARGEST:
                file.seek(self._at)
                new = file.read(found.st_size - self._at)
                self._at += len(new)
                whole, _, self._torn = (self._torn + new).rpartition(b"\n")
                self.lines += filter(_belongs, read_lines(whole)[0])
        return self.lines
