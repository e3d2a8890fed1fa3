"""The live painter: a widget that draws a View in the browser, with controls beside it."""

import json
from pathlib import Path

import anywidget
import traitlets

from tractionlab.paint.wire import drawing_of, pack, wiring_drawing_of
from tractionlab.view import COLOURS, DASHES, PIPE_LOOKS, PIPE_STEPS

_FOLDER = Path(__file__).parent / "js"
_TOPICS = (
    "make",
    "caller",
    "numbers",
    "wire",
    "controls",
    "legend",
    "chart",
    "charts",
    "road",
    "car",
    "gauges",
    "scene",
    "circuit_shapes",
    "circuit_parts",
    "circuit",
    "wiring",
    "wiring_controls",
    "transport",
    "panel",
)
#: What a widget needs that shows a circuit and nothing else.
CIRCUIT_TOPICS = (
    "make",
    "caller",
    "numbers",
    "wire",
    "controls",
    "legend",
    "charts",
    "circuit_shapes",
    "circuit_parts",
    "circuit",
)


def with_make(*paths):
    """Script of a widget that draws nothing: the maker of elements and the caller, then the files
    one after the other.
    """
    return "\n".join(
        path.read_text(encoding="utf-8")
        for path in (_FOLDER / "make.js", _FOLDER / "caller.js", *paths)
    )


def script(topics=_TOPICS):
    """The browser's part as one module: the topics one after the other."""
    steps = [[None if limit == float("inf") else limit, words] for limit, words in PIPE_STEPS]
    look = "".join(
        f"const {name} = {json.dumps(value)};\n"
        for name, value in (
            ("COLOURS", COLOURS),
            ("DASHES", DASHES),
            ("PIPE_STEPS", steps),
            ("PIPE_LOOKS", PIPE_LOOKS),
        )
    )
    return look + "\n".join(
        (_FOLDER / f"{topic}.js").read_text(encoding="utf-8") for topic in topics
    )


class LivePicture(anywidget.AnyWidget):
    """A View in the browser.

    `show(view)` replaces it; a second display of the same widget draws the last one.
    """

    _esm = script()
    _css = "".join(
        (_FOLDER / f"{name}.css").read_text(encoding="utf-8") for name in ("panel", "circuit")
    )

    title = traitlets.Unicode().tag(sync=True)
    controls = traitlets.List().tag(sync=True)
    picture = traitlets.Dict().tag(sync=True)
    block = traitlets.Bytes().tag(sync=True)
    drawing = traitlets.Dict().tag(sync=True)
    locked = traitlets.Bool(False).tag(sync=True)
    question = traitlets.Unicode().tag(sync=True)
    tried = traitlets.Bool(False).tag(sync=True)
    told = traitlets.Bool(True).tag(sync=True)

    def show(self, view, **more):
        """Draw `view`; `more` travels with it (values, which question it answers)."""
        meta, block = pack(view)
        with self.hold_sync():
            for scene, describe in ((view.circuit, drawing_of), (view.wiring, wiring_drawing_of)):
                if scene is not None and scene.layout != self.drawing.get("layout"):
                    self.drawing = describe(scene)
            self.block = block
            self.picture = {**meta, **more}
