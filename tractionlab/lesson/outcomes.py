"""The outcome of each prediction by its name, worked out when it is asked for."""

from importlib import import_module

from tractionlab.errors import UserError

#: Lesson -> module with its outcomes; a lesson loads no other one.
_TOPICS = {
    **dict.fromkeys(("1", "2", "5", "8"), "outcomes_control"),
    **dict.fromkeys(("3", "4"), "outcomes_sensing"),
    **dict.fromkeys(("6", "7"), "outcomes_hydraulics"),
    **dict.fromkeys(("9", "10", "11", "12"), "outcomes_workshop"),
}


def outcome_of(name):
    """Outcome of the prediction with this name; UserError if it has none."""
    found = _outcomes(_TOPICS.get(name.split(".")[0]))
    if name not in found:
        known = [key for topic in dict.fromkeys(_TOPICS.values()) for key in _outcomes(topic)]
        raise UserError(f"no outcome of a prediction {name!r}; there are {', '.join(known)}")
    return found[name]()


def curve_of(name):
    """The computed curve, (x, y), of a prediction that can be drawn."""
    return _module(_TOPICS[name.split(".")[0]]).CURVES[name]()


def _outcomes(topic):
    return _module(topic).OUTCOMES if topic else {}


def _module(topic):
    return import_module(f"{__package__}.{topic}")
