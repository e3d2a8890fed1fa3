"""The second routes of `keys/measuring.py` for the proof: conductances, shares and halving.

Same names and units.
"""

from tractionlab.assess.proof.second.halving import halved


def resistance(drop, current):
    """Thousandths of an ohm that let this current make this drop."""
    return 1000 / (current / drop)


def at_load(supply, feed, ground):
    """What the two drops leave."""
    return supply - (feed + ground)


def current_through(supply, load, extra):
    """Current, by halving, at which both drops make up the supply."""
    return halved(0.0, 1e6, lambda amps: amps * load + amps * extra >= supply)


def drop_of(current, extra):
    """Voltage over a conductance."""
    return current / (1 / extra)


def bus(first, second):
    """Conductances add."""
    return 1 / (1 / first + 1 / second)


def bus_three(both, branch):
    """Conductances add."""
    return 1 / (1 / both + 1 / branch)


def loop_of_bias(supply, pull_up, volts):
    """Voltage over the loop, over the current through the resistor in the unit."""
    return volts / ((supply - volts) / pull_up)


def minus_coil(loop, coil):
    """Rest."""
    return -(coil - loop)


def level(current, resistor):
    """mA over ohm make mV."""
    return current * resistor * 1e-3


def leak_current(supply, leak):
    """V over kohm make mA."""
    return supply / (leak * 1000) * 1000


def level_sum(leak, current, resistor):
    """Each current by itself."""
    return leak * resistor / 1000 + current * resistor / 1000
