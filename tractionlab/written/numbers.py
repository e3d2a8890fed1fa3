"""Numbers and units as people type them: decimal comma or point, with a unit or without."""

import re
from dataclasses import dataclass

from tractionlab.units import BAR, CM3, KMH, MM

#: unit -> (quantity, size in SI). Temperature differences only, so one degree is one kelvin.
UNITS = {
    "N": ("force", 1.0),
    "kN": ("force", 1e3),
    "N m": ("torque", 1.0),
    "kN m": ("torque", 1e3),
    "bar": ("pressure", BAR),
    "MPa": ("pressure", 1e6),
    "kPa": ("pressure", 1e3),
    "Pa": ("pressure", 1.0),
    "m/s": ("speed", 1.0),
    "km/h": ("speed", KMH),
    "m/s²": ("acceleration", 1.0),
    "s": ("time", 1.0),
    "ms": ("time", 1e-3),
    "min": ("time", 60.0),
    "K": ("temperature difference", 1.0),
    "°C": ("temperature difference", 1.0),
    "Hz": ("frequency", 1.0),
    "rpm": ("turning speed", 1.0),
    "m": ("length", 1.0),
    "mm": ("length", MM),
    "%": ("share", 0.01),
    "1": ("share", 1.0),
    "A": ("current", 1.0),
    "mA": ("current", 1e-3),
    "V": ("voltage", 1.0),
    "mV": ("voltage", 1e-3),
    "ohm": ("resistance", 1.0),
    "kohm": ("resistance", 1e3),
    "mohm": ("resistance", 1e-3),
    "Mohm": ("resistance", 1e6),
    "W": ("power", 1.0),
    "kW": ("power", 1e3),
    "kJ": ("energy", 1e3),
    "cm³": ("volume", CM3),
    "ml": ("volume", CM3),
    "steps": ("number of steps", 1.0),
    "times": ("number of times", 1.0),
}
#: Read and converted, but not offered: what a slip between small and capital m makes of a unit.
_RARE = {
    "MN": ("force", 1e6),
    "mN": ("force", 1e-3),
    "MA": ("current", 1e6),
    "MV": ("voltage", 1e6),
    "Ms": ("time", 1e6),
    "MW": ("power", 1e6),
    "mW": ("power", 1e-3),
}
_SIZES = {**UNITS, **_RARE}
_SPELLINGS = {
    "Nm": "N m",
    "kNm": "kN m",
    "N·m": "N m",
    "m/s2": "m/s²",
    "m/s^2": "m/s²",
    "m/s/s": "m/s²",
    "kmh": "km/h",
    "C": "°C",
    "degC": "°C",
    "deg C": "°C",
    "degrees": "°C",
    "kelvin": "K",
    "cm3": "cm³",
    "cm^3": "cm³",
    "percent": "%",
    "per cent": "%",
    "/min": "rpm",
    "1/min": "rpm",
    "/s": "Hz",
    "1/s": "Hz",
    "step": "steps",
    "time": "times",
    "min.": "min",
    "minute": "min",
    "minutes": "min",
    "Ω": "ohm",
    "kΩ": "kohm",
    "mΩ": "mohm",
    "MΩ": "Mohm",
    "kilohm": "kohm",
    "kilohms": "kohm",
    "megohm": "Mohm",
    "megohms": "Mohm",
}
#: Names of units in words, and of what stands before them.
_NAMES = {
    "ampere": "A",
    "amp": "A",
    "volt": "V",
    "ohm": "ohm",
    "second": "s",
    "sec": "s",
    "newton": "N",
    "watt": "W",
    "metre": "m",
    "meter": "m",
    "newton metre": "N m",
    "newtonmetre": "N m",
    "newton meter": "N m",
    "hertz": "Hz",
    "pascal": "Pa",
    "joule": "J",
    "litre": "l",
    "liter": "l",
}
_BEFORE = {"": "", "milli": "m", "kilo": "k", "mega": "M"}
_SPELLINGS |= {
    f"{before}{name}{end}": f"{short}{unit}"
    for before, short in _BEFORE.items()
    for name, unit in _NAMES.items()
    for end in ("", "s")
    if f"{short}{unit}" in _SIZES
}
#: Units that small and capital m tell apart; of all others small and capital letters are alike.
_TOLD_BY_M = re.compile("m(n|a|v|s|w|pa|ohm|ω)", re.IGNORECASE)


def _folded(name):
    return name[0] + name[1:].lower() if _TOLD_BY_M.fullmatch(name) else name.lower()


_FOLDED = {_folded(name): name for name in [*_SPELLINGS, *_SIZES]}
_NUMBER = re.compile(r"([+-]?)([0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(.*)", re.DOTALL)


class Unreadable(ValueError):
    """The text is not one plain number; the message tells the learner how to write it."""


@dataclass(frozen=True)
class Reading:
    """What was typed: the number as written, and its unit from UNITS or '' if none was typed."""

    number: float
    unit: str


def read(text):
    """Number and unit from typed text, or `Unreadable`.

    Comma and point both mark decimals; no thousands separators.
    """
    text = text.strip().replace("\u2212", "-")
    if not text:
        raise Unreadable("Type a number first.")
    found = _NUMBER.fullmatch(text) if len(text) <= 40 else None
    if found is None:
        raise Unreadable("I cannot read this as a number. Write it like 12.5 or 12,5.")
    sign, digits, rest = found.groups()
    if re.match(r"[.,0-9]|[ '’\u00a0\u2009\u202f]+(?!1/(?:s|min)$)[0-9]", rest):
        raise Unreadable(
            "Leave out separators between thousands: write 1250, not 1 250 or 1,250.0. "
            "A comma or a point marks decimals only."
        )
    return Reading(number=float(sign + digits.replace(",", ".")), unit=_unit(rest.strip()))


def known_unit(text):
    """The unit that a text names, as in UNITS, or None.

    A stop behind it does not matter; m is milli, M is mega.
    """
    text = text.replace("\u2126", "Ω").rstrip(".")
    name = text if text in _SIZES else _FOLDED.get(_folded(text)) if text else None
    return _SPELLINGS.get(name, name)


def _unit(text):
    if not text:
        return ""
    name = known_unit(text)
    if name is None:
        raise Unreadable(
            f"I do not know the unit '{text}'. Write units as the task does, for example N, N m,"
            " bar, km/h, ms, Hz, V, ohm or %."
        )
    return name


def convert(number, unit, wanted):
    """`number` in `unit` expressed in `wanted`, or None if the two measure different things."""
    (quantity, size), (other, other_size) = _SIZES[unit], _SIZES[wanted]
    return number * size / other_size if quantity == other else None


def show(number, digits=3):
    """A number in plain notation with so many significant digits: 1861.3 -> '1861', 0.60273 ->
    '0.603'.
    """
    if number == 0:
        return "0"
    places = digits - 1 - int(f"{number:e}".split("e")[1])
    return f"{number:.{max(places, 0)}f}"
