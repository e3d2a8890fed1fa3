"""A demonstration: named steps that a presenter goes through on the big screen. The course brings
one for each lesson (data/demonstrations), own ones lie beside the lessons.
"""

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from IPython import get_ipython

from tractionlab.catalogue.checked import TableReader, wrong_number
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.errors import UserError
from tractionlab.panels.seen import Seen

#: Folder of own demonstrations, beside the lessons; a file is named after the block of its panel.
OWN_FOLDER = "my_demonstrations"
#: Speeds at which a step may play: 0 stands still, 1 is as on the road (paint/js/transport.js).
SPEEDS = (0, 0.1, 0.25, 0.5, 1)
_FIELDS = ("name", "values", "picture", "time", "speed", "sentence", "claims")
_LONGEST_S = 3600.0


def block_at_work():
    """Id of the block of the notebook that runs now, as JupyterLab says it; empty elsewhere."""
    kernel = getattr(get_ipython(), "kernel", None)
    told = kernel.get_parent().get("metadata", {}) if kernel else {}
    return str(told.get("cellId", ""))


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step: `values` of controls that differ from those the panel opens with, the `picture`
    that is shown ("" = the one before), `time` of the cursor [s] (None = as it stands), `speed` of
    playing on from there, a `sentence` with fields, and `claims` that a test holds against it.

    Fields are {NAME[WHAT]}: NAME is `now` or the name of a step, WHAT as in seen.Seen.
    """

    name: str
    sentence: str
    values: dict
    picture: str
    time: float | None
    speed: float
    claims: tuple


class Demonstration:
    """The steps of a file, checked against the controls of `panel`.

    A mistake is a UserError that names file, step, field and what is allowed.
    """

    def __init__(self, path, panel):
        self.path, self.panel = Path(path), panel
        table, reader = read_toml(path), TableReader(str(path))
        reader.check_keys(table, ("panel", "steps"), "key")
        #: Id of the block that shows the panel.
        self.block = reader.text(table, "panel")
        rows = table.get("steps")
        if not isinstance(rows, list) or not rows or not all(isinstance(row, dict) for row in rows):
            raise reader.wrong("steps must be tables, each under a line [[steps]]")
        self.steps = [self._step(self._reader(n), row) for n, row in enumerate(rows)]
        names = [step.name for step in self.steps]
        for n, name in enumerate(names):
            if name in names[:n] or name == "now":
                raise self._reader(n).wrong(f"name {name!r} is taken; give the step another one")

    def _reader(self, at):
        return TableReader(f"{self.path}, step {at + 1}")

    def _step(self, reader, row):
        reader.check_keys(row, _FIELDS, "field")
        values = reader.table(row, "values")
        for key, value in values.items():
            try:
                self.panel.checked({key: value})
            except UserError as problem:
                raise reader.wrong(f"values, {key}: {problem}") from None
        if "time" in row:
            reader.number(row, "time", 0, _LONGEST_S)
        speed = row.get("speed", 0)
        if isinstance(speed, bool) or speed not in SPEEDS:
            allowed = ", ".join(f"{one:g}" for one in SPEEDS)
            raise reader.wrong(f"speed must be one of {allowed}; got {speed!r}")
        claims = row.get("claims", [])
        if not isinstance(claims, list) or not all(isinstance(claim, str) for claim in claims):
            raise reader.wrong(f"claims must be a list of texts, got {claims!r}")
        return Step(
            name=reader.text(row, "name"),
            sentence=reader.text(row, "sentence"),
            values=values,
            picture=reader.text(row, "picture") if "picture" in row else "",
            time=row.get("time"),
            speed=float(speed),
            claims=tuple(claims),
        )

    def values(self, at):
        """Values of all controls in step number `at`, from 0."""
        opening = {control["name"]: control["value"] for control in self.panel.controls}
        return {**opening, **self.steps[at].values}

    def seen(self, at, view=None):
        """What step `at` can read, by name; `view`: its picture, where that is there already."""
        return _Readable(self, view or self.panel.drawn(self.values(at)))

    def told(self, at, view=None):
        """The sentence of step `at` with its numbers; the step is checked against its picture."""
        step, reader, seen = self.steps[at], self._reader(at), self.seen(at, view)
        view = seen["now"].view
        if step.picture and step.picture not in pictures_of(view):
            raise reader.wrong(
                f"picture must be one of {', '.join(pictures_of(view))}; got {step.picture!r}"
            )
        if step.time is not None:
            span = time_span(view)
            if span is None:
                raise reader.wrong("time: this picture has no time; leave it out")
            if words := wrong_number("time", step.time, *span, "s"):
                raise reader.wrong(words)
        try:
            return step.sentence.format_map(seen)
        except UserError as problem:
            raise reader.wrong(f"sentence: {problem}") from None
        except (ValueError, AttributeError, TypeError, IndexError):
            raise reader.wrong(
                "sentence: a field is written {now[NAME OF A FIGURE]}, and a bracket that is none"
                f" stands twice; got {step.sentence!r}"
            ) from None


class _Readable(dict):
    """Pictures of a demonstration's steps by name, drawn when they are asked for."""

    def __init__(self, demonstration, view):
        super().__init__(now=Seen(view))
        self.demonstration = demonstration

    def __missing__(self, name):
        names = [step.name for step in self.demonstration.steps]
        if name not in names:
            raise UserError(f"no step is named {name!r}; fields begin with now, {', '.join(names)}")
        values = self.demonstration.values(names.index(name))
        self[name] = Seen(self.demonstration.panel.drawn(values))
        return self[name]


def pictures_of(view):
    """Names of the pictures that the big screen can show of a view, as in paint/js/pictures.js."""
    kinds = {
        "car": view.scenes,
        "circuit": view.circuit,
        "closeup": view.closeup,
        "wiring": view.wiring,
        **{chart.title: True for chart in view.charts},
        "phases": view.phases,
        "reasons": view.phases,
        "lanes": view.lanes,
        "figures": view.figures,
        "tables": view.tables,
        "words": True,
    }
    return tuple(name for name, there in kinds.items() if there)


def time_span(view):
    """(begin, end) of a view's time cursor [s], or None if it has none."""
    if view.scenes:
        return 0.0, max(float(scene.time[-1]) for scene in view.scenes)
    if view.circuit is not None:
        return float(view.circuit.time[0]), float(view.circuit.time[-1])
    if view.closeup is not None:
        return float(view.closeup.time[0]), float(view.closeup.time[-1])
    ends = [np.asarray(line.x)[[0, -1]] for c in view.charts if c.over_time for line in c.lines]
    return (float(np.min(ends)), float(np.max(ends))) if ends else None


def shipped(block):
    """Path of the course's demonstration for the panel of a block, or None."""
    path = data_folder() / "demonstrations" / f"{block[:2]}.toml"
    return path if path.exists() and read_toml(path).get("panel") == block else None


def own(block, folder="."):
    """Path of the own demonstration for the panel of a block; it need not be there."""
    return Path(folder) / OWN_FOLDER / f"{block}.toml"


def record(panel, sentence, picture, time, speed):
    """Add what `panel` shows as a step to its own file; gives the number of the step.

    Without a `sentence` the step says what the picture says of itself.
    """
    path, known = own(panel.place), []
    if path.exists():
        known = Demonstration(path, panel).steps
    names = {step.name for step in known}
    name = next(f"Step {n}" for n in range(1, len(names) + 2) if f"Step {n}" not in names)
    opening = {control["name"]: control["value"] for control in panel.controls}
    values = {key: value for key, value in panel.values.items() if value != opening[key]}
    said = sentence.strip().replace("{", "{{").replace("}", "}}") or "{now[sentence]}"
    at = {} if time is None else {"time": round(time, 2), "speed": speed}
    row = {"name": name, "values": values, "picture": picture, **at, "sentence": said}
    head = (
        f"# {panel.title}: own demonstration. Change, move and delete steps as you like.\n"
        f"panel = {_toml(panel.place)}\n"
    )
    try:
        path.parent.mkdir(exist_ok=True)
        with path.open("a", encoding="utf-8") as file:
            lines = [f"{key} = {_toml(value)}\n" for key, value in row.items()]
            file.write("".join([*([] if known else [head]), "\n[[steps]]\n", *lines]))
    except OSError as fault:
        raise UserError(f"{path} cannot be written ({fault.strerror})") from None
    return len(known) + 1


def _toml(value):
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(k)} = {_toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_toml, value))}]"
    return json.dumps(value, ensure_ascii=False)
