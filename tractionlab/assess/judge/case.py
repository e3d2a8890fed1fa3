"""Judges the log of a repair case: it must be the case that was issued, and it is replayed, not
believed.
"""

from typing import NamedTuple

from tractionlab.assess.answers.case_log import LONGEST


class Verdict(NamedTuple):
    """marks, reason in words; safe, False if the safety gate was failed; exact, True if the fault
    was found; strange, why the log is none that the bench writes, or "": then nothing is known of
    the case, and its gate is not passed."""

    marks: float
    words: str
    safe: bool
    exact: bool = False
    strange: str = ""


def judge_case(variant, part, given):
    """Verdict on a log, all of it from the case as it is replayed; marks are the points of
    `workshop.score` scaled to those of the field."""
    from tractionlab.workshop.case.score import score
    from tractionlab.workshop.faults import faults

    if (
        not isinstance(given, list)
        or not given
        or len(given) > LONGEST
        or not isinstance(given[0], dict)
    ):
        return _strange(f"the answer is not the log of a case with at most {LONGEST} entries.")
    fault = variant.params["fault"]
    wanted = {
        "do": "start",
        "fault": fault,
        "vehicle": variant.params["vehicle"],
        "symptom": faults()[fault].symptoms[0],
        "mode": "graded",
    }
    if any(given[0].get(name) != value for name, value in wanted.items()):
        return _strange("this is the log of another case than the one that was issued.")
    try:
        found = score(given)
    except (
        Exception
    ) as problem:  # a stranger's log: whatever breaks its replay is a mistake in the log
        return _strange(f"the log cannot be replayed: {str(problem)[:200]}")
    lines = [f"{name} {found.points[name]:g}: {why}" for name, why in found.reasons.items()]
    lines += [f"{words} -{points:g}." for words, points in found.deductions]
    stop = f" Stopped as unsafe: {found.critical}" if found.critical else ""
    words = "\n".join([f"{found.total:g} of 100 points.{stop}", *lines, ""])
    return Verdict(part.marks * found.total / 100.0, words, not found.critical, found.exact)


def _strange(words):
    return Verdict(0.0, words, False, strange=words)
