"""Runs that the learner keeps of a panel: what was set, the figures, and one line of each chart
over time. They stand in the learner's record, so they are there again the next day.
"""

import json
from dataclasses import replace

import numpy as np

from tractionlab.errors import UserError
from tractionlab.paint.wire import thin
from tractionlab.view import DASHES, Line
from tractionlab.written.record import my_record

KIND, REMOVED = "run", "run_removed"
#: One letter for each run; as many as there are dash patterns would be too many to tell apart.
LETTERS = "ABCD"
_POINTS = 200  #: of a kept line, so that a run takes a few thousand letters of the record
_DIGITS = 5


class KeptRuns:
    """The kept runs of the panel `name`.

    Parameters
    ----------
    name : str, what the record calls the panel; behind a guess it begins with the guess's name,
        "7.stop", and so with the lesson
    check : callable, `check(values) -> values` or UserError if the panel has no such settings

    Attributes
    ----------
    runs : list of dicts: letter, values, figures (label, value, unit, held), lines (by the chart's
        title: label, x, y); ready for JSON
    note : str, what of the record could not be read
    """

    def __init__(self, name, check):
        self.name, self.runs, self.note = name, [], ""
        torn = 0
        for line in my_record().lines():
            if line["question"] != name or line["kind"] not in (KIND, REMOVED):
                continue
            if line["kind"] == REMOVED:
                self._take_out(line["answer"])
                continue
            try:
                run = _read(line["answer"])
                check(run["values"])
            except (ValueError, KeyError, TypeError, UserError):
                torn += 1
                continue
            self._take_out(run["letter"])
            self.runs.append(run)
        if torn:
            self.note = (
                f"{torn} kept run{'s' if torn > 1 else ''} of this panel could not be read from "
                "your record and stayed there as found; you can keep new ones."
            )

    def keep(self, values, view):
        """Keep a run; gives what the learner is told."""
        same = next((run["letter"] for run in self.runs if run["values"] == values), None)
        if same:
            return f"This run is kept already: it is run {same}."
        free = [letter for letter in LETTERS if all(letter != run["letter"] for run in self.runs)]
        if not free:
            return f"{len(LETTERS)} runs are kept. Remove one first."
        run = _described(free[0], values, view)
        self.runs = [*self.runs, run]
        self._write(KIND, json.dumps(run, ensure_ascii=False))
        said = "".join(
            f" {label} {value} {unit}".rstrip() + "."
            for label, value, unit, held in run["figures"][:1]
            if not held
        )
        return f"Kept as run {free[0]}.{said}{self._unsaved()}"

    def remove(self, letter):
        """Take a run out; gives what the learner is told."""
        if not self._take_out(letter):
            return f"There is no run {letter}."
        self._write(REMOVED, letter)
        return f"Run {letter} is removed." + self._unsaved()

    def _take_out(self, letter):
        left = [run for run in self.runs if run["letter"] != letter]
        found, self.runs = len(left) < len(self.runs), left
        return found

    def _write(self, kind, answer):
        number = self.name.split(".")[0]
        my_record().add(kind, int(number) if number.isdecimal() else 0, self.name, answer)

    def _unsaved(self):
        note = my_record().note
        return f" {note}" if note else ""


def _described(letter, values, view):
    lines = {}
    for chart in view.charts:
        if chart.over_time and chart.lines:
            line = chart.lines[min(chart.main, len(chart.lines) - 1)]
            x, y = thin(np.asarray(line.x, float), np.asarray(line.y, float), _POINTS)
            lines[chart.title] = {"label": line.label, "x": _short(x), "y": _short(y)}
    figures = [[f.label, f.value, f.unit, f.held] for f in view.figures]
    return {"letter": letter, "values": dict(values), "figures": figures, "lines": lines}


def _short(numbers):
    """Numbers with few digits; one that is none is None, since JSON has no word for it."""
    return [float(f"{v:.{_DIGITS}g}") if np.isfinite(v) else None for v in numbers]


def _read(answer):
    """A run from its line of the record; ValueError, KeyError or TypeError if it is torn."""
    run = json.loads(answer)
    if run["letter"] not in tuple(LETTERS) or not isinstance(run["values"], dict):
        raise ValueError("no run")
    for label, value, unit, held in run["figures"]:
        if not all(isinstance(text, str) for text in (label, value, unit)) or held not in (0, 1):
            raise ValueError("no figure")
    for line in run["lines"].values():
        _line(line, 0)
    return run


def _line(line, style):
    x, y = (np.array([np.nan if v is None else float(v) for v in line[k]]) for k in ("x", "y"))
    if not len(x):
        raise ValueError("an empty line")
    return Line(label=str(line["label"]), x=x, y=y, style=style)


def with_kept(view, runs):
    """The View with the kept runs as pale lines in its charts, each called by its letter."""
    charts = []
    for chart in view.charts:
        found = [run for run in runs if chart.over_time and chart.title in run["lines"]]
        pale = (
            replace(
                _line(run["lines"][chart.title], LETTERS.index(run["letter"]) % len(DASHES)),
                label=run["letter"],
            )
            for run in found
        )
        charts.append(replace(chart, pale=tuple(pale)))
    return replace(view, charts=tuple(charts))
