"""Keys of the items on measuring. Units as in the items: V, mV, A, mA, ohm, kohm, mohm, percent."""

from tractionlab.written.numbers import convert


def resistance(drop, current):
    """Resistance [mohm] from a drop [V] and a current [A]."""
    return convert(drop / current, "ohm", "mohm")


def resistance_of_supply(supply, current):
    """Trap: the whole supply taken."""
    return 1000 * supply / current


def resistance_turned(drop, current):
    """Trap: current over voltage."""
    return 1000 * current / drop


def at_load(supply, feed, ground):
    """Voltage [V] that is left for the load."""
    return supply - feed - ground


def at_load_one(supply, feed):
    """Trap: one side only."""
    return supply - feed


def current_through(supply, load, extra):
    """Current [A] through a load [ohm] and an extra resistance [ohm]."""
    return supply / (load + extra)


def current_without(supply, load):
    """Trap: the bad joint left out."""
    return supply / load


def drop_of(current, extra):
    """Voltage [V] lost over an extra resistance."""
    return current * extra


def bus(first, second):
    """Two end resistors side by side [ohm]."""
    return first * second / (first + second)


def bus_sum(first, second):
    """Trap: added."""
    return float(first + second)


def bus_three(both, branch):
    """A third resistor [ohm] beside the two."""
    return bus(both, branch)


def loop_of_bias(supply, pull_up, volts):
    """Loop resistance [kohm] from a bias voltage."""
    return pull_up * volts / (supply - volts)


def loop_of_bias_short(supply, pull_up, volts):
    """Trap: supply in place of what is left over the resistor."""
    return pull_up * volts / supply


def minus_coil(loop, coil):
    """What is left of the loop beside the coil [kohm]."""
    return loop - coil


def level(current, resistor):
    """Level [V] of a current [mA]."""
    return current * resistor / 1000


def leak_current(supply, leak):
    """Current [mA] of a leak [kohm]."""
    return supply / leak


def level_sum(leak, current, resistor):
    """Level [V] of two currents [mA] together."""
    return (leak + current) * resistor / 1000
