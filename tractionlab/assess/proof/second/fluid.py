"""The second routes of `keys/fluid.py` for the proof: gas in small steps, the graph searched in
another way, halving. Same names and units.
"""

from tractionlab.assess.proof.second.halving import halved
from tractionlab.hydraulics.layout import layout


def usable_of(gas, precharge, high, low):
    """Gas that grows drop by drop from the high pressure until the low one is reached."""
    volume = gas * (precharge + 1) / (high + 1)
    start, content, step = volume, (precharge + 1) * gas, 1e-4
    while content / volume > low + 1:
        volume += step
    return volume - start


def most_current(voltage, coil, extra):
    """Power balance, by halving."""
    return halved(0.0, 1e4, lambda amps: amps * amps * (coil + extra) >= voltage * amps)


def pulses_time(rise, step_, period):
    """Period by period, until the pressure is there."""
    pressure, time = 0.0, 0
    while pressure < rise:
        pressure, time = pressure + step_, time + period
    return time / 1000


def reached(shown, positions, start):
    """Places that fluid gets to from `start`, by going over all edges again and again until nothing
    is new.
    """
    found, grown = {start}, True
    while grown:
        grown = False
        for edge in shown.edges:
            if edge.kind == "relief" or (
                edge.position != "any" and positions.get(edge.component) != edge.position
            ):
                continue
            for a, b in ((edge.start, edge.goal), (edge.goal, edge.start))[
                : 2 if edge.flow == "both" else 1
            ]:
                if a in found and b not in found and (a == start or a not in ("RES", "BOTTLE")):
                    found.add(b)
                    grown = True
    return found


def connected(key, mode, start, goal):
    """All places that can be reached, searched edge by edge."""
    shown = layout(key)
    return "yes" if goal in reached(shown, shown.modes[mode], start) else "no"


def connected_with(key, mode, component, position, start, goal):
    """The same with one part standing otherwise."""
    shown = layout(key)
    return (
        "yes" if goal in reached(shown, {**shown.modes[mode], component: position}, start) else "no"
    )


def gauge_after(work, high):
    """The circuit on the bench, computed with real parts: strokes, or the bleed screw."""
    from tractionlab.bench.bench import Bench
    from tractionlab.physics.circuit import ACCUMULATOR

    bench = Bench("A")
    bench.ignition(False)
    for _ in range(10):
        bench.pedal(80 if work == "strokes" else 0)
        bench.run(0.3)
        bench.pedal(0)
        bench.run(0.2)
    if work == "bleed":
        bench.bleed(1.0)
        bench.run(20.0)
    return (
        "full" if bench.pressure(ACCUMULATOR)[-1] > 0.9 * bench.pressure(ACCUMULATOR)[0] else "zero"
    )
