"""Each kind of electrical part as resistors, sources and diodes, as its values and the moment have
it.
"""

from tractionlab.workshop.wiring.elements_sensors import (
    coil_sensor,
    potentiometer,
    signal,
    two_currents,
)
from tractionlab.workshop.wiring.nodal import MIN_OHM, OPEN, Current, Diode, Resistor, Source

_ASLEEP_OHM = 1e4

CONDITIONS = {
    "key_on": lambda m, v: m.key != "off",
    "starting": lambda m, v: m.key == "start",
    "brake": lambda m, v: m.brake_pedal,
    "no_brake": lambda m, v: not m.brake_pedal,
    "tc_switch": lambda m, v: m.tc_switch,
    "fluid_low": lambda m, v: m.fluid_low,
    "pump_wanted": lambda m, v: _stored(m, v) <= v["pressure_switch.pump_on_bar"],
    "pressure_low": lambda m, v: _stored(m, v) <= v["pressure_switch.warning_on_bar"],
}


def branches_of(element, values, moment, states):
    """Branches of an element at a moment, with relays, control units and fuses in `states`."""
    return [
        branch
        for branch in _KINDS[element.kind](element, values, moment, states)
        if not (isinstance(branch, (Resistor, Source)) and branch.ohm >= OPEN)
    ]


def wires_of(plan, values, flexed, wet):
    """(plug or "", branch) of every section of lead and every pin; a section that breaks now and
    then is open while `flexed`, and while it is `wet` a plug whose seal is bad leaks from pin to
    pin."""
    found = []
    for lead in plan.leads.values():
        ohm, ground, battery = (
            values[f"{lead.key}.{name}"] for name in ("ohm", "to_ground_ohm", "to_battery_ohm")
        )
        if not (flexed and values[f"{lead.key}.broken_share"] > 0.0):
            found.append(("", Resistor(lead.key, lead.a, lead.b, ohm)))
        found += [
            ("", Resistor(f"{lead.key}.ground", lead.a, "body", ground)),
            ("", Resistor(f"{lead.key}.battery", "battery.plus", lead.a, battery)),
        ]
    for plug in plan.plugs.values():
        pins = [f"{plug.key}.{pin}" for pin in plug.pins]
        found += [
            (plug.key, Resistor(f"plug_{pin}", pin, f"{pin}.device", values[f"plug_{pin}_ohm"]))
            for pin in pins
        ]
        for leak in ("leak", "wet") if wet else ("leak",):
            found += [
                ("", Resistor(f"plug_{a}.{leak}", a, b, values[f"plug_{plug.key}.{leak}_ohm"]))
                for a, b in zip(pins[:-1], pins[1:])
            ]
    return [(plug, branch) for plug, branch in found if branch.ohm < OPEN]


def commanded(element, moment, states):
    """Share from 0 to 1 that a driver is told, if its control unit is awake."""
    return (
        moment.commands.get(element.more["command"], 0.0) if _unit(element) in states.awake else 0.0
    )


def _stored(moment, values):
    return moment.signals.get("accumulator", values["pressure_switch.pump_off_bar"])


def _unit(element):
    return element.more.get("unit", element.at[-1].partition(".")[0])


def _battery(e, values, moment, states):
    charged = moment.key == "running" and values["generator.volt"] >= values["battery.charging_V"]
    return [
        Source(
            e.key,
            *e.at,
            values["battery.charging_V" if charged else "battery.rest_V"],
            values["battery.inner_ohm"],
        )
    ]


def _generator(e, values, moment, states):
    if moment.key != "running":
        return []
    inside = f"{e.key}/winding"
    return [
        Source(
            f"{e.key}.volt",
            inside,
            e.at[1],
            values["generator.volt"],
            values["generator.inner_ohm"],
        ),
        Diode(e.key, inside, e.at[0], 0.0),
    ]


def _resistor(e, values, moment, states):
    return [Resistor(e.key, *e.at, max(MIN_OHM / 2, values[e.more["ohm"]]))]


def _supplied(e, values, moment, states):
    """A control unit as a load: what it draws while awake, hardly anything while asleep."""
    return [
        Resistor(
            e.key, *e.at, values[f"{e.part}.supply_ohm"] if e.key in states.awake else _ASLEEP_OHM
        )
    ]


def _diode(e, values, moment, states):
    return [Diode(e.key, *e.at)]


def _fuse(e, values, moment, states):
    return [Resistor(e.key, *e.at, values[f"{e.part}.ohm"])]


def _rail(e, values, moment, states):
    """A feed of a control unit: as much voltage as it is set to, or as the supply leaves, and no
    more current than its limit; nothing flows back.
    """
    out, ground = e.at
    unit = _unit(e)
    if unit not in states.awake:
        return [Resistor(f"{e.key}.off", out, ground, _ASLEEP_OHM)]
    gate, set_to, supply = f"{e.key}/gate", f"{e.key}/set", f"{unit}.supply.device"
    return [
        Current(f"{e.key}.limit", supply, gate, values[e.more["limit"]]),
        Diode(f"{e.key}.spare", gate, supply, 0.0),
        Source(f"{e.key}.volt", set_to, ground, values[e.more["volt"]]),
        Diode(f"{e.key}.excess", gate, set_to, 0.0),
        Diode(e.key, gate, out, 0.0),
    ]


def _contact(e, values, moment, states):
    welded = values.get(e.more.get("welded"), 0.0) >= 0.5
    return (
        _resistor(e, values, moment, states)
        if welded or CONDITIONS[e.more["closed"]](moment, values)
        else []
    )


def _relay(e, values, moment, states):
    coil = [Resistor(f"{e.key}.coil", *e.more["coil"], values[f"{e.part}.coil_ohm"])]
    closed = e.key in states.closed or values[f"{e.part}.welded"] >= 0.5
    return coil + ([Resistor(e.key, *e.at, values[f"{e.part}.contact_ohm"])] if closed else [])


def _driver(e, values, moment, states):
    """A transistor that joins its pin to ground; a regulated one lets through its share of the full
    current and no more.

    Pulses are taken as their mean: with the coil's free-wheeling current the pin's mean voltage is
    the same, the supply's mean current is less."""
    share, ohm = commanded(e, moment, states), values[e.more["ohm"]]
    pin, ground = e.at
    if "regulated" not in e.more:
        return [Resistor(e.key, pin, ground, ohm)] if share >= 0.5 else []
    if share <= 0.0:
        return []
    inside = f"{e.key}/inside"
    return [
        Resistor(e.key, pin, inside, ohm),
        Current(f"{e.key}.set", inside, ground, share * values[e.more["regulated"]]),
        Diode(f"{e.key}.spare", ground, inside, 0.0),
    ]


def emf_ohm(motor, values, bar=None):
    """What stands for the voltage that a motor makes once it has run up, as a resistance [ohm].

    The current of the charge pump's motor follows its load: friction, and pressure times what the
    pump still moves. With less load it turns faster.
    bar : pressure that the pump works against [bar]; where the pump is switched off, if left out.
        Source: torque balance of a motor with permanent
    magnets (textbook), voltage and current taken as proportional.
    """
    winding, running = values[f"{motor}.winding_ohm"], values[f"{motor}.running_ohm"]
    idle = values.get(f"{motor}.no_load_share")
    if idle is None:
        return running
    bar = values["pressure_switch.pump_off_bar"] if bar is None else bar
    load = (
        idle + (1.0 - idle) * values[f"{motor}_body.flow_share"] * bar / values[f"{motor}.load_bar"]
    )
    return max(0.0, (winding + running) / load - winding)


def _motor(e, values, moment, states):
    winding = values[f"{e.part}.winding_ohm"]
    if values.get(e.more.get("seized"), 0.0) >= 0.5:
        return [Resistor(e.key, *e.at, winding)]
    if e.key in moment.motor_emf:
        return [Source(e.key, *e.at, moment.motor_emf[e.key], winding)]
    return [
        Resistor(e.key, *e.at, winding + emf_ohm(e.part, values, moment.signals.get("accumulator")))
    ]


def _coil(e, values, moment, states):
    housing = "hydraulic_unit.housing" if e.group == "valves" else "body"
    return [
        Resistor(e.key, *e.at, values[e.more.get("ohm", f"{e.part}.ohm")]),
        Resistor(f"{e.key}.ground", e.at[1], housing, values[f"{e.part}.to_ground_ohm"]),
    ]


def _transceiver(e, values, moment, states):
    if _unit(e) not in states.awake:
        return []
    high, low, ground = e.at
    dominant = moment.bus == "dominant"
    ohm = values["unit.bus_driver_ohm" if dominant else "unit.bus_idle_ohm"]
    volts = (
        (values["unit.bus_high_V"], values["unit.bus_low_V"])
        if dominant
        else (values["unit.bus_idle_V"],) * 2
    )
    return [
        Source(f"{e.key}.high", high, ground, volts[0], ohm),
        Source(f"{e.key}.low", low, ground, volts[1], ohm),
    ]


_KINDS = {
    "battery": _battery,
    "generator": _generator,
    "unit": _supplied,
    "resistor": _resistor,
    "lamp": _resistor,
    "diode": _diode,
    "fuse": _fuse,
    "rail": _rail,
    "contact": _contact,
    "relay": _relay,
    "driver": _driver,
    "motor": _motor,
    "coil": _coil,
    "coil_sensor": coil_sensor,
    "two_currents": two_currents,
    "potentiometer": potentiometer,
    "signal": signal,
    "transceiver": _transceiver,
}
