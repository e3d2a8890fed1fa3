"""Check with a real drive: four measured wheel speeds against an independent speed.

The recording lies in data/measured/.
"""

import numpy as np

from tractionlab.catalogue import entries as catalogue
from tractionlab.catalogue.places import data_folder
from tractionlab.control.settings import Settings
from tractionlab.control.speeds import estimate
from tractionlab.wheels import WHEEL_WORDS

SMOOTHING = 51  # samples of the sliding mean
GRID = 2400  # points of the even time grid
MARGIN = 100  # grid points left out at each end, where the means are incomplete


def drive():
    """The measured drive: times (n,) s, wheel speeds (n, 4) m/s in wheel order, reference (n,) m/s,
    satellite speed (n,) m/s.
    """
    table = np.loadtxt(
        data_folder() / "measured" / "wheel_speed_60s.csv", delimiter=",", skiprows=1
    )
    return table[:, 0], table[:, 1:5], table[:, 7], table[:, 8]


def axle_ratio_over_acceleration():
    """(acceleration, front axle speed / rear axle speed - 1) on an even grid, both smoothed; m/s^2
    and -.
    """
    times, wheels, reference, _ = drive()
    grid = np.linspace(times[0], times[-1], GRID)
    front, rear, speed = (
        np.interp(grid, times, channel)
        for channel in (wheels[:, :2].mean(1), wheels[:, 2:].mean(1), reference)
    )
    inner = slice(MARGIN, -MARGIN)
    return _smooth(np.gradient(speed, grid))[inner], _smooth(front / rear - 1.0)[inner]


def _smooth(channel):
    return np.convolve(channel, np.full(SMOOTHING, 1.0 / SMOOTHING), "same")


def reference_speeds(driven):
    """The control unit's reference speed over the drive (n,) m/s, for a car whose wheels of
    `driven` (4 bools) are driven.
    """
    times, wheels, _, _ = drive()
    values = catalogue.shipped().control_values()
    settings = Settings(*[1.0] * len(Settings._fields))._replace(
        all_wheel=float(all(driven)),
        reference_rise=values["reference_rise_m_per_s2"],
        reference_fall=values["reference_fall_m_per_s2"],
    )
    return estimate(times, wheels, driven, settings)


def measured_drive():
    times, wheels, reference, satellite = drive()
    values = {"rows": len(times), "duration": times[-1] - times[0]}
    for name, ratio in zip(WHEEL_WORDS, (wheels.T / reference).mean(1)):
        values[f"{name}: mean of wheel speed over car speed"] = ratio
    values |= {
        "distance by the wheels": np.trapezoid(wheels.mean(1), times),
        "distance by the position solution": np.trapezoid(reference, times),
        "distance by satellite": np.trapezoid(satellite, times),
    }
    acceleration, excess = axle_ratio_over_acceleration()
    for name, driven in (
        ("front-wheel drive", (True, True, False, False)),
        ("all-wheel drive", (True,) * 4),
    ):
        error = reference_speeds(driven) / reference - 1.0
        values[f"reference speed, {name}: mean error"] = error.mean()
        values[f"reference speed, {name}: share of rows within 2 %"] = (abs(error) < 0.02).mean()
        values[f"reference speed, {name}: largest error"] = abs(error).max()
    slope, offset = np.polyfit(acceleration, excess, 1)
    return values | {
        "greatest braking": acceleration.min(),
        "greatest acceleration": acceleration.max(),
        "front over rear: correlation with acceleration": np.corrcoef(acceleration, excess)[0, 1],
        "front over rear: slope": slope,
        "front over rear: offset": offset,
        "front over rear below -0.8 m/s2": excess[acceleration < -0.8].mean(),
        "front over rear from 0 to 0.4 m/s2": (
            excess[(acceleration >= 0.0) & (acceleration < 0.4)].mean()
        ),
        "front over rear above 1.2 m/s2": excess[acceleration > 1.2].mean(),
    }


CHECKS = {"D09": measured_drive}
