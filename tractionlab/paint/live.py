"""The live painter: a widget that draws a View in the browser, with controls beside it."""

from pathlib import Path

import traitlets

from tractionlab.paint.bundle import bundle, sheets
from tractionlab.paint.shared_module import SharedModule
from tractionlab.paint.wire import drawing_of, pack, wiring_drawing_of

_FOLDER = Path(__file__).parent / "js"
CIRCUIT_SHEET = _FOLDER / "circuit.css"
#: Of what fills the screen before a hall.
BIG_STAGE_SHEET = _FOLDER / "big_stage.css"


class LivePicture(SharedModule):
    """A View in the browser.

    `show(view)` replaces it; a second display of the same widget draws the last one.
    """

    module = bundle(
        _FOLDER / "panel.js",
        sheets(
            _FOLDER / "panel.css",
            _FOLDER / "panel_pictures.css",
            _FOLDER / "panel_tables.css",
            CIRCUIT_SHEET,
            BIG_STAGE_SHEET,
            _FOLDER / "big_screen.css",
        ),
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
    keeps = traitlets.Bool(False).tag(sync=True)  # is there a run that can be kept?
    notice = traitlets.Unicode().tag(sync=True)  # what is said when the panel opens
    kept = traitlets.List().tag(sync=True)  # runs as panels/kept.py describes them

    def show(self, view, **more):
        """Draw `view`; `more` travels with it (values, which question it answers)."""
        meta, block = pack(view)
        with self.hold_sync():
            for scene, describe in ((view.circuit, drawing_of), (view.wiring, wiring_drawing_of)):
                if scene is not None and scene.layout != self.drawing.get("layout"):
                    self.drawing = describe(scene)
            self.block = block
            self.picture = {**meta, **more}
