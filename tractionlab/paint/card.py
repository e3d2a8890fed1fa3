"""A card: a small form in the notebook with labelled inputs, feedback that is read out, hints and
buttons. It knows no lesson.
"""

from pathlib import Path

import traitlets

from tractionlab.paint.bundle import bundle, sheets
from tractionlab.paint.live import BIG_STAGE_SHEET
from tractionlab.paint.shared_module import SharedModule

_HERE = Path(__file__).parent
#: What every form in the browser looks like: cards, the candidate's desk, the repair case.
FORM_SHEET = _HERE / "form.css"
#: The two sheets of a card.
CARD_SHEETS = (FORM_SHEET, _HERE / "card.css")
_EMPTY = {
    "text": "",
    "data": [],
    "fields": [],
    "message": "",
    "notice": "",
    "buttons": [],
    "hints": [],
    "working": [],
}


class Card(SharedModule):
    """Form in the browser. `face` says what it shows; what is left out is empty:

    title, text : str
    data : list of [label, value]
    fields : list of dicts with name, label, unit, value, fixed, mark ('', 'right', 'wrong',
        'note'), message, and for a choice
        options, a list of [key, words]; `list` True folds them into one box; `words` True for a
        line of text; `ticks` a list of lines to tick, its value "1;3"; `sketch` a dict with x, y,
        points, y_range and truth ([x, y] of a computed curve over it, or None), its value "0;;8"
    waits : bool, True while the explanations further down stay closed
    office : bool, for an assessor's form: long text fields, options in one line
    message, notice : str, read out when they change; buttons : list of [name, words, enabled]
    hints, working : lists of str
    links : list of [words, notebook], may be left out
    hall : bool, True for what an instructor asks a hall: it can fill the screen
    draft : str, name under which the browser keeps what is typed and not yet checked, may be left
        out

    A subclass answers `on_command(name, values)`: the button pressed and what the fields hold.
    """

    module = bundle(
        _HERE / "card.js", sheets(*CARD_SHEETS, BIG_STAGE_SHEET, _HERE / "js" / "big_card.css")
    )
    face = traitlets.Dict().tag(sync=True)

    def __init__(self, face):
        super().__init__(face={**_EMPTY, **face})
        self.on_msg(self._hear)

    def _hear(self, _, message, buffers):
        values = {str(name): str(value) for name, value in message["values"].items()}
        try:
            self.on_command(message["command"], values)
        except Exception as problem:  # the browser waits for an answer, and the log gets the rest
            self.turn(
                message=(
                    f"This did not work ({type(problem).__name__}: {str(problem)[:200]}). Try it "
                    "once more; if it stays so, report it to the makers of the course."
                )
            )
            raise

    def turn(self, **changes):
        """Show the same card with some entries changed."""
        self.face = {**self.face, **changes, "turn": self.face.get("turn", 0) + 1}
