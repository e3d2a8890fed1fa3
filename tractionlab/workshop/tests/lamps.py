"""Tests with lamps and memories: check and button, all control units, the last drive."""

from tractionlab.workshop.drive.bay import life, pressed, steady
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.reading import Reading
from tractionlab.workshop.wiring.pins import wiring

LAMP_WORDS = {
    "abs": "ABS lamp",
    "tc": "Traction lamp",
    "tc_off": "Traction-off lamp",
    "brake": "Red brake lamp",
}
_HEARD_V = 0.9  # lowest voltage between the network wires that a tester can read
_CHECK, _AFTER, _PRESSED = 150, 480, 700


def t03(vehicle, values, history):
    """Lamp check and button."""
    run, found = pressed(vehicle, values), []
    for lamp, words in LAMP_WORDS.items():
        shown = run.lamps[lamp]
        found.append(
            Reading(
                key=f"{lamp}_lamp_check",
                name=f"{words}, first three seconds",
                value=_lit(shown[_CHECK]),
            )
        )
        if lamp != "tc_off":
            found.append(
                Reading(
                    key=f"{lamp}_lamp_after",
                    name=f"{words} after the check",
                    value=_lit(shown[_AFTER]),
                )
            )
    found.append(
        Reading(
            key="charge_lamp",
            name="Charge lamp, engine running",
            value=_lit(values["generator.volt"] < values["battery.rest_V"]),
        )
    )
    came = "lights" if values["customer.switched_off"] >= 0.5 else "dark"
    found.append(
        Reading(key="off_lamp_now", name="Traction-off lamp as the car came in", value=came)
    )
    changes = (
        run.lamps["tc_off"][_PRESSED] != run.lamps["tc_off"][_AFTER]
        or values["customer.switched_off"] >= 0.5
    )
    found.append(
        Reading(
            key="off_lamp_press",
            name="Traction-off lamp when the button is pressed",
            value="changes" if changes else "stays",
        )
    )
    return found


def _lit(state):
    return "lights" if state else "dark"


def t04(vehicle, values, history):
    """Memories of all control units."""
    engine = (
        []
        if vehicle != "front_petrol"
        else [
            Reading(key="engine_memory", name="Engine unit", value=_engine_memory(vehicle, values))
        ]
    )
    if layout_of(vehicle) == "B" and wiring(vehicle, values).bus_V < _HEARD_V:
        return [
            Reading(key="memory", name="Brake unit", value="no answer"),
            *(
                [Reading(key="engine_memory", name="Engine unit", value="no answer")]
                if engine
                else []
            ),
        ]
    memory = life(vehicle, values)[-1].memory
    rows = [
        f"{entry.code}-{entry.failure_type} {'present' if entry.present else 'stored'}"
        for entry in memory.stored
    ]
    return [Reading(key="memory", name="Brake unit", value=", ".join(rows) or "empty"), *engine]


def _engine_memory(vehicle, values):
    """What the engine unit has found by itself: silent without supply, knows its own misfire."""
    partners = wiring(vehicle, values).partners
    if any(
        supply < values["engine_unit.reset_V"]
        for name, (_, supply) in partners.items()
        if name == "engine"
    ):
        return "no answer"
    return "empty" if values["torque_path.reduction_available"] >= 0.5 else "misfire, present"


def t28(vehicle, values, history):
    """The last drive: lamps at its end, memory after it, speeds."""
    speeds = steady(vehicle, values)
    run = life(vehicle, values)[-2]
    found = [
        Reading(
            key="spread",
            name="Largest difference of the four speeds at 60 km/h",
            value=max(speeds) - min(speeds),
            unit="km/h",
            place="live data",
        )
    ]
    for lamp, words in LAMP_WORDS.items():
        found.append(
            Reading(
                key=lamp,
                name=f"{words} at the end",
                value="off" if not run.lamps[lamp][-1] else "on",
            )
        )
    codes = ", ".join(f"{entry.code}-{entry.failure_type}" for entry in run.memory.stored)
    found.append(Reading(key="codes", name="Codes after it", value=codes or "none"))
    return found
