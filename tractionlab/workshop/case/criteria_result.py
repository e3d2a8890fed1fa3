"""Points for the outcome of a repair case: fault, proof, repair, verification, record."""

from tractionlab.workshop.case.notes import holds_a_reading
from tractionlab.workshop.case.replay import step_of
from tractionlab.workshop.case.suspects import (
    story_of,
)
from tractionlab.workshop.faults import faults
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.tests.base import run, telling

UNPROVEN = 7  #: most points for a fault that the readings did not prove


def fault_found(case, log, proven, left):
    last = next(reversed(repairs(case, log)), None)
    stop = next((entry for entry in log if entry["do"] == "honest_stop"), None)
    if stop is not None:
        found = case.fault.id in stop["suspected"] and case.fault.id in left and len(left) <= 2
        return (
            (7.5, "Honest stop: the fault is among the two that are left.")
            if found
            else (
                0.0,
                "Honest stop, but the fault is not among those named, or more than two are left.",
            )
        )
    if last is None:
        return 0.0, "No fault was named."
    same_circuit = any(
        entry.place == last["place"] and entry.circuit == case.fault.circuit
        for entry in _of_vehicle(case)
    )
    points, words = (
        (15.0, "Right place and right kind.")
        if last["place"] == case.fault.place and last["kind"] == case.fault.kind
        else (
            (8.0, "Right place, but the kind of fault is another.")
            if last["place"] == case.fault.place
            else (5.0, "Right circuit, wrong place.")
            if same_circuit
            else (0.0, "Not the fault.")
        )
    )
    if points > UNPROVEN and not proven:
        return float(UNPROVEN), f"{words} But the readings did not prove it: at most {UNPROVEN}."
    return points, words


def _of_vehicle(case):
    return [entry for entry in faults().values() if case.vehicle in entry.vehicles]


def repairs(case, log):
    """Entries of the log that repair something, or rightly call the car normal; to call a faulty
    one normal repairs nothing, whatever place is named.
    """
    return [
        entry
        for entry in log
        if entry["do"] == "repair" and (entry["kind"] != "normal" or case.fault.is_normal)
    ]


def has_result(case, log):
    """Was something repaired, or stopped honestly?"""
    return bool(repairs(case, log)) or any(entry["do"] == "honest_stop" for entry in log)


def found_it(case, log):
    """Was the faulty place repaired, or the fault named in an honest stop? Quick and proven
    readings are worth nothing to whom they did not tell it.
    """
    repaired = any(entry["place"] == case.fault.place for entry in repairs(case, log))
    return repaired or any(
        entry["do"] == "honest_stop" and case.fault.id in entry["suspected"] for entry in log
    )


def proof(case, proven, left, log):
    if not found_it(case, log):
        return 0.0, "The fault was neither repaired nor named."
    return (
        (5.0, "No other fault with this symptom agrees with all readings.")
        if proven
        else (
            0.0,
            (
                f"{len(left)} fault{'s agree' if len(left) != 1 else ' agrees'} with the readings"
                " taken."
            ),
        )
    )


def repair(case, log):
    right = [entry for entry in repairs(case, log) if entry["place"] == case.fault.place]
    if not right:
        return 0.0, "The faulty place was not repaired."
    cause = right[-1]["why"] == case.fault.why
    return (
        3.0 + 2.0 * cause,
        f"Repaired{'' if cause else ', but the cause would make it come back'}.",
    )


def telling_steps(case):
    """Steps before the first repair whose readings are not those of a sound car."""
    healthy = part_values(case.vehicle)
    return [
        step
        for step, readings in case.readings.items()
        if telling(readings, run(step, case.vehicle, healthy, story_of(case.fault.id)))
    ]


def verification(case, log, first, after):
    if not case.repaired:
        return 0.0, "There was nothing to verify yet."
    tell = set(telling_steps(case))
    taken = [step_of(entry) for entry in after]
    repeated = 4.0 * bool(tell & set(taken))
    function = 3.0 * any(
        entry.get("test") == "T28" and entry.get("condition") in case.fault.symptoms
        for entry in after
    )
    steps = [
        entry["do"] if entry["do"] == "clear" else entry["test"]
        for entry in log
        if entry["do"] in ("clear", "test")
    ]
    cleared = next((i for i, entry in enumerate(log) if entry["do"] == "clear" and i > first), None)
    memory = 3.0 * (
        "clear" in steps
        and cleared is not None
        and "T04" in steps[: steps.index("clear")]
        and "T04" in [e["test"] for e in log[cleared:] if e["do"] == "test"]
    )
    order = "read, cleared and read again"
    if not memory:
        order = "not read before, cleared after the repair and read again"
    return (
        repeated + function + memory,
        f"Telling test {'repeated' if repeated else 'not repeated'}; drive under the conditions of"
        f" the complaint {'made' if function else 'missing'}; memory {order}.",
    )


def record(log, first):
    notes = [(i, entry["text"]) for i, entry in enumerate(log) if entry["do"] == "note"]
    before = any(holds_a_reading(text, log[:i]) for i, text in notes if i < first)
    after = any(holds_a_reading(text, log[first:i]) for i, text in notes if i > first)
    where = (
        " and ".join(word for word, there in (("before", before), ("after", after)) if there)
        or "none"
    )
    return (
        1.0 * bool(notes) + 2.0 * before + 2.0 * after,
        f"Notes with a value that was read, and its unit: {where}.",
    )
