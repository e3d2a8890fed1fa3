"""Judges numbers as people type them: tolerance, units, follow-through from an earlier answer."""

import re

from tractionlab.assess.bank.answer_key import keys, tolerance
from tractionlab.written.numbers import UNITS, Unreadable, convert, read

WRONG_UNIT, MISSING_UNIT = 0.5, 0.8
#: Units in which the same number counts for a field's unit, beside the field's own.
_ACCEPTED = {
    "force": ("N", "kN"),
    "torque": ("N m",),
    "pressure": ("bar", "MPa", "kPa"),
    "speed": ("km/h", "m/s"),
    "acceleration": ("m/s²",),
    "time": ("s", "ms"),
    "share": ("%", "1"),
    "current": ("A", "mA"),
    "voltage": ("V", "mV"),
    "resistance": ("ohm", "kohm", "mohm", "Mohm"),
    "power": ("W", "kW"),
    "volume": ("cm³", "ml"),
    "temperature difference": ("K", "°C"),
}


class Numbers:
    """The number fields of one response, judged in the order of the item, so that a later one can
    follow an earlier wrong one.
    """

    def __init__(self, item, variant):
        self.params, self.right = variant.params, keys(item, variant.params)
        self.wrong, self.used = {}, set()

    def judge(self, part, given):
        """(marks, reason) of one field."""
        reading = _read(given)
        if isinstance(reading, str):
            return 0.0, reading
        number, unit = reading
        share, words = _share(number, unit, part, self.right[part.name])
        if share == 0.0:
            share, words = self._followed(number, unit, part) or (share, words)
        if share == 0.0:
            value = _value(number, unit, part)
            if value is not None and value != 0.0 and part.limits[0] <= value <= part.limits[1]:
                self.wrong[part.name] = value
            words = self._trap(value, part) or words
        return share * part.marks, words

    def _followed(self, number, unit, part):
        """Share and words when the answer is right for the candidate's own earlier values.

        Each of them can be followed once.
        """
        own = {
            name: self.wrong[name]
            for name in part.key.names
            if name in self.wrong and name not in self.used
        }
        if not own:
            return None
        try:
            value = float(part.key.run({**self.params, **self.right, **own}))
        except (ArithmeticError, ValueError):
            return None
        if not part.limits[0] <= value <= part.limits[1]:
            return None
        share, words = _share(number, unit, part, value)
        if share == 0.0:
            return None
        self.used |= set(own)
        return share, f"right with your earlier value, which counts once: {words}"

    def _trap(self, value, part):
        if value is None:
            return ""
        for trap in part.traps:
            wrong = trap.key.run({**self.params, **self.right})
            if abs(value - wrong) <= tolerance(part, wrong):
                return f"not right. {trap.idea}"
        return ""


def _read(given):
    """(number, unit or None if it is not known) of a typed answer, or the reason why it cannot be
    read.
    """
    if not isinstance(given, str):
        return "the answer is not a text with a number."
    try:
        reading = read(given)
        return reading.number, reading.unit
    except Unreadable as error:
        number = re.match(r"[-+\u2212]?[0-9.,]+", given.strip()[:40])
        rest = given.strip()[number.end() :] if number else ""
        if not number or len(given) > 40 or not re.fullmatch(r"\s*[^\W\d][^\d]*", rest):
            return f"not counted: {error}"
    try:
        return read(number.group()).number, None
    except Unreadable as error:
        return f"not counted: {error}"


def _share(number, unit, part, right):
    """(share of the marks, words) for a number with a unit ("" = none typed, None = unknown)
    against the right value in the field's unit.
    """
    near, asked = tolerance(part, right), "a plain number" if part.unit == "1" else part.unit
    value = _value(number, unit, part)
    fits = [
        other
        for other in accepted(part.unit)
        if _near(convert(number, other, part.unit), right, near)
    ]
    if value is not None and _near(value, right, near) and (unit or not part.unit_asked):
        return 1.0, (
            "right."
            if unit is not None
            else "right; its unit is none that is known here, and did not count."
        )
    if not fits:
        return 0.0, "not right."
    if not unit:
        if part.unit_asked:
            return (
                MISSING_UNIT,
                (
                    "right number, but its unit is"
                    f" {'missing' if unit == '' else 'none that is known here'}"
                    f" ({100 * MISSING_UNIT:g} %)."
                ),
            )
        return (
            (1.0, "right, given as a fraction.")
            if part.unit == "%"
            else (0.0, f"not right in {asked}.")
        )
    return WRONG_UNIT, f"right number with a wrong unit; asked is {asked} ({100 * WRONG_UNIT:g} %)."


def accepted(unit):
    """Units in which a field with this unit can be answered."""
    return tuple(dict.fromkeys((unit, *_ACCEPTED.get(UNITS[unit][0], ()))))


def _value(number, unit, part):
    """The number in the field's unit, or None if its unit measures something else.

    One that is not known counts like none.
    """
    return convert(number, unit or part.unit, part.unit)


def _near(value, right, near):
    return value is not None and abs(value - right) <= near * (1.0 + 1e-9)
