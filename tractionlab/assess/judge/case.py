"""Judges the log of a repair case: it must be the case that was issued, and it is replayed, not
believed.
"""

import hashlib
import json
from typing import NamedTuple

from tractionlab.assess.answers.case_log import LONGEST


class Replayed(NamedTuple):
    """What a log is worth once it has been replayed, the same for everybody whose log it is.

    points of 100, reason in words; safe, False if the safety gate was failed; exact, True if the
    fault was found; strange, why the log is none that the bench writes, or "": then nothing is
    known of the case, and its gate is not passed."""

    points: float
    words: str
    safe: bool
    exact: bool = False
    strange: str = ""


def key_of(log):
    """Equal for equal logs only."""
    return hashlib.sha256(json.dumps(log, sort_keys=True).encode()).digest()


def foreign(variant, given):
    """Why an answer is no log of the case that was issued, or "" if it is one, to be replayed."""
    from tractionlab.workshop.faults import faults

    if (
        not isinstance(given, list)
        or not given
        or len(given) > LONGEST
        or not isinstance(given[0], dict)
    ):
        return f"the answer is not the log of a case with at most {LONGEST} entries."
    fault = variant.params["fault"]
    wanted = {
        "do": "start",
        "fault": fault,
        "vehicle": variant.params["vehicle"],
        "symptom": faults()[fault].symptoms[0],
        "mode": "graded",
    }
    if any(given[0].get(name) != value for name, value in wanted.items()):
        return "this is the log of another case than the one that was issued."
    return ""


def replayed(log):
    """Replayed for a log that is not `foreign`."""
    from tractionlab.workshop.case.score import score

    try:
        found = score(log)
    except (
        Exception
    ) as problem:  # a stranger's log: whatever breaks its replay is a mistake in the log
        return _strange(f"the log cannot be replayed: {str(problem)[:200]}")
    lines = [f"{name} {found.points[name]:g}: {why}" for name, why in found.reasons.items()]
    lines += [f"{words} -{points:g}." for words, points in found.deductions]
    stop = f" Stopped as unsafe: {found.critical}" if found.critical else ""
    words = "\n".join([f"{found.total:g} of 100 points.{stop}", *lines, ""])
    return Replayed(found.total, words, not found.critical, found.exact)


def judge_case(variant, given, cases):
    """Replayed for an answer; `cases`: mapping key_of -> Replayed of the logs that were replayed
    before.
    """
    if words := foreign(variant, given):
        return _strange(words)
    return cases.get(key_of(given)) or replayed(given)


def _strange(words):
    return Replayed(0.0, words, False, strange=words)
