"""Dimensions of a key from end to end: its own code runs on quantities with units (pint, one of the
test extras). Unlike terms cannot be added, and the result must have the dimension that is stated.

Numbers such as 3.6 or 1000 convert between units of one dimension and pass; a worked example finds
those.
"""

from functools import cache

from tractionlab.assess.proof.rebuilt import rebuilt

#: Names in the keys and formulas that stand for numbers with a dimension.
_WITH_UNITS = {
    "GRAVITY": "m/s^2",
    "ATMOSPHERE": "Pa",
    "heat_capacity": "J/(kg*K)",
    "margin": "km/h",
}
_SENSORS = {
    "passive": {"volts_per_hertz": "V/Hz", "threshold_V": "V", "reference_gap_mm": "mm"},
    "active": {"low_mA": "mA", "high_mA": "mA"},
}


class Unchecked(Exception):
    """The dimensions of this key cannot be followed: it answers in words, or calls what takes
    nothing but plain numbers.
    """


@cache
def _units():
    import pint

    return pint.UnitRegistry()


@cache
def _replaced():
    unit = _units().Quantity
    sensors = {
        kind: {name: unit(1.0, text) for name, text in row.items()}
        for kind, row in _SENSORS.items()
    }
    return {name: unit(1.0, text) for name, text in _WITH_UNITS.items()} | {
        "float": lambda value: value,
        "wheel_sensors": lambda: sensors,
    }


def wrong_dimension(function, units):
    """What is wrong with the dimensions of a key, in words, or "". `units`: "bar, m -> N".

    Raises Unchecked where they cannot be followed.
    """
    import pint

    given, result = (side.strip() for side in units.split("->"))
    wanted = [text.strip() for text in given.split(",")]
    values = [_units().Quantity(2.0 + 0.7 * k, text) for k, text in enumerate(wanted)]
    try:
        found = rebuilt(function, _replaced())(*values)
    except pint.DimensionalityError as problem:
        return str(problem)
    except (TypeError, AttributeError) as problem:
        raise Unchecked(str(problem)) from None
    if isinstance(found, str):
        raise Unchecked("it answers in words")
    found = _units().Quantity(found, "") if isinstance(found, (int, float)) else found
    expected = _units().Quantity(1.0, result)
    if found.dimensionality != expected.dimensionality:
        return f"the result has the dimension {found.dimensionality}, not that of {result}"
    return ""
