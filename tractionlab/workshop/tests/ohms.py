"""Tests with the ohmmeter: at plugs and parts, leads bent and plugs wetted, the network."""

from tractionlab.wheels import CALLED, WHEEL_KEYS
from tractionlab.workshop.hydraulic_car import VALVES, layout_of
from tractionlab.workshop.reading import Reading, valve_words
from tractionlab.workshop.wiring.electric_state import live, ohms, solved
from tractionlab.workshop.wiring.netlist import plan
from tractionlab.workshop.wiring.points import BODY, UNIT_GROUND


def t08(vehicle, values, history):
    """Ohms at the control unit's plug, ignition off."""
    key, wanted = layout_of(vehicle), []
    if key == "A":
        wanted += [
            (f"loop_{w}", f"Loop of the {CALLED[w]} sensor", f"unit.sensor_{w}", f"unit.return_{w}")
            for w in WHEEL_KEYS
        ]
    wanted += [
        (
            f"coil_{valve.lower()}",
            f"Coil of the {valve_words(valve)} with its leads",
            f"unit.{valve}",
            "unit.valve_supply",
        )
        for valve in VALVES[key]
    ]
    loops = ohms(vehicle, values, [pair[2:] for pair in wanted], {"unit"})
    found = [
        Reading(
            key=name, name=words, value=ohm, unit="ohm", place="control unit plug, into the loom"
        )
        for (name, words, _, _), ohm in zip(wanted, loops)
    ]
    leads = [
        (
            f"insulation_{w}",
            f"Leads of the {CALLED[w]} sensor to body",
            (f"unit.{first}_{w}", f"unit.sensor_{w}"),
        )
        for w in WHEEL_KEYS
        for first in ("return" if key == "A" else "supply",)
    ]
    leads += [
        (
            f"insulation_{valve.lower()}",
            f"Coil of the {valve_words(valve)} to body",
            (f"unit.{valve}",),
        )
        for valve in VALVES[key]
    ]
    pairs = [(point, BODY) for _, _, points in leads for point in points]
    pins = [f"unit.{pin}" for pin in plan(vehicle).plugs["unit"].pins]
    switches = (pins[pins.index("unit.tc_switch")], pins[pins.index("unit.tc_switch") + 1])
    pulled = {"unit", *(f"sensor_{w}" for w in WHEEL_KEYS)}
    measured = dict(zip(pairs, ohms(vehicle, values, pairs, pulled)))
    fed = dict(zip(pairs, live(vehicle, values, [point for point, _ in pairs], pulled)))
    found += [
        Reading(
            key=name,
            name=words,
            value=(
                "live, no reading"
                if any(fed[(point, BODY)] for point in points)
                else min(measured[(point, BODY)] for point in points)
            ),
            unit="ohm",
            place="control unit plug, sensors unplugged",
        )
        for name, words, points in leads
    ]
    (between,) = ohms(vehicle, values, [switches], {"unit"})
    found.append(
        Reading(
            key="insulation_plug",
            name="Between two neighbouring pins",
            value=between,
            unit="ohm",
            place="control unit plug",
        )
    )
    return found


def t09(vehicle, values, history):
    """Ohms at the parts, each with its plug pulled."""
    key, found = layout_of(vehicle), []
    place = "at the part, plug pulled"
    for w, ohm in zip(
        WHEEL_KEYS,
        ohms(
            vehicle,
            values,
            [(f"sensor_{w}.1.device", f"sensor_{w}.2.device") for w in WHEEL_KEYS],
            {f"sensor_{w}" for w in WHEEL_KEYS},
        ),
    ):
        words = (
            f"Coil of the {CALLED[w]} sensor"
            if key == "A"
            else f"{CALLED[w].capitalize()} sensor (no valid test of an active one)"
        )
        found.append(Reading(key=f"coil_{w}", name=words, value=ohm, unit="ohm", place=place))
    pairs = [("hydraulic.supply.device", f"hydraulic.{valve}.device") for valve in VALVES[key]]
    for valve, ohm in zip(VALVES[key], ohms(vehicle, values, pairs, {"hydraulic"})):
        found.append(
            Reading(
                key=f"coil_{valve.lower()}",
                name=f"Coil of the {valve_words(valve)}",
                value=ohm,
                unit="ohm",
                place=place,
            )
        )
    if key == "A":
        names = (
            (
                "pressure_switch",
                "Pump contact of the pressure switch, accumulator full",
                "pressure_switch.pump.device",
                "pressure_switch.ground.device",
            ),
            ("stepper_a", "Stepper motor, coil a", "stepper.feed.device", "stepper.a.device"),
            ("stepper_b", "Stepper motor, coil b", "stepper.feed.device", "stepper.b.device"),
        )
        for (name, words, *_), ohm in zip(
            names, ohms(vehicle, values, [n[2:] for n in names], {"pressure_switch", "stepper"})
        ):
            found.append(Reading(key=name, name=words, value=ohm, unit="ohm", place=place))
        (ohm,) = ohms(
            vehicle,
            values,
            [("pressure_switch.pump", "unit.pressure_pump")],
            {"pressure_switch", "unit"},
        )
        found.append(
            Reading(
                key="pressure_lead",
                name="Lead from the pressure switch to the control unit",
                value=ohm,
                unit="ohm",
                place="between both plugs, pulled",
            )
        )
    for name, words, a, b in (
        (
            "brake_switch",
            "Stop lamp contact, pedal free",
            "brake_switch.feed.device",
            "brake_switch.lamp.device",
        ),
        ("lamp_tc", "Traction lamp", "lamps.feed.device", "lamps.tc.device"),
    ):
        (ohm,) = ohms(vehicle, values, [(a, b)], {"brake_switch", "lamps"})
        found.append(Reading(key=name, name=words, value=ohm, unit="ohm", place=place))
    return found


def t24(vehicle, values, history):
    """Leads bent, plugs wetted."""
    key, found = layout_of(vehicle), []
    first, second = ("sensor", "return") if key == "A" else ("supply", "sensor")
    ends = [
        (f"unit.{pin}_{w}", f"sensor_{w}.{number}")
        for w in WHEEL_KEYS
        for number, pin in ((1, first), (2, second))
    ]
    unplugged = {"unit", *(f"sensor_{w}" for w in WHEEL_KEYS)}
    still, bent = (
        ohms(vehicle, values, ends, unplugged),
        ohms(vehicle, values, ends, unplugged, flexed=True),
    )
    change = [abs(b - a) for a, b in zip(still, bent)]
    for w, one, other in zip(WHEEL_KEYS, change[::2], change[1::2]):
        found.append(
            Reading(
                key=f"flex_{w}",
                name=f"Leads of the {CALLED[w]} sensor, largest change while bent",
                value=max(one, other),
                unit="ohm",
                place="twenty bends",
            )
        )
    rest = solved(vehicle, values, "rest", wet=True)
    for w in WHEEL_KEYS:
        found.append(
            Reading(
                key=f"wet_{w}",
                name=f"Pin of the {CALLED[w]} sensor, plugs wetted",
                value=rest.voltage(f"unit.sensor_{w}.device", UNIT_GROUND),
                unit="V",
                place="break-out box",
            )
        )
    return found


def t25(vehicle, values, history):
    """The two network wires."""
    if layout_of(vehicle) == "A":
        return [Reading(key="none", name="Network of two wires", value="this car has none")]
    (ohm,) = ohms(vehicle, values, [("diagnosis_socket.bus_high", "diagnosis_socket.bus_low")], ())
    idle, talking = solved(vehicle, values, "rest"), solved(vehicle, values, "dominant")
    found = [
        Reading(
            key="network_ohm",
            name="Between the two wires, supply off",
            value=ohm,
            unit="ohm",
            place="diagnosis socket",
        )
    ]
    for name, words, solution in (
        ("idle", "idle", idle),
        ("talking", "while a message is sent", talking),
    ):
        for wire in ("high", "low"):
            found.append(
                Reading(
                    key=f"{wire}_{name}",
                    name=f"{wire.capitalize()} wire, {words}",
                    value=solution.voltage(f"diagnosis_socket.bus_{wire}", BODY),
                    unit="V",
                    place="diagnosis socket",
                )
            )
    return found
