"""The words of the workshop bench: what stays the same during a case, and each step of its log."""

import re

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.places import data_folder
from tractionlab.catalogue.value_file import read_toml
from tractionlab.workshop.case.case import CLEAR_MINUTES, PART_MINUTES
from tractionlab.workshop.codes import code_list
from tractionlab.workshop.fault_entry import KINDS, WHYS
from tractionlab.workshop.faults import fault, symptoms
from tractionlab.workshop.reading import shown
from tractionlab.workshop.tests.base import preparations, reading_minutes, tests
from tractionlab.workshop.wiring.netlist import plan

_CODE = re.compile(r"\b([BCPU][0-9A-F]{4})-([0-9A-F]{2})\b(?: present| stored)?")
_CAUTIONS = ("lift", "wheels", "road", "pressure", "electrical", "proof")
_ELECTRIC = {True: ("high_voltage",), False: ()}


def words_of(case):
    """All that stays the same during a case."""
    safety = read_toml(data_folder() / "safety.toml")["cautions"]
    said = {key: entry["title"] + ". " + entry["text"] for key, entry in safety.items()}
    return {
        "title": f"Repair case: {catalogue.shipped().vehicles()[case.vehicle].name.lower()}",
        "complaint": case.complaint,
        "symptom": symptoms()[case.symptom],
        "cautions": [
            [safety[key]["title"], safety[key]["text"]]
            for key in (*_CAUTIONS, *_ELECTRIC[case.vehicle == "front_electric"])
        ],
        "tests": [
            [t.id, t.name, t.does, t.minutes, [said[key] for key in t.cautions]]
            for t in tests().values()
        ],
        "preparations": list(preparations().items()),
        "places": list(case.places()),
        "kinds": list(KINDS.items()),
        "whys": list(WHYS.items()),
        "conditions": [["", "choose"], *symptoms().items()],
        "suspects": [["", "choose"], *((key, fault(key).place) for key in case.candidates())],
        "groups": list(plan(case.vehicle).groups.items()),
        "repair_minutes": PART_MINUTES,
        "clear_minutes": CLEAR_MINUTES,
        "reading_minutes": reading_minutes(),
    }


def with_meaning(reading):
    """A reading in words; behind each code stands what it says."""
    return _CODE.sub(
        lambda found: f"{found[0]} ({code_list().words(found[1], found[2])})",
        shown(reading["value"], reading["unit"]),
    )


def title_of(entry):
    """What a step of the log that took a reading was."""
    return (
        f"{entry['test']} {tests()[entry['test']].name}"
        if entry["do"] == "test"
        else "Measured in the wiring" + ("" if entry["sound"] else ", proves nothing")
    )


def line_of(entry):
    """(minutes, words) of a step of the log for the time line."""
    words = {
        "cautions": "Cautions read",
        "hint": "Hint taken",
        "clear": "Memory cleared",
        "finish": "Car handed over",
        "honest_stop": "Stopped: not proven",
    }
    what = entry["do"]
    if what == "test":
        text = title_of(entry)
    elif what == "stopped":
        work = title_of({**entry, "do": "test"}) if "test" in entry else "Measuring in the wiring"
        text = f"{work}: unsafe, stopped"
    elif what == "measure":
        text = "; ".join(
            f"{reading['name']}: {shown(reading['value'], reading['unit'])}"
            for reading in entry["readings"]
        )
    elif what == "repair":
        text = f"Repaired: {entry['place']}, {KINDS[entry['kind']]}"
    else:
        text = f"Note: {entry['text']}" if what == "note" else words[what]
    return [f"{entry['minutes']} min", text]
