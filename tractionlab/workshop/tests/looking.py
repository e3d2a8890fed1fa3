"""Tests with eyes and ears alone: what the customer says, a look round."""

from tractionlab.wheels import CALLED, WHEEL_KEYS
from tractionlab.workshop.drive.running_car import is_coil_sensor_in_active_circuit
from tractionlab.workshop.fault_entry import DRIVEN
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.reading import NOTHING_SAID, OPEN, Reading


def t01(vehicle, values, history):
    """What the customer says, and what the driver did."""
    return [
        Reading(key="story", name="The customer's words", value=history.story),
        Reading(key="work", name="Work done before", value=history.work or NOTHING_SAID["work"]),
        Reading(
            key="weather",
            name="Weather at that time",
            value=history.weather or NOTHING_SAID["weather"],
        ),
        Reading(
            key="rollers",
            name="On brake rollers lately",
            value="yes, control on" if values["customer.roller_test"] else "no",
        ),
        Reading(
            key="launches",
            name="Hard launches one after the other",
            value=values["customer.hard_launches"],
            unit="times",
        ),
        Reading(
            key="button",
            name="Traction button pressed",
            value="perhaps" if values["customer.switched_off"] else "no",
        ),
    ]


def t02(vehicle, values, history):
    """A look round."""
    found = [
        Reading(
            key="fluid_level",
            name="Fluid level, MIN = 25, MAX = 100",
            value=100.0 * values["reservoir.fill_share"],
            unit="%",
            place="reservoir",
        ),
        Reading(
            key="cap_seal",
            name="Seal of the reservoir cap",
            value="swollen" if values["brake_fluid.mineral_percent"] > 3.0 else "fits",
            place="reservoir",
        ),
        Reading(
            key="plug_pins",
            name="Pins of the control unit",
            value="green and wet" if values["plug_unit.leak_ohm"] < OPEN else "dry",
            place="plug of the control unit",
        ),
        Reading(
            key="pump_noise",
            name="Pump with the key out",
            value="runs" if values["relay_pump.welded"] else "silent",
            place="engine bay",
        ),
        Reading(
            key="switch_bracket",
            name="Bracket of the pedal switch",
            value="bent" if values["pedal_bracket.switch_point_mm"] < 2.0 else "straight",
            place="over the pedal",
        ),
    ]
    for wheel in DRIVEN[vehicle]:
        found.append(
            Reading(
                key=f"pads_{wheel}",
                name=f"Pads {CALLED[wheel]}",
                value="oily" if values[f"pads_{wheel}.friction_share"] < 0.7 else "dry",
                place="through the wheel",
            )
        )
    if layout_of(vehicle) == "B":
        wrong = [CALLED[w] for w in WHEEL_KEYS if is_coil_sensor_in_active_circuit(values, w)]
        found += [
            Reading(
                key="fitted_sensor",
                name="Sensors fitted",
                value=f"other type {', '.join(wrong)}" if wrong else "all of one type",
                place="wheel carriers",
            ),
            Reading(
                key="yaw_bracket",
                name="Bracket of the yaw rate sensor",
                value="loose" if values["yaw_bracket.rattle_deg_per_s"] else "tight",
                place="centre console",
            ),
            Reading(
                key="terminals",
                name="Terminals at the sensor plugs",
                value=_slid_back(values),
                place="wheel carriers",
            ),
        ]
    if "second_plate.travel_s" in values:
        found.append(
            Reading(
                key="plate",
                name="Second throttle plate",
                value="black with carbon" if values["second_plate.travel_s"] > 0.25 else "clean",
                place="throttle body",
            )
        )
    return found


def _slid_back(values):
    back = [CALLED[w] for w in WHEEL_KEYS if values[f"plug_sensor_{w}.1_ohm"] >= OPEN]
    return f"one slid back, {', '.join(back)}" if back else "all latched"
