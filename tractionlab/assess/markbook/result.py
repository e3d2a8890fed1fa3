"""From the marks of one candidate to a result: per outcome, overall, safety gates, and the
sentences that say what is missing.
"""

from dataclasses import dataclass

from tractionlab.assess.bank.item import items

#: Share of an outcome's marks from which it counts as achieved, unless the paper says otherwise.
OUTCOME_PERCENT = 50.0


@dataclass(frozen=True)
class Result:
    """got, out_of : marks. outcomes : {outcome: (got, out of, achieved)} in the order of the paper.
    safe : no safety gate was failed.
    open : items that nobody has marked yet. lacking : why the paper is not passed, in sentences;
        empty when it is. grade : in words.
    """

    got: float
    out_of: float
    outcomes: dict
    safe: bool
    open: tuple
    lacking: tuple
    grade: str

    @property
    def percent(self):
        """Share of all marks, 0 to 100."""
        return 100.0 * self.got / self.out_of if self.out_of else 0.0

    @property
    def passed(self):
        """True if every rule of the paper is met."""
        return not self.lacking

    @property
    def failed(self):
        """Outcomes not yet achieved, those with a failed safety gate among them."""
        return tuple(name for name, (_, _, achieved) in self.outcomes.items() if not achieved)


def result(paper, marks):
    """Result for a paper (dict with items and rules) and {item: (marks, gate, exact)}.

    Rules, all optional: overall_percent; outcome_percent {outcome: per cent}; one_of [[outcome,
    ...], ...] of which one must reach its per cent; exact_faults: in how many repair cases place
    and kind must both be right; grades [[words, per cent], ...]."""
    rules, bank = paper["rules"], items()
    got, out_of, gates, exact, cases = {}, {}, {}, 0, 0
    for name in paper["items"]:
        outcome = bank[name].outcome
        value, gate, hit = marks.get(name, (0.0, 1, 0))
        got[outcome] = got.get(outcome, 0.0) + value
        out_of[outcome] = out_of.get(outcome, 0.0) + bank[name].marks
        gates[outcome] = min(gates.get(outcome, 1), gate)
        exact, cases = exact + hit, cases + (bank[name].kind == "case")
    wanted = {name: rules.get("outcome_percent", {}).get(name, OUTCOME_PERCENT) for name in got}
    share = {name: 100.0 * got[name] / out_of[name] for name in got}
    outcomes = {
        name: (round(got[name], 2), out_of[name], share[name] >= wanted[name] and bool(gates[name]))
        for name in got
    }
    total, most = round(sum(got.values()), 2), sum(out_of.values())
    lacking = tuple(
        _lacking(rules, 100.0 * total / most if most else 0.0, share, wanted, gates, exact, cases)
    )
    still_open = tuple(name for name in paper["items"] if name not in marks)
    grade = (
        "not yet"
        if lacking
        else next(
            (
                words
                for words, least in sorted(rules.get("grades", []), key=lambda row: -row[1])
                if 100.0 * total / most >= least
            ),
            "pass",
        )
    )
    return Result(total, most, outcomes, all(gates.values()), still_open, lacking, grade)


def _lacking(rules, percent, share, wanted, gates, exact, cases):
    least = rules.get("overall_percent", 60.0)
    if percent < least:
        yield f"Overall {percent:.1f} %, needed are {least:g} %."
    for name in rules.get("outcome_percent", {}):
        if name in share and share[name] < wanted[name]:
            yield f"{name}: {share[name]:.1f} %, needed are {wanted[name]:g} %."
    for names in rules.get("one_of", []):
        there = [name for name in names if name in share]
        if there and all(share[name] < wanted[name] for name in there):
            yield f"One of {', '.join(there)} must reach {wanted[there[0]]:g} %."
    needed = min(rules.get("exact_faults", 0), cases)
    if exact < needed:
        yield f"Repair cases with the exact fault: {exact}, needed {needed}."
    if failed := [name for name, gate in gates.items() if not gate]:
        yield (
            f"{', '.join(failed)}: a safety gate was not passed. It has to be shown again, whatever"
            " the marks."
        )
