"""How the items did in a sitting: facility, discrimination, and what stands out.

Questions for the assessor, never verdicts.
"""

from dataclasses import dataclass

import numpy as np

from tractionlab.assess.bank.item import items

#: Facility that an item should have, the lowest discrimination, and how many tries it takes to say
#: anything.
FACILITY, DISCRIMINATION, TRIES = (0.30, 0.90), 0.20, 20


@dataclass(frozen=True)
class ItemFigures:
    """tries; facility = mean share of the marks; discrimination = correlation of the item's marks
    with those of all other items (nan if it cannot be worked out); remark in words."""

    item: str
    outcome: str
    tries: int
    facility: float
    discrimination: float
    remark: str


def figures(book):
    """[ItemFigures] in the order of the paper, over all candidates with marks.

    Source of both measures: classical test theory; item-rest correlation by Pearson's formula;
    common practice, no source."""
    numbers = [number for number in book.results if book.status(number) == "marked"]
    found = []
    for name in book.sitting.paper["items"]:
        rows = [
            (
                book.marks[number][name].marks,
                book.results[number].got - book.marks[number][name].marks,
            )
            for number in numbers
            if name in book.marks[number]
        ]
        item = items()[name]
        if not rows:
            found.append(
                ItemFigures(name, item.outcome, 0, float("nan"), float("nan"), "not marked yet")
            )
            continue
        own, rest = np.array(rows).T
        facility = float(np.mean(own)) / item.marks
        spread = float(np.std(own) * np.std(rest))
        discrimination = (
            float(np.mean((own - own.mean()) * (rest - rest.mean()))) / spread
            if spread > 1e-12
            else float("nan")
        )
        found.append(
            ItemFigures(
                name,
                item.outcome,
                len(rows),
                facility,
                discrimination,
                remark(len(rows), facility, discrimination),
            )
        )
    return found


def remark(tries, facility, discrimination):
    """What stands out, in words; "" if nothing does."""
    if tries < TRIES:
        return f"fewer than {TRIES} tries: too early to say"
    words = []
    if facility < FACILITY[0]:
        words.append("hard: was it taught, is the wording clear?")
    if facility > FACILITY[1]:
        words.append("easy: does it still tell anything?")
    if discrimination == discrimination and discrimination < DISCRIMINATION:
        words.append("does not tell strong from weak: look at key and distractors")
    return "; ".join(words)


def by_outcome(book):
    """{outcome: [share of the marks of each candidate]} in the order of the paper."""
    found = {}
    for number in book.results:
        for outcome, (got, out_of, _) in book.results[number].outcomes.items():
            found.setdefault(outcome, []).append(got / out_of)
    return found
