"""What a second marker needs to mark by hand what is no single value: the features of a sketch, the
demands on settings with what was reached, the criteria of a repair case with what they read.
"""

from tractionlab.assess.answers.case_log import opened
from tractionlab.assess.answers.settings import read_settings
from tractionlab.assess.judge.runs import reached
from tractionlab.assess.judge.sketch import LEVEL, STEP
from tractionlab.catalogue.entries import shipped_only
from tractionlab.errors import UserError
from tractionlab.paint.blocks import Rows
from tractionlab.panels.case_words import title_of
from tractionlab.workshop.case.criteria_result import UNPROVEN, telling_steps
from tractionlab.workshop.case.criteria_search import (
    BASE,
    CONFIRMING,
    GOOD_ENOUGH,
    MINOR,
    NEVER_WRONG,
    SUPERFLUOUS,
    par_minutes,
    told,
)
from tractionlab.workshop.case.replay import measured, replay
from tractionlab.workshop.case.score import CRITERIA, HINT, PART_ON_HOPE
from tractionlab.workshop.fault_entry import KINDS, WHYS
from tractionlab.workshop.faults import faults, symptoms
from tractionlab.workshop.tests.base import preparations, tests

#: How the points of a case are counted, criterion by criterion.
HOW = {
    "safety": (
        f"15 if a test was taken, less {MINOR} for each preparation left out and {SUPERFLUOUS} for"
        " each that the test does not need; never below 0. Own protection is never too much."
    ),
    "complaint": (
        f"Before the repair: 3 for {BASE[0]}, 3 for one of {', '.join(CONFIRMING)}, 1 each for"
        f" {', '.join(BASE[1:])}."
    ),
    "evidence": "15 times faults excluded before the repair / (faults that fit - 1).",
    "order": (
        "10 times the mean of what each step told, of the best one open then;"
        f" {100 * GOOD_ENOUGH:g} % and more counts as 100 %. A step taken again does not count."
    ),
    "economy": (
        "10 up to par, falling to 0 at twice par, by the minutes of tests before the repair; times"
        " the share of faults they excluded. 0 if the place was not found, or repaired while more"
        " than one fault was left."
    ),
    "fault": (
        "Last repair: 15 for place and kind, 8 for the place, 5 for another place of its circuit;"
        f" at most {UNPROVEN} if more than one fault was left. Honest stop: 7.5 if the fault is one"
        " of at most two left and was named."
    ),
    "proof": "5 if the place was found and one fault was left.",
    "repair": "3 for the place, 2 for its cause.",
    "verification": (
        "After the repair: 4 for a test that tells once more, 3 for T28 under the conditions of the"
        " complaint, 3 for the memory: T04 before the first clearing, cleared after the repair, T04"
        " after that."
    ),
    "record": "1 for a note; 2 for a value that was read, with unit, before the repair, 2 after.",
    "off": (
        f"Less {HINT} for a hint, {PART_ON_HOPE} for each wrong or repeated place. A faulty car"
        f" called sound ({KINDS['normal']}) is no repair."
    ),
}


def sketch_rows(part, curve):
    """Table of a sketch's features; `curve`: the computed one at its points."""
    span = part.y_range[1] - part.y_range[0]
    rows = tuple(
        (each["words"], _seen(each, part, curve, span), f"{each['marks']:g}")
        for each in part.features
    )
    return Rows("What the sketch has to show", ("Feature", "How it is seen", "Marks"), rows)


def _seen(feature, part, curve, span):
    rule, first, last = feature["rule"], feature["first"], feature["last"]
    where = f"from {part.points[first]:g} to {part.points[last]:g}"
    if rule == "peak":
        return f"the largest value lies {where}, over {LEVEL * span:.4g} above the least"
    if rule == "near":
        return f"each value {where} within {feature.get('within', 0.1) * span:.4g} of the right one"
    if rule == "level":
        return f"values {where} at most {LEVEL * span:.4g} apart"
    way = 1.0 if rule == "rises" else -1.0
    least = max(0.5 * way * (curve[last] - curve[first]), STEP * span)
    return f"{rule} {where} by at least {least:.4g}, no step back over {STEP * span:.4g}"


def tuning_rows(variant, part, given):
    """Table of the demands, and what the settings reach on the roads that judge; None if the
    settings cannot be read."""
    settings = read_settings(part.settings, given)
    if isinstance(settings, str):
        return None
    rows = tuple(
        (demand.label, demand.wanted, f"{getattr(figures, demand.figure):.6g}")
        for demand, figures in reached(part, variant, settings)
    )
    return Rows("On the roads that judge", ("Demand", "Wanted", "Reached"), rows)


@shipped_only()
def case_rows(drawn, field, log):
    """Tables of a repair case: how the points are counted, what the rules need of this car, what
    each test needs, and what each step before the repair told; () if the log cannot be done again.
    """
    try:
        case = replay(opened(log, field.car, drawn.params["fault"]))
    except UserError:
        return ()
    fault, taken = case.fault, {entry["test"]: None for entry in case.log if "test" in entry}
    first = case.first_repair if case.first_repair is not None else len(case.log)
    circuit = {
        entry.place
        for entry in faults().values()
        if case.vehicle in entry.vehicles and entry.circuit == fault.circuit
    }
    par = par_minutes(fault.id, case.symptom, case.vehicle, fault.kind)
    needs = [
        (name, *(preparations()[key] for key in (*test.critical_on(case.vehicle), *test.minor)))
        for name, test in ((name, tests()[name]) for name in taken)
    ]
    facts = (
        ("Place", fault.place),
        ("Kind", KINDS[fault.kind]),
        ("Cause", WHYS[fault.why]),
        ("Other places of its circuit", "\n".join(sorted(circuit - {fault.place}))),
        ("Faults that fit the complaint", f"{len(case.candidates())}"),
        ("Par", f"{par:.4g} minutes"),
        ("Conditions of the complaint", "\n".join(symptoms()[key] for key in fault.symptoms)),
        ("Steps that tell", "\n".join(_name(step) for step in telling_steps(case))),
        ("Own protection", "\n".join(preparations()[key] for key in NEVER_WRONG)),
    )
    before = measured(case.log[:first])
    steps = tuple(
        (title_of(entry), f"{left}", "again" if share is None else f"{100 * share:.1f} %")
        for entry, (share, left) in zip(before, told(case, before))
    )
    counted = tuple((name, f"{CRITERIA.get(name, '')}", how) for name, how in HOW.items())
    return (
        Rows("The 100 points", ("Criterion", "Most", "How they are counted"), counted, (2, 1, 9)),
        Rows("What the rules need of this car", ("What", "Of this car"), facts, (3, 7)),
        Rows(
            "What each test needs before it",
            ("Test", "Preparations"),
            tuple((name, "\n".join(more)) for name, *more in needs),
            (1, 9),
        ),
        Rows(
            "What each step before the repair told",
            ("Step", "Faults left after it", "Of the best one open then"),
            steps,
        ),
    )


def _name(step):
    return step if isinstance(step, str) else "Measured in the wiring"
