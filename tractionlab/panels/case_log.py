"""What is left of a case that has ended: its points in the learner's record, its log in a file."""

import json
from pathlib import Path

from tractionlab.written.record import my_record

FOLDER = Path("cases")
_LESSON = 11


def keep_log(case, result):
    """Store the log beside the notebook; a full disk loses nothing but the file. Gives the points
    and where the log is, in words.
    """
    my_record().add(
        "case",
        _LESSON,
        case.fault.id,
        f"{result.total:g}",
        right=result.total >= 60.0,
        counts=case.mode == "practice",
    )
    unsafe = "No points: an unsafe step ended the case."
    points = unsafe if result.critical else f"{result.total:g} of 100 points."
    try:
        FOLDER.mkdir(exist_ok=True)
        number = 1
        while (FOLDER / f"case-{number}.json").exists():
            number += 1
        path = FOLDER / f"case-{number}.json"
        path.write_text(json.dumps(case.log, indent=1, ensure_ascii=False), encoding="utf-8")
    except OSError as problem:
        return f"{points} The log could not be saved ({problem.strerror or problem})."
    return f"{points} What you did is kept in {path}."
