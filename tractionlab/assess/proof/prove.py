"""Proves the keys of items before they are used: a second route, rounding on the way, distractors,
limits. Says for each item what was shown.
"""

from dataclasses import replace
from itertools import islice

from tractionlab.assess.bank.draw import fair_draws
from tractionlab.assess.proof.by_models import by_claims, case, tuning
from tractionlab.assess.proof.claims import CLAIMS
from tractionlab.assess.proof.finding import Finding
from tractionlab.assess.proof.second_person import COMPARED, by_person
from tractionlab.assess.proof.second_route import ROUTES

DRAWS = 25


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
        _compared(item, part, _field(item, part, drawn, second, simulate, by), second, by)
        for part in item.fields
    ]


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
        replace(told, asked=False)
        if told.kind == "fails"
        else replace(finding, words=f"{finding.words}; {told.words}")
    )


def _field(item, part, drawn, second, simulate, by):
    if part.kind in ("path", "states", "sketch", "number") or (
        part.kind == "choice" and part.key is not None
    ):
        for params in drawn:
            if fault := ROUTES[part.kind](item, part, params):
                return Finding(
                    item.id,
                    part.name,
                    "fails",
                    f"{fault} ({', '.join(f'{name} = {value}' for name, value in params.items())})",
                )
        return Finding(
            item.id, part.name, "shown", f"second route agrees in {len(drawn)} draws{_more(part)}"
        )
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


def _more(part):
    return (
        "; bears rounding to three digits; distractors outside the tolerance; inside its limits"
        if part.kind == "number"
        else ""
    )
