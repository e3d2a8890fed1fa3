"""Short runs of a hydraulic circuit that show each mode: how the bench is brought to it, and
currents by hand.
"""

from dataclasses import replace
from functools import lru_cache

from tractionlab.bench.recording import FilmedBench
from tractionlab.hydraulics.layout import layout
from tractionlab.hydraulics.places import VALVES
from tractionlab.physics import circuit as c
from tractionlab.wheels import WHEELS

#: The wheel that the anti-lock and traction modes of each layout work on.
IN_CONTROL = {"A": "RL", "B": "FL"}
HAND = "hand"
_RELEASE = "release"
START_BAR = 25.0  #: pressure from which traction hold, reduce and end start
_BEFORE = 0.2  # s, at rest before a mode begins
#: How long the mode is shown [s].
_SECONDS = {"charging": 2.5, "depressurise": 2.8}


def circuit_modes(key):
    """(key, words) of all that `film` can run of layout `key`."""
    plan = layout(key)
    return (
        *plan.mode_names.items(),
        (_RELEASE, "Pedal released after braking"),
        (HAND, "By hand: currents and pedal"),
    )


def _drive(bench, mode, pedal):
    """Bring the bench to where `mode` begins, then let the mode run.

    Gives the time [s] at which it began.
    """
    began = 0.0

    def let(name, foot, seconds):
        nonlocal began
        began = float(bench.time[-1])
        bench.mode(name)
        bench.pedal(foot)
        bench.run(seconds)

    bench.run(_BEFORE)
    if mode == _RELEASE:
        let("normal", pedal, 0.8)
        let("tc_end", 0.0, 1.0)
    elif mode in ("abs_increase", "abs_hold", "abs_reduce"):
        let("normal", pedal, 0.6)
        if mode == "abs_increase":
            let("abs_reduce", pedal, 0.25)
        let(mode, pedal + (20.0 if mode == "abs_hold" else 0.0), 0.9)
    elif mode in ("tc_hold", "tc_reduce", "tc_end"):
        _build_up(bench)
        if mode != "tc_hold":
            let("tc_hold", 0.0, 0.3)
        let(mode, 0.0, 0.9)
    elif mode == "pedal_during_tc":
        _build_up(bench)
        let(mode, pedal, 0.9)
    else:
        foot = pedal if bench.layout.modes[mode]["pedal_port"] == "closed" else 0.0
        let(mode, foot, _SECONDS.get(mode, 1.2))
    return began


def _build_up(bench):
    """Traction control brakes its wheel up to the pressure from which hold and reduce are shown."""
    wheel = c.WHEEL + WHEELS.index(IN_CONTROL[bench.layout.key])
    bench.mode("tc_increase")
    bench.until(lambda b: b.now(wheel) >= START_BAR, 1.0)


def _drive_by_hand(bench, values):
    key = bench.layout.key
    bench.run(_BEFORE)
    if values["start"]:
        _build_up(bench)
        bench.mode("tc_hold")
        bench.run(_BEFORE)
    began = float(bench.time[-1])
    for valve in VALVES[key]:
        amps = values[valve]
        if isinstance(amps, bool):
            currents = bench.layout.components[valve].currents
            amps = max(most for _, most in currents.values()) if amps else 0.0
        bench.set(**{valve: amps})
    bench.command[c.RETURN_ON] = float(values["return_pump"])
    if key == "A":
        bench.bleed(float(values["bleed_screw"]))
    bench.pedal(values["pedal"])
    bench.run(1.8)
    return began


@lru_cache(maxsize=64)
def film(key, mode, pedal, hand=()):
    """Run of a mode with this pedal pressure [bar]; with mode "hand" `hand` has pairs (part,
    current [A] or switch). A CircuitScene.
    """
    bench = FilmedBench(key, accumulator_bar=143.0 if mode == "charging" else None)
    if mode == HAND:
        began = _drive_by_hand(bench, {"pedal": pedal, **dict(hand)})
    else:
        began = _drive(bench, mode, pedal)
    return replace(
        bench.scene(),
        moment=began + (0.06 if mode.startswith("abs") else 0.3 if key == "B" else 0.1),
    )
