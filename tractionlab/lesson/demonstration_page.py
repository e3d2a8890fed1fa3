"""A demonstration on paper: what the instructor has in hand before a hall."""

from tractionlab.paint.blocks import Heading, Page, Rows, Text
from tractionlab.panels.demonstration import Demonstration, own, shipped

#: Names of pictures that are no titles of charts (paint/js/pictures.js has the same words).
_PICTURES = {
    "car": "Car",
    "circuit": "Circuit",
    "wiring": "Wiring",
    "closeup": "Close-up",
    "phases": "Phases",
    "reasons": "Reasons",
    "lanes": "States",
    "figures": "Figures",
    "tables": "Tables",
    "words": "In words",
}
_KEYS = (
    "The key P, or the button Big screen of the panel, fills the screen. Page down and page up of a"
    " presenter's remote go from step to step, B or the full stop makes the screen dark, Escape"
    " ends."
)


def demonstration_pages(panels):
    """Blocks with the demonstrations of a lesson's panels {id of the block: panel}: the course's,
    and an own one that lies in this folder."""
    blocks = []
    for place, panel in panels.items():
        mine = own(place)
        for path, title in (
            (shipped(place), "Demonstration before a hall"),
            (mine if mine.exists() else None, "Demonstration of your own"),
        ):
            if path is not None:
                blocks += [Page(), *_sheet(f"{title}: {panel.title}", Demonstration(path, panel))]
    return blocks


def _sheet(title, demonstration):
    rows = []
    for at, step in enumerate(demonstration.steps):
        view = demonstration.seen(at)["now"].view
        shown = "; ".join(_shown(demonstration, step, view))
        rows.append((f"{at + 1}. {step.name}", shown, demonstration.told(at, view)))
    return [
        Heading(title),
        Text(_KEYS),
        Rows("", ("Step", "Settings and picture", "Sentence"), tuple(rows), (2, 3, 5)),
    ]


def _shown(demonstration, step, view):
    """Settings, picture and time of a step, in words."""
    for spec in demonstration.panel.controls:
        if spec["name"] in step.values:
            yield from _setting(spec, step.values[spec["name"]])
    if view.wiring is not None:
        yield from (f"{letter} on {words}" for letter, _, words in view.wiring.probes)
        yield from (f"pulled: {words}" for _, words in view.wiring.pulled)
    if step.picture:
        yield f"picture: {_PICTURES.get(step.picture, step.picture)}"
    if step.time is not None:
        yield f"from {step.time:g} s on" if step.speed else f"at {step.time:g} s"


def _setting(spec, value):
    """A control in words; what lies on a wiring diagram is read from its picture."""
    if spec["kind"] == "Slider":
        yield f"{spec['label']} {value:g} {spec['unit']}".strip()
    elif spec["kind"] == "Choice":
        yield f"{spec['label']}: {dict(spec['options'])[value]}"
    elif spec["kind"] == "Switch":
        yield f"{spec['label']}: {'on' if value else 'off'}"
