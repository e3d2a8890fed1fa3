"""JavaScript modules, or style sheets -> the one text that a widget needs.

A widget is loaded from a single text, so what its module imports is put before it: each file once,
in a scope of its own, after the files that it imports. The files themselves stay plain modules that
every tool for JavaScript reads. Of the language's imports and exports this knows the few forms
that the course uses, and refuses the rest.
"""

import hashlib
import json
import re
from pathlib import Path

_IMPORT = re.compile(r'^import \{([^}]*)\} from "(\.[^"]+\.js)";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:function|class|const) (\w+))", re.MULTILINE)
_UNKNOWN = re.compile(r"^(?:import|export)\b.*", re.MULTILINE)
#: Last line of a widget's own module.
_DEFAULT = re.compile(r"^export default \{ \w+ \};\n", re.MULTILINE)


#: Puts a style sheet into the document, unless it is there.
_DRESS = """if (!document.getElementById({name})) {{
document.head.append(Object.assign(document.createElement("style"), {{ id: {name},
textContent: {sheet} }}));
}}
"""


def bundle(path, sheet=""):
    """Text of the module at `path`, a widget's, with all that it imports and its style sheet.

    A page with thirty cards has the sheet once: each time it is set, the browser works out the
    looks of the whole page anew.

    Raises ValueError at an import or export in another form, at an import of what is not exported
    (an `export` hands out one name), or when files import each other in a circle.
    """
    return _dress(sheet) + "".join(_modules(Path(path).resolve(), [], {}))


def sheets(*paths):
    """The one style sheet that a widget needs, of several files."""
    return "".join(Path(path).read_text(encoding="utf-8") for path in paths)


def _dress(sheet):
    if not sheet:
        return ""
    name = "tl-sheet-" + hashlib.sha256(sheet.encode()).hexdigest()[:16]
    return _DRESS.format(name=json.dumps(name), sheet=json.dumps(sheet))


def _modules(path, above, known):
    """Pieces of the text in order: what `path` imports, then itself. `known`: {path: number} of
    what is there already.
    """
    if path in above:
        raise ValueError(f"{path.name} imports itself by way of {above[-1].name}")
    text = path.read_text(encoding="utf-8")
    found = [(names, (path.parent / other).resolve()) for names, other in _IMPORT.findall(text)]
    for _, other in found:
        if other not in known:
            yield from _modules(other, [*above, path], known)
    for names, other in found:
        missing = set(re.findall(r"\w+", names)) - set(_exports(other))
        if missing:
            raise ValueError(f"{other.name} does not export {', '.join(sorted(missing))}")
    taken = "".join(f"const {{{names}}} = module{known[other]};\n" for names, other in found)
    body = _plain(path, text)
    if not above:
        yield taken + body + "".join(_DEFAULT.findall(text))
        return
    known[path] = len(known)
    names = ", ".join(_exports(path))
    yield f"const module{known[path]} = (() => {{\n{taken}{body}return {{ {names} }};\n}})();\n"


def _exports(path):
    """Names that a module hands out, one for each `export`."""
    return _EXPORT.findall(path.read_text(encoding="utf-8"))


def _plain(path, text):
    """The text without imports and exports."""
    body = _DEFAULT.sub("", _EXPORT.sub("", _IMPORT.sub("", text)))
    if unknown := _UNKNOWN.search(body):
        raise ValueError(f"{path.name}: cannot bundle the line {unknown[0]!r}")
    return body
