"""The live painter: a widget that draws a View on canvases in the browser, with controls beside it."""
from pathlib import Path

import anywidget
import traitlets

from tractionlab.paint.wire import pack
from tractionlab.view import COLOURS, DASHES

_FOLDER = Path(__file__).parent / "js"
_TOPICS = ("numbers", "wire", "controls", "legend", "chart", "charts", "road", "car", "gauges", "scene", "transport", "panel")


def script():
    """The browser's part as one module: the topics one after the other."""
    look = f"const COLOURS = {list(COLOURS)!r};\nconst DASHES = {[list(d) for d in DASHES]!r};\n"
    return look + "\n".join((_FOLDER / f"{topic}.js").read_text(encoding="utf-8") for topic in _TOPICS)


class LivePicture(anywidget.AnyWidget):
    """A View in the browser. `show(view)` replaces it; a second display of the same widget draws the last one."""

    _esm = script()
    _css = (_FOLDER / "panel.css").read_text(encoding="utf-8")

    title = traitlets.Unicode().tag(sync=True)
    controls = traitlets.List().tag(sync=True)
    picture = traitlets.Dict().tag(sync=True)
    block = traitlets.Bytes().tag(sync=True)
    locked = traitlets.Bool(False).tag(sync=True)
    question = traitlets.Unicode().tag(sync=True)

    def show(self, view, **more):
        """Draw `view`; `more` travels with it (values, which question it answers)."""
        meta, block = pack(view)
        with self.hold_sync():
            self.block = block
            self.picture = {**meta, **more}
