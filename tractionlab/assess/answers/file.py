"""The answer file of a candidate at work: lines that are only ever added, each with the hash of the
line before. What is acknowledged is on the disk.
"""

import contextlib
import hashlib
import os
from pathlib import Path

from tractionlab import __version__
from tractionlab.assess.answers import line as answer_line
from tractionlab.assess.answers.reading import (
    LONGEST_FILE,
    MOST_LINES,
    AnswerReading,
    check_place,
    read_answers,
)
from tractionlab.written.line_file import Strange, append

#: Lines that answers leave free for what has to come after them, and other lines for the hand in
#: [-]; so many thousand bytes too.
SPARE, LAST = 1000, 10


class AnswerFile:
    """The file of one candidate at work. A damaged end is set aside under a name of its own; the
    rest goes on.

    Attributes
    ----------
    reading : AnswerReading, what the file held when it was last read
    """

    def __init__(self, path, sheet):
        self.path, self.sheet = Path(path), sheet
        self.reading = AnswerReading(last=sheet.seal)
        self._size = 0
        self._refresh()
        if self.reading.lines and not self.reading.handed_in:
            with contextlib.suppress(Strange):  # a full file can still be handed in
                self.add("opened", version=__version__)

    def look(self):
        """Read the file again if somebody else has written into it."""
        with _alone(self.path):
            if (self.path.stat().st_size if self.path.exists() else 0) != self._size:
                self._refresh()

    def _refresh(self):
        """Read the file again; set aside what cannot be trusted."""
        content = self.path.read_bytes() if self.path.exists() else b""
        if not content:
            self.reading, self._size = AnswerReading(last=self.sheet.seal), 0
            return
        self.reading = read_answers(content, self.sheet)
        if self.reading.good < len(content):
            self._set_aside(content[self.reading.good :])
        elif content[-1:] != b"\n":
            append(self.path, b"", sure=True)
            self.reading.good += 1
        self._size = self.path.stat().st_size

    def _set_aside(self, tail):
        number = 1
        while True:
            aside = self.path.with_name(f"{self.path.stem}.aside-{number}")
            try:
                with open(aside, "xb") as file:
                    file.write(tail)
                    file.flush()
                    os.fsync(file.fileno())
                break
            except FileExistsError:
                number += 1
        with open(self.path, "r+b") as file:
            file.truncate(self.reading.good)
            os.fsync(file.fileno())
        if self.reading.lines and not self.reading.handed_in:
            self._write(
                "mended", aside=aside.name, bytes=len(tail), digest=hashlib.sha256(tail).hexdigest()
            )

    def add(self, kind, **content):
        """Add a line and wait until the disk has it. Returns its time.

        Raises OSError if it is not saved, Strange if it may not be.
        """
        with _alone(self.path):
            if (self.path.stat().st_size if self.path.exists() else 0) != self._size:
                self._refresh()
            if self.reading.handed_in:
                raise Strange("after_hand_in", "comes after the work has been handed in")
            return self._write(kind, **content)

    def _write(self, kind, **content):
        raw, digest = answer_line.make(len(self.reading.lines), kind, self.reading.last, **content)
        line, _ = answer_line.read(raw[:-1])
        check_place(line, len(self.reading.lines), self.reading, self.sheet)
        self._check_room(kind, len(raw))
        if not self.path.exists():
            _make_durably(self.path)
        append(self.path, raw, sure=True)
        self.reading.add(line, len(raw), digest)
        self._size = self.path.stat().st_size
        return line["time"]

    def _check_room(self, kind, size):
        """Raise Strange if marking would refuse the file with one more line of so many bytes."""
        spare = 0 if kind == "hand_in" else SPARE if kind in answer_line.WORK else LAST
        if (
            len(self.reading.lines) + 2 + spare > MOST_LINES
            or self.reading.good + size + 1000 * spare > LONGEST_FILE
        ):
            raise Strange(
                "full",
                f"finds no room: an answer file holds at most {MOST_LINES} lines and"
                f" {LONGEST_FILE // 1_000_000} MB. What was saved before is safe and can be handed"
                " in; tell the supervisor",
            )

    def start(self):
        """Begin the sitting: the clock runs from here."""
        return self.add(
            "start",
            format=answer_line.FORMAT,
            sitting=self.sheet.sitting,
            paper=self.sheet.paper,
            candidate=self.sheet.candidate,
        )


def _make_durably(path):
    """Make the empty file so that its name survives a power cut too."""
    path.touch()
    if os.name == "posix":
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


@contextlib.contextmanager
def _alone(path):
    """Keep a second kernel on the same file waiting for its turn."""
    with open(path.with_name(path.name + ".lock"), "a+b") as lock:
        if os.name == "posix":
            import fcntl

            fcntl.flock(lock, fcntl.LOCK_EX)
        else:
            import msvcrt

            msvcrt.locking(lock.fileno(), msvcrt.LK_LOCK, 1)
        yield
