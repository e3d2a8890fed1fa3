"""A drive as it goes when brakes or motor of the car do not obey the control, or when its
self-diagnosis has taken part of the control away.
"""

from tractionlab.catalogue import entries as catalogue
from tractionlab.wheels import WHEEL_KEYS
from tractionlab.workshop.drive.computed_runs import SOUND_PADS, STARTS, computed
from tractionlab.workshop.drive.inputs_wheels import NEW_RADIUS_M, least_speeds, tyre_radius
from tractionlab.workshop.drive.world import insert
from tractionlab.workshop.hydraulic_bay import in_control
from tractionlab.workshop.part_values import part_values
from tractionlab.workshop.wiring.pins import wiring

_MIN_RATE = 200.0  # N m/s that a run can be computed with; the lowest that a vehicle may have
_NEVER_S = 100.0  # s of building up: longer than any run; chosen for this course
_SOUND_S = (
    0.02  # by which a build-up may be late: two cycles of the control; chosen for this course
)
_LOST_BAR = 20.0  # lost in 2 s of holding; with more the pump cannot keep the pressure up; invented
# times the speed of a sound sensor from which one speaks later, smaller differences are left out;
# chosen for this course
_LATER = 1.5
_LEFT_BAR = 20.0  # left after letting out; with more the wheel is held; invented


def control_felt(world, values, left=()):
    """The drive as it goes with a car of these part values: a wheel whose pressure cannot build up
    spins on, one whose pressure cannot be let out hangs, oily pads hold less, a motor that gives
    too much torque or takes it away slowly lets the wheels run away, control goes by the wheel
    speeds that it reads, and there is what is left of it.

    Parameters
    ----------
    world : World of a sound car
    left : pairs (sample of the computed run, (torque, brake, antilock) that work from there on),
        see `computed_runs.computed`
    """
    if world.run < 0:
        return world
    car = catalogue.shipped().vehicles()[world.vehicle]
    driven = (0, 1) if car["drive"] == "front" else (2, 3)
    hindered = hindered_by(world.vehicle, values, driven) if world.run in STARTS else ()
    rate, changes = values.get("drive_motor.rate_Nm_per_s"), ()
    if rate is not None and rate < car["torque_rate_Nm_per_s"]:
        changes = (("torque_rate_Nm_per_s", max(rate, _MIN_RATE)),)
    reads = read_for(world.vehicle, values)
    excess = values.get("torque_path.excess_Nm", 0.0)
    pads = tuple(values[f"pads_{wheel}.friction_share"] for wheel in WHEEL_KEYS)
    if not (left or hindered or changes or excess or reads or pads != SOUND_PADS):
        return world
    return insert(
        world,
        computed(world.vehicle, world.run, changes, left, hindered, excess, reads, pads),
        world.run_from,
    )


def hindered_by(vehicle, values, driven):
    """For each driven wheel whose brake does not do what control asks: (wheel, s of building up
    until pressure comes, it can be let out).

    Taken from the same wheel on the bench, with its gauge: how long a build-up takes against a
    sound car, what holding loses, what letting out leaves."""
    found = []
    for wheel in driven:
        here, sound = (
            in_control(vehicle, v, WHEEL_KEYS[wheel]) for v in (values, part_values(vehicle))
        )
        late = here["rise"] - sound["rise"] if here["lost"] < _LOST_BAR else _NEVER_S
        lets_out = here["let_out"] < _LEFT_BAR
        if late > _SOUND_S or not lets_out:
            found.append((wheel, min(late, _NEVER_S), lets_out))
    return tuple(found)


def read_for(vehicle, values):
    """For each channel of wheel speed (wheel that it reads, share of the true speed that it shows,
    speed [m/s] from which it shows any), empty if all read as they should: the rings and tyres that
    the unit is coded for, and sensors that speak as soon as sound ones."""
    car = catalogue.shipped().vehicles()[vehicle]
    here, sound = (least_speeds(wiring(vehicle, v), v, car) for v in (values, part_values(vehicle)))
    reads = [
        (
            i,
            values[f"ring_{wheel}.teeth"]
            / car["teeth"]
            * NEW_RADIUS_M
            / tyre_radius(values, wheel),
            here[i] if here[i] > _LATER * sound[i] else 0.0,
        )
        for i, wheel in enumerate(WHEEL_KEYS)
    ]
    if values["rear_plugs.crossed"] >= 0.5:
        reads[2:] = reads[:1:-1]
    return () if reads == [(i, 1.0, 0.0) for i in range(4)] else tuple(reads)
