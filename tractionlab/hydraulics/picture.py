"""A hydraulic circuit as a picture: from pressures, flows and plunger travels of a run to symbols,
pipes and state words.
"""

from dataclasses import replace

import numpy as np

from tractionlab.hydraulics.drawing import drawing
from tractionlab.hydraulics.layout import layout
from tractionlab.physics import circuit as c
from tractionlab.view import CircuitScene

BAR, CM3 = 1e5, 1e-6
WHEELS = ("FL", "FR", "RL", "RR")
_FLOWS_ABOVE = 0.1  # cm3/s; less counts as nothing
_TURNS_PER_S = 2.5  #: drawn turns of a running pump, slow enough for the eye
_WHEEL_PLACES = {f"W_{wheel}": c.WHEEL + i for i, wheel in enumerate(WHEELS)}
#: Index in the kernels' pressures of each place.
PLACES = {
    "A": {
        "RES": c.RESERVOIR,
        "BOTTLE": c.BOTTLE,
        "MC_F": c.CHAMBER,
        "MC_R": c.CHAMBER + 1,
        "LINE_R": c.LINE + 1,
        "ACC": c.ACCUMULATOR,
        "RET_F": c.GALLERY,
        "RET_R": c.GALLERY + 1,
        **_WHEEL_PLACES,
    },
    "B": {
        "RES": c.RESERVOIR,
        **{
            f"{name}_{k + 1}": first + k
            for k in (0, 1)
            for name, first in (
                ("MC", c.CHAMBER),
                ("L", c.LINE),
                ("S", c.SUCTION),
                ("LPA", c.GALLERY),
            )
        },
        **_WHEEL_PLACES,
    },
}
#: Rows of the kernels' valve table of each valve: one for a valve with two positions, inlet and
#: outlet for one with three.
VALVES = {
    "A": {
        "cut_off_valve": (c.CUT + 1,),
        "feed_valve": (c.FEED + 1,),
        "drain_valve": (c.DRAIN,),
        **{f"wheel_valve_{wheel}": (c.INLET + i, c.OUTLET + i) for i, wheel in enumerate(WHEELS)},
    },
    "B": {
        **{
            f"{name}_valve_{k + 1}": (first + k,)
            for k in (0, 1)
            for name, first in (("isolating", c.CUT), ("priming", c.FEED))
        },
        **{
            f"{name}_{wheel}": (first + i,)
            for i, wheel in enumerate(WHEELS)
            for name, first in (("inlet", c.INLET), ("outlet", c.OUTLET))
        },
    },
}


def _ways(key):
    """(component, place, other place) -> list of (sign, index in the kernels' flows) of what flows
    from place to other.
    """
    ways = {}

    def add(component, start, goal, index, sign=1):
        ways.setdefault((component, start, goal), []).append((sign, index))
        ways.setdefault((component, goal, start), []).append((-sign, index))

    for valve, rows in VALVES[key].items():
        for edge in (
            e for e in layout(key).edges if e.component == valve and e.kind in ("valve", "suction")
        ):
            add(valve, edge.start, edge.goal, rows[edge.position == "reduce"])
    if key == "A":
        for k, side in enumerate("FR"):
            add("return_pump", f"RET_{side}", f"MC_{side}", c.PUMPED + k)
        add("charge_pump", "RES", "ACC", c.CHARGED)
        add("accumulator_relief", "ACC", "RES", c.RELIEVED)
        add("bleed_screw", "ACC", "BOTTLE", c.BLED)
    else:
        for k in (0, 1):
            add("return_pump", f"S_{k + 1}", f"L_{k + 1}", c.PUMPED + k)
            add("low_pressure_accumulator", f"LPA_{k + 1}", f"S_{k + 1}", c.DRAWN + k)
            add(f"isolating_valve_{k + 1}", f"L_{k + 1}", f"MC_{k + 1}", c.RELIEVED + k)
    return ways


def circuit_scene(key, time, pressures, fluid, flows, travel, command, parts, pulse=None):
    """The picture of a run of layout `key`.

    Parameters
    ----------
    time : array (n,) [s]
    pressures (n, PLACES) [Pa], fluid (n, PLACES) [m^3], flows (n, FLOWS) [m^3/s], travel (n,
    VALVES) [-], command (n, COMMANDS) :
        as the kernels of physics.circuit have them
    parts : physics.circuit.Circuit the run was made with
    pulse : array (n, VALVES), optional
        Share of the cycle that each wire's current lasts; where it is neither 0 nor 1 the valve
        works in pulses

    Returns
    -------
    view.CircuitScene
    """
    plan, plot, ways = layout(key), drawing(key), _ways(key)
    bar, cm3 = np.asarray(pressures) / BAR, np.asarray(flows) / CM3
    n = len(time)
    through = np.zeros((n, len(plot.lines)))
    for column, way in enumerate(plot.through):
        for sign, *where in way:
            for factor, index in ways.get(tuple(where), ()):
                through[:, column] += sign * factor * cm3[:, index]
    run = _Run(
        key,
        np.asarray(time),
        bar,
        np.asarray(fluid) / CM3,
        cm3,
        np.asarray(travel),
        np.asarray(command),
        parts,
        ways,
        np.zeros((n, c.VALVES)) if pulse is None else np.asarray(pulse),
    )
    motion, numbers, drawn = (
        np.zeros((n, len(plot.parts), 2)),
        np.zeros((n, len(plot.parts)), int),
        [],
    )
    for column, part in enumerate(plot.parts):
        motion[:, column, 0], motion[:, column, 1], keys, words = run.of(part, plot.ports[part.key])
        said, numbers[:, column] = _said(np.asarray(keys, float), words)
        drawn.append(
            replace(
                part,
                states=tuple(long for long, _ in said),
                short=tuple(short for _, short in said),
            )
        )
    nodes = tuple((node, plan.nodes[node], plot.node_places.get(node)) for node in PLACES[key])
    return CircuitScene(
        layout=key,
        title=plan.name,
        size=plot.size,
        time=run.time,
        parts=tuple(drawn),
        lines=plot.lines,
        nodes=nodes,
        dots=plot.dots,
        pressure=bar[:, [PLACES[key][node] for node, _, _ in nodes]],
        flow=through,
        state=numbers,
        motion=motion,
    )


def _said(keys, words):
    """The words for each different row of `keys` (n, k), and for every frame which of them it
    shows.
    """
    changed = np.flatnonzero(np.any(np.diff(keys, axis=0, prepend=keys[:1] - 1.0) != 0.0, axis=1))
    known, stretch = {}, []
    for frame in changed:
        stretch.append(known.setdefault(words(*keys[frame]), len(known)))
    return list(known), np.repeat(stretch, np.diff(np.append(changed, len(keys))))


class _Run:
    """What one run says about each part: two motions, the numbers its words depend on, and those
    words (long, short).
    """

    def __init__(self, key, time, bar, fluid, flow, travel, command, parts, ways, pulse):
        self.pulse = pulse
        self.key, self.time, self.bar, self.fluid, self.flow = key, time, bar, fluid, flow
        self.travel, self.command, self.parts, self.ways = travel, command, parts, ways
        chambers = slice(c.CHAMBER, c.CHAMBER + 2)
        squeezed = (
            parts.numbers[c.PLACE + 2 * c.CHAMBER] * np.maximum(0.0, bar[:, chambers]) * BAR / CM3
        )
        self.stroke = np.maximum(
            0.0, parts.numbers[c.REST_VOLUME] / CM3 - fluid[:, chambers] + squeezed
        ).mean(axis=1)
        self.down = (command[:, c.PEDAL] > 0.5 * BAR) | (self.stroke > 0.3)
        self.plan, self.none = layout(key), np.zeros(len(time))

    def of(self, part, ports):
        """(motion, second motion, numbers (n, k), words) of a part."""
        if part.component in VALVES[self.key]:
            return self._valve(part.component)
        by_symbol = {
            "pump": self._pump,
            "motor": self._pump,
            "pump_motor": self._pump,
            "gas_accumulator": self._accumulator,
            "spring_accumulator": self._chamber,
            "low_pressure": self._chamber,
            "wheel": self._wheel,
            "master_cylinder": self._pedal,
            "ports": self._ports,
            "pressure_switch": self._switch,
            "transducer": self._sensor,
            "relief_valve": self._relief,
            "hand_valve": self._screw,
        }
        return by_symbol.get(part.symbol, self._still)(
            part, [PLACES[self.key][place] for place in ports]
        )

    def _still(self, part, places):
        return self.none, self.none, self.none[:, None], lambda _: ("", "")

    def _valve(self, component):
        rows, names = VALVES[self.key][component], self.plan.components[component].positions
        table = self.parts.valves
        moved = sum(np.abs(self.travel[:, row] - table[row, c.REST]) for row in rows)
        current = np.minimum(
            self.command[:, int(table[rows[0], c.WIRE])], table[rows[0], c.MOST_CURRENT]
        )
        beside = table[rows[0], c.NON_RETURN]
        flow = self.flow[:, rows[0]] * np.sign(beside)
        relief = (
            self.flow[:, c.RELIEVED + rows[0] - c.CUT]
            if component.startswith("isolating")
            else self.none
        )
        lift = (flow > _FLOWS_ABOVE) & (moved > 0.5) if beside else self.none > 0
        second = np.where(relief > _FLOWS_ABOVE, -1.0, lift)

        pulse = self.pulse[:, int(table[rows[0], c.WIRE])]
        pulses = (
            (pulse > 0.0)
            & (pulse < 1.0)
            & any(table[row, c.LOW] < table[row, c.HIGH] for row in rows)
        )
        aimed = sum(
            np.clip(
                (current - table[row, c.BEGIN]) / (table[row, c.DONE] - table[row, c.BEGIN]),
                0.0,
                1.0,
            )
            for row in rows
        )

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

        return (
            moved,
            second,
            np.stack(
                [
                    np.round(np.where(pulses, aimed, moved)),
                    np.where(pulses, 0.0, np.round(current, 1)),
                    second,
                    pulses,
                ],
                1,
            ),
            words,
        )

    def _pump(self, part, places):
        speed = self.command[:, c.CHARGE_ON if part.component == "charge_pump" else c.RETURN_ON]
        angle = (
            2 * np.pi * _TURNS_PER_S * np.cumsum(speed * np.diff(self.time, prepend=self.time[0]))
        )
        index = [c.CHARGED] if part.component == "charge_pump" else [c.PUMPED + k for k in (0, 1)]
        if part.symbol == "pump":
            index = [
                self.ways[part.component, place, other][0][1]
                for place in self._names(places)
                for other in self._names(places)
                if (part.component, place, other) in self.ways
            ][:1]
        flow = self.flow[:, index].sum(axis=1)

        def words(runs, carried):
            return (f"runs, carries {carried:.1f} cm\u00b3/s" if runs else "stands still"), (
                "runs" if runs else "off"
            )

        return (
            angle,
            (flow > _FLOWS_ABOVE).astype(float),
            np.stack([np.round(speed), np.where(speed > 0.5, np.round(flow, 1), 0.0)], 1),
            words,
        )

    def _names(self, places):
        return [name for name, index in PLACES[self.key].items() if index in places]

    def _accumulator(self, part, places):
        fluid = self.fluid[:, c.ACCUMULATOR]
        return (
            fluid * CM3 / self.parts.numbers[c.GAS],
            self.none,
            np.stack([np.round(self.bar[:, c.ACCUMULATOR]), np.round(fluid)], 1),
            lambda bar, cm3: (
                f"{bar:.0f} bar, holds {cm3:.0f} cm\u00b3 of fluid",
                f"{cm3:.0f} cm\u00b3",
            ),
        )

    def _chamber(self, part, places):
        inside = next(place for place in places if place in (c.GALLERY, c.GALLERY + 1))
        fluid = self.fluid[:, inside]
        drawn = self.flow[:, c.DRAWN + inside - c.GALLERY] > _FLOWS_ABOVE
        return (
            np.clip(fluid * CM3 / self.parts.numbers[c.FULL], 0, 1),
            drawn.astype(float),
            np.round(fluid, 1)[:, None],
            lambda cm3: (f"holds {cm3:.1f} cm\u00b3" if cm3 > 0.05 else "empty", ""),
        )

    def _wheel(self, part, places):
        bar = self.bar[:, places[0]]
        return (
            np.clip(bar / 5, 0, 1),
            self.none,
            np.round(bar)[:, None],
            lambda value: (f"{abs(value):.0f} bar", ""),
        )

    def _pedal(self, part, places):
        force = self.command[:, c.PEDAL] / BAR

        def words(down, bar):
            return (
                (f"pedal down, foot asks for {bar:.0f} bar" if bar else "pedal comes back")
                if down
                else "pedal up"
            ), ("pedal down" if down else "pedal up")

        share = self.stroke * CM3 / (0.5 * self.parts.numbers[c.MOST_STROKE])
        return np.clip(share, 0, 1), self.none, np.stack([self.down, np.round(force)], 1), words

    def _ports(self, part, places):
        shut = self.down.astype(float)
        return shut, self.none, shut[:, None], lambda closed: ("closed" if closed else "open", "")

    def _switch(self, part, places):
        on, bar = self.command[:, c.CHARGE_ON], self.bar[:, c.ACCUMULATOR]
        return (
            on,
            self.none,
            np.stack([on > 0.5, bar < 110], 1),
            lambda asks, low: (
                ("closed: the pump shall run" if asks else "open: pressure is high enough")
                + ("; warning: under 110 bar" if low else ""),
                "on" if asks else "off",
            ),
        )

    def _sensor(self, part, places):
        return (
            self.none,
            self.none,
            np.round(self.bar[:, places[0]])[:, None],
            lambda bar: (f"reads {abs(bar):.0f} bar", ""),
        )

    def _relief(self, part, places):
        opened = self.flow[:, c.RELIEVED] > _FLOWS_ABOVE
        return (
            self.none,
            -opened.astype(float),
            opened[:, None],
            lambda yes: ("open" if yes else "closed", ""),
        )

    def _screw(self, part, places):
        opened = self.command[:, c.BLEED]
        return opened, self.none, opened[:, None], lambda yes: ("open" if yes else "closed", "")
