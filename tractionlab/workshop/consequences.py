"""What follows if a step of service work is left out: sentences with computed numbers."""

from functools import lru_cache
from math import log, sqrt
from types import MappingProxyType

import numpy as np

from tractionlab.bench.bench import Bench
from tractionlab.catalogue import entries as catalogue
from tractionlab.diagnosis.status_byte import CLEARED
from tractionlab.hydraulics.faults import with_fault
from tractionlab.hydraulics.values import hydraulics
from tractionlab.physics import circuit as h
from tractionlab.sensors.parts import wheel_sensor
from tractionlab.sensors.waveform import start_speed
from tractionlab.units import BAR, CM3, IN_KMH, MM
from tractionlab.workshop.drive.bay import customer_drives, ignition_on
from tractionlab.workshop.drive.diagnosis import diagnose
from tractionlab.workshop.drive.running_car import boiling_point
from tractionlab.workshop.hydraulic_bay import air_travel
from tractionlab.workshop.part_values import changed, part_values

_AIR_CM3, _PEDAL_BAR = 1.0, 50.0


def accumulator_energy_J():
    """Work [J] that the gas of the full accumulator of layout A can do while it expands slowly to
    its precharge: p V ln(p / p0).
    """
    a = hydraulics()["layout_a"]
    precharge, full = (BAR * (a[name] + 1.0) for name in ("precharge_bar", "cut_out_bar"))
    return precharge * CM3 * a["gas_cm3"] * log(full / precharge)


def jet_speed(bar):
    """Speed [m/s] of fluid that escapes from a pressure without loss: sqrt(2 p / density),
    Torricelli.
    """
    return sqrt(2e5 * bar / hydraulics()["fluid"]["density_kg_per_m3"])


@lru_cache(maxsize=8)
def rise_with_air(air_cm3):
    """Time [s] until front left of layout B has 40 bar with free air in the closed passages of its
    circuit.
    """
    bench = Bench(
        "B",
        fit=(lambda circuit: with_fault(circuit, "line_1", "air", air_cm3)) if air_cm3 else None,
    )
    bench.mode("tc_increase")
    bench.run(2.0)
    return float(bench.time[np.argmax(bench.wheel("FL") >= 40.0)])


@lru_cache(maxsize=1)
def _fluid_out():
    """Fluid [cm3] that comes out of the full accumulator through the bleed screw."""
    bench = Bench("A")
    bench.ignition(False)
    bench.bleed(1.0)
    bench.run(60.0)
    return float(bench.fluid(h.BOTTLE)[-1])


@lru_cache(maxsize=1)
def charging_time():
    """Time [s] of the charge pump from an empty accumulator to its cut-out pressure."""
    bench = Bench("A", filled=False)
    bench.run(90.0)
    pressure = bench.pressure(h.ACCUMULATOR)
    return float(bench.time[np.argmax(pressure >= 184.5)])


def signal_from(gap_mm):
    """Car speed [km/h] from which a passive sensor of the rear-drive course car gives a signal, for
    a gap [mm].
    """
    return IN_KMH * start_speed(
        wheel_sensor("passive", gap=gap_mm * MM),
        catalogue.shipped().vehicles()["rear_petrol"]["tyre_radius_m"],
    )


@lru_cache(maxsize=4)
def comes_back_after(fault_change=(("sensor_fl.coil_ohm", 1e9),)):
    """Time [s] after ignition on until a cleared code is there again while the fault is still on
    the rear-drive car.
    """
    found = diagnose(
        "rear_petrol",
        changed(part_values("rear_petrol"), dict(fault_change)),
        ignition_on("rear_petrol"),
    )
    return min(event.time for event in found.events if event.failed)


@lru_cache(maxsize=2)
def bend_at(offset_deg=12.0):
    """Time [s] on a long straight road until an uncalibrated steering angle of the front-drive car
    is found, or None.
    """
    values = changed(part_values("front_petrol"), {"steering_zero.offset_deg": offset_deg})
    return diagnose("front_petrol", values, customer_drives("front_petrol")[1]).found_at("C0051")


def _air_unit(vehicle):
    volume, travel = air_travel(_AIR_CM3, _PEDAL_BAR)
    return (
        f"Air stays in the closed passages. With {_AIR_CM3:g} cm\u00b3 the pedal is hard at first:"
        f" nothing of it is felt. After the first control the air is in the line: {volume:.2f}"
        f" cm\u00b3 give way at {_PEDAL_BAR:g} bar, the pedal is {travel:.0f} mm lower, and 40 bar"
        f" take {rise_with_air(_AIR_CM3):.2f} s instead of {rise_with_air(0.0):.2f} s."
    )


_FULL = 185.0
CONSEQUENCES = MappingProxyType(
    {
        "jet": lambda v: (
            f"The line is opened under {_FULL:g} bar. The gas lets go"
            f" {accumulator_energy_J() / 1000:.1f} kJ, the fluid leaves with up to"
            f" {jet_speed(_FULL):.0f} m/s. Such a jet goes through skin: a medical emergency. The"
            " try ends here."
        ),
        "pump_starts": lambda v: (
            "A door or the ignition wakes the unit, and the pump fills what you have just emptied:"
            f" {charging_time():.0f} s to {_FULL:g} bar, with your hands in it."
        ),
        "spill": lambda v: (
            f"{_fluid_out():.0f} cm\u00b3 of brake fluid go over unit, paint and hands."
        ),
        "unproved": lambda v: (
            "No fluid came for a moment, so it is called empty. A blocked screw looks the same."
            " Live value, open screw and a wait prove it together. No gauge is fitted for it: that"
            " would open the circuit."
        ),
        "empty": lambda v: (
            "The accumulator is empty. The traction lamp stays on until the pump has run for"
            f" {charging_time():.0f} s."
        ),
        "wrong_fluid": lambda v: (
            "Old or wrong fluid goes into a clean system. With 3.5 % water it boils at"
            f" {boiling_point({'brake_fluid.water_percent': 3.5}):.0f} °C; mineral oil makes every"
            " seal swell."
        ),
        "air_drawn": lambda v: "The reservoir runs empty and the unit draws air. All begins anew.",
        "air_wheel": lambda v: (
            f"1 cm\u00b3 of air at a wheel: the pedal is {air_travel(1.0, _PEDAL_BAR)[1]:.0f} mm"
            f" lower at {_PEDAL_BAR:g} bar, and soft."
        ),
        "air_unit": _air_unit,
        "air_supply": lambda v: (
            "Air stays in the circuit of the accumulator. The pump presses it together first, and"
            " the control feeds it to the wheels."
        ),
        "overflows": lambda v: (
            f"The accumulator gives back {_fluid_out():.0f} cm\u00b3. A full reservoir runs over."
        ),
        "wrong_level": lambda v: (
            f"Between charged and empty lie {_fluid_out():.0f} cm\u00b3. Read in the wrong state,"
            " the level is wrong by as much."
        ),
        "not_allowed": lambda v: (
            "Whoever is not trained and authorised leaves this work alone: so say law and maker."
        ),
        "shock": lambda v: (
            "Capacitors hold high voltage after the plug is out, and gloves with a hole hold none"
            " back. A touch can kill. The try ends here."
        ),
        "awake": lambda v: (
            "A key in reach or a live 12 V supply wakes the car, and its contactors shut again."
        ),
        "fitted_again": lambda v: (
            "Somebody who means well fits the plug again while hands are at the leads."
        ),
        "blind_meter": lambda v: (
            "A meter with a broken lead shows 0 V everywhere. Only one that was right before and"
            " after on a known voltage proves anything."
        ),
        "nobody_knows": lambda v: (
            "The next person does not know what was proved, when and by whom, and must begin anew."
        ),
        "leak_unseen": lambda v: (
            "A leaking seat lets the pedal sink slowly. Without 30 s at 50 bar nobody sees it in"
            " the bay."
        ),
        "rusty_seat": lambda v: (
            f"Rust lifts the sensor. At 2.0 mm the signal starts at {signal_from(2.0):.1f} km/h"
            f" instead of {signal_from(0.8):.1f}: the control grabs late, and the unit finds"
            " nothing wrong."
        ),
        "chafed": lambda v: (
            "The lead hangs free. At full lock it rubs on the tyre; in some weeks it touches the"
            " body."
        ),
        "crossed": lambda v: (
            "Two plugs may be crossed: each circuit is in order, and the wheel with grip is braked"
            " instead of the one that spins."
        ),
        "bend": lambda v: (
            "The sensor says bend while the car goes straight, 12 degrees off. The unit finds after"
            f" {bend_at():.0f} s of a straight road that steering and yaw rate do not agree, and"
            " switches traction control off."
        ),
        "broken_off": lambda v: (
            "The supply falls while the tester writes. The calibration breaks off, and the status"
            " is 'not calibrated'."
        ),
        "not_tested": lambda v: (
            f"Right after clearing every status byte is 0x{CLEARED:02X}: not tested since. 'No"
            " codes' means nothing yet."
        ),
        "lost": lambda v: (
            "Code, counter and snapshot are gone: speed, supply and pedal at the moment of the"
            " fault, the best clues of all."
        ),
        "comes_back": lambda v: (
            "The fault is still there. An open sensor circuit sets its code again"
            f" {comes_back_after():.1f} s after ignition on."
        ),
        "old_code": lambda v: (
            "The old code stays stored, and the next person looks for a fault that is gone."
        ),
    }
)
