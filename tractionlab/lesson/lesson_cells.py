"""The cells of a lesson with their results, run for paper with nobody's record."""

import ast
import json
import tempfile
from contextlib import chdir

from tractionlab.catalogue.places import lessons_folder

#: What only a screen can do, and the words that stand for it on paper.
_ON_SCREEN = {
    "repair_case": "a repair case. For paper: python3 -m tractionlab case new, then case sheet",
    "service_work": "choose the steps of the work in their order",
    "what_next": "",
}


class OnScreen:
    """Stands for what only a screen can do: its `kind`, and its `words` on paper."""

    def __init__(self, kind, words):
        self.kind, self.words = kind, words


def results(entry):
    """(id, text or result) of each cell of a lesson, run with nobody's record."""
    cells = json.loads((lessons_folder() / entry["notebook"]).read_text(encoding="utf-8"))["cells"]
    on_screen = {
        name: lambda *_, name=name, words=words, **__: OnScreen(name, words)
        for name, words in _ON_SCREEN.items()
    }
    with tempfile.TemporaryDirectory() as nobody, chdir(nobody):
        names = {}
        for cell in cells:
            names |= on_screen
            source = "".join(cell["source"])
            result = source if cell["cell_type"] == "markdown" else _value(source, names)
            yield cell["id"], getattr(result, "panel", result)


def _value(source, names):
    """Run a cell of the course; the value of its last expression, or None."""
    tree = ast.parse(source)
    last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
    exec(compile(tree, "<lesson>", "exec"), names)
    return (
        None
        if last is None
        else eval(compile(ast.Expression(last.value), "<lesson>", "eval"), names)
    )
