"""What the bench shows of a case: readings, time line, result, as data for the browser."""

from tractionlab.panels.case_words import line_of, title_of, with_meaning
from tractionlab.workshop.case.score import CRITERIA
from tractionlab.workshop.fault_entry import KINDS


def face_of(case):
    """How far a case is, without list of faults and points."""
    taken = [(i, entry) for i, entry in enumerate(case.log) if entry["do"] in ("test", "measure")]
    return {
        "minutes": case.minutes,
        "ready": case.acknowledged,
        "over": case.over,
        "stopped": case.stopped,
        "practice": case.mode == "practice",
        "taken": [_taken(case, i, entry) for i, entry in taken],
        "line": [line_of(entry) for entry in case.log[1:]],
        "repaired": case.repaired_anything,
    }


def _taken(case, number, entry):
    """Key, title, when, rows of one reading."""
    after = case.first_repair is not None and number > case.first_repair
    rows = [[r["name"], with_meaning(r), r["place"]] for r in entry["readings"]]
    return [str(number), title_of(entry), "after the repair" if after else "", rows]


def result_of(case, result, crossed):
    """Points and truth of a case that has ended, and what is said of the learner's own list; None
    before.
    """
    if result is None:
        return None
    entry = case.fault
    told = {
        "crossed": crossed,
        "truth": f"{entry.place}, {KINDS[entry.kind]}. {entry.cause}",
        "repair": entry.repair,
        "verification": f"{entry.verification} {entry.proof}",
    }
    return {
        "total": result.total,
        "critical": result.critical,
        "rows": [
            [key, result.points[key], most, result.reasons[key]] for key, most in CRITERIA.items()
        ],
        "deductions": [[words, points] for words, points in result.deductions],
        **({} if result.critical else told),
    }
