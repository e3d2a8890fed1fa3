"""Proves the keys of items before they are used: a second route or worked examples, rounding on the
way, distractors, limits. Says for each item what was shown, and by what.
"""

from dataclasses import replace
from itertools import islice

from tractionlab.assess.bank.draw import fair_draws
from tractionlab.assess.proof.by_models import by_claims, case, tuning
from tractionlab.assess.proof.claims import CLAIMS
from tractionlab.assess.proof.finding import Finding
from tractionlab.assess.proof.second_person import COMPARED, by_person
from tractionlab.assess.proof.second_route import ROUTES, route_of, shown_by, worked_fault
from tractionlab.assess.proof.worked import evidence_of

DRAWS = 25
#: Routes of the keys that no call computes, by kind of field.
_OTHER_ROUTES = {
    "tuning": "Simulation: the course's own settings, and the ends of the ranges",
    "case": "A computed technician works each case; the log is replayed",
    "choice": "The course's models test each statement",
    "checklist": "None: a person watches",
}


def prove(chosen, second=None, simulate=True, by="a second person"):
    """Findings for items, a list.

    Parameters
    ----------
    chosen : items
    second : {(item id, field): answer as typed} of a second person, for the preview variants
    simulate : bool, also run the simulations of tuning items, the technician of the cases, and the
        models that test statements
    by : name of that person
    """
    return [finding for item in chosen for finding in _prove(item, second or {}, simulate, by)]


def _prove(item, second, simulate, by):
    drawn = list(islice(fair_draws(item), DRAWS))
    if not drawn:
        return [Finding(item.id, "-", "fails", "no draw passes its rules")]
    return [
        _compared(
            item, part, _routed(part, _field(item, part, drawn, second, simulate, by)), second, by
        )
        for part in item.fields
    ]


def _routed(part, finding):
    """The finding with a route."""
    if finding.route:
        return finding
    route = "A second person" if finding.asked else _OTHER_ROUTES.get(part.kind, "")
    return replace(finding, route=route)


def _compared(item, part, finding, second, by):
    """The finding on a computed key, with a second person's answer to it, if there is one."""
    answer = second.get((item.id, part.name))
    if answer is None or finding.asked or finding.kind == "fails":
        return finding
    if part.kind not in COMPARED:
        return replace(
            finding,
            words=(
                f"{finding.words}; the answer of {by} was not used: only letters and numbers are"
                " compared"
            ),
        )
    told = by_person(item, part, second, by)
    return (
        replace(told, asked=False, route=finding.route)
        if told.kind == "fails"
        else replace(finding, words=f"{finding.words}; {told.words}")
    )


def _field(item, part, drawn, second, simulate, by):
    if part.kind in ("path", "states", "sketch", "number") or (
        part.kind == "choice" and part.key is not None
    ):
        return _computed(item, part, drawn)
    if part.kind == "tuning":
        return (
            tuning(item, part, drawn)
            if simulate
            else Finding(item.id, part.name, "seen", "simulations were not run")
        )
    if part.kind == "choice":
        found = by_claims(item, part, drawn) if item.id in CLAIMS and simulate else None
        return by_person(item, part, second, by) if found is None else found
    if part.kind == "case":
        return case(item, part, simulate)
    return Finding(item.id, part.name, "seen", "an assessor watches; there is no key")


def _computed(item, part, drawn):
    """The finding on a key that is computed."""
    shown = shown_by(part)
    if not shown:
        return Finding(
            item.id, part.name, "fails", "neither a second route nor a worked example shows the key"
        )
    if part.key is not None and (fault := worked_fault(part)):
        return Finding(item.id, part.name, "fails", fault, shown)
    for params in drawn:
        if fault := ROUTES[part.kind](item, part, params):
            drawn_words = ", ".join(f"{name} = {value}" for name, value in params.items())
            return Finding(item.id, part.name, "fails", f"{fault} ({drawn_words})", shown)
    worked = len(evidence_of(part.key).worked) if part.key is not None else 0
    words = [
        f"second route agrees in {len(drawn)} draws"
        if part.kind in ("path", "states") or route_of(part.key)
        else "",
        f"worked examples agree ({worked})" if worked else "",
        "bears rounding to three digits; distractors outside the tolerance; inside its limits"
        if part.kind == "number"
        else "",
    ]
    return Finding(item.id, part.name, "shown", "; ".join(filter(None, words)), shown)
