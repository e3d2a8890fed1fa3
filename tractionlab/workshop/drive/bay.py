"""The car in the bay and on a straight road as the control unit reads it: wheels turned by hand,
live data at rest, a steady 60 km/h.
"""

from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.units import IN_KMH
from tractionlab.wheels import WHEEL_KEYS, WHEELS
from tractionlab.workshop.drive.diagnosis import diagnose
from tractionlab.workshop.drive.inputs import unit_inputs
from tractionlab.workshop.drive.world import ON, RUNNING, drive, in_the_bay, still

STEADY_KMH = 60.0
_REST_SAMPLES, _STEADY_SAMPLES = 6000, 600
_LAST, _SETTLED = (
    200,
    1000,
)  # samples at the end that a tester averages; from here on the charge pump is listened to
_GRIPPED = 10  # samples of torque reduction until the torque has to have followed


@dataclass(frozen=True)
class Turned:
    """A wheel turned by hand, one turn a second: pulses in a turn, which channel moved ("FL" .. or
    "none"), its speed [km/h].
    """

    pulses: float
    channel: str
    speed: float


@dataclass(frozen=True)
class AtRest:
    """Live data of a standing car: mean of each input over the last 2 s, a number or one for each
    wheel; the oldest a message ever was [s] by the name of its age; how often the charge pump
    started in the last 50 s."""

    mean: MappingProxyType
    oldest: MappingProxyType
    pump_starts: int


@dataclass(frozen=True, kw_only=True)
class DriveRecord:
    """What is kept of the self-diagnosis of a drive, see control.monitors.Diagnosis; the signals
    themselves are not.

    torque_left_over: median of the torque given above the one asked for in control [N m], 0 at
    least; None where none was asked. yaw_noise: standard deviation of the yaw rate read against the
    true one [deg/s]; None without such a sensor"""

    memory: object
    events: tuple
    lamps: MappingProxyType
    mode: np.ndarray
    torque_left_over: float | None
    yaw_noise: float | None


@lru_cache(maxsize=2048)
def turned(vehicle, values, wheel):
    """Turned of one wheel ("fl" ...)."""
    world = in_the_bay(vehicle, WHEEL_KEYS.index(wheel), seconds=5.0)
    inputs = unit_inputs(vehicle, values, world)
    teeth, speed = inputs["teeth"], inputs["wheel_speed"]
    counted = (teeth[-1] - teeth[-101]).astype(float)
    channel = int(np.argmax(counted))
    if counted[channel] == 0.0:
        return Turned(0.0, "none", 0.0)
    return Turned(
        float(counted[channel]), WHEELS[channel], float(IN_KMH * speed[-100:, channel].mean())
    )


@lru_cache(maxsize=512)
def at_rest(vehicle, values):
    """AtRest of the control unit, engine running, car standing, everything fitted later switched
    on.
    """
    world = still(vehicle, _REST_SAMPLES, ON)
    world = world.with_(
        key=np.where(world.time < 1.0, ON, RUNNING).astype(np.int8),
        accessory=np.ones(_REST_SAMPLES, bool),
    )
    seen = unit_inputs(vehicle, values, world)
    signals = {name: array for name, array in seen.items() if isinstance(array, np.ndarray)}
    return AtRest(
        MappingProxyType({name: array[-_LAST:].mean(axis=0) for name, array in signals.items()}),
        MappingProxyType(
            {
                name: float(array[_LAST:].max())
                for name, array in signals.items()
                if name.endswith("_age")
            }
        ),
        (
            int(np.sum(np.diff(seen["charge_call"][_SETTLED:].astype(int)) > 0))
            if "charge_call" in seen
            else 0
        ),
    )


@lru_cache(maxsize=512)
def steady(vehicle, values):
    """Mean speeds [km/h] of the four wheels as read at a true 60 km/h, straight on."""
    car = catalogue.shipped().vehicles()[vehicle]
    speed = np.full(_STEADY_SAMPLES, STEADY_KMH / IN_KMH)
    world = still(vehicle, _STEADY_SAMPLES, RUNNING).with_(
        speed=speed, wheel_speed=np.repeat((speed / car["tyre_radius_m"])[:, None], 4, axis=1)
    )
    read = unit_inputs(vehicle, values, world)["wheel_speed"]
    return tuple(float(v) for v in IN_KMH * np.median(read[200:], axis=0))


@lru_cache(maxsize=8)
def customer_drives(vehicle):
    """Drives of the days before the car came in, in order: town in the frost, a long straight road,
    a rough road, and three slippery starts: with the left wheel on ice, from asphalt onto ice, with
    the right wheel on ice.

    Invented and always the same; the seeds are such that every part of the control is at work
    somewhere, but no stop on ice is among them."""
    return (
        drive(vehicle, 21, "mixed").with_(ambient=-12.0, stored_bar=120.0),
        drive(vehicle, 22, "straight", 90.0),
        drive(vehicle, 23, "rough"),
        drive(vehicle, 45, "slippery", 90.0).with_(stored_bar=146.0),
        drive(vehicle, 51, "slippery", 90.0),
        drive(vehicle, 46, "slippery", 90.0),
    )


@lru_cache(maxsize=8)
def ignition_on(vehicle):
    """Standing in the bay: ignition on for 8 s, the button not touched."""
    return still(vehicle, 800, ON)


@lru_cache(maxsize=8)
def button_pressed(vehicle):
    """Standing in the bay with the engine running; the traction button is pressed once after the
    lamp check.
    """
    world = still(vehicle, 800, ON)
    return world.with_(
        key=np.where(world.time < 1.0, ON, RUNNING).astype(np.int8),
        switch=(world.time > 5.0) & (world.time < 5.5),
    )


@lru_cache(maxsize=512)
def life(vehicle, values):
    """DriveRecords of all customer drives and of the ignition-on after them, in order; the memory
    goes from one to the next.
    """
    found, memory = [], None
    for world in (*customer_drives(vehicle), ignition_on(vehicle)):
        found.append(_record(diagnose(vehicle, values, world, memory), world))
        memory = found[-1].memory
    return tuple(found)


def _record(run, world):
    over, cutting = None, np.asarray(run.seen["cutting"], bool)
    if "given" in run.seen and cutting.any():
        late = np.flatnonzero(cutting)[_GRIPPED:]
        over = (
            max(0.0, float(np.median((run.seen["given"] - run.seen["asked"])[late])))
            if len(late)
            else 0.0
        )
    noise = (
        float(np.degrees(np.std(run.seen["yaw_read"] - world.yaw_rate)))
        if "yaw_read" in run.seen
        else None
    )
    return DriveRecord(
        memory=run.memory,
        events=run.events,
        lamps=run.lamps,
        mode=run.mode,
        torque_left_over=over,
        yaw_noise=noise,
    )


@lru_cache(maxsize=512)
def pressed(vehicle, values):
    """DriveRecord of a press of the traction button in the bay."""
    world = button_pressed(vehicle)
    return _record(diagnose(vehicle, values, world), world)
