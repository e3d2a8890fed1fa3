"""Draws a candidate's variant of an item: same keys, same numbers, on every machine.

A variant holds what the candidate may see, never a key.
"""

from functools import lru_cache
from itertools import islice
from math import gcd, isfinite, prod

from tractionlab.assess.bank import effort
from tractionlab.assess.bank.answer_key import keys, tolerance
from tractionlab.assess.bank.seed import seed_of
from tractionlab.assess.bank.shown import build
from tractionlab.errors import UserError

#: A distractor must miss the key by so many tolerances.
CLEAR = 1.2
#: An expert's time for a variant may differ so much from the item's first one.
EFFORT_BAND = 0.15


def variant(item, sitting_key, candidate, version=None, turn=0):
    """The variant of an item for one candidate in one sitting.

    Parameters
    ----------
    version : int, version of the item that was issued; another than the bank's is a UserError
    turn : int, how many times the candidate's paper was drawn again because of the neighbours, see
        `turns`
    """
    if version is not None and version != item.version:
        raise UserError(
            f"item {item.id} was issued in version {version}, this item bank has version"
            f" {item.version}. Mark with the edition of the course that issued the paper."
        )
    seed = seed_of(sitting_key, candidate, item.id, item.version, turn)
    params = next(islice(fair_draws(item, seed), 1), None)
    if params is None:
        raise UserError(f"item {item.id}: no draw passes its rules")
    return build(item, params, seed, turn)


def combination(item, index):
    """Values of draw number `index`, tables unfolded."""
    params = {}
    for name, values in item.draws.items():
        index, place = divmod(index, len(values))
        value = values[place]
        params |= value if isinstance(value, dict) else {name: value}
    return params


def count(item):
    """How many draws there are, fair or not."""
    return prod(len(values) for values in item.draws.values())


def fair_draws(item, seed=0):
    """The draws that pass the rules, beginning at a place given by the seed, each once."""
    total = count(item)
    start = seed % total
    stride = next(
        step for step in range(max(1, int(total * 0.618)), total + 1) if gcd(step, total) == 1
    )
    for i in range(total):
        params = combination(item, (start + i * stride) % total)
        if not why_unfair(item, params):
            yield params


def why_unfair(item, params):
    """The rule that a draw breaks, in words, or ""."""
    values = keys(item, params)
    if item.possible is not None and not item.possible.run({**params, **values}):
        return "a physical limit is broken"
    for part in item.fields:
        if part.kind == "number":
            value, (low, high) = values[part.name], part.limits
            if not isfinite(value) or not low <= value <= high:
                return f"{part.name}: the key {value:g} is outside {low:g} to {high:g}"
            for trap in part.traps:
                wrong = trap.key.run({**params, **values})
                if abs(wrong - value) <= CLEAR * tolerance(part, value):
                    return f"{part.name}: a distractor lies inside the tolerance"
        elif (
            part.kind == "choice"
            and part.key is not None
            and values[part.name] not in {option.id for option in part.options}
        ):
            return f"{part.name}: no option is right"
    if abs(effort.seconds(item, params, values) / _first_effort(item) - 1.0) > EFFORT_BAND:
        return "an expert's time differs too much from the first draw"
    return ""


@lru_cache(maxsize=1000)
def _first_effort(item):
    """Seconds an expert needs for the first draw."""
    params = combination(item, 0)
    return effort.seconds(item, params, keys(item, params))
