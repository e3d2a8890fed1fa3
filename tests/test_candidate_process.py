"""What the process behind a candidate's forms holds: no keys, no bank, no judge; and what it hands
on to the browser.
"""

import json
import os
import subprocess
import sys

import numpy as np
from sittings import sitting_of

from tractionlab.assess.answers.case_log import car_token
from tractionlab.assess.bank.item import items
from tractionlab.assess.bank.shown import charts
from tractionlab.assess.desk.sheet import as_browser_needs
from tractionlab.assess.sitting.issue import sheet_for, write_candidate
from tractionlab.workshop.faults import faults

KINDS = ("choice", "number", "path", "states", "sketch", "tuning", "waveform", "case", "checklist")
#: What no candidate's process may load.
SECRET = ("bank", "judge", "keys", "markbook", "proof")
#: At the desk of the folder where it is started: every item is opened, an answer saved, the case
#: worked on, settings tried, the work handed in.
WORK = """
import sys
from tractionlab.assess.desk.desk import Desk
desk = Desk(".")
desk.start()
for item in desk.sheet["items"]:
    desk.open_item(item["id"])
    for field in item["fields"]:
        if field["kind"] == "choice":
            desk.save(item["id"], field["name"], "A", 1)
        if field["kind"] == "tuning":
            middle = {
                row["name"]: f"{(row['low'] + row['high']) / 2:g}" for row in field["settings"]
            }
            desk.save(item["id"], field["name"], middle, 2)
            (trial, picture), = (bench.children for bench in desk.bench.children)
            trial.on_command("run", {})
            assert trial.face["message"].startswith("Tried"), trial.face["message"]
        if field["kind"] == "case":
            case, = desk.bench.children
            case.children[0].command("cautions")
desk.hand_in(True)
assert desk.phase() == "handed_in"
print(*sorted(name for name in sys.modules if name.startswith("tractionlab.assess.")))
"""


def one_of_each():
    """A sitting of one candidate with an item of each kind."""
    ids = [next(item.id for item in items().values() if item.kind == kind) for kind in KINDS]
    return sitting_of(ids, ["007", "008"])


def test_the_process_behind_the_forms_loads_neither_bank_nor_keys_nor_judge(tmp_path):
    write_candidate(tmp_path / "c", sheet_for(one_of_each(), "007"))
    told = subprocess.run(
        [sys.executable, "-c", WORK],
        cwd=tmp_path / "c",
        env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
    )
    assert told.returncode == 0, told.stderr
    rooms = {name.split(".")[2] for name in told.stdout.split()}
    assert "desk" in rooms and not rooms & set(SECRET)


def test_the_car_of_a_case_is_told_by_nothing_that_another_could_work_out():
    sitting = one_of_each()
    fields = [
        next(
            field
            for item in sheet_for(sitting, number)["items"]
            for field in item["fields"]
            if field["kind"] == "case"
        )
        for number in ("007", "008")
    ]
    assert fields[0]["car"] != fields[1]["car"] and fields[0]["lock"] != fields[1]["lock"]
    tried = {
        car_token(lock, fields[0]["vehicle"], fault) for lock in ("", "car") for fault in faults()
    }
    assert fields[0]["car"] not in tried


def test_the_browser_gets_neither_car_nor_lock_nor_seal():
    sheet = sheet_for(one_of_each(), "007")
    told = json.dumps(as_browser_needs(sheet))
    case = next(f for item in sheet["items"] for f in item["fields"] if f["kind"] == "case")
    assert not [secret for secret in (case["car"], case["lock"], sheet["seal"]) if secret in told]


def test_a_sheet_holds_its_pictures_no_finer_than_they_are_seen():
    sitting = one_of_each()
    item = next(item for item in items().values() if item.kind == "waveform")
    sheet = next(one for one in sheet_for(sitting, "007")["items"] if one["id"] == item.id)
    for exact, kept in zip(charts(item, sitting.variant(item, "007")), sheet["charts"]):
        levels = np.concatenate([line.y for line in exact.lines])
        step = np.ptp(levels) / 500
        for line, seen in zip(exact.lines, kept["lines"]):
            assert np.abs(line.y - seen["y"]).max() < 0.51 * step, "as seen"
            places = (np.array(seen["y"]) - levels.min()) / step
            assert np.abs(places - np.round(places)).max() < 0.05, "and no finer"
