"""Judges the log of a repair case: it must be the case that was issued, and it is replayed, not believed. Also opens the case for the candidate."""
from tractionlab.assess.draw import car_token

LONGEST = 400


def case_for(field):
    """The graded Case that a field of kind `case` stands for (issued field, or its plain data)."""
    from tractionlab.workshop.case import Case
    from tractionlab.workshop.faults import faults

    shown = field if isinstance(field, dict) else field.as_dict()
    fault = next(key for key in faults() if car_token(shown["vehicle"], key) == shown["car"])
    return Case(fault, shown["vehicle"], mode="graded")


def judge_case(variant, part, given):
    """(marks, reason, safe) for a log; marks are the points of `workshop.score` scaled to those of the field."""
    from tractionlab.workshop.score import score

    if not isinstance(given, list) or not given or len(given) > LONGEST or not isinstance(given[0], dict):
        return 0.0, f"the answer is not the log of a case with at most {LONGEST} entries.", None
    wanted = {"do": "start", "fault": variant.params["fault"], "vehicle": variant.params["vehicle"], "mode": "graded"}
    if any(given[0].get(name) != value for name, value in wanted.items()):
        return 0.0, "this is the log of another case than the one that was issued.", None
    try:
        found = score(given)
    except Exception as problem:  # a stranger's log: whatever breaks its replay is a mistake in the log
        return 0.0, f"the log cannot be replayed: {str(problem)[:200]}", None
    lines = [f"{name} {found.points[name]:g}: {why}" for name, why in found.reasons.items()]
    lines += [f"{words} -{points:g}." for words, points in found.deductions]
    stop = f" Stopped as unsafe: {found.critical}" if found.critical else ""
    return part.marks * found.total / 100.0, "\n".join([f"{found.total:g} of 100 points.{stop}", *lines, ""]), not found.critical
