"""The notebook that a candidate opens: cover page, safety words, declaration, and one folded line
that shows the forms.
"""

import json

from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml

NOTEBOOK = "sitting.ipynb"
SHEET_FILE = "sheet.json"
_HOW = """\
**How it works**

1. The paper shows itself below. If a button **Show the paper** stands above, press it.
2. Press **Start**. From then on the clock runs.
3. Answer in any order. Comma and point both mark decimals. Each change is saved at once; "saved \
at" shows when.
4. If the machine stops: open this page again. Your answers and your clock are still there.
5. **Hand in** makes one file to send. Write its check number down, or let the supervisor do so."""
_IN_THE_ROOM = """\
**How it works**

1. Press **Start** below. From then on the clock runs.
2. Answer in any order. Comma and point both mark decimals. Each change is saved at once; "saved \
at" shows when.
3. If the machine or the line stops: open this page again. Your answers and your clock are still \
there.
4. **Hand in** shows a check number. Write it down, or let the supervisor do so."""
_PRACTICE = """\
**How it works**

1. The paper shows itself below. If a button **Show the paper** stands above, press it.
2. Press **Start**, and answer in any order. **Check this answer** tells you at once what it \
would get and why.
3. This is practice: nothing is sent, and no mark is kept. Make a new one for other numbers."""
_OWN = """\
**Own work.** When you hand in, you declare that you worked alone, with no help but what the \
supervisor allowed."""
#: As at the top of a lesson: the command of the course, and where it is not there, run all cells.
_BUTTON = """\
<p><button data-commandlinker-command="apputils:run-first-enabled" data-commandlinker-args='{\
"commands": ["tractionlab:start-lesson", "apputils:run-all-enabled"], "args": {"commands": \
["notebook:run-all-cells", "notebook:extend-marked-cells-top", "notebook:deselect-all"]}}'>\
Show the paper</button> <em>Press this first, and each time you come back. By menu: Run, then \
Run All Cells.</em></p>"""


def notebook(sheet):
    """Notebook (nbformat 4.5) as a dict for the sheet of one candidate."""
    practice = "practice" in sheet
    rows = [
        ("Paper", sheet["title"]),
        (
            "Time",
            (
                f"{sheet['minutes']:g} minutes, {len(sheet['items'])} items, "
                f"{sum(item['marks'] for item in sheet['items'])} marks"
            ),
        ),
    ]
    if not practice:
        rows += [
            ("Candidate", f"{sheet['candidate']}, {sheet['name']}"),
            ("Date and place", ", ".join(filter(None, (sheet["date"], sheet["place"])))),
            ("Sitting", sheet["sitting"]),
        ]
    table = "| | |\n|---|---|\n" + "\n".join(
        f"| {name} | {_plain(value)} |" for name, value in rows
    )
    statement = read_toml(data_folder() / "safety.toml")["statement"]["text"].strip()
    cells = [
        _text(
            "cover",
            f"# {'Practice paper' if practice else 'Paper'}: {_plain(sheet['title'])}\n\n"
            f"{_BUTTON}\n\n{table}",
        ),
        _text("how", _PRACTICE if practice else f"{_HOW}\n\n{_OWN}"),
        _text(
            "rules",
            "**How it is marked**\n\n"
            + "\n".join(f"* {_plain(sentence)}" for sentence in sheet["rules"]),
        ),
        _text("safety", f"**Safety.** {statement}"),
        _code("desk", "from tractionlab.assess.desk.desk import desk; desk()"),
    ]
    return {
        "cells": cells,
        "metadata": {
            "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
            "language_info": {"name": "python"},
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def cover(sheet):
    """The texts of the notebook as HTML, for a page that shows the forms by itself."""
    import mistune  # the command line reads this module before anything is installed

    def served(source):
        for words, others in ((_BUTTON, ""), (_HOW, _IN_THE_ROOM)):
            source = source.replace(words, others)
        return source

    render = mistune.create_markdown(escape=True, plugins=["table"])
    return "\n".join(
        render(served("".join(cell["source"])))
        for cell in notebook(sheet)["cells"]
        if cell["cell_type"] == "markdown"
    )


def write(folder, sheet):
    """Write the notebook into a candidate's folder; returns its path."""
    path = folder / NOTEBOOK
    path.write_text(
        json.dumps(notebook(sheet), ensure_ascii=False, indent=1) + "\n", encoding="utf-8"
    )
    return path


def _plain(text):
    """Text that Markdown shows as it is."""
    return "".join("\\" + sign if sign in "\\`*_{}[]<>()#+!|~$&" else sign for sign in text)


def _text(name, source):
    return {
        "cell_type": "markdown",
        "id": name,
        "metadata": {"editable": False, "deletable": False},
        "source": source.splitlines(keepends=True),
    }


def _code(name, source):
    return {
        "cell_type": "code",
        "execution_count": None,
        "id": name,
        "outputs": [],
        "source": [source],
        "metadata": {"jupyter": {"source_hidden": True}, "editable": False, "deletable": False},
    }
