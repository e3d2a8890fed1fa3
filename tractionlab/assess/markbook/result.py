"""From the marks of one candidate to a result: per outcome, overall, safety gates, and the
sentences that say what is missing.
"""

from dataclasses import dataclass
from typing import NamedTuple

from tractionlab.assess.bank.item import items

#: Share of an outcome's marks from which it counts as achieved, unless the paper says otherwise.
OUTCOME_PERCENT = 50.0


class Tally(NamedTuple):
    """Of one outcome: marks got, out of; gate, False if a safety gate was failed; exact, in how
    many of its repair cases (cases) the fault was named exactly."""

    got: float
    out_of: float
    gate: bool
    exact: int
    cases: int

    @property
    def share(self):
        """Per cent of its marks."""
        return 100.0 * self.got / self.out_of


@dataclass(frozen=True)
class Result:
    """got, out_of : marks. outcomes : {outcome: (got, out of, achieved)} in the order of the paper.
    safe : no safety gate was failed.
    open : items that nobody has marked yet. lacking : why the paper is not passed, in sentences;
        empty when it is. missing : the outcomes that would have to be shown again for it. grade :
        in words.
    """

    got: float
    out_of: float
    outcomes: dict
    safe: bool
    open: tuple
    lacking: tuple
    missing: tuple
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


def tallies(paper, marks):
    """{outcome: Tally} for a paper (dict with items) and {item: (marks, gate, exact)}."""
    found, bank = {}, items()
    for name in paper["items"]:
        item = bank[name]
        value, gate, hit = marks.get(name, (0.0, 1, 0))
        old = found.get(item.outcome, Tally(0.0, 0.0, True, 0, 0))
        found[item.outcome] = Tally(
            old.got + value,
            old.out_of + item.marks,
            old.gate and bool(gate),
            old.exact + hit,
            old.cases + (item.kind == "case"),
        )
    return found


def result(paper, marks):
    """Result for a paper (dict with items and rules) and {item: (marks, gate, exact)}."""
    still_open = tuple(name for name in paper["items"] if name not in marks)
    return by_rules(paper["rules"], tallies(paper, marks), still_open)


def by_rules(rules, found, still_open=()):
    """Result for {outcome: Tally}.

    Rules, all optional: overall_percent; outcome_percent {outcome: per cent}; one_of [[outcome,
    ...], ...] of which one must reach its per cent; exact_faults: in how many repair cases place
    and kind must both be right; grades [[words, per cent], ...]."""
    total = round(sum(one.got for one in found.values()), 2)
    most = sum(one.out_of for one in found.values())
    percent = 100.0 * total / most if most else 0.0
    wanted = {name: rules.get("outcome_percent", {}).get(name, OUTCOME_PERCENT) for name in found}
    outcomes = {
        name: (round(one.got, 2), one.out_of, one.share >= wanted[name] and one.gate)
        for name, one in found.items()
    }
    unmet = list(_unmet(rules, percent, found, wanted))
    again = {name for _, names in unmet for name in names}
    grade = "not yet"
    if not unmet:
        levels = sorted(rules.get("grades", []), key=lambda row: -row[1])
        grade = next((words for words, least in levels if percent >= least), "pass")
    return Result(
        total,
        most,
        outcomes,
        all(one.gate for one in found.values()),
        still_open,
        tuple(words for words, _ in unmet),
        tuple(name for name in found if name in again),
        grade,
    )


def _unmet(rules, percent, found, wanted):
    """(sentence, outcomes to be shown again) for each rule that is not met. Of several outcomes of
    which one would do, the one nearest to its line."""
    least = rules.get("overall_percent", 60.0)
    if percent < least:
        below = [name for name, one in found.items() if one.share < least]
        yield f"Overall {percent:.1f} %, needed are {least:g} %.", below
    for name in rules.get("outcome_percent", {}):
        if name in found and found[name].share < wanted[name]:
            yield f"{name}: {found[name].share:.1f} %, needed are {wanted[name]:g} %.", [name]
    for names in rules.get("one_of", []):
        there = [name for name in names if name in found]
        if there and all(found[name].share < wanted[name] for name in there):
            nearest = max(there, key=lambda name: found[name].share)
            yield f"One of {', '.join(there)} must reach {wanted[there[0]]:g} %.", [nearest]
    exact, cases = (
        sum(getattr(one, name) for one in found.values()) for name in ("exact", "cases")
    )
    needed = min(rules.get("exact_faults", 0), cases)
    if exact < needed:
        yield (
            f"Repair cases with the exact fault: {exact}, needed {needed}.",
            [name for name, one in found.items() if one.cases],
        )
    if failed := [name for name, one in found.items() if not one.gate]:
        yield (
            f"{', '.join(failed)}: a safety gate was not passed. It has to be shown again, whatever"
            " the marks.",
            failed,
        )
