"""Draws a candidate's variant of an item: same keys, same numbers, on every machine.

A variant holds what the candidate may see, never a key.
"""

import hashlib
import json
from functools import lru_cache
from itertools import islice
from math import gcd, isfinite, prod
from types import MappingProxyType

import numpy as np

from tractionlab.assess.bank import effort
from tractionlab.assess.bank.issued import Field, Variant
from tractionlab.assess.bank.part import TOLERANCES
from tractionlab.errors import UserError
from tractionlab.hydraulics.layout import layout

#: A distractor must miss the key by so many tolerances.
CLEAR = 1.2
#: An expert's time for a variant may differ so much from the item's first one.
EFFORT_BAND = 0.15
#: Share of the items of a paper on which two candidates of a sitting may have the same numeric key.
SHARED = 0.10
_TURNS = 200
#: Digits that are asked, in words, by places after the point.
_DIGITS = ("whole number", "1 decimal", "2 decimals", "3 decimals", "4 decimals")


def variant(item, sitting_key, candidate, version=None, turn=0):
    """The variant of an item for one candidate in one sitting.

    Parameters
    ----------
    version : int, version of the item that was issued; another than the bank's is a UserError
    turn : int, how many times the candidate's paper was drawn anew because of the neighbours, see
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


def seed_of(*parts):
    """SHA-256 over the parts, as an integer."""
    return int.from_bytes(
        hashlib.sha256(json.dumps([str(part) for part in parts]).encode()).digest()
    )


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
    if item.possible is not None and not item.possible.run(params):
        return "a physical limit is broken"
    values = keys(item, params)
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


def tolerance(part, value):
    """How far an answer may be off, in the unit of the field: the share of the rule, or one in the
    last digit asked if that is more.
    """
    share = TOLERANCES[part.tolerance]
    return max(share * abs(value), 10.0**-part.places) if share else 1e-9


def keys(item, params):
    """Right answers by field name, for the fields whose key is computed or marked."""
    values = {}
    for part in item.fields:
        if part.kind == "sketch":
            values[part.name] = part.key.run({**params, **values, "points": part.points})
        elif part.kind in ("number", "choice"):
            values[part.name] = (
                part.key.run({**params, **values})
                if part.key
                else next(option.id for option in part.options if option.right)
            )
    return values


def build(item, params, seed=0, turn=0):
    """Variant of an item with these numbers; the seed orders the options."""
    words = {name: call.run(params) for name, call in item.words.items()}
    shown = {**params, **words}
    return Variant(
        item_id=item.id,
        version=item.version,
        turn=turn,
        params=MappingProxyType(params),
        title=item.title,
        text=item.text.format_map(shown),
        given=tuple(
            (label.format_map(shown), value.format_map(shown)) for label, value in item.given
        ),
        fields=tuple(_field(part, shown, seed) for part in item.fields),
    )


def option_text(option, item, params):
    """Words of an option with the drawn values put in."""
    return option.text.format_map(
        {**params, **{name: call.run(params) for name, call in item.words.items()}}
    )


def _field(part, shown, seed):
    more, label = {}, part.label.format_map(shown)
    if part.kind == "choice":
        order = sorted(part.options, key=lambda option: seed_of(seed, part.name, option.id))
        more = {
            "choices": tuple(
                (letter, option.text.format_map(shown)) for letter, option in zip("ABCDEFGH", order)
            )
        }
    elif part.kind == "number":
        more = {
            "unit": "" if part.unit_asked else part.unit,
            "unit_asked": part.unit_asked,
            "places": part.places,
        }
        label = label if part.unit_asked else f"{label} ({_DIGITS[part.places]})"
    elif part.kind == "path":
        more = {
            "choices": tuple(layout(part.layout).nodes.items()),
            "start": shown["start"],
            "goal": shown["goal"],
        }
    elif part.kind == "states":
        components = layout(part.layout).components
        more = {
            "choices": tuple((key, components[key].name) for key in part.parts),
            "positions": {key: components[key].positions for key in part.parts},
        }
    elif part.kind == "tuning":
        more = {
            "settings": tuple(dict(row) for row in part.settings),
            "trial": part.trial.run(shown),
        }
    elif part.kind == "sketch":
        more = {name: getattr(part, name) for name in ("x", "y", "points", "y_range")}
    elif part.kind == "case":
        more = {"vehicle": shown["vehicle"], "car": car_token(shown["vehicle"], shown["fault"])}
    elif part.kind == "checklist":
        more = {
            "steps": tuple(
                {"gate": False, **row, "text": row["text"].format_map(shown)} for row in part.steps
            )
        }
    return Field(name=part.name, kind=part.kind, label=label, marks=part.marks, **more)


def car_token(vehicle, fault):
    """What stands for a fault in the data of a candidate: it does not say the fault at a glance."""
    return f"{seed_of('car', vehicle, fault):064x}"[:16]


def charts(item, variant):
    """Charts (`view.Chart`) of the variant's picture, () if it has none."""
    return tuple(item.figure.run(variant.params)) if item.figure else ()


def public(item, variant):
    """All that the candidate gets, as plain data: words, data sheet, picture as points, fields.

    No key, and no drawn value that is asked for.
    """
    return {
        "id": item.id,
        "version": variant.version,
        "outcome": item.outcome,
        "kind": item.kind,
        "minutes": item.minutes,
        "marks": item.marks,
        "title": variant.title,
        "text": variant.text,
        "given": [list(row) for row in variant.given],
        "charts": [
            {
                "title": chart.title,
                "x": chart.x,
                "y": chart.y,
                "lines": [
                    {
                        "label": line.label,
                        "style": line.style,
                        "x": np.round(line.x, 6).tolist(),
                        "y": np.round(line.y, 5).tolist(),
                    }
                    for line in chart.lines
                ],
            }
            for chart in charts(item, variant)
        ],
        "fields": [field.as_dict() for field in variant.fields],
    }


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
