"""A reading of an instrument: its name, value and unit, in words, and when two of them agree."""

from dataclasses import dataclass
from types import MappingProxyType

from tractionlab.wheels import CALLED

OPEN = 1e6  #: ohm; from here on a meter shows no reading
#: Share and smallest amount by which two readings of an instrument may differ and still agree, by
#: unit. Course values, near to workshop instruments.
TOLERANCE = {
    "V": (0.03, 0.03),
    "ohm": (0.04, 0.4),
    "A": (0.05, 0.3),
    "bar": (0.04, 1.0),
    "s": (0.1, 0.05),
    "ms": (0.08, 8.0),
    "km/h": (0.006, 0.25),
    "mm": (0.02, 0.1),
    "%": (0.05, 1.5),
    "degC": (0.03, 8.0),
    "N m": (0.1, 3.0),
    "N": (0.06, 60.0),
    "deg": (0.05, 0.6),
    "pulses": (0.0, 0.5),
    "V rms": (0.08, 0.012),
    "mA": (0.05, 0.3),
    "K": (0.1, 15.0),
    "times": (0.3, 1.0),
}
#: What stands for an answer of the customer that speaks for nothing.
NOTHING_SAID = MappingProxyType({"work": "none known", "weather": "nothing special"})


def valve_words(valve):
    """Words for a valve key such as wheel_valve_RL or isolating_valve_1."""
    name, _, end = valve.rpartition("_")
    if end.lower() in CALLED:
        return f"{name.replace('_', ' ')} {CALLED[end.lower()]}"
    return (
        f"{name.replace('_', ' ')} {end}"
        if end.isdigit()
        else valve.replace("_", " ").replace("cut off", "cut-off")
    )


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One reading: `key` names it within its test, `value` is a number in `unit`, or words; `place`
    says where it was taken.
    """

    key: str
    name: str
    value: object
    unit: str = ""
    place: str = ""

    @property
    def words(self):
        """Name, value and unit as a person would write them down."""
        return f"{self.name}: {shown(self.value, self.unit)}" + (
            f" ({self.place})" if self.place else ""
        )


def shown(value, unit):
    """A value with its unit in words of the workshop."""
    if isinstance(value, str):
        return value
    if unit == "ohm":
        if value >= OPEN:
            return "OL, over 1 Mohm"
        return (
            f"{value / 1000:.2f} kohm"
            if value >= 1000
            else f"{value:.3g} ohm"
            if value < 100
            else f"{value:.0f} ohm"
        )
    if unit == "pulses":
        return f"{value:.0f} pulses"
    digits = (
        0
        if unit in ("ms", "degC", "K", "N", "N m", "times")
        else 2
        if unit in ("V", "s", "A")
        else 3
        if unit == "V rms"
        else 1
    )
    number = f"{round(value, digits) + 0.0:.{digits}f}".replace("-", "\u2212")
    return f"{number} {'°C' if unit == 'degC' else unit}".rstrip()


def agree(reading, other):
    """Do two readings of the same name agree within what the instrument can tell?

    What a customer says of work or weather speaks only against faults that need other work or
    weather; the story itself is no reading."""
    if reading.key == "story":
        return True
    if reading.key in NOTHING_SAID:
        return other.value in (NOTHING_SAID[reading.key], reading.value)
    if isinstance(reading.value, str) or isinstance(other.value, str):
        return reading.value == other.value
    if reading.unit == "ohm" and min(reading.value, other.value) >= OPEN:
        return True
    share, least = TOLERANCE[reading.unit]
    return (
        abs(reading.value - other.value)
        <= share * max(abs(reading.value), abs(other.value)) + least
    )
