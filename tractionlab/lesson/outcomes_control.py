"""What the panels show of the predictions on grip, the differential and taking the torque away."""

import numpy as np

from tractionlab.lesson.facts import (
    best_throttle,
    by_control,
    first_pause,
    hottest_by_launch,
    split_push,
)
from tractionlab.lesson.outcome import Outcome
from tractionlab.panels.delay import spin_by, spin_over_time
from tractionlab.panels.feet import foot_on_brake, lifted
from tractionlab.panels.friction import forces
from tractionlab.panels.hill import climbs
from tractionlab.panels.launch import split_pushes
from tractionlab.panels.throttle import PEDALS, sweep
from tractionlab.panels.tread import tread_at_top

_SNOW = {"load": 3600.0, "speed": 10.0, "surface": "packed_snow"}


def _throttle():
    best, there, full = best_throttle("packed_snow", "front_electric")
    return Outcome(
        f"About {best:g} % throttle brings {there:.0f} km/h in 5 s, full throttle only {full:.0f}"
        " km/h.",
        1 if best == PEDALS[-1] else 3 if full < 0.9 * there else 2,
    )


def _side():
    rolling, spinning = forces((0.0, 1.0), 4.0, _SNOW)[1].tolist()
    return Outcome(
        f"At a side slip angle of 4° the rolling tyre holds {rolling:.0f} N to the side, the"
        f" spinning one {spinning:.0f} N.",
        3 if spinning < 0.5 * rolling else 2 if spinning < 0.97 * rolling else 1,
    )


def _tread():
    held, slid = tread_at_top("packed_snow")
    return Outcome(
        f"At its top on packed snow the front {held:.0f} mm of the contact patch hold the road, the"
        f" rear {slid:.0f} mm slide.",
        1 if slid < 1.0 else 3 if held < 1.0 else 2,
    )


def _split():
    ice, dry = split_pushes(100)
    return Outcome(
        "Both sides push alike, so the two limits do not add up. By hand formula that is 350 + 350"
        f" = {split_push(0):.0f} N. In the run it is even less, {ice:.0f} and {dry:.0f} N: the icy"
        " wheel spins fast, and a fast sliding tyre holds less.",
        split_push(0),
    )


def _hill():
    (free, torque), (braked, more) = climbs(0.0), climbs(60.0)
    return Outcome(
        f"Not braked, the car rolls {abs(free):.1f} m back in 6 s. With 60 bar at the icy wheel it"
        f" climbs {braked:.1f} m, and the engine gives {more:.0f} in place of {torque:.0f} N m.",
        3 if braked > 0 > free and more > torque else 1,
    )


def _delay():
    most, time = spin_by("throttle")
    return Outcome(
        f"The wheels run up to {most:.0f} km/h faster than the car, and it takes {time:.1f} s to"
        " catch them.",
        2 if time > 0.2 else 1,
    )


def _path():
    throttle, ignition = (spin_by(path)[0] for path in ("throttle", "ignition"))
    return Outcome(
        f"By throttle alone the wheels run {throttle:.1f} km/h faster than the car, with ignition"
        f" first {ignition:.1f} km/h.",
        2 if ignition < 0.95 * throttle else 1 if throttle < 0.95 * ignition else 3,
    )


def _lift():
    free, driven = lifted(False), lifted(True)
    return Outcome(
        f"The driven wheels turn up to {free:.0f} % slower than the road. With engine-drag control"
        f" it is {driven:.0f} %.",
        2 if free > 20 else 1,
    )


def _pedal():
    ends, arrives = foot_on_brake()
    return Outcome(
        f"Traction control ends {1000 * ends:.0f} ms after the pedal. The pressure of the pedal"
        f" arrives at {len(arrives)} brakes, at the last of them after {arrives[-1]:.2f} s.",
        2 if ends <= 0.05 else 1,
    )


def _best():
    (_, torque, brake, _), (_, _, heat, _) = by_control("packed_snow", "packed_snow")
    return Outcome(
        f"The brake brings {brake:.0f} km/h and makes {round(heat, -1):.0f} kJ of heat. Torque"
        f" reduction brings {torque:.0f} km/h with cold brakes.",
        3 if heat > 50 and brake > 0.8 * torque else 2,
    )


def _launches():
    launch = first_pause(10)
    return Outcome(
        f"With 10 s between the launches the control rests the brake at launch {launch}.", launch
    )


def _throttle_curve():
    return (0.0, *PEDALS), (0.0, *sweep("front_electric", "packed_snow"))


def _side_curve():
    slips = np.linspace(0.0, 1.0, 101)
    return 100 * slips, forces(slips, 4.0, _SNOW)[1].tolist()


#: Prediction -> its computed curve.
CURVES = {
    "1.throttle": _throttle_curve,
    "1.side": _side_curve,
    "5.delay": spin_over_time,
    "8.launches": lambda: hottest_by_launch(10),
}
#: Prediction -> function that works its outcome out.
OUTCOMES = {
    "1.throttle": _throttle,
    "1.side": _side,
    "1.tread": _tread,
    "2.split": _split,
    "2.hill": _hill,
    "5.delay": _delay,
    "5.path": _path,
    "5.lift": _lift,
    "8.best": _best,
    "8.launches": _launches,
    "8.pedal": _pedal,
}
