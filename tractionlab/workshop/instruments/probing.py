"""One reading at points of the wiring: what is set up, the moment this makes of the car, and what
meter, clamp or oscilloscope then show.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tractionlab.errors import UserError
from tractionlab.workshop.instruments.meter import FUNCTIONS, clamp, measure, refusal
from tractionlab.workshop.instruments.scope import (
    SCENES,
    Record,
    pump_current,
    record,
    turned_by_hand,
    wheel_waves,
)
from tractionlab.workshop.instruments.setup import HAPPENS, KEYS, LETTERS
from tractionlab.workshop.reading import Reading
from tractionlab.workshop.wiring.electric_state import resting_signals
from tractionlab.workshop.wiring.moment import Moment
from tractionlab.workshop.wiring.network import Network
from tractionlab.workshop.wiring.pins import EMPTY

_TURNS_PER_S = 1.0
_SECONDS = {"turn": 0.2, "sweep": 1.0, "pump": 0.5, "pulse": 0.1, "bus": 0.1}
_CLAMP_RECORD = 0.5  # s
_NO_WAY = 1e9  # ohm; stands for a display that shows none
_CHANNELS = ("channel 1, red", "channel 2")


@dataclass(frozen=True, kw_only=True)
class Taken:
    """What an instrument shows: a sentence, the display, and readings that can be compared. `sound`
    is False where it was used in a way that makes
    its display mean nothing. curve : Record of the oscilloscope, or of the clamp [A], if there is
    one.
    """

    sentence: str
    display: str
    readings: tuple
    sound: bool = True
    curve: Record | None = None


@lru_cache(maxsize=32)
def network_of(vehicle, values):
    """Network of a car by its part values, kept for the next reading."""
    return Network(vehicle, values)


def moment_of(network, setup):
    """The moment that a setup describes; what this vehicle does not have is left out."""
    net, values = network.plan, network.values
    driven = {e.more["command"]: e for e in net.elements.values() if e.kind == "driver"}
    asked = {
        "pump": {"return_pump"},
        "charge": {"charge_pump"},
        "lamps": {name for name in driven if name.startswith("lamp_")},
        "pulse": {
            name
            for name, e in driven.items()
            if e.group == "valves" and not e.key.startswith("driver_relay")
        },
    }.get(setup.happens, set())
    can_be_pulled = {
        *net.plugs,
        *(key for key, e in net.elements.items() if e.kind in ("fuse", "relay")),
    }
    return Moment(
        key=setup.key,
        brake_pedal=setup.brake_pedal,
        tc_switch=setup.tc_switch,
        accelerator=setup.accelerator / 100,
        commands=dict.fromkeys({"relay_valves", *asked} & set(driven), 1.0),
        bus="dominant" if setup.happens == "bus" else "idle",
        unplugged=frozenset(setup.pulled) & can_be_pulled,
        flexed=setup.flexed,
        fluid_low=values["reservoir.fill_share"] < EMPTY,
        signals=resting_signals(values),
    )


def readings_at(setup, vehicle, values):
    """Readings that a setup gives on a car, a tuple of bench_tests.Reading; none where the probes
    may not be put there.
    """
    try:
        return take(network_of(vehicle, values), setup).readings
    except UserError:
        return ()


def take(network, setup):
    """Taken on a car's network.

    A UserError says which probe is missing, or why one may not be put there.
    """
    if missing := setup.missing():
        raise UserError(f"Put the {' and the '.join(missing)} on a point of the drawing.")
    moment, points = (
        moment_of(network, setup),
        {
            letter: point
            for letter, point in setup.points
            if letter in LETTERS[setup.instrument] and point
        },
    )
    for point in points.values():
        if reason := refusal(network, moment, point):
            raise UserError(reason)
    kind = {"clamp": _clamped, "scope": _recorded}.get(setup.instrument, _metered)
    return kind(network, moment, setup, points)


def name_of(network, point):
    """Words of a point."""
    return (
        network.plan.points[point].name
        if point in network.plan.points
        else network.plan.forbidden[point][0]
    )


def state_words(network, setup):
    """State of the car in words, for the record."""
    held = {key: plug.name for key, plug in network.plan.plugs.items()}
    words = [f"ignition {KEYS[setup.key]}"] + [
        f"{held.get(key) or key.replace('_', ' ')} pulled" for key in setup.pulled
    ]
    words += [HAPPENS[setup.happens]] * (setup.happens != "still") + [
        f"accelerator {setup.accelerator:.0f} %"
    ] * (setup.accelerator > 0.0)
    return "; ".join(
        words
        + ["brake pedal pressed"] * setup.brake_pedal
        + ["traction button pressed"] * setup.tc_switch
        + ["leads shaken"] * setup.flexed
    )


def _metered(network, moment, setup, points):
    wave, function = None, setup.instrument
    if setup.happens.startswith("turn_"):
        time = np.linspace(0.0, 1.0, 2001)
        wave = wheel_waves(
            network,
            moment,
            [(points["R"], points["B"])],
            time,
            turned_by_hand(setup.happens[5:], _TURNS_PER_S, time),
        )[0]
    shown = measure(network, moment, function, points["R"], points["B"], wave=wave)
    words, unit = FUNCTIONS[function]
    where = f"red on {name_of(network, points['R'])}, black on {name_of(network, points['B'])}"
    said = f"{words[0].upper()}{words[1:]}, {where}: the meter shows {shown}"
    value = shown.value if shown.value == shown.value else _NO_WAY if unit == "ohm" else "no number"
    reading = Reading(
        key="meter",
        name=f"{words[0].upper()}{words[1:]}, {where}",
        value=value,
        unit="V rms" if function == "volt_ac" else unit,
        place=state_words(network, setup),
    )
    return Taken(
        sentence=" ".join((f"{said}{', and it beeps' if shown.beeps else ''}.", *shown.warnings)),
        display=str(shown),
        readings=(reading,),
        sound=not shown.warnings,
    )


def _clamped(network, moment, setup, points):
    nodes = {points["C"], points["C"].removesuffix(".device")}
    lead = next(
        (lead for lead in network.plan.leads.values() if lead.a in nodes or lead.b in nodes), None
    )
    if lead is None:
        raise UserError(
            f"No lead that the clamp could go round begins at {name_of(network, points['C'])}."
        )
    curve = None
    if setup.happens == "pump":
        time = np.linspace(0.0, _CLAMP_RECORD, 501)
        curve = Record(
            time=time,
            volt=pump_current(
                network, moment, lead.key, time, 0.1 * _CLAMP_RECORD, 0.6 * _CLAMP_RECORD
            )[None, :],
        )
    shown = clamp(network, moment, lead.key)
    reading = Reading(
        key="clamp",
        name=f"Clamp round the {lead.name}",
        value=shown.value if shown.value == shown.value else "no number",
        unit="A",
        place=state_words(network, setup),
    )
    sentence = (
        f"The clamp round the {lead.name} shows {shown}; current from {name_of(network, lead.a)} to"
        f" {name_of(network, lead.b)} counts as positive."
    )
    return Taken(sentence=sentence, display=str(shown), readings=(reading,), curve=curve)


def _recorded(network, moment, setup, points):
    scene, _, wheel = setup.happens.partition("_")
    if scene not in SCENES:
        scene, wheel = "turn", ""
    pairs = pairs_of(points)
    got = record(
        network,
        moment,
        scene,
        pairs,
        wheel=wheel or "fl",
        turns_per_s=_TURNS_PER_S if wheel or scene != "turn" else 0.0,
        seconds=_SECONDS[scene],
    )
    return scoped(network, setup, points, got)


def pairs_of(points):
    """Pairs of points of the oscilloscope's channels."""
    return [(points[letter], points["B"]) for letter in ("R", "2") if letter in points]


def scoped(network, setup, points, got):
    """Taken of a record of the oscilloscope."""
    found, said = [], []
    for channel, (label, (point, _)) in enumerate(zip(_CHANNELS, pairs_of(points))):
        low, high, *_ = got.figures(channel)
        said.append(f"{label} goes from {low:.2f} to {high:.2f} V".replace("-", "\u2212"))
        found += [
            Reading(
                key=f"{end}_{channel}",
                name=f"Oscilloscope on {name_of(network, point)}, {words}",
                value=value,
                unit="V",
                place=state_words(network, setup),
            )
            for end, words, value in (("low", "lowest", low), ("high", "highest", high))
        ]
    text = f"Oscilloscope over {name_of(network, points['B'])}: {'; '.join(said)}."
    return Taken(sentence=text, display="", readings=tuple(found), curve=got)
