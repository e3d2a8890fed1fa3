"""What a panel on the big screen asks for: how many steps its demonstration has, one of them, or
that what it shows becomes a step.
"""

from tractionlab.errors import UserError
from tractionlab.panels.demonstration import Demonstration, own, record, shipped


def answer_to(panel, message):
    """Answer to the browser: `count` of steps, `own` (are they the presenter's), `owned` (are there
    any of the presenter's), and in `wrong` or `said` a sentence. A step itself travels with its
    picture, as `step` in `panel.picture`, so that both come at once.
    """
    try:
        if message["kind"] == "record":
            return _recorded(panel, message)
        demonstration = _chosen(panel, message.get("own"))
        if message["kind"] == "step" and demonstration is not None:
            _show(panel, demonstration, message["at"], message["ask"])
    except UserError as problem:
        return {"wrong": str(problem)}
    if demonstration is None:
        return {"count": 0, "own": False, "owned": False}
    owned = own(panel.place).exists()
    return {
        "count": len(demonstration.steps),
        "own": demonstration.path == own(panel.place),
        "owned": owned,
    }


def _chosen(panel, own_one):
    """The demonstration asked for: the presenter's own (True), the course's (False), or the own one
    where there is one (None)."""
    mine, course = own(panel.place), shipped(panel.place)
    path = course if own_one is False or not (panel.place and mine.exists()) else mine
    return None if path is None else Demonstration(path, panel)


def _show(panel, demonstration, at, ask):
    step = demonstration.steps[at]
    with panel.hold_sync():
        panel.set(**demonstration.values(at))
        if panel.error:
            raise UserError(f"{demonstration.path}, step {at + 1}: {panel.error}")
        told = {
            "ask": ask,
            "at": at,
            "name": step.name,
            "sentence": demonstration.told(at, panel.view),
            "picture": step.picture,
            "time": step.time,
            "speed": step.speed,
        }
        panel.picture = {**panel.picture, "step": told}


def _recorded(panel, message):
    if not panel.place:
        raise UserError("Steps are recorded in the lessons of the course, opened in JupyterLab.")
    count = record(panel, *(message[name] for name in ("sentence", "picture", "time", "speed")))
    said = f"Step {count} is in {own(panel.place)}; a text editor changes it."
    return {"count": count, "own": True, "owned": True, "said": said}
