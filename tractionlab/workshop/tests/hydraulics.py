"""Tests with fluid: valves moved while a wheel is felt, gauges at wheels and accumulator, pressure
shut in and pedal held.
"""

from tractionlab.catalogue import entries as catalogue
from tractionlab.wheels import CALLED
from tractionlab.workshop.fault_entry import DRIVEN
from tractionlab.workshop.hydraulic_bay import (
    BUILD,
    TARGET,
    air_travel,
    charging,
    in_control,
    pedal_sinks,
    under_pedal,
)
from tractionlab.workshop.hydraulic_car import layout_of
from tractionlab.workshop.reading import Reading

_HELD_BAR = 50.0  # of the hold test
_LOCKS = 80.0  # N m that two hands cannot turn; invented


def t14(vehicle, values, history):
    """Valve test at the wheel: felt by hand."""
    found = []
    for wheel in DRIVEN[vehicle]:
        run, name = in_control(vehicle, values, wheel), CALLED[wheel]
        locks = run["built"] * _torque_per_bar(vehicle, values, wheel) > _LOCKS
        held = (run["built"] - run["lost"]) * _torque_per_bar(vehicle, values, wheel) > _LOCKS
        frees = run["let_out"] * _torque_per_bar(vehicle, values, wheel) < _LOCKS
        found += [
            Reading(
                key=f"locks_{wheel}",
                name=f"Build up, {name} wheel",
                value="locks" if locks else "turns",
            ),
            Reading(
                key=f"holds_{wheel}",
                name=f"Hold 2 s, {name} wheel",
                value="stays locked" if held else "turns",
            ),
            Reading(
                key=f"frees_{wheel}",
                name=f"Let out for the fifth time, {name} wheel",
                value="free" if frees else "still locked",
            ),
        ]
    run = in_control(vehicle, values, DRIVEN[vehicle][0])
    found.append(
        Reading(
            key="pedal",
            name="Brake pedal while the valves work",
            value="kicks" if run["reservoir"] > 0.6 else "still",
        )
    )
    return found


def t16(vehicle, values, history):
    """Pressure gauges."""
    key, found = layout_of(vehicle), []
    for wheel in DRIVEN[vehicle]:
        run, name = in_control(vehicle, values, wheel), CALLED[wheel]
        found += [
            Reading(
                key=f"rise_{wheel}",
                name=f"Time to {TARGET[key]:.0f} bar, {name}",
                value=run["rise"],
                unit="s",
                place=f"gauge at the {name} caliper",
            ),
            Reading(
                key=f"pressure_{wheel}",
                name=f"Pressure after {BUILD[key]:.1f} s of building up, {name}",
                value=run["built"],
                unit="bar",
            ),
            Reading(
                key=f"held_in_reduce_{wheel}",
                name=f"Left after the fifth letting out, {name}",
                value=run["let_out"],
                unit="bar",
            ),
        ]
    pressed = under_pedal(vehicle, values)
    for wheel in DRIVEN[vehicle]:
        found += [
            Reading(
                key=f"late_{wheel}",
                name=f"Time to 45 bar under the pedal, {CALLED[wheel]}",
                value=pressed[f"late_{wheel}"],
                unit="s",
            ),
            Reading(
                key=f"release_{wheel}",
                name=f"Left 2 s after letting go of the pedal, {CALLED[wheel]}",
                value=pressed[f"left_{wheel}"],
                unit="bar",
            ),
        ]
    if key == "A":
        filled = charging(vehicle, values)
        found += [
            Reading(
                key="gas_jump",
                name="First jump of the gauge when charging from empty",
                value=filled["jump"],
                unit="bar",
                place="accumulator",
            ),
            Reading(
                key="cut_out",
                name="Pressure at which the pump stops",
                value=filled["cut_out"],
                unit="bar",
                place="accumulator",
            ),
            Reading(
                key="loss_at_rest",
                name="Lost in 20 s, ignition off",
                value=filled["loss"],
                unit="bar",
                place="accumulator",
            ),
        ]
    return found


def t17(vehicle, values, history):
    """Hold test."""
    found = []
    for wheel in DRIVEN[vehicle]:
        found.append(
            Reading(
                key=f"hold_loss_{wheel}",
                name=f"Pressure lost in the shut-in line in 5 s, {CALLED[wheel]}",
                value=in_control(vehicle, values, wheel)["line_lost"],
                unit="bar",
            )
        )
    found.append(
        Reading(
            key="pedal_sinks",
            name="Pedal goes down in 30 s at 50 bar",
            value=pedal_sinks(vehicle, values),
            unit="mm",
            place="pedal",
        )
    )
    if layout_of(vehicle) == "B":
        air = values["closed_passages.air_cm3"]
        found.append(
            Reading(
                key="pedal_after_control",
                name="Pedal lower at 50 bar after the valves have worked once",
                value=air_travel(air, _HELD_BAR)[1],
                unit="mm",
                place="pedal",
            )
        )
    return found


def _torque_per_bar(vehicle, values, wheel):
    car = catalogue.shipped().vehicles()[vehicle]
    side = "driven" if wheel in DRIVEN[vehicle] else "other"
    return car[f"{side}_brake_Nm_per_bar"] * values[f"pads_{wheel}.friction_share"]
