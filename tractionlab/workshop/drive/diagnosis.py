"""A car with its part values, a drive, and what its self-diagnosis finds; live data as a tester
would read them.
"""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.diagnosis.coded import lateral
from tractionlab.diagnosis.monitors import Diagnosis, self_diagnosis
from tractionlab.units import IN_KMH
from tractionlab.wheels import WHEELS
from tractionlab.workshop.drive.computed_runs import CYCLE, computed
from tractionlab.workshop.drive.felt import control_felt
from tractionlab.workshop.drive.inputs import unit_inputs
from tractionlab.workshop.drive.world import World, on_rollers

__all__ = ["Diagnosis", "diagnose", "drive_on", "live_values"]
_MOST_ROUNDS = 60  # a run has fewer changes of mode
_PRESS_S = (3.5, 4.0)  # after ignition on; when a driver who wants it off presses the button


def diagnose(vehicle, values, world, memory=None):
    """Diagnosis of a car over a drive.

    Parameters
    ----------
    vehicle : "rear_petrol", "front_petrol", "front_electric"
    values : mapping of part values; changed ones are faults
    world : World
    memory : Memory of earlier drives; without one, what the car was through before (`customer.*`)
        is played first
    """
    return drive_on(vehicle, values, world, memory)[0]


def drive_on(vehicle, values, world, memory=None):
    """(Diagnosis, World) of a car over a drive, as `diagnose`: the drive as it went with what the
    self-diagnosis left of the control.

    A cycle's result acts from the next cycle on. So the drive is computed again with what was taken
    away, until nothing changes any more: each time it is right for longer, since what comes before
    a result does not depend on it."""
    car = catalogue.pick(catalogue.shipped().vehicles(), vehicle, "vehicle")
    if memory is None and values["customer.roller_test"] >= 0.5:
        memory = self_diagnosis(unit_inputs(vehicle, values, on_rollers(vehicle)), car).memory
    if values["customer.switched_off"] >= 0.5:
        world = _switched(world)
    left = ()
    for _ in range(_MOST_ROUNDS):
        gone = control_felt(world, values, left)
        found = self_diagnosis(unit_inputs(vehicle, values, gone), car, memory)
        before, left = left, _left(found, gone)
        if left == before:
            break
    return found, gone


def _left(diagnosis, world):
    """What is left of the control along the computed run in a drive: pairs (sample of the run, what
    works from there on), empty if all works.
    """
    if world.run < 0:
        return ()
    first = world.run_from - 1
    works = diagnosis.works[first : first + len(computed(world.vehicle, world.run))]
    change = np.flatnonzero(np.any(np.diff(works, axis=0, prepend=np.ones((1, 3), bool)), axis=1))
    return tuple((int(sample), tuple(works[sample].tolist())) for sample in change)


def _switched(world: World):
    """The drive with one press of the traction button after the lamp check."""
    start = int(np.argmax(world.key > 0))
    press = np.zeros(len(world), bool)
    press[start + int(_PRESS_S[0] / CYCLE) : start + int(_PRESS_S[1] / CYCLE)] = True
    return world.with_(switch=world.switch | press)


def live_values(diagnosis, sample):
    """What a tester shows of the control unit at one sample: words with unit -> number or text."""
    seen = diagnosis.seen
    found = {
        "supply [V]": float(seen["supply"][sample]),
        "valve supply [V]": float(seen["valve_supply"][sample]),
        "road speed [km/h]": IN_KMH * float(seen["road_speed"][sample]),
    }
    for i, wheel in enumerate(WHEELS):
        found[f"wheel speed {wheel} [km/h]"] = IN_KMH * float(seen["wheel_speed"][sample, i])
    found["brake pedal"] = "pressed" if seen["stop_contact"][sample] > 6.0 else "free"
    found["traction button"] = "pressed" if seen["button"][sample] < 3.0 else "free"
    found["fluid level"] = "low" if seen["level"][sample] < 3.0 else "in order"
    for name, label, unit in (
        ("pressure_bar", "brake pressure", "bar"),
        ("second_degrees", "second throttle", "deg"),
        ("given", "engine torque given", "N m"),
        ("asked", "engine torque asked for", "N m"),
        ("disc", "disc, estimated", "degC"),
    ):
        if name in seen:
            found[f"{label} [{unit}]"] = float(seen[name][sample])
    for name, label, unit in (
        ("yaw_read", "yaw rate", "deg/s"),
        ("steer", "steering angle", "deg"),
    ):
        if name in seen:
            found[f"{label} [{unit}]"] = float(np.degrees(seen[name][sample]))
    if "lateral" in seen:
        found["side acceleration [m/s2]"] = float(lateral(seen["lateral"][sample]))
    return found
