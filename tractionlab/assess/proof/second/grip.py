"""The second routes of `keys/grip.py` for the proof: iteration, halving, energy and force
balances, or the formula in another form. Same names, same values in and out.
"""

from math import atan, cos, exp

from tractionlab.assess.proof.second.halving import halved
from tractionlab.catalogue.entries import shipped

_G = 9.81


def push(drive, grip, mass, share, height, base):
    """Load transfer by iteration: force moves load, load allows force."""
    sign, force = (1 if drive == "rear" else -1), 0.0
    for _ in range(200):
        force = grip * (mass * _G * share / 100 + sign * force * height / base)
    return force


def acceleration(force, mass):
    """Speed gained in a thousand small steps of a millisecond: one second in all."""
    speed = 0.0
    for _ in range(1000):
        speed += force / mass * 0.001
    return speed


def engine_torque(force, radius, ratio, efficiency):
    """Power: what leaves the tyres at 1 m/s is what the engine gives, less the losses."""
    engine_speed = ratio * 1.0 / radius
    return force * 1.0 / (efficiency / 100) / engine_speed


def cut_share(torque, full):
    """What is taken away, as a share of the full torque."""
    return (full - torque) / full * 100


def on_slope(mass, slope):
    """Work on 1 m along the road: weight times rise."""
    return mass * _G * slope / 100 * cos(atan(slope / 100))


def grip_needed(force, mass, share):
    """Smallest grip, by halving, at which the axle holds the force."""
    return halved(0.0, 10.0, lambda grip: grip * mass * _G * share / 100 >= force)


def stop(speed, grip):
    """Distance of a car that loses speed in small steps."""
    v, distance, step = speed / 3.6, 0.0, 1e-4
    while v > 0.0:
        distance += v * step
        v -= grip * _G * step
    return distance


def mean_grip(speed, distance):
    """Speed over the time to stop, which is 2 s / v, as a share of g."""
    duration = 2 * distance / (speed / 3.6)
    return speed / 3.6 / duration / _G


def side_left(drive_share):
    """Largest side force, by trying, that stays inside the circle."""
    best = 0.0
    for k in range(100001):
        side = k / 1000
        if side * side + drive_share * drive_share <= 10000:
            best = side
    return best


def push_change(surface, before, after):
    """The curve written out with its constants."""
    v = shipped().surfaces()[surface].curves["burckhardt"].values
    first, last = (
        v["c1"] * (1 - exp(-v["c2"] * slip / 100)) - v["c3"] * slip / 100
        for slip in (before, after)
    )
    return "same" if abs(last - first) < 0.03 * first else "more" if last > first else "less"


def better_start(rear_share, front_share, grip, height, base):
    """Both cars by iteration of the load transfer."""
    rear, front = (
        push("rear", grip, 1000.0, rear_share, height, base),
        push("front", grip, 1000.0, front_share, height, base),
    )
    return "same" if abs(rear - front) < 0.03 * front else "rear" if rear > front else "front"


def load_change(drive):
    """A table, nothing computed: a force at the road under a mass above it presses the rear axle
    down.
    """
    return {"rear": "more", "front": "less"}[drive]
