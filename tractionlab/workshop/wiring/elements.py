"""Each kind of electrical part as resistors, sources and diodes, as its values and the moment have
it.
"""

from tractionlab.workshop.wiring.nodal import OPEN, Current, Diode, Resistor, Source

_LEAST_OHM, _ASLEEP_OHM = 1e-3, 1e4
_ORDER = ("fl", "fr", "rl", "rr")
_WORN = (0.15, 0.20)  # where a carbon track wears first, as share of the plate's travel
_MA = 1e-3

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


def plate_of(moment, which):
    """How far a throttle plate is open, 0 to 1."""
    return moment.plates.get(which, moment.accelerator if which == "main" else 1.0)


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
    return [Resistor(e.key, *e.at, max(_LEAST_OHM / 2, values[e.more["ohm"]]))]


def _supplied(e, values, moment, states):
    """A control unit as a load: what it draws while it is awake, hardly anything while it sleeps."""
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


def _sensor_at(e, values):
    """Pins of a wheel sensor; the rear ones stand at each other's while their plugs are crossed."""
    wheel = e.part[-2:]
    if wheel in ("rl", "rr") and values["rear_plugs.crossed"] >= 0.5:
        return tuple(
            point.replace(f"_{wheel}.", "_rr." if wheel == "rl" else "_rl.") for point in e.at
        )
    return e.at


def _coil_sensor(e, values, moment, states):
    plus, minus = _sensor_at(e, values)
    return [
        Source(
            f"{e.part}.emf",
            plus,
            minus,
            moment.emf[_ORDER.index(e.part[-2:])],
            values[f"{e.part}.coil_ohm"],
        ),
        Resistor(
            f"{e.part}.ground", plus, "body", max(_LEAST_OHM, values[f"{e.part}.to_ground_ohm"])
        ),
    ]


def _two_currents(e, values, moment, states):
    """An active sensor draws its current if it finds enough volts; beside it lies what an ohmmeter
    would see.
    """
    feed, signal = _sensor_at(e, values)
    inside, high = f"{e.part}/inside", moment.level[_ORDER.index(e.part[-2:])]
    return [
        Diode(f"{e.part}.least", feed, inside, values[f"{e.part}.least_V"]),
        Diode(f"{e.part}.spare", signal, inside, 0.0),
        Current(
            f"{e.part}.current",
            inside,
            signal,
            _MA * values[f"{e.part}.{'high' if high else 'low'}_mA"],
        ),
        Resistor(f"{e.part}.inner", feed, signal, values[f"{e.part}.coil_ohm"]),
    ]


def _potentiometer(e, values, moment, states):
    v = {
        name: values[f"{e.part}.{name}"]
        for name in ("track_ohm", "closed_share", "open_share", "wiper_ohm")
    }
    plate = plate_of(moment, e.more["share"].split("_")[1])
    travel = 1.0 - plate if e.more["share"].endswith("reversed") else plate
    share = v["closed_share"] + (v["open_share"] - v["closed_share"]) * travel
    if _WORN[0] <= plate <= _WORN[1]:
        share -= values.get(f"{e.part}.worn_V", 0.0) / values["unit.five_V"]
    share, wiper = min(0.999, max(0.001, share)), f"{e.key}/track"
    feed, ground, out = e.at
    return [
        Resistor(f"{e.key}.upper", feed, wiper, (1.0 - share) * v["track_ohm"]),
        Resistor(f"{e.key}.lower", wiper, ground, share * v["track_ohm"]),
        Resistor(e.key, wiper, out, v["wiper_ohm"]),
    ]


def _signal(e, values, moment, states):
    feed, ground, out = e.at
    told = moment.signals.get(e.more["signal"], 0.0) + values[f"{e.part}.offset"]
    volt = min(5.0, max(0.0, values[f"{e.part}.zero_V"] + values[f"{e.part}.gain"] * told))
    branches = [Resistor(f"{e.key}.supply", feed, ground, values[f"{e.part}.supply_ohm"])]
    return branches + (
        [Source(f"{e.key}.signal", out, ground, volt, values[f"{e.part}.out_ohm"])]
        if e.key in states.awake
        else []
    )


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
    "coil_sensor": _coil_sensor,
    "two_currents": _two_currents,
    "potentiometer": _potentiometer,
    "signal": _signal,
    "transceiver": _transceiver,
}
