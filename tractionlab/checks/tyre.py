"""Checks of the laws of a tyre: friction circle, bristles, build-up of force, slip and size.

Expected values and sources: data/checks/outside.toml.
"""

from tractionlab.physics import tyre
from tractionlab.textbook import published
from tractionlab.textbook.published import load_tyre
from tractionlab.textbook.tyre_combined import faster_slip
from tractionlab.textbook.tyre_lugre import Bristles, steady_friction, steady_peak

INCH = 0.0254


def friction_circle():
    return {
        "side force left beside 2000 N": published.force_left(0.9, 4000.0, 2000.0),
        "share left across when 60 % is used along": (
            published.force_left(0.9, 4000.0, 0.6 * 3600.0) / 3600.0
        ),
    }


def _bristles(name, speed):
    bristles = load_tyre(name, Bristles)
    return {
        f"{speed:g} m/s, slip {slip:g}": steady_friction(slip, speed, bristles)
        for slip in (0.02, 0.05, 0.1, 0.2, 0.5, 1.0)
    }


def bristles_2003():
    values = _bristles("bristles_2003", 20.0)
    for speed in (8.0, 20.0, 30.0):
        slip, peak = steady_peak(speed, load_tyre("bristles_2003", Bristles))
        values[f"{speed:g} m/s: slip at the peak"] = slip
        values[f"{speed:g} m/s: peak"] = peak
    return values


def bristles_1999():
    slip, _ = steady_peak(20.0, load_tyre("bristles_1999", Bristles))
    return _bristles("bristles_1999", 20.0) | {"20 m/s: slip of the highest friction": slip}


def relaxation():
    values = {
        f"share of force after {distance:g} m": published.relaxation_share(distance, 0.3)
        for distance in (0.1, 0.3, 0.9)
    }
    return values | {
        f"time constant at {speed:g} m/s": published.relaxation_time(speed, 0.3)
        for speed in (20.0, 1.0)
    }


def slip_definitions():
    values = {
        f"practical slip {slip:g} referred to the wheel": faster_slip(slip)
        for slip in (0.1, 0.5, 1.0)
    }
    return values | {
        "locked wheel": tyre.rest_slip(0.0, 13.5),
        "wheel spins on the spot": tyre.rest_slip(13.5, 0.0),
        "wheel 49.5 rad/s, car as fast as 40.5 rad/s": tyre.rest_slip(49.5, 40.5),
    }


def tyre_size():
    return {"205/60 R15": 1000.0 * published.unloaded_radius(0.205, 0.60, 15 * INCH)}


CHECKS = {
    "T18": friction_circle,
    "T19": bristles_2003,
    "T20": bristles_1999,
    "T21": relaxation,
    "T22": slip_definitions,
    "V15": tyre_size,
}
