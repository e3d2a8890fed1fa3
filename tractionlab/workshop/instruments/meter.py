"""The multimeter and the current clamp: what they show between two points, computed with their own
input resistance and test current.
"""

from dataclasses import dataclass, replace
from math import ceil, log10

import numpy as np

from tractionlab.errors import UserError
from tractionlab.workshop.wiring.nodal import Current, Diode, Resistor, Source

#: Functions of the multimeter by key: words, unit.
FUNCTIONS = {
    "volt_dc": ("direct voltage", "V"),
    "volt_ac": ("alternating voltage", "V"),
    "ohm": ("resistance", "ohm"),
    "ampere": ("current", "A"),
    "milliampere": ("small current", "mA"),
    "continuity": ("continuity", "ohm"),
    "diode": ("diode", "V"),
}
COUNTS = 2000  #: the display runs to one less
INPUT_OHM = 1e7  #: of the voltage ranges
RANGES = {
    "volt_dc": (0.2, 2.0, 20.0, 200.0),
    "volt_ac": (0.2, 2.0, 20.0, 200.0),
    "ohm": (200.0, 2e3, 2e4, 2e5, 2e6, 2e7),
    "ampere": (10.0,),
    "milliampere": (200.0,),
    "continuity": (200.0,),
    "diode": (2.0,),
}
BEEP_OHM = 30.0  #: below it the continuity function sounds
CLAMP_A = 200.0  #: range of the current clamp
_FULL_SCALE_V = 0.2  # over the part when an ohm range is full
_TEST_V, _DIODE_A = (
    3.0,
    1e-3,
)  # most voltage of the test current; test current of the diode function
_SHUNT = {
    "ampere": (0.01, 10.0),
    "milliampere": (1.0, 0.4),
}  # ohm; rating of the meter's own fuse [A]
_BRIDGED_V = 0.3  # from here on a current range between two points of a whole circuit is a mistake
_LIVE_V = 0.002  # from here on a circuit counts as live for the ohmmeter
_MILLI = 1e-3
_OVER = "OL"
_PREFIXES = (
    (2e6, 1e-6, "M"),
    (2e3, 1e-3, "k"),
    (0.0, 1.0, ""),
)  # least range, factor, what stands before "ohm"


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What an instrument shows. `value` in `unit`, NaN when it shows no number; `shown` is the
    display with its unit; `warnings` are sentences; `beeps` for continuity; `fuse_blown`: the
    meter's own fuse went."""

    value: float
    unit: str
    shown: str
    warnings: tuple = ()
    beeps: bool = False
    fuse_blown: bool = False

    def __str__(self):
        return self.shown


def refusal(network, moment, point):
    """Why a probe may not be put on a point now, in one sentence; "" if it may."""
    plan = network.plan
    if point in plan.forbidden:
        return plan.forbidden[point][1]
    network.check(point)
    place = plan.points[point]
    if not place.plug or place.plug in moment.unplugged:
        return ""
    plug = plan.plugs[place.plug]
    if place.device:
        return (
            f"This half of the pin is hidden while the {plug.name} is on. Pull the plug, or measure"
            " on the lead side."
        )
    if plug.probe == "sealed":
        return (
            f"The {plug.name} is sealed: a probe pushed through a seal or a lead's skin lets water"
            " in. Pull the plug, or measure at the break-out box."
        )
    return ""


def measure(network, moment, function, red, black, span=None, wave=None):
    """Reading of the multimeter.

    Parameters
    ----------
    network : network.Network
    moment : network.Moment
    function : key of FUNCTIONS
    red, black : points at which the two probes are
    span : range, one of RANGES[function]; the meter chooses if left out
    wave : array (n,), voltage over time [V] between the points when it is not steady, evenly
        spaced; needed for what an alternating voltage shows

    Returns
    -------
    Reading; a UserError with the reason if a probe may not be put there
    """
    if function not in FUNCTIONS:
        raise UserError(f"the meter has no function {function!r}; it has {', '.join(FUNCTIONS)}")
    spans = RANGES[function] if span is None else (span,)
    if not set(spans) <= set(RANGES[function]):
        raise UserError(
            f"the ranges for {FUNCTIONS[function][0]} are"
            f" {', '.join(f'{r:g}' for r in RANGES[function])} {FUNCTIONS[function][1]}, got"
            f" {span!r}"
        )
    for point in (red, black):
        reason = refusal(network, moment, point)
        if reason:
            raise UserError(reason)
    if function in ("volt_dc", "volt_ac"):
        return _volt(network, moment, function, red, black, spans, wave)
    own = network.solve(moment).voltage(red, black)
    if function in _SHUNT:
        return _ampere(network, moment, function, red, black, own)
    live = (
        (
            (
                f"There are {_in_words(own)} here without the meter: its display means nothing."
                " Ohms are measured without voltage; pull the plug first."
            ),
        )
        if abs(own) > _LIVE_V
        else ()
    )
    if function == "diode":
        volts = _tested(network, moment, red, black, _DIODE_A)
        return _display(volts, "V", spans, live)
    ohm, full = float("inf"), spans[-1]
    for full in spans:
        ohm = _tested(network, moment, red, black, _FULL_SCALE_V / full) * full / _FULL_SCALE_V
        if abs(ohm) < full:
            break
    reading = _display(ohm, "ohm", (full,), live)
    return replace(reading, beeps=True) if function == "continuity" and ohm < BEEP_OHM else reading


def clamp(network, moment, lead):
    """Reading of the current clamp round a lead, from the lead's first point to its second."""
    if lead not in network.plan.leads:
        raise UserError(
            f"the clamp goes round a lead; {network.vehicle} has {', '.join(network.plan.leads)}"
        )
    return _display(network.solve(moment).current(lead), "A", (CLAMP_A,), ())


def _volt(network, moment, function, red, black, spans, wave):
    if wave is not None:
        wave = np.asarray(wave, float)
        value = float(np.mean(wave)) if function == "volt_dc" else float(np.std(wave))
    elif function == "volt_dc":
        value = network.solve(moment, (Resistor("meter", red, black, INPUT_OHM),)).voltage(
            red, black
        )
    else:
        value = 0.0
    return _display(value, "V", spans, ())


def _tested(network, moment, red, black, ampere):
    """Voltage [V] between the probes with the meter's test current, which gives up at _TEST_V."""
    top = "meter/top"
    return network.solve(
        moment,
        (
            Current("meter", black, red, ampere),
            Source("meter.most", top, black, _TEST_V),
            Diode("meter.limit", red, top, 0.0),
        ),
    ).voltage(red, black)


def _ampere(network, moment, function, red, black, own):
    ohm, fuse = _SHUNT[function]
    current = network.solve(
        replace(moment, brief=True), (Resistor("meter", red, black, ohm),)
    ).current("meter")
    unit = FUNCTIONS[function][1]
    if abs(current) > fuse:
        return Reading(
            value=float("nan"),
            unit=unit,
            shown=f"0.00 {unit}",
            fuse_blown=True,
            warnings=(
                (
                    f"The meter's fuse of {fuse:g} A has blown: in this range the meter is nearly a"
                    f" piece of wire, and {abs(current):.0f} A wanted through it. A current is"
                    " measured in series, with the circuit opened."
                ),
            ),
        )
    beside = (
        (
            (
                f"There are {_in_words(own)} between these points without the meter, which now"
                " bridges them. A current is measured in series: put the probes on the two sides"
                " of a plug, fuse or relay that is pulled."
            ),
        )
        if abs(own) > _BRIDGED_V and not _in_series(network, moment, red, black)
        else ()
    )
    return _display(current / (_MILLI if unit == "mA" else 1.0), unit, RANGES[function], beside)


def _in_series(network, moment, red, black):
    """Do the probes stand on the two sides of something that is pulled?"""
    ends = {red, black}
    holders = (
        e
        for e in network.plan.elements.values()
        if e.kind in ("fuse", "relay") and e.key in moment.unplugged
    )
    return any(set(e.at) == ends for e in holders) or any(
        ends == {f"{key}.{pin}", f"{key}.{pin}.device"}
        for key in moment.unplugged & set(network.plan.plugs)
        for pin in network.plan.plugs[key].pins
    )


def _display(value, unit, spans, warnings):
    """Reading in the smallest of the ranges that holds the value."""
    full = next((span for span in spans if abs(value) < span * (1.0 - 0.5 / COUNTS)), None)
    if full is None:
        return Reading(value=float("nan"), unit=unit, shown=_OVER, warnings=warnings)
    scale, prefix = (
        next((scale, prefix) for least, scale, prefix in _PREFIXES if full >= least)
        if unit == "ohm"
        else (1.0, "")
    )
    steps = round(value / full * COUNTS)
    digits = max(0, ceil(log10(COUNTS / full / scale) - 1e-9))
    shown = f"{steps * full / COUNTS * scale:.{digits}f}".replace("-", "\u2212")
    return Reading(
        value=steps * full / COUNTS, unit=unit, shown=f"{shown} {prefix}{unit}", warnings=warnings
    )


def _in_words(volt):
    return f"{abs(volt):.1f} V" if abs(volt) >= 1.0 else f"{abs(volt) * 1000:.0f} mV"
