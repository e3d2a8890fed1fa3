"""Draws for a whole roll, so that neighbours share few right numbers."""

from tractionlab.assess.bank.answer_key import keys, tolerance
from tractionlab.assess.bank.draw import variant

#: Share of the items of a paper on which two candidates of a sitting may have the same numeric key.
SHARED = 0.10
_TURNS = 200


def turns(paper_items, sitting_key, roll):
    """Turn of every candidate, {candidate: turn}, so that no two share a numeric key within its
    tolerance on more than SHARED of the items.

    Candidates are taken in the order of the roll; each gets the first turn that fits with all
    before, or after many turns the one that fits best (a roll far longer than the lists of the
    items). Keep the result with the sitting key: marking needs nothing else."""
    paper_items = list(paper_items)
    numeric = [item for item in paper_items if any(part.kind == "number" for part in item.fields)]
    allowed, found, taken = int(SHARED * len(paper_items)), {}, []
    for candidate in roll:
        best = None
        for turn in range(_TURNS):
            row = _key_row(
                numeric,
                [variant(item, sitting_key, candidate, turn=turn).params for item in numeric],
            )
            worst = max((shared_items(row, other) for other in taken), default=0)
            if best is None or worst < best[0]:
                best = worst, turn, row
            if worst <= allowed:
                break
        found[candidate] = best[1]
        taken.append(best[2])
    return found


def draw_class(paper_items, sitting_key, roll):
    """Variants of the whole roll: {candidate: {item id: Variant}}."""
    paper_items = list(paper_items)
    return {
        candidate: {
            item.id: variant(item, sitting_key, candidate, turn=turn) for item in paper_items
        }
        for candidate, turn in turns(paper_items, sitting_key, roll).items()
    }


def _key_row(numeric, drawn):
    """Per numeric item (keys, tolerances) of its number fields."""
    rows = []
    for item, params in zip(numeric, drawn):
        values = keys(item, params)
        numbers = [part for part in item.fields if part.kind == "number"]
        rows.append([(values[part.name], tolerance(part, values[part.name])) for part in numbers])
    return rows


def shared_items(row, other):
    """On how many items two candidates share any numeric key within its tolerance."""
    return sum(
        any(abs(a - b) <= max(near, nearer) for (a, near), (b, nearer) in zip(mine, yours))
        for mine, yours in zip(row, other)
    )
