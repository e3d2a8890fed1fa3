"""What can be read from a picture by name, for sentences whose numbers are computed and for claims
that tests hold against them.
"""

import re
from dataclasses import dataclass
from string import Formatter

import numpy as np

from tractionlab.errors import UserError


@dataclass(frozen=True)
class Seen:
    """One picture of a panel. `seen[NAME]` is what can be read from it: a figure by its label
    ("12.0 km/h"), `sentence`, `decisions` (how many), `decision N` (the sentence of the N-th one),
    or `CHART / LINE @ WHERE`, where WHERE is a value of x, `first`, `last`, `most`, `least` or
    `mean`."""

    view: object

    def __getitem__(self, name):
        if name == "sentence":
            return self.view.sentence
        if name.startswith("decision"):
            return self._of_decisions(name)
        if " @ " in name:
            value, unit = self._from_chart(name)
            places = 2 if unit == "-" else 1 if abs(value) < 100 else 0
            return f"{value:.{places}f} {unit}".removesuffix(" -")
        for figure in self.view.figures:
            if figure.label == name:
                return f"{figure.value} {figure.unit}".strip()
        raise UserError(
            f"nothing named {name!r} in this picture; it has"
            f" {', '.join(figure.label for figure in self.view.figures)}"
        )

    def _of_decisions(self, name):
        told = [words for _, _, words in self.view.phases.decisions]
        if name == "decisions":
            return str(len(told))
        number = int(name.removeprefix("decision "))
        if number > len(told):
            raise UserError(f"no {name} in this picture; it has {len(told)}")
        return told[number - 1]

    def _from_chart(self, name):
        where, place = name.split(" @ ")
        title, label = where.split(" / ")
        chart = next((chart for chart in self.view.charts if chart.title == title), None)
        line = next((line for line in chart.lines if line.label == label), None) if chart else None
        if line is None:
            raise UserError(f"no line {where!r} in this picture")
        pick = {
            "first": lambda y: y[0],
            "last": lambda y: y[-1],
            "most": np.nanmax,
            "least": np.nanmin,
            "mean": np.nanmean,
        }.get(place, lambda y: np.interp(float(place), line.x, y))
        return float(pick(np.asarray(line.y))), chart.y.partition("[")[2].rstrip("]")


def value_of(text, seen):
    """(number, unit) of one side of a claim: "3", "60 bar", or a field such as full[Way]; of a text
    with several numbers the first. UserError where there is none."""
    if re.match(r"-?\d", text):
        found = text
    else:
        found = str(Formatter().get_field(text, (), seen)[0])
    number = re.match(r"(-?\d+(?:\.\d+)?)(?:,? (?:to )?-?\d+(?:\.\d+)?)? ?(.*)", found)
    if not number:
        raise UserError(f"{text} is no number: {found}")
    return float(number[1]), number[2]


def holds(claim, seen):
    """True if a claim agrees with what is seen.

    A claim is `LEFT < RIGHT` or `LEFT > RIGHT`, `FIELD says WORDS`, or `FIELD is VALUE within
    TOLERANCE`, where VALUE is a number with its unit, or another field in the same one.
    """
    if words := re.fullmatch(r"(.+\]) says (.+)", claim):
        return words[2] in str(Formatter().get_field(words[1], (), seen)[0])
    if near := re.fullmatch(r"(.+\]) is (.+) within (\S+)", claim):
        (left, unit), (right, other) = value_of(near[1], seen), value_of(near[2], seen)
        return unit == other and abs(left - right) <= float(near[3])
    left, sign, right = re.fullmatch(r"(.+) ([<>]) (.+)", claim).groups()
    (left, _), (right, _) = value_of(left, seen), value_of(right, seen)
    return left < right if sign == "<" else left > right
