"""Tests with simple tools: tyres, gaps and rings, fluid, heat, brake rollers."""

from math import exp

from tractionlab.catalogue import entries as catalogue
from tractionlab.wheels import CALLED, WHEEL_KEYS
from tractionlab.workshop.drive.running_car import boiling_point, diameter_mm
from tractionlab.workshop.fault_entry import DRIVEN
from tractionlab.workshop.hydraulic_bay import brake_held, quick_pressure
from tractionlab.workshop.reading import Reading

_DRIVE_S, _DRIVE_SPEED = 600.0, 14.0  # ten minutes at 50 km/h
_ROLLER_BAR = 40.0
_WARM_DEGC = 60.0  # of discs after ordinary stops
_SMOKES_DEGC = 400.0  # of a disc at which nobody drives on; from memory
_FREE_DRAG = 3.0  # N m that belong to a sound bearing and seal


def t18(vehicle, values, history):
    """Tyres with tape and gauge."""
    found = []
    for wheel in WHEEL_KEYS:
        size = (
            f"{values[f'tyre_{wheel}.width_mm']:.0f}/{100 * values[f'tyre_{wheel}.aspect']:.0f} R16"
        )
        found += [
            Reading(key=f"size_{wheel}", name=f"Size on the wall, {CALLED[wheel]}", value=size),
            Reading(
                key=f"diameter_{wheel}",
                name=f"Outer diameter {CALLED[wheel]}",
                value=diameter_mm(values, wheel),
                unit="mm",
            ),
            Reading(
                key=f"tread_{wheel}",
                name=f"Tread {CALLED[wheel]}",
                value=values[f"tyre_{wheel}.tread_mm"],
                unit="mm",
            ),
        ]
    return found


def t19(vehicle, values, history):
    """Gap, ring and bearing of each wheel."""
    found = []
    for wheel in WHEEL_KEYS:
        name, ring = CALLED[wheel], f"ring_{wheel}"
        signs = [
            words
            for bad, words in (
                (values.get(f"{ring}.crack_share", 0.0) > 0.0, "cracked"),
                (values[f"{ring}.missing"] > 0.0, "tooth missing"),
                (values.get(f"{ring}.merged", 0.0) > 0.0, "metal dust on it"),
                (values.get(f"{ring}.turned_away", 0.0) > 0.0, "no poles on the sensor side"),
            )
            if bad
        ]
        found += [
            Reading(
                key=f"gap_{wheel}",
                name=f"Gap {name}",
                value=values[f"sensor_{wheel}.gap_mm"],
                unit="mm",
                place="feeler gauge",
            ),
            Reading(
                key=f"play_{wheel}",
                name=f"Play of the bearing {name}",
                value=values[f"hub_{wheel}.play_mm"],
                unit="mm",
                place="dial gauge",
            ),
            Reading(
                key=f"teeth_{wheel}",
                name=f"Teeth or pole pairs {name}",
                value=values[f"{ring}.teeth"],
                unit="pulses",
                place="counted",
            ),
            Reading(key=f"ring_{wheel}", name=f"Ring {name}", value=", ".join(signs) or "in order"),
        ]
    return found


def t21(vehicle, values, history):
    """Brake fluid."""
    floats = values["brake_fluid.mineral_percent"] > 3.0
    return [
        Reading(
            key="boiling",
            name="Boiling point",
            value=boiling_point(values),
            unit="degC",
            place="reservoir",
        ),
        Reading(
            key="drop",
            name="A drop of it in water",
            value="floats on water" if floats else "mixes with water",
            place="cup of water",
        ),
    ]


def t22(vehicle, values, history):
    """Heat and drag after ten minutes of road with a stop each minute, or less: nobody drives on
    where a brake smokes.
    """
    car = catalogue.shipped().vehicles()[vehicle]
    found, rise, drag = [], {}, {}
    cooling = car["disc_cooling_still_per_s"] + car["disc_cooling_per_m"] * _DRIVE_SPEED
    store = car["disc_mass_kg"] * car["disc_specific_heat_J_per_kg_K"]
    for wheel in WHEEL_KEYS:
        drag[wheel] = values[f"hub_{wheel}.drag_Nm"]
        held, end = brake_held(vehicle, values, wheel) if wheel in DRIVEN[vehicle] else (0.0, 0.0)
        torque = max(0.0, drag[wheel] - _FREE_DRAG) + held
        heat = torque * _DRIVE_SPEED / car["tyre_radius_m"]
        rise[wheel] = min(
            heat / store / cooling * (1.0 - exp(-cooling * _DRIVE_S)), _SMOKES_DEGC - _WARM_DEGC
        )
        drag[wheel] += end
        found.append(
            Reading(
                key=f"disc_{wheel}",
                name=f"Disc {CALLED[wheel]}",
                value=_WARM_DEGC + rise[wheel],
                unit="degC",
                place="thermometer",
            )
        )
    left, right = DRIVEN[vehicle]
    found.append(
        Reading(
            key="hotter",
            name="Right driven disc hotter than the left by",
            value=rise[right] - rise[left],
            unit="K",
        )
    )
    for wheel in DRIVEN[vehicle]:
        found.append(
            Reading(
                key=f"drag_{wheel}",
                name=f"Drag {CALLED[wheel]}, hot",
                value=drag[wheel],
                unit="N m",
            )
        )
    return found


def t23(vehicle, values, history):
    """Brake rollers: force of both driven wheels at the same pedal."""
    car, forces = catalogue.shipped().vehicles()[vehicle], {}
    for wheel in DRIVEN[vehicle]:
        torque = (
            quick_pressure(vehicle, values, wheel, _ROLLER_BAR)
            * car["driven_brake_Nm_per_bar"]
            * values[f"pads_{wheel}.friction_share"]
        )
        forces[wheel] = (torque + values[f"hub_{wheel}.drag_Nm"]) / car["tyre_radius_m"]
    most = max(forces.values())
    found = [
        Reading(
            key=f"force_{wheel}",
            name=f"Brake force {CALLED[wheel]}",
            value=force,
            unit="N",
            place="rollers",
        )
        for wheel, force in forces.items()
    ]
    found.append(
        Reading(
            key="difference",
            name="Difference across the axle",
            value=100.0 * (most - min(forces.values())) / most,
            unit="%",
        )
    )
    return found
