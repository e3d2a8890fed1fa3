"""A page that stays true: it watches the learner's record and draws itself again, whichever
notebook the answer came from.
"""

import os
import threading
from pathlib import Path

import anywidget
import traitlets

from tractionlab.paint.bundle import bundle, sheets
from tractionlab.written.record import my_record

_HERE = Path(__file__).parent
_LOOK_EVERY = 1.0  #: s between looks at the file; a look asks for its size and time of change only


class LivePage(anywidget.AnyWidget):
    """HTML that `draw()` makes from the record. `look()` draws again and sends what is new."""

    _esm = bundle(_HERE / "live.js", sheets(_HERE / "live.css"))
    html = traitlets.Unicode().tag(sync=True)

    def __init__(self, draw):
        self._draw = draw
        super().__init__(html=draw())

    def look(self):
        """Draw from what the record says now; nothing is sent if it is the same."""
        self.html = self._draw()


class _Watch:
    """Tells the pages of this kernel when the record has grown: at once for answers given here,
    within a second for others.
    """

    def __init__(self, record):
        self.record, self.pages, self.lock = record, {}, threading.Lock()
        self.seen = self._signature()
        record.heard.append(self.tell)
        threading.Thread(target=self._look_on, daemon=True).start()

    def _signature(self):
        try:
            found = os.stat(self.record.path)
        except OSError:
            return None
        return found.st_size, found.st_mtime_ns

    def tell(self):
        """Let every page look."""
        with self.lock:
            self.seen = self._signature()
            for page in self.pages.values():
                page.look()

    def _look_on(self):
        idle = threading.Event()
        while not idle.wait(_LOOK_EVERY):
            if self._signature() != self.seen:
                self.tell()


_watches = {}


def live(name, draw):
    """The LivePage of this name; one that was shown before under it is closed."""
    record = my_record()
    if record.path not in _watches:
        _watches[record.path] = _Watch(record)
    watch, page = _watches[record.path], LivePage(draw)
    with watch.lock:
        earlier, watch.pages[name] = watch.pages.get(name), page
    if earlier is not None:
        earlier.close()
    return page
