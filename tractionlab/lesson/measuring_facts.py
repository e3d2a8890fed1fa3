"""Numbers that the lesson on measuring states, computed from the course cars' network."""

from functools import lru_cache

import numpy as np

from tractionlab.panels.worked_out import once
from tractionlab.workshop.instruments.meter import measure
from tractionlab.workshop.instruments.scope import pump_current, record
from tractionlab.workshop.part_values import changed, part_values
from tractionlab.workshop.wiring.moment import Moment
from tractionlab.workshop.wiring.network import Network
from tractionlab.workshop.wiring.nodal import Resistor

STRANDS = {
    "lead_pump_feed_1.ohm": 0.304
}  #: pump feed with nearly all strands cut: 0.3 ohm more than a sound one
_TEST_LAMP_OHM = 30.0  # a lamp of 5 W
_PUMP = {"relay_valves": 1.0, "return_pump": 1.0}


@lru_cache(maxsize=8)
def _network(vehicle, changes=()):
    return Network(vehicle, changed(part_values(vehicle), dict(changes)))


@once
def bias_readings():
    """Bias of a sound passive sensor [V], with its plug off [V]; its coil through the leads [ohm];
    alternating voltage at a turn a second [V rms].
    """
    net, pins = _network("rear_petrol"), ("unit.sensor_fl", "unit.ground")
    whole, off = (
        measure(net, Moment(unplugged=frozenset(plugs)), "volt_dc", *pins).value
        for plugs in ((), ("sensor_fl",))
    )
    coil = measure(
        net,
        Moment(key="off", unplugged=frozenset({"unit"})),
        "ohm",
        "unit.sensor_fl",
        "unit.return_fl",
    ).value
    wave = record(net, Moment(), "turn", [pins], seconds=1.0).volt[0]
    return whole, off, coil, measure(net, Moment(), "volt_ac", *pins, wave=wave).value


def live_ohm():
    """What the ohmmeter shows over that sensor with ignition on and all plugs on, in words."""
    reading = measure(_network("rear_petrol"), Moment(), "ohm", "unit.sensor_fl", "unit.return_fl")
    return reading.shown


def cut_strands():
    """Pump feed with strands cut, the front-drive petrol car: its resistance by ohmmeter [ohm],
    volts lost with a 5 W test lamp as load [V], pump current [A] and volts lost with the pump as
    load, and the pump current of a sound car [A]."""
    net, ends = _network("front_petrol", tuple(STRANDS.items())), ("relay_pump.out", "pump.1")
    ohm = measure(
        net, Moment(key="off", unplugged=frozenset({"pump", "unit", "relay_pump"})), "ohm", *ends
    ).value
    lamp = net.solve(
        Moment(unplugged=frozenset({"pump"}), commands=_PUMP),
        (Resistor("lamp", "pump.1", "body", _TEST_LAMP_OHM),),
    ).voltage(*ends)
    loaded = net.solve(Moment(commands=_PUMP))
    return (
        ohm,
        lamp,
        loaded.current("return_pump"),
        loaded.voltage(*ends),
        _network("front_petrol").solve(Moment(commands=_PUMP)).current("return_pump"),
    )


def leak_levels(kilohm=3.0):
    """(low, high) level [V] of a sound active sensor, then with a leak between the two pins of its
    plug.
    """
    both = []
    for changes in ((), (("plug_sensor_rr.leak_ohm", kilohm * 1e3),)):
        net = _network("front_petrol", changes)
        both += [
            net.solve(Moment(level=(high,) * 4)).voltage("unit.sensor_rr", "unit.ground")
            for high in (False, True)
        ]
    return both


def inrush():
    """Largest current of the return pump as it starts, and when it runs [A]."""
    time = np.linspace(0.0, 1.0, 4001)
    current = pump_current(
        _network("front_petrol"), Moment(commands={"relay_valves": 1.0}), "lead_pump_feed_1", time
    )
    return current.max(), current[-1]
