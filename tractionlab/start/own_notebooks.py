"""Which notebooks are the course's own: what JupyterLab's page is told, so that these, and no
others, run by themselves.
"""

import hashlib
import json
import re
from functools import lru_cache

#: Name under which JupyterLab hands the list to its page (labconfig/page_config.json).
OPTION = "tractionlabNotebooks"
_TITLE = re.compile(r"^# (.+)", re.MULTILINE)


def notebooks_in(folder):
    """Paths of the notebooks of a folder of the course, in the order that learners see."""
    return sorted(folder.glob("*.ipynb"))


def page_config(notebooks):
    """The setting for JupyterLab's page: {OPTION: path, title and fingerprint of each notebook, and
    what its tasks ask to be tried at their panels}.

    `notebooks` are paths of notebooks as the course wrote them, in the order of the learner's list;
    the page looks for the others beside the one that is open.
    """
    return _page_config(tuple((path, path.stat().st_mtime_ns) for path in notebooks))


@lru_cache(1)
def _page_config(stamped):
    """As `page_config`; `stamped` are pairs (path, time of its last change)."""
    books = [(path, json.loads(path.read_text(encoding="utf-8"))) for path, _ in stamped]
    return {
        OPTION: [
            {
                "path": path.name,
                "title": _title(book) or path.stem,
                "print": cells_print(book),
                "tasks": _tasks(book),
            }
            for path, book in books
        ]
    }


def cells_print(book):
    """Fingerprint of what is written in a notebook's cells: SHA-256 of a list of [kind, source] as
    JSON without blanks. What a run showed does not count. print.js makes the same in the browser.
    """
    cells = [[cell["cell_type"], "".join(cell["source"])] for cell in book["cells"]]
    text = json.dumps(cells, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _title(book):
    """First heading of a notebook, or an empty text."""
    words = (
        _TITLE.search("".join(cell["source"]))
        for cell in book["cells"]
        if cell["cell_type"] == "markdown"
    )
    return next((found[1].strip() for found in words if found), "")


def _tasks(book):
    """{id of a text with tasks: for each task the settings of the panel that show what is to be
    seen} of a notebook.
    """
    from tractionlab.lesson.observations import observations  # NumPy, there once installed

    ids = {cell.get("id") for cell in book["cells"]}
    return {
        block: [list(task.get("runs", {}).values()) for task in found.tasks]
        for block, found in observations().items()
        if block in ids
    }
