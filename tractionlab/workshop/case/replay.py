"""Reads the log of a case: what its entries measured, and the case done over again."""

from tractionlab.errors import UserError
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.instruments.setup import Setup


def step_of(entry):
    """What an entry of a log measured: a test by number, or a Setup."""
    return entry["test"] if entry["do"] == "test" else Setup.read(entry["setup"])


def measured(entries):
    """Those entries of a log that are tests or readings at points of the wiring."""
    return [entry for entry in entries if entry["do"] in ("test", "measure")]


def replay(log, fault_id="", vehicle=""):
    """The case that a log tells, computed afresh: readings are measured again, not believed.

    A fault and vehicle given here take the place of the log's.
    """
    if (
        not isinstance(log, (list, tuple))
        or not log
        or not isinstance(log[0], dict)
        or log[0].get("do") != "start"
    ):
        raise UserError("a case's log is a list whose first entry is its start")
    first = log[0]
    case = Case(
        fault_id or first.get("fault"),
        vehicle or first.get("vehicle"),
        first.get("symptom", ""),
        first.get("mode", "practice"),
    )
    for entry in log[1:]:
        do_again(case, entry)
    return case


def do_again(case, entry):
    """Do on a case what one entry of a log says."""
    steps = {
        "cautions": lambda e: case.acknowledge(),
        "test": lambda e: case.take(e["test"], e["prepared"], e.get("condition", "")),
        "measure": lambda e: case.measure(Setup.read(e["setup"])),
        "stopped": lambda e: (
            case.measure(Setup.read(e["setup"]))
            if "setup" in e
            else case.take(e["test"], e["prepared"])
        ),
        "hint": lambda e: case.hint(),
        "repair": lambda e: case.repair(e["place"], e["kind"], e["why"]),
        "clear": lambda e: case.clear_memory(),
        "note": lambda e: case.note(e["text"]),
        "honest_stop": lambda e: case.stop_honestly(e["suspected"], e["next"]),
        "finish": lambda e: case.finish(),
    }
    if not isinstance(entry, dict) or entry.get("do") not in steps:
        raise UserError(
            "a case's log has no entry of the kind"
            f" {entry.get('do') if isinstance(entry, dict) else entry!r}; there are"
            f" {', '.join(steps)}"
        )
    try:
        steps[entry["do"]](entry)
    except (KeyError, TypeError) as problem:
        raise UserError(
            f"entry {entry.get('do')!r} of a case's log is not complete: {problem}"
        ) from None
