"""A panel's picture as a page to print: A4, with the day and the settings it was made with."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

from tractionlab.paint.blocks import Picture, Rows, Text
from tractionlab.paint.document import Document
from tractionlab.paint.printed import png, save
from tractionlab.panels.kept import with_kept

_FOLDER = Path("handouts")
#: Height [pt] of title, day and head of the table, and of each row: the picture leaves it free, so
#: that all is on one sheet.
_HEAD, _ROW = 100.0, 16.0


def settings(controls, values):
    """(label, value in words) of the controls that are shown with these values."""
    for control in controls:
        when, value = control.get("when"), values[control["name"]]
        if when and values[when[0]] != when[1]:
            continue
        if control["kind"] == "Choice":
            yield control["label"], dict(control["options"])[value]
        elif control["kind"] == "Slider":
            yield control["label"], f"{value:g} {control['unit']}".strip()
        elif control["kind"] == "Switch":
            yield control["label"], "on" if value else "off"


def document(panel, time=None):
    """Document of a panel's picture at a moment of its run [s]."""
    view = with_kept(panel.view, panel.kept)
    sentence = view.sentence if panel.told else view.open_sentence
    rows = tuple(settings(panel.controls, panel.values))
    return Document(
        panel.title,
        [
            Text(
                f"Printed on {date.today().isoformat()}."
                + (f" The car after {time:.2f} s." if time is not None and view.scenes else "")
            ),
            *([Rows("Settings", ("What", "Value"), rows, (2, 3))] if rows else []),
            Picture(png(replace(view, sentence=""), time=time), sentence, _HEAD + _ROW * len(rows)),
            *([_runs(panel)] if panel.kept else []),
            *map(_on_paper, view.tables),
        ],
    )


def _runs(panel):
    """The kept runs: letter, settings in which they or the picture differ, figures."""
    said = {run["letter"]: dict(settings(panel.controls, run["values"])) for run in panel.kept}
    now = dict(settings(panel.controls, panel.values))
    differs = [
        label for label in now if any(other.get(label) != now[label] for other in said.values())
    ]
    rows = tuple(
        (
            run["letter"],
            "\n".join(f"{label}: {said[run['letter']].get(label, '-')}" for label in differs)
            or "as in the picture",
            "\n".join(
                f"{label}: {value} {unit}".strip()
                for label, value, unit, held in run["figures"]
                if panel.told or not held
            ),
        )
        for run in panel.kept
    )
    return Rows("My runs (pale lines)", ("Run", "What differs", "Figures"), rows, (1, 3, 3))


def _on_paper(table):
    if not table.rows:
        return Text(f"{table.title}: {table.empty}")
    return Rows(table.title, table.head, table.rows, table.widths)


def save_page(panel, time=None):
    """Save PDF and PNG under `handouts`, never over an older one; returns what was done in a
    sentence.
    """
    stem = re.sub(r"[^a-z0-9]+", "-", panel.title.lower()).strip("-") or "panel"
    try:
        _FOLDER.mkdir(exist_ok=True)
        number = 1
        while (_FOLDER / f"{stem}-{number}.pdf").exists():
            number += 1
        (_FOLDER / f"{stem}-{number}.pdf").write_bytes(document(panel, time).pdf())
        save(panel.view, _FOLDER / f"{stem}-{number}.png", title=panel.title, time=time)
    except OSError as problem:
        return f"Could not save into the folder {_FOLDER}: {problem.strerror or problem}."
    return f"Saved {_FOLDER / stem}-{number}.pdf and .png"
