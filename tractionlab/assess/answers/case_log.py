"""The log of a repair case in an answer file: it does not tell the fault, and readings are left
out, because marking takes them again.
"""


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
