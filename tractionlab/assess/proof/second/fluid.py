"""The second routes of `keys/fluid.py` for the proof: gas in small steps, the graph searched in
another way, halving. Same names and units.
"""

from math import pi

from tractionlab.assess.proof.second.halving import halved
from tractionlab.hydraulics.layout import layout


def usable_of(gas, precharge, high, low):
    """Gas that grows drop by drop from the high pressure until the low one is reached."""
    volume = gas * (precharge + 1) / (high + 1)
    start, content, step = volume, (precharge + 1) * gas, 1e-4
    while content / volume > low + 1:
        volume += step
    return volume - start


def time_of(volume, flow):
    """Seconds that bring the volume."""
    return 1 / (flow / volume)


def number_of(volume, each):
    """Share of the store for one."""
    return 1 / (each / volume)


def duty(current, coil, voltage):
    """Mean voltage that drives the current, as a share."""
    return current * coil * 100 / voltage


def most_current(voltage, coil, extra):
    """Power balance, by halving."""
    return halved(0.0, 1e4, lambda amps: amps * amps * (coil + extra) >= voltage * amps)


def current_of_coil(voltage, coil):
    """Conductance times voltage."""
    return 1 / coil * voltage


def torque_per_bar(piston, friction, radius):
    """Force on each pad with a pressure of 1 bar = 0.1 N/mm², two pads."""
    force = 0.1 * pi * (piston / 2) ** 2
    return force * friction * radius + force * friction * radius


def torque_at(per_bar, pressure):
    """Bar by bar."""
    return sum(per_bar for _ in range(pressure))


def wheel_fluid(pressure, first, per_bar):
    """Bar by bar."""
    return first + sum(per_bar for _ in range(pressure))


def step(flow, open_ms, per_bar):
    """Fluid of one opening, in bar."""
    return flow / 1000 * open_ms / per_bar


def pulses_time(rise, step_, period):
    """Period by period, until the pressure is there."""
    pressure, time = 0.0, 0
    while pressure < rise:
        pressure, time = pressure + step_, time + period
    return time / 1000


def air_volume(air, pressure):
    """Absolute pressures: what is left of the air is taken off."""
    return air - air * 1.0 / (pressure + 1.0)


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


def positions_left(voltage, coil, extra):
    """Resistance that the supply can just drive the currents through."""
    return {0: "one", 1: "two", 2: "three"}[
        sum(coil + extra <= voltage / current for current in (2.0, 5.0))
    ]


def pressure_limit(relief, pressure):
    """Force on the ball against the spring, area 1."""
    return {True: "opens", False: "shut"}[pressure - relief > 0]
