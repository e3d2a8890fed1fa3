"""What the fields of a scenario may hold: words, ranges and patches, and the sentence for what they
may not. Every check raises UserError.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from typing import Any

from tractionlab.catalogue.checked import wrong_number
from tractionlab.errors import UserError, did_you_mean

CONTROLS = {
    "off": "Control off",
    "torque": "Torque reduction",
    "brake": "Brake application",
    "both": "Torque reduction and brake",
}
DRIVES = ("rear", "front", "all")
DIFFERENTIALS = ("open", "limited_slip", "locked")
PATHS = ("throttle", "ignition", "fuel")
CENTRES = ("open", "limited", "locked")
CLUTCHES = ("driver", "shut", "open")
BRAKED = ("both", "front", "rear")
GONE = ("torque", "brake", "antilock")
TEXTS = (
    "title",
    "vehicle",
    "left",
    "right",
    "tyre",
    "drive",
    "differential",
    "centre",
    "clutch",
    "control",
    "braked",
)
SWITCHES = (
    "bend_allowance",
    "switched_off",
    "antilock",
    "drag_control",
    "hold_on_hill",
    "both_feet",
    "keep_lane",
)

RANGES = {
    "slope_percent": (-40.0, 40.0),
    "duration_s": (0.02, 120.0),
    "step_s": (0.0001, 0.002),
    "initial_speed_kmh": (0.0, 200.0),
    "pedal_percent": (0.0, 100.0),
    "pedal_from_s": (0.0, 120.0),
    "pedal_rise_s": (0.01, 10.0),
    "pedal_until_s": (0.0, 120.0),
    "pedal_fall_s": (0.01, 10.0),
    "brake_bar": (0.0, 160.0),
    "brake_from_s": (0.0, 120.0),
    "brake_until_s": (0.0, 120.0),
    "brake_rise_s": (0.1, 10.0),
    "fluid_degC": (-40.0, 80.0),
    "steer_deg": (-30.0, 30.0),
}


@dataclass(frozen=True, kw_only=True)
class Patch:
    """A rectangle of another surface, from/to along the road and across it [m], there from/to a
    time [s].
    """

    surface: str
    x_from: float = -1e9
    x_to: float = 1e9
    y_from: float = -1e9
    y_to: float = 1e9
    t_from: float = -1e9
    t_to: float = 1e9


def number_field(name: str, value: Any, low: float, high: float) -> float:
    """A number in its range."""
    if words := wrong_number(name, value, low, high):
        raise UserError(words)
    return float(value)


def of_kind(name: str, value: object, kind: type | tuple[type, ...], words: str) -> None:
    """A value must be of a kind, which `words` name."""
    if not isinstance(value, kind):
        raise UserError(f"{name} must be {words}, got {value!r}")


def one_of(name: str, value: str, allowed: Iterable[str]) -> None:
    """A word must be one of those allowed."""
    if value not in allowed:
        raise UserError(
            f"{name} must be one of {', '.join(repr(a) for a in allowed)}, got {value!r}"
        )


def four(name: str, values: Any, low: float, high: float) -> tuple[float, ...]:
    """One number in its range for each wheel."""
    if not isinstance(values, (list, tuple)) or len(values) != 4:
        raise UserError(f"{name} needs four values, FL FR RL RR, got {values!r}")
    return tuple(number_field(name, value, low, high) for value in values)


def patch(table: Any) -> Patch:
    """Patch from a dict of its fields."""
    known = [f.name for f in fields(Patch)]
    if (
        not isinstance(table, dict)
        or "surface" not in table
        or any(key not in known for key in table)
    ):
        raise UserError(
            f"patches: each needs surface and may have {', '.join(known[1:])}, got {table!r}"
        )
    values: dict[str, Any] = {
        key: value if key == "surface" else number_field(f"patches.{key}", value, -1e9, 1e9)
        for key, value in table.items()
    }
    return Patch(**values)


def faults_of(table: Mapping[str, Any]) -> dict[str, tuple[Any, ...]]:
    """part -> (fault, value or None), or such pairs, sorted by part; whether part and fault exist
    is seen when the circuit is built.
    """
    found: dict[str, tuple[Any, ...]] = {}
    for part, entry in sorted(table.items()):
        several = isinstance(entry, (list, tuple)) and all(
            isinstance(one, (list, tuple)) for one in entry
        )
        pairs = tuple(_fault(part, one) for one in (entry if several else (entry,)))
        found[part] = pairs if len(pairs) > 1 else pairs[0]
    return found


def _fault(part: str, fault: Any) -> tuple[str, Any]:
    pair = (
        (fault, None)
        if isinstance(fault, str)
        else tuple(fault)
        if isinstance(fault, (list, tuple))
        else ()
    )
    if len(pair) != 2 or not isinstance(pair[0], str):
        raise UserError(
            f"faults.{part}: give the fault, or the fault and its value as a pair, got {fault!r}"
        )
    return pair


def taken_away_of(row: Any) -> tuple[float, tuple[str, ...]]:
    """(time [s], names of GONE) of a row of `taken_away`."""
    if (
        not isinstance(row, (list, tuple))
        or len(row) != 2
        or not isinstance(row[1], (list, tuple))
        or any(name not in GONE for name in row[1])
    ):
        raise UserError(
            f"taken_away: each needs a time and a list of {', '.join(GONE)}, got {row!r}"
        )
    return number_field("taken_away", row[0], 0.0, 120.0), tuple(row[1])


def check_overrides(
    name: str, table: Mapping[str, Any], ranges: Mapping[str, tuple[float, float]]
) -> None:
    """Values that replace others must have a known name and lie in its range."""
    for key, value in table.items():
        if key not in ranges:
            raise UserError(f"{name}: unknown key {key!r}; {did_you_mean(key, list(ranges))}")
        number_field(f"{name}.{key}", value, *ranges[key])
