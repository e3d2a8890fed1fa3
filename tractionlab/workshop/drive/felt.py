"""A drive as it goes when the car does not obey the control, or when its self-diagnosis has taken
part of the control away.
"""

from tractionlab.workshop.drive.as_driven import SOUND, as_driven
from tractionlab.workshop.drive.computed_runs import computed
from tractionlab.workshop.drive.world import insert


def control_felt(world, values, left=()):
    """The drive as it goes with a car of these part values: its run is computed again with the
    faults in circuit, sensors, signals and engine, and with what is left of the control.

    Parameters
    ----------
    world : World of a sound car
    left : pairs (sample of the computed run, (torque, brake, antilock) that work from there on)
    """
    if world.run < 0:
        return world
    car = as_driven(world.vehicle, values)
    if car == SOUND and not left:
        return world
    return insert(world, computed(world.vehicle, world.run, car, left), world.run_from)
