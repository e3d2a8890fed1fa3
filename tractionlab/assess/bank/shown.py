"""What a candidate sees of an item: words with the drawn values put in, fields, picture.

Never a key.
"""

from types import MappingProxyType

import numpy as np

from tractionlab.assess.answers.case_log import car_token
from tractionlab.assess.bank.issued import Field, Variant
from tractionlab.assess.bank.seed import seed_of
from tractionlab.hydraulics.layout import layout

#: Digits that are asked, in words, by places after the point.
_DIGITS = ("whole number", "1 decimal", "2 decimals", "3 decimals", "4 decimals")


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
        lock = f"{seed_of('lock', seed, part.name):064x}"
        token = car_token(lock, shown["vehicle"], shown["fault"])
        more = {"vehicle": shown["vehicle"], "car": token, "lock": lock}
    elif part.kind == "checklist":
        more = {
            "steps": tuple(
                {"gate": False, **row, "text": row["text"].format_map(shown)} for row in part.steps
            )
        }
    return Field(name=part.name, kind=part.kind, label=label, marks=part.marks, **more)


def charts(item, variant):
    """Charts (`view.Chart`) of the variant's picture, () if it has none."""
    return tuple(item.figure.run(variant.params)) if item.figure else ()


def _as_drawn(values, lines, steps):
    """Values rounded to as many steps over the axis of all lines as a picture shows, so that a
    sheet tells no more than its picture: not the level or the time that is to be read from it.
    """
    low, high = min(map(np.min, lines)), max(map(np.max, lines))
    step = (high - low) / steps or 1.0
    return [float(f"{low + step * round((value - low) / step):.6g}") for value in values]


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
                        "x": _as_drawn(line.x, [one.x for one in chart.lines], 2000),
                        "y": _as_drawn(line.y, [one.y for one in chart.lines], 500),
                    }
                    for line in chart.lines
                ],
            }
            for chart in charts(item, variant)
        ],
        "fields": [field.as_dict() for field in variant.fields],
    }
