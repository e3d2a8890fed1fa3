"""What a technician writes down in a repair case: does a note hold a value, with its unit, that was
really read on this car?
"""

import re
from itertools import combinations

from tractionlab.workshop.reading import OPEN
from tractionlab.written.numbers import convert, known_unit

#: How far a written value may be off the reading, as a share of it; half of its last digit is
#: allowed in any case.
ROUNDED = 0.02
_NUMBER = re.compile(r"(?<![\w.,])([-+\u2212]?\d+(?:[.,]\d+)?)(?=\s*(\S+)?(?:\s+(\S+))?)")
_MARKS = ",;:!?()[]\"'"
_COUNTED = {
    **dict.fromkeys(("pulses", "pulse", "teeth", "tooth", "pole pairs", "pairs"), "pulses"),
    **dict.fromkeys(("deg", "°", "degree", "degrees"), "deg"),
}
_READ_IN = {"degC": "°C", "V rms": "V", "times": "times"}
_SIDE = re.compile(r"\b(front|rear|left|right)\b")


def holds_a_reading(text, entries):
    """True if a note holds a number and a unit that agree with a reading of these entries of a
    case's log, or with what two readings of one kind differ by.
    """
    values = [
        value for entry in entries if "readings" in entry for value in _values(entry["readings"])
    ]
    if any(unit == "ohm" and value >= OPEN for value, unit in values) and re.search(
        r"\bOL\b", text
    ):
        return True
    return any(
        _agree(number, half, unit, value, read_in)
        for number, half, units in _written(text)
        for unit in units
        for value, read_in in values
    )


def _written(text):
    """(number, half of its last digit, units it may be in) of every number with a unit."""
    for found in _NUMBER.finditer(text):
        digits = found.group(1).replace("\u2212", "-").replace(",", ".")
        first, second = ((word or "").strip(_MARKS) for word in found.groups()[1:])
        ends = (found.group(2) or "")[-1:] in _MARKS
        names = [first] if ends else [f"{first} {second}".strip(), first]
        units = [
            unit
            for name in names
            if name
            for unit in (_COUNTED.get(name.lower().rstrip(".")), known_unit(name))
            if unit
        ]
        if units:
            yield float(digits), 0.5 * 10.0 ** -len(digits.partition(".")[2]), units


def _values(readings):
    """(value, unit) of the readings of one test, and of the differences between those of one kind,
    in their unit and in per cent.
    """
    plain = [
        (
            reading["value"],
            _READ_IN.get(reading["unit"], reading["unit"]),
            _SIDE.sub("", reading["name"]),
        )
        for reading in readings
        if isinstance(reading["value"], (int, float)) and not isinstance(reading["value"], bool)
    ]
    yield from ((value, unit) for value, unit, _ in plain)
    for (a, unit, kind), (b, other, same) in combinations(plain, 2):
        if unit == other and kind == same and a != b:
            yield abs(a - b), unit
            yield 100.0 * abs(a - b) / max(abs(a), abs(b)), "%"


def _agree(number, half, unit, value, read_in):
    if unit == read_in == "pulses":
        return abs(number) == round(abs(value))
    if unit == read_in == "deg":
        size = 1.0
    elif "deg" in (unit, read_in) or "pulses" in (unit, read_in):
        return False
    elif (size := convert(1.0, unit, read_in)) is None:
        return False
    if read_in == "ohm" and value >= OPEN:
        return number * size >= OPEN
    return abs(abs(number) * size - abs(value)) <= max(ROUNDED * abs(value), half * size) + 1e-9
