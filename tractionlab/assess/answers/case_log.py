"""The log of a repair case in an answer file: it does not tell the fault, and readings are left
out, because marking takes them again. Also opens the case that a candidate was given.
"""

import hashlib
import hmac

#: Entries that a log has at most [-].
LONGEST = 400


def car_token(lock, vehicle, fault):
    """What stands for a fault in a candidate's data: without `lock`, which is drawn for each
    candidate and item, nobody can tell which fault it is by trying them all.
    """
    return hmac.new(lock.encode(), f"{vehicle}\n{fault}".encode(), hashlib.sha256).hexdigest()[:16]


def case_for(field):
    """The graded Case that a field of kind `case` stands for (issued field, or its plain data)."""
    from tractionlab.workshop.case.case import Case
    from tractionlab.workshop.faults import faults

    shown = field if isinstance(field, dict) else field.as_dict()
    lock, vehicle, car = (shown[name] for name in ("lock", "vehicle", "car"))
    fault = next(key for key in faults() if car_token(lock, vehicle, key) == car)
    return Case(fault, vehicle, mode="graded")


def stored(entry, car):
    """An entry of a case's log as it is kept; `car` stands for the fault."""
    kept = {name: value for name, value in entry.items() if name != "readings"}
    if kept.get("do") == "start":
        kept.pop("fault")
        kept["car"] = car
    return kept


def opened(log, car, fault):
    """A kept log with the fault put back, if its first entry is of this car; anything else as it
    is.
    """
    if isinstance(log, list) and log and isinstance(log[0], dict) and log[0].get("car") == car:
        return [
            {**{name: value for name, value in log[0].items() if name != "car"}, "fault": fault},
            *log[1:],
        ]
    return log


def open_answer(variant, answer):
    """An answer (dict of fields) whose case logs can be replayed."""
    logs = {
        field.name: opened(answer[field.name], field.car, variant.params["fault"])
        for field in variant.fields
        if field.kind == "case" and field.name in answer
    }
    return {**answer, **logs}
