"""A repair case as it went: its kept log done over again, each step in words with its readings."""

from tractionlab.assess.answers.case_log import opened
from tractionlab.catalogue.entries import shipped_only
from tractionlab.panels.case_words import line_of, title_of, with_meaning
from tractionlab.workshop.case.case import Case
from tractionlab.workshop.case.replay import do_again
from tractionlab.workshop.fault_entry import KINDS, WHYS
from tractionlab.workshop.faults import fault, symptoms
from tractionlab.workshop.instruments.meter import FUNCTIONS
from tractionlab.workshop.instruments.setup import HAPPENS, KEYS, PROBES
from tractionlab.workshop.tests.base import preparations, tests


@shipped_only()
def time_line(drawn, field, log):
    """[(minutes, what, readings)] for each entry of a kept log, all texts.

    drawn : the candidate's variant of the item; field : its field of kind case; log : list of
        entries as they are kept. From an entry that cannot be done again there are no readings.
    """
    rows, case = [], None
    for entry in opened(log, field.car, drawn.params["fault"]) if isinstance(log, list) else []:
        try:
            if case is None:
                case = Case(*(entry[name] for name in ("fault", "vehicle", "symptom", "mode")))
                rows.append(("0 min", f"The customer says: {case.complaint}", ""))
            else:
                do_again(case, entry)
                rows.append(_told(case.log[-1]))
        except Exception as problem:  # a stranger's log: whatever breaks its replay is told
            rows.append(("-", f"This step cannot be done again: {str(problem)[:200]}", ""))
    return rows


def fault_words(drawn):
    """The fault of the car in the bay and its repair, for those who may know it."""
    found = fault(drawn.params["fault"])
    return f"{found.place}, {KINDS[found.kind]}. {found.repair}"


def _told(entry):
    minutes, words = line_of(entry)
    what, readings = entry["do"], ""
    if what in ("test", "measure"):
        words = title_of(entry)
        readings = "\n".join(
            f"{one['name']}: {with_meaning(one)}" + f" ({one['place']})" * bool(one["place"])
            for one in entry["readings"]
        )
    if what == "measure":
        words += f": {_setup_words(entry['setup'])}"
    if entry.get("prepared"):
        words += "".join(f"\nBefore it: {preparations()[key]}" for key in entry["prepared"])
    if entry.get("condition"):
        words += f"\nConditions: {symptoms()[entry['condition']]}"
    if what == "stopped":
        words += f"\n{entry['why']}"
    if what == "repair":
        words += f", because of {WHYS[entry['why']]}"
    if what == "honest_stop":
        left = ", ".join(fault(name).place for name in entry["suspected"])
        words += f". Left: {left}; next would be {entry['next']} {tests()[entry['next']].name}"
    return minutes, words, readings


def _setup_words(setup):
    instrument = FUNCTIONS.get(setup["instrument"], (setup["instrument"],))[0]
    at = [f"{PROBES[probe]} at {point}" for probe, point in setup["points"].items()]
    at += [f"{part} pulled" for part in setup["pulled"]]
    return ", ".join([instrument, *at, f"key {KEYS[setup['key']]}"]) + (
        "" if setup["happens"] == "still" else f", while {HAPPENS[setup['happens']]}"
    )
