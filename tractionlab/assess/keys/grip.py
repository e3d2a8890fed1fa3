"""Keys of the items on grip, slip and the open differential.

Values come in and go out in the units of the items: km/h, bar, percent, N, N m.
"""

from math import radians, sin, sqrt

from tractionlab.catalogue.entries import shipped
from tractionlab.physics.tyre import adhesion
from tractionlab.run.surfaces import surface_row
from tractionlab.textbook.formulas import engine_torque_for_force, slope_force
from tractionlab.textbook.longitudinal import (
    GRAVITY,
    Layout,
    axle_loads,
    braking_distance,
    friction_from_distance,
    grip_share,
)
from tractionlab.units import KMH


def layout_of(drive, share, height, base):
    """Layout of a car from the share of its weight on the driven axle [%]."""
    driven = share / 100
    return Layout(base, height, base * (driven if drive == "rear" else 1 - driven))


def push(drive, grip, mass, share, height, base):
    """Largest drive force [N] with load transfer."""
    return mass * GRAVITY * grip_share(grip, layout_of(drive, share, height, base), drive)


def push_at_rest(grip, mass, share):
    """The same without load transfer: the trap."""
    return grip * mass * GRAVITY * share / 100


def push_all(grip, mass):
    """Largest force [N] if all wheels were driven: the trap of taking the whole weight."""
    return grip * mass * GRAVITY


def acceleration(force, mass):
    """Acceleration [m/s²] of a mass under a force."""
    return force / mass


def acceleration_of_weight(force, mass):
    """Trap: force over weight."""
    return force / (mass * GRAVITY)


def engine_torque(force, radius, ratio, efficiency):
    """Engine torque [N m] for a force at the tyres; efficiency in percent."""
    return engine_torque_for_force(force, radius, ratio, efficiency / 100)


def engine_torque_lossless(force, radius, ratio):
    """Trap: losses left out."""
    return engine_torque_for_force(force, radius, ratio, 1.0)


def engine_torque_wrong_way(force, radius, ratio, efficiency):
    """Trap: multiplied by the losses."""
    return force * radius / ratio * efficiency / 100


def cut_share(torque, full):
    """Part of the full torque that has to go [%]."""
    return 100 * (1 - torque / full)


def left_share(torque, full):
    """Trap: the part that stays [%]."""
    return 100 * torque / full


def on_slope(mass, slope):
    """Force [N] that holds a car on a slope [%]."""
    return slope_force(mass, slope / 100)


def on_slope_as_angle(mass, slope):
    """Trap: percent taken for degrees."""
    return mass * GRAVITY * sin(radians(slope))


def grip_needed(force, mass, share):
    """Grip needed on the driven axle [-], load transfer left out."""
    return force / (mass * GRAVITY * share / 100)


def grip_needed_all(force, mass):
    """Trap: the whole weight taken as load."""
    return force / (mass * GRAVITY)


def mean_grip(speed, distance):
    """Mean grip used by a stop from a speed [km/h] in a distance [m]."""
    return friction_from_distance(speed * KMH, distance)


def mean_grip_kmh(speed, distance):
    """Trap: km/h put in for m/s."""
    return friction_from_distance(speed, distance)


def mean_grip_double(speed, distance):
    """Trap: the factor 2 forgotten."""
    return 2 * friction_from_distance(speed * KMH, distance)


def stop(speed, grip):
    """Braking distance [m] from a speed [km/h] with a mean grip."""
    return braking_distance(speed * KMH, grip * GRAVITY)


def stop_in_proportion(distance, speed, faster):
    """Trap: distance grows like speed."""
    return distance * faster / speed


def slip(wheel, car):
    """Slip [%] by wheel speed."""
    return 100 * (wheel - car) / wheel


def slip_by_car(wheel, car):
    """Slip [%] by car speed: the other book, or the trap."""
    return 100 * (wheel - car) / car


def push_change(surface, before, after):
    """What push does when slip goes from one value [%] to another: "more", "less" or "same"."""
    row = surface_row(shipped().surfaces()[surface].curves["burckhardt"])
    first, last = adhesion(before / 100, 0.0, row), adhesion(after / 100, 0.0, row)
    return "same" if abs(last / first - 1) < 0.03 else "more" if last > first else "less"


def better_start(rear_share, front_share, grip, height, base):
    """Which car can pull away harder: "rear" or "front" drive, or "same"."""
    rear = grip_share(grip, layout_of("rear", rear_share, height, base), "rear")
    front = grip_share(grip, layout_of("front", front_share, height, base), "front")
    return "same" if abs(rear / front - 1) < 0.03 else "rear" if rear > front else "front"


def load_change(drive):
    """What the load on the driven axle does when the car accelerates: "more" or "less"."""
    car = Layout(2.7, 0.55, 1.35)
    rest, pulling = axle_loads(1500.0, 0.0, car), axle_loads(1500.0, 2.0, car)
    return "more" if getattr(pulling, drive) > getattr(rest, drive) else "less"


def side_left(drive_share):
    """Side hold that is left [%] of all grip when driving uses a share [%]: the friction circle."""
    return 100 * sqrt(1 - (drive_share / 100) ** 2)


def side_left_subtracted(drive_share):
    """Trap: shares just subtracted."""
    return 100.0 - drive_share


def within_engine(torque, full):
    """True if the engine could spin the wheels: it has clearly more torque than grip takes."""
    return torque < 0.85 * full
