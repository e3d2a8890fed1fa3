"""What was refused in the exam room: noted in a file, and counted for the supervisor."""

import json
from collections import Counter, deque
from datetime import datetime
from pathlib import Path

from tractionlab.written.line_file import append

#: Lines that one candidate can put into the file; more are counted only, so that nobody fills the
#: disk.
MOST = 2000
#: Attempts that the supervisor's page shows.
_SHOWN = 200


class Attempts:
    """The refused attempts of a sitting.

    Attributes
    ----------
    counts : {who: number of attempts}, `latest` : the last ones, newest first, each a dict of at,
        who, what and why (texts)
    """

    def __init__(self, path):
        self._path = Path(path)
        self.counts, self.latest = Counter(), deque(maxlen=_SHOWN)
        if self._path.is_file():
            for line in self._path.read_text(encoding="utf-8", errors="replace").splitlines():
                try:
                    one = json.loads(line)
                    self._count({name: str(one[name]) for name in ("at", "who", "what", "why")})
                except (ValueError, KeyError, TypeError):  # a line that a power cut left half
                    continue

    def note(self, who, what, why):
        """Somebody tried what nobody may; what and why are cut to a line."""
        one = {
            "at": datetime.now().isoformat(sep=" ", timespec="seconds"),
            "who": who,
            "what": _line(what),
            "why": _line(why),
        }
        self._count(one)
        if self.counts[who] <= MOST:
            append(self._path, json.dumps(one).encode() + b"\n")

    def _count(self, one):
        self.counts[one["who"]] += 1
        self.latest.appendleft(one)


def _line(text):
    return "".join(sign if sign.isprintable() else " " for sign in str(text)[:160])
