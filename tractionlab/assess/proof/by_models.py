"""Keys that the course's own models prove: tuned settings, repair cases, statements to choose
from.
"""

from itertools import product

from tractionlab.assess.bank.draw import EFFORT_BAND, fair_draws
from tractionlab.assess.bank.shown import build
from tractionlab.assess.judge.answers import judge
from tractionlab.assess.proof.claims import CLAIMS
from tractionlab.assess.proof.finding import Finding
from tractionlab.catalogue.entries import shipped, shipped_only

#: So many faults must fit the complaint of a repair case; where few do, a repair by guess earns
#: marks.
LEAST_FITTING = 5


def tuning(item, part, drawn):
    course = shipped().control_values()
    own = {row["name"]: f"{course[row['name']]:g}" for row in part.settings}
    names = [row["name"] for row in part.settings]
    corners = [
        dict(zip(names, values))
        for values in product(*((f"{row['low']:g}", f"{row['high']:g}") for row in part.settings))
    ]
    for params in drawn:
        variant = build(item, params)
        good = judge(item, variant, {part.name: own}).marks
        if good < item.marks:
            words = f"the course's own settings get {good:g} of {item.marks} marks"
            return Finding(
                item.id,
                part.name,
                "fails",
                f"{words} ({', '.join(f'{name} = {value}' for name, value in params.items())})",
            )
    failing = sum(
        judge(item, build(item, drawn[0]), {part.name: corner}).marks < item.marks
        for corner in corners
    )
    if 2 * failing < len(corners):
        return Finding(
            item.id,
            part.name,
            "fails",
            f"only {failing} of {len(corners)} settings at the ends of their ranges miss a demand",
        )
    return Finding(
        item.id,
        part.name,
        "shown",
        f"the course's own settings meet every demand in {len(drawn)} draws; {failing} of"
        f" {len(corners)} settings at the ends of their ranges do not",
    )


def case(item, part, simulate):
    from tractionlab.workshop.case.criteria_search import par_minutes
    from tractionlab.workshop.case.suspects import candidates
    from tractionlab.workshop.faults import faults

    pars = {}
    for params in fair_draws(item):
        known = faults().get(params["fault"])
        if known is None or params["vehicle"] not in known.vehicles:
            return Finding(
                item.id,
                part.name,
                "fails",
                f"there is no fault {params['fault']} on {params['vehicle']}",
            )
        if (fitting := len(candidates(known.symptoms[0], params["vehicle"]))) < LEAST_FITTING:
            return Finding(
                item.id,
                part.name,
                "fails",
                f"only {fitting} fault{'s fit' if fitting > 1 else ' fits'} the complaint of"
                f" {known.id}, must be {LEAST_FITTING} or more",
            )
        if simulate:
            pars[known.id] = par_minutes(known.id, known.symptoms[0], params["vehicle"], known.kind)
    if not simulate:
        return Finding(item.id, part.name, "seen", "simulations were not run")
    if max(pars.values()) > (1 + EFFORT_BAND) * min(pars.values()):
        return Finding(
            item.id,
            part.name,
            "fails",
            f"par times differ by more than {EFFORT_BAND:.0%}: {pars}",
        )
    return Finding(
        item.id,
        part.name,
        "shown",
        f"a technician finds each of its {len(pars)} faults, in {min(pars.values()):g} to"
        f" {max(pars.values()):g} minutes of par; the log is replayed, not compared with a key",
    )


@shipped_only()
def by_claims(item, part, drawn):
    marked = tuple(option.right for option in part.options)
    for params in drawn:
        holds = tuple(bool(held) for held in CLAIMS[item.id](params))
        if holds != marked:
            words = "; ".join(
                f"option {place} {'holds' if held else 'does not hold'}"
                for place, (held, right) in enumerate(zip(holds, marked), 1)
                if held != right
            )
            return Finding(
                item.id,
                part.name,
                "fails",
                f"the course's own models say otherwise: {words}"
                f" ({', '.join(f'{name} = {value}' for name, value in params.items())})",
            )
    return Finding(
        item.id,
        part.name,
        "shown",
        f"the course's own models find this statement true and the others false, in {len(drawn)}"
        " draws",
    )
