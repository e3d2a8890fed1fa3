"""The car in the bay and on a straight road as the control unit reads it: wheels turned by hand, live data at rest, a steady 60 km/h."""
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tractionlab import catalogue
from tractionlab.workshop.diagnosis import diagnose
from tractionlab.workshop.faults import WHEELS
from tractionlab.workshop.hydraulic_car import changes_of
from tractionlab.workshop.inputs import unit_inputs
from tractionlab.workshop.part_values import changed, part_values
from tractionlab.workshop.world import ON, RUNNING, drive, in_the_bay, still

KMH = 3.6
STEADY_KMH = 60.0
_REST_SAMPLES, _STEADY_SAMPLES = 6000, 600


@dataclass(frozen=True)
class Turned:
    """A wheel turned by hand, one turn a second: pulses in a turn, which channel moved ("FL" .. or "none"), its speed [km/h]."""

    pulses: float
    channel: str
    speed: float


def _values(vehicle, items):
    return changed(part_values(vehicle), dict(items))


def turned(vehicle, values, wheel):
    """Turned of one wheel ("fl" ...)."""
    return _turned(vehicle, changes_of(vehicle, values), wheel)


@lru_cache(maxsize=2048)
def _turned(vehicle, items, wheel):
    world = in_the_bay(vehicle, WHEELS.index(wheel), seconds=5.0)
    inputs = unit_inputs(vehicle, _values(vehicle, items), world)
    teeth, speed = inputs["teeth"], inputs["wheel_speed"]
    counted = (teeth[-1] - teeth[-101]).astype(float)
    channel = int(np.argmax(counted))
    if counted[channel] == 0.0:
        return Turned(0.0, "none", 0.0)
    return Turned(float(counted[channel]), WHEELS[channel].upper(), float(KMH * speed[-100:, channel].mean()))


def at_rest(vehicle, values):
    """Inputs of the control unit, engine running, car standing, everything fitted later switched on."""
    return _at_rest(vehicle, changes_of(vehicle, values))


@lru_cache(maxsize=512)
def _at_rest(vehicle, items):
    world = still(vehicle, _REST_SAMPLES, ON)
    world = world.with_(key=np.where(world.time < 1.0, ON, RUNNING).astype(np.int8), accessory=np.ones(_REST_SAMPLES, bool))
    return unit_inputs(vehicle, _values(vehicle, items), world)


def steady(vehicle, values):
    """Mean speeds [km/h] of the four wheels as read at a true 60 km/h, straight on."""
    return _steady(vehicle, changes_of(vehicle, values))


@lru_cache(maxsize=512)
def _steady(vehicle, items):
    car = catalogue.vehicles()[vehicle]
    speed = np.full(_STEADY_SAMPLES, STEADY_KMH / KMH)
    world = still(vehicle, _STEADY_SAMPLES, RUNNING).with_(speed=speed, wheel_speed=np.repeat((speed / car["tyre_radius_m"])[:, None], 4, axis=1))
    read = unit_inputs(vehicle, _values(vehicle, items), world)["wheel_speed"]
    return tuple(float(v) for v in KMH * np.median(read[200:], axis=0))


@lru_cache(maxsize=8)
def customer_drives(vehicle):
    """Drives of the days before the car came in, in order: town in the frost, a long straight road, a rough road, two slippery starts with long control.

    Invented and always the same; the seeds are such that every part of the control is at work somewhere.
    """
    long_control = 51 if vehicle == "front_electric" else 45
    return (drive(vehicle, 21, "mixed").with_(ambient=-12.0, stored_bar=120.0), drive(vehicle, 22, "straight", 90.0), drive(vehicle, 23, "rough"),
            drive(vehicle, long_control, "slippery", 90.0), drive(vehicle, 46, "slippery", 90.0))


@lru_cache(maxsize=8)
def ignition_on(vehicle):
    """Standing in the bay: ignition on for 8 s, the button not touched."""
    return still(vehicle, 800, ON)


@lru_cache(maxsize=8)
def button_pressed(vehicle):
    """Standing in the bay with the engine running; the traction button is pressed once after the lamp check."""
    world = still(vehicle, 800, ON)
    return world.with_(key=np.where(world.time < 1.0, ON, RUNNING).astype(np.int8), switch=(world.time > 5.0) & (world.time < 5.5))


def life(vehicle, values):
    """Diagnoses of all customer drives and of the ignition-on after them, in order; the memory goes from one to the next."""
    return _life(vehicle, changes_of(vehicle, values))


@lru_cache(maxsize=512)
def _life(vehicle, items):
    values, found, memory = _values(vehicle, items), [], None
    for world in (*customer_drives(vehicle), ignition_on(vehicle)):
        found.append(diagnose(vehicle, values, world, memory))
        memory = found[-1].memory
    return tuple(found)


@lru_cache(maxsize=512)
def _pressed(vehicle, items):
    return diagnose(vehicle, _values(vehicle, items), button_pressed(vehicle))


def pressed(vehicle, values):
    """Diagnosis of a press of the traction button in the bay."""
    return _pressed(vehicle, changes_of(vehicle, values))
