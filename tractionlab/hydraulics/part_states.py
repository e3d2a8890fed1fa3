"""What each part of a hydraulic circuit shows in a run: how far it has moved, and the words for
its state.
"""

from typing import NamedTuple

import numpy as np

from tractionlab.hydraulics.places import PLACES, VALVES
from tractionlab.physics import circuit as c
from tractionlab.units import BAR, CM3

_FLOWS_ABOVE = 0.1  # cm3/s; less counts as nothing
_TURNS_PER_S = 2.5  #: drawn turns of a running pump, slow enough for the eye


class Shown(NamedTuple):
    """What a part shows over the frames of a run.

    numbers (n, k) : what its words depend on; words(*row) -> (long, short)
    motion, second : two motions of its symbol, (n,) or one number
    """

    numbers: np.ndarray
    words: object
    motion: object = 0.0
    second: object = 0.0


def shown(run, part, ports):
    """Shown of a part of the drawing in the Frames of a run, `ports` being the places it joins."""
    if part.component in VALVES[run.key]:
        return _valve(run, part.component)
    of_symbol = _BY_SYMBOL.get(part.symbol, _still)
    return of_symbol(run, part, [PLACES[run.key][place] for place in ports])


def _still(run, part, places):
    return Shown(np.zeros((len(run.time), 1)), lambda _: ("", ""))


def _valve(run, component):
    rows, names = VALVES[run.key][component], run.plan.components[component].positions
    table = run.parts.valves
    wire = int(table[rows[0], c.WIRE])
    moved = sum(np.abs(run.travel[:, row] - table[row, c.REST]) for row in rows)
    current = np.minimum(run.command[:, wire], table[rows[0], c.MOST_CURRENT])
    pulses = (
        (run.pulse[:, wire] > 0.0)
        & (run.pulse[:, wire] < 1.0)
        & any(table[row, c.LOW] < table[row, c.HIGH] for row in rows)
    )
    aimed = sum(
        np.clip(
            (current - table[row, c.BEGIN]) / (table[row, c.DONE] - table[row, c.BEGIN]), 0.0, 1.0
        )
        for row in rows
    )
    beside = _beside(run, component, moved)

    def words(position, amps, ball, beats):
        name = names[int(position)]
        if beats:
            return f"{name} in pulses", f"{name}\npulsed"
        extra = {
            1: "; fluid passes its non-return valve",
            -1: "; its relief valve is open",
        }.get(int(ball), "")
        return f"{name}, {f'{amps:.1f} A' if amps else 'no current'}{extra}", (
            f"{name}\n{amps:.1f} A" if amps else name
        )

    numbers = [
        np.round(np.where(pulses, aimed, moved)),
        np.where(pulses, 0.0, np.round(current, 1)),
        beside,
        pulses,
    ]
    return Shown(np.stack(numbers, 1), words, moved, beside)


def _beside(run, component, moved):
    """1 while fluid passes the non-return valve beside a valve that has moved, -1 while its relief
    valve is open, else 0.
    """
    row = VALVES[run.key][component][0]
    way = run.parts.valves[row, c.NON_RETURN]
    lift = np.zeros(len(moved), bool)
    if way:
        lift = (run.flow[:, row] * np.sign(way) > _FLOWS_ABOVE) & (moved > 0.5)
    if not component.startswith("isolating"):
        return lift.astype(float)
    return np.where(run.flow[:, c.RELIEVED + row - c.CUT_OFF] > _FLOWS_ABOVE, -1.0, lift)


def _pump(run, part, places):
    speed = run.command[:, c.CHARGE_ON if part.component == "charge_pump" else c.RETURN_ON]
    angle = 2 * np.pi * _TURNS_PER_S * np.cumsum(speed * np.diff(run.time, prepend=run.time[0]))
    index = [c.CHARGED] if part.component == "charge_pump" else [c.PUMPED + k for k in (0, 1)]
    if part.symbol == "pump":
        index = [
            run.between[part.component, place, other][0][1]
            for place in _names(run, places)
            for other in _names(run, places)
            if (part.component, place, other) in run.between
        ][:1]
    flow = run.flow[:, index].sum(axis=1)

    def words(runs, carried):
        return (f"runs, carries {carried:.1f} cm\u00b3/s" if runs else "stands still"), (
            "runs" if runs else "off"
        )

    return Shown(
        np.stack([np.round(speed), np.where(speed > 0.5, np.round(flow, 1), 0.0)], 1),
        words,
        angle,
        (flow > _FLOWS_ABOVE).astype(float),
    )


def _names(run, places):
    return [name for name, index in PLACES[run.key].items() if index in places]


def _accumulator(run, part, places):
    fluid = run.fluid[:, c.ACCUMULATOR]
    return Shown(
        np.stack([np.round(run.bar[:, c.ACCUMULATOR]), np.round(fluid)], 1),
        lambda bar, cm3: (
            f"{bar:.0f} bar, holds {cm3:.0f} cm\u00b3 of fluid",
            f"{cm3:.0f} cm\u00b3",
        ),
        fluid * CM3 / run.parts.numbers[c.GAS],
    )


def _chamber(run, part, places):
    inside = next(place for place in places if place in (c.GALLERY, c.GALLERY + 1))
    fluid = run.fluid[:, inside]
    drawn = run.flow[:, c.DRAWN + inside - c.GALLERY] > _FLOWS_ABOVE
    return Shown(
        np.round(fluid, 1)[:, None],
        lambda cm3: (f"holds {cm3:.1f} cm\u00b3" if cm3 > 0.05 else "empty", ""),
        np.clip(fluid * CM3 / run.parts.numbers[c.FULL], 0, 1),
        drawn.astype(float),
    )


def _wheel(run, part, places):
    bar = run.bar[:, places[0]]
    return Shown(
        np.round(bar)[:, None],
        lambda value: (f"{abs(value):.0f} bar", ""),
        np.clip(bar / 5, 0, 1),
    )


def _pedal(run, part, places):
    force = run.command[:, c.COMMAND_PEDAL] / BAR

    def words(down, bar):
        return (
            (f"pedal down, foot asks for {bar:.0f} bar" if bar else "pedal comes back")
            if down
            else "pedal up"
        ), ("pedal down" if down else "pedal up")

    share = run.stroke * CM3 / (0.5 * run.parts.numbers[c.MOST_STROKE])
    return Shown(np.stack([run.down, np.round(force)], 1), words, np.clip(share, 0, 1))


def _ports(run, part, places):
    shut = run.down.astype(float)
    return Shown(shut[:, None], lambda closed: ("closed" if closed else "open", ""), shut)


def _switch(run, part, places):
    on, bar = run.command[:, c.CHARGE_ON], run.bar[:, c.ACCUMULATOR]
    return Shown(
        np.stack([on > 0.5, bar < 110], 1),
        lambda asks, low: (
            ("closed: the pump shall run" if asks else "open: pressure is high enough")
            + ("; warning: under 110 bar" if low else ""),
            "on" if asks else "off",
        ),
        on,
    )


def _sensor(run, part, places):
    return Shown(
        np.round(run.bar[:, places[0]])[:, None], lambda bar: (f"reads {abs(bar):.0f} bar", "")
    )


def _relief(run, part, places):
    opened = run.flow[:, c.RELIEVED] > _FLOWS_ABOVE
    return Shown(
        opened[:, None],
        lambda yes: ("open" if yes else "closed", ""),
        second=-opened.astype(float),
    )


def _screw(run, part, places):
    opened = run.command[:, c.BLEED]
    return Shown(opened[:, None], lambda yes: ("open" if yes else "closed", ""), opened)


_BY_SYMBOL = {
    "pump": _pump,
    "motor": _pump,
    "pump_motor": _pump,
    "gas_accumulator": _accumulator,
    "spring_accumulator": _chamber,
    "low_pressure": _chamber,
    "wheel": _wheel,
    "master_cylinder": _pedal,
    "ports": _ports,
    "pressure_switch": _switch,
    "transducer": _sensor,
    "relief_valve": _relief,
    "hand_valve": _screw,
}
