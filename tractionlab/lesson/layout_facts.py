"""Computed numbers that lessons 6 and 7 state, from the circuits on the bench, the layouts as data,
and brake stops.
"""

from math import log

import numpy as np

from tractionlab.bench.bench import Bench
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.values import hydraulics
from tractionlab.lesson.facts import say
from tractionlab.panels.gauge import work
from tractionlab.panels.stop import outcome
from tractionlab.panels.worked_out import once
from tractionlab.physics.circuit import ACCUMULATOR, BOTTLE
from tractionlab.units import BAR, CM3

_GROUPS = (
    ("wheel_valve", "Wheel valves"),
    ("inlet", "Inlets"),
    ("outlet", "Outlets"),
    ("cut_off_valve", "Cut-off valve"),
    ("feed_valve", "Feed valve"),
    ("drain_valve", "Drain valve"),
    ("isolating_valve", "Isolating valves"),
    ("priming_valve", "Priming valves"),
    ("return_pump", "Return pump"),
    ("charge_pump", "Charge pump"),
)


def without_foot(seconds):
    """(rear left, rear right, front left) pressure [bar] after so many seconds of traction increase
    in layout A, pedal up.
    """
    bench = Bench("A")
    bench.mode("tc_increase")
    bench.run(seconds)
    return tuple(bench.wheel(name)[-1] for name in ("RL", "RR", "FL"))


def rise_without_foot():
    """(time [s], rear left pressure [bar]) of half a second of traction increase in layout A."""
    bench = Bench("A")
    bench.mode("tc_increase")
    bench.run(0.5)
    return bench.time, bench.wheel("RL")


def wheel_valve_steps():
    """Rear left pressure [bar] in layout A: after 0.1 s without current, 0.3 s at 2.0 A, 0.3 s at
    3.5 A, and 0.15 s at 5.0 A.
    """
    bench, found = Bench("A"), []
    bench.mode("tc_increase")
    for current, seconds in ((0.0, 0.1), (2.0, 0.3), (3.5, 0.3), (5.0, 0.15)):
        bench.set(wheel_valve_RL=current)
        found.append(bench.run(seconds).wheel("RL")[-1])
    return found


@once
def gauge_after(strokes=0, bleed=False):
    """(gauge on the accumulator [bar], fluid in the bottle [cm3]) after ignition off, pedal strokes
    and perhaps the bleed screw.
    """
    bench, _ = work({"wait": 0.0, "strokes": strokes, "bleed": bleed})
    return bench.pressure(ACCUMULATOR)[-1], bench.fluid(BOTTLE)[-1]


def stored_energy():
    """Energy [kJ] in the gas of the full accumulator above that at precharge, slow change: p V ln(p
    / p0).
    """
    a = hydraulics()["layout_a"]
    precharge, full = (BAR * (a[name] + 1.0) for name in ("precharge_bar", "cut_out_bar"))
    return precharge * CM3 * a["gas_cm3"] * log(full / precharge) / 1e3


def pump_for_a_second(**positions):
    """Front left pressure [bar] in layout B after one second of traction increase, single valves
    standing otherwise.
    """
    bench = Bench("B")
    bench.mode("tc_increase", **positions)
    return bench.run(1.0).wheel("FL")[-1]


def time_to_40_bar(temperature=20.0):
    """Time [s] until the front left brake of layout B has 40 bar in traction increase, fluid at a
    temperature [degC].
    """
    bench = Bench("B", temperature=temperature)
    bench.mode("tc_increase")
    bench.run(2.0)
    return bench.time[np.argmax(bench.wheel("FL") >= 40.0)]


def shared_parts(key):
    """Table: which moving parts of a layout work in anti-lock, in traction control, in both.

    From the modes of the layout.
    """
    shown = layout(key)
    rows = []
    for stem, words in _GROUPS:
        parts = [part for part in shown.components if part.startswith(stem)]
        if parts:
            antilock = any(_moves(shown, part, "abs_") for part in parts)
            traction = any(_moves(shown, part, "tc_", "charging") for part in parts)
            rows.append((words, antilock, traction))
    lines = [
        f"| {words} | {'yes' if a else '-'} | {'yes' if t else '-'} |"
        for words, a, t in sorted(rows, key=lambda row: (-row[1], -row[2]))
    ]
    return say(
        "\n".join(
            [
                f"{shown.name}",
                "",
                "| Part | works in anti-lock | works in traction control |",
                "|---|---|---|",
                *lines,
            ]
        )
    )


def _moves(shown, part, *modes):
    rest = shown.modes["normal"][part]
    return any(
        positions[part] != rest for mode, positions in shown.modes.items() if mode.startswith(modes)
    )


@once
def stop(antilock, **values):
    """Figures of a hard stop of the rear-drive course car from 50 km/h: `way` [m], `turn` [deg],
    `grip_used` and others.
    """
    return outcome(antilock, **values)
