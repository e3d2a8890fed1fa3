"""`paper issue` writes a folder for each candidate and one for the assessor; `paper practice` one
for a learner alone.
"""

import json
import os
import secrets
import shutil
from pathlib import Path

from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.shown import public
from tractionlab.assess.sitting import candidate_notebook
from tractionlab.assess.sitting.assessor_sheets import observation, sign_on
from tractionlab.assess.sitting.candidate_notebook import SHEET_FILE
from tractionlab.assess.sitting.roll import Candidate
from tractionlab.assess.sitting.rule_sheet import pass_sentences, sentences
from tractionlab.assess.sitting.sitting import FORMAT, KEY_FILE, draw_sitting
from tractionlab.errors import UserError


def sheet_for(sitting, number, practice=False):
    """What a candidate gets as data: the head of the sitting and the variants as seen.

    A practice sheet also holds the key.
    """
    bank, candidate = items(), sitting.candidates[number]
    head = {
        "format": FORMAT,
        "sitting": sitting.id,
        "paper": sitting.paper["id"],
        "title": sitting.paper["title"],
        "date": sitting.date,
        "place": sitting.place,
        "candidate": number,
        "name": candidate["name"],
        "minutes": sitting.minutes_of(number),
        "larger_print": candidate["larger_print"],
        "seal": sitting.seal(number),
        "package": sitting.package,
    }
    head["rules"] = [
        *sentences({bank[name].kind for name in sitting.paper["items"]}),
        *pass_sentences(sitting.paper["rules"]),
    ]
    if practice:
        head["practice"] = {
            "key": sitting.key,
            "turn": candidate["turn"],
            "numbers": sitting.paper["numbers"],
        }
    return {
        **head,
        "items": [
            public(bank[name], sitting.variant(bank[name], number))
            for name in sitting.paper["items"]
        ],
    }


def write_candidate(folder, sheet):
    """Write a candidate's folder: notebook and sheet."""
    folder.mkdir()
    (folder / SHEET_FILE).write_text(
        json.dumps(sheet, ensure_ascii=False, indent=1), encoding="utf-8"
    )
    candidate_notebook.write(folder, sheet)


def issue(paper, roll, out, progress=None, **when):
    """Write the folders of a sitting under `out`, which must not hold one yet.

    Returns the Sitting.
    """
    out = Path(out)
    part = _fresh(out)
    sitting = draw_sitting(paper, roll, **when)
    try:
        part.mkdir(parents=True)
        (part / "assessor").mkdir(mode=0o700)
        (part / "candidates").mkdir()
        for done, number in enumerate(sitting.candidates, 1):
            write_candidate(part / "candidates" / f"candidate_{number}", sheet_for(sitting, number))
            if progress:
                progress(done, len(sitting.candidates))
        key = part / "assessor" / KEY_FILE
        key.touch(mode=0o600)  # for nobody else's account on this machine
        key.write_text(sitting.to_json(), encoding="utf-8")
        sign_on(sitting).save(part / "assessor" / "sign_on_list")
        if watched := observation(sitting):
            watched.save(part / "assessor" / "observation_sheets")
        _put(part, out)
    except BaseException:
        shutil.rmtree(part, ignore_errors=True)
        raise
    return sitting


def practice(paper, out, larger_print=False):
    """Write a folder for one learner alone: the same forms, with feedback at once."""
    out = Path(out)
    part = _fresh(out)
    sitting = draw_sitting(paper, [Candidate("practice", "Practice", 0, larger_print)])
    try:
        write_candidate(part, sheet_for(sitting, "practice", practice=True))
        _put(part, out)
    except BaseException:
        shutil.rmtree(part, ignore_errors=True)
        raise
    return sitting


def _fresh(out):
    """Name of a folder beside `out` to build in; `out` must be free, so that nothing issued is ever
    written over.
    """
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise UserError(
            f"{out} is there and not empty. What was issued is never written over: give another"
            " folder with --out."
        )
    out.parent.mkdir(parents=True, exist_ok=True)
    return out.with_name(f"{out.name}.part-{secrets.token_hex(3)}")


def _put(part, out):
    if out.exists():
        out.rmdir()
    os.replace(part, out)
