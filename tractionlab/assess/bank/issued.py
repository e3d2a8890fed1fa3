"""What a candidate gets of an item: the fields to fill in and the words around them, as frozen
data.
"""

import json
from dataclasses import dataclass, field
from types import MappingProxyType


@dataclass(frozen=True, kw_only=True)
class Field:
    """What a candidate fills in. Answers are text unless the kind says otherwise.

    choice: choices ((letter, words), ...); answer = letter number: unit, unit_asked, places path:
    choices ((place, words), ...), start, goal; answer = list of places from start to goal, or
    "none" states: choices ((part, words), ...), positions {part: its positions}; answer = {part:
    position} tuning: settings ({name, label, unit, low, high}, ...), trial (what `Scenario` takes,
    for the road that is shown); answer = {name: text} sketch: x, y (axis titles), points, y_range;
    answer = list of one number a point case: vehicle, car, a token for the car in the bay, and
    lock, with which `answers/case_log.py` opens it; answer = log checklist: steps ({id, text,
    marks, gate}, ...); answer = {id: "done" | "not done"}"""

    name: str
    kind: str
    label: str
    marks: int
    unit: str = ""
    unit_asked: bool = False
    places: int = 0
    choices: tuple = ()
    start: str = ""
    goal: str = ""
    positions: dict = field(default_factory=dict)
    settings: tuple = ()
    trial: dict = field(default_factory=dict)
    x: str = ""
    y: str = ""
    points: tuple = ()
    y_range: tuple = ()
    steps: tuple = ()
    vehicle: str = ""
    car: str = ""
    lock: str = ""

    def as_dict(self):
        """The field as plain data, without what does not belong to its kind."""
        shown = {name: value for name, value in vars(self).items() if value not in ("", (), {})}
        return json.loads(
            json.dumps(
                {"unit_asked": self.unit_asked, "places": self.places, **shown}
                if self.kind == "number"
                else {
                    name: value
                    for name, value in shown.items()
                    if name not in ("unit_asked", "places")
                }
            )
        )


@dataclass(frozen=True, kw_only=True)
class Variant:
    """An item with its numbers for one candidate.

    `params` may tell what the candidate has to find: hand out `public(item, variant)`.
    """

    item_id: str
    version: int
    turn: int
    params: MappingProxyType
    title: str
    text: str
    given: tuple
    fields: tuple
