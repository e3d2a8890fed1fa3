"""Right answers of an item for drawn values, and how far an answer may be off."""

from tractionlab.assess.bank.part import TOLERANCES


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
