"""Widgets whose module a page loads once, however many of them it shows.

A widget of its own would bring its module with it, and a lesson has a dozen panels and thirty
cards. Here the text is one more widget of the kernel; each of the others brings the few lines that
find it, and what the page has loaded of it stays for the next.
"""

import hashlib
from pathlib import Path

import anywidget
import ipywidgets
import traitlets

_FINDER = (Path(__file__).parent / "js" / "finder.js").read_text(encoding="utf-8")
#: {text of a module: its widget}
_texts = {}


class ModuleText(ipywidgets.Widget):
    """The text of a module, in the page and in the kernel."""

    text = traitlets.Unicode(read_only=True).tag(sync=True)

    def __init__(self, text):
        self.set_trait("text", text)
        super().__init__()


class SharedModule(anywidget.AnyWidget):
    """Base of a widget with a module of its own: a subclass has `module`, its text, which a page
    loads once for all widgets that have it.
    """

    module = ""
    module_text = traitlets.Instance(ModuleText, read_only=True).tag(
        sync=True, **ipywidgets.widget_serialization
    )

    def __init_subclass__(cls, **more):
        if "module" in cls.__dict__:
            name = hashlib.sha256(cls.module.encode()).hexdigest()[:16]
            cls._esm = _FINDER.replace("MODULE", name)
        super().__init_subclass__(**more)

    def __init__(self, *args, **state):
        self.set_trait("module_text", _text_of(self.module))
        super().__init__(*args, **state)


def _text_of(module):
    """The widget of a module's text; a new one if the last was closed with its page."""
    if module not in _texts or _texts[module].comm is None:
        _texts[module] = ModuleText(module)
    return _texts[module]
