"""Figures of merit of a run: the numbers a teacher quotes."""
from dataclasses import asdict, dataclass

import numpy as np

KMH = 3.6


@dataclass(frozen=True, kw_only=True)
class Merit:
    """Figures of one run. NaN where the run never got there. Units in the names; shares are 0..1."""

    grip_share: float
    final_speed_kmh: float
    distance_m: float
    time_to_10_kmh_s: float
    time_to_20_kmh_s: float
    time_to_30_kmh_s: float
    distance_to_20_kmh_m: float
    peak_slip: float
    mean_slip: float
    spin_energy_kJ: float
    brake_heat_kJ: float
    hottest_disc_degC: float
    yaw_deviation_deg: float
    side_deviation_m: float

    def as_dict(self):
        """The figures by name, NaN as None."""
        return {name: None if value != value else value for name, value in asdict(self).items()}


def time_to(trace, speed_kmh):
    """Time from the pedal's start until the car reaches a speed [s], by straight lines between rows; NaN if it never does."""
    return _when(trace, speed_kmh)[0]


def distance_to(trace, speed_kmh):
    """Distance driven until the car reaches a speed [m]; NaN if it never does."""
    return _when(trace, speed_kmh)[1]


def _when(trace, speed_kmh):
    speed = trace.speed * KMH
    reached = np.flatnonzero(speed >= speed_kmh)
    if not len(reached):
        return float("nan"), float("nan")
    k = reached[0]
    if k == 0:
        return 0.0, 0.0
    share = (speed_kmh - speed[k - 1]) / (speed[k] - speed[k - 1])
    time = trace.time[k - 1] + share * (trace.time[k] - trace.time[k - 1])
    x = trace.x[k - 1] + share * (trace.x[k] - trace.x[k - 1])
    return float(time - trace.scenario.pedal_from_s), float(x - trace.x[0])


def merit(trace):
    """Figures of merit of a trace.

    Grip share is the driving force of the driven wheels over the force their grip allows, both summed from the moment the
    pedal goes down. Slip figures are of the driven wheel that slips most, above 1 km/h of wheel speed.
    """
    driven = np.array(trace.driven)
    under_power = trace.time >= trace.scenario.pedal_from_s
    force = trace.drive_force[under_power][:, driven].sum()
    limit = trace.grip_limit[under_power][:, driven].sum()
    radius = _radius(trace)
    turning = trace.wheel_speed[:, driven] * radius * KMH > 1.0
    slip = np.where(turning, np.abs(trace.slip[:, driven]), 0.0).max(axis=1)[under_power]
    return Merit(
        grip_share=float(force / limit) if limit > 0.0 else float("nan"),
        final_speed_kmh=float(trace.speed[-1] * KMH),
        distance_m=float(trace.x[-1] - trace.x[0]),
        time_to_10_kmh_s=time_to(trace, 10.0),
        time_to_20_kmh_s=time_to(trace, 20.0),
        time_to_30_kmh_s=time_to(trace, 30.0),
        distance_to_20_kmh_m=distance_to(trace, 20.0),
        peak_slip=float(slip.max()) if len(slip) else float("nan"),
        mean_slip=float(slip.mean()) if len(slip) else float("nan"),
        spin_energy_kJ=float(trace.work_tyres[-1] / 1e3),
        brake_heat_kJ=float(trace.work_brakes[-1] / 1e3),
        hottest_disc_degC=float(trace.disc_temperature.max()),
        yaw_deviation_deg=float(np.degrees(np.abs(trace.yaw - trace.yaw[0])).max()),
        side_deviation_m=float(np.abs(trace.y - trace.y[0]).max()),
    )


def _radius(trace):
    from tractionlab.assembly import vehicle_values

    return vehicle_values(trace.scenario)["tyre_radius_m"]
