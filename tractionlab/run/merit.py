"""Figures of merit of a run: the numbers a teacher quotes."""

from dataclasses import asdict, dataclass

import numpy as np

from tractionlab.units import IN_KMH


@dataclass(frozen=True, kw_only=True)
class Merit:
    """Figures of one run. NaN where the run never got there.

    Units in the names; shares are 0..1.
    """

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

    def as_dict(self) -> dict[str, float | None]:
        """The figures by name, NaN as None."""
        return {name: None if value != value else value for name, value in asdict(self).items()}


def time_to(trace, speed_kmh):
    """Time from the pedal's start until the car reaches a speed [s], by straight lines between
    rows; NaN if it never does, or is as fast at the start.
    """
    return _when(trace, speed_kmh)[0]


def distance_to(trace, speed_kmh):
    """Distance driven until the car reaches a speed [m]; NaN as for `time_to`."""
    return _when(trace, speed_kmh)[1]


def _when(trace, speed_kmh):
    speed = trace.speed * IN_KMH
    reached = np.flatnonzero(speed >= speed_kmh)
    if not len(reached) or reached[0] == 0:
        return float("nan"), float("nan")
    k = reached[0]
    share = (speed_kmh - speed[k - 1]) / (speed[k] - speed[k - 1])
    time = trace.time[k - 1] + share * (trace.time[k] - trace.time[k - 1])
    x = trace.x[k - 1] + share * (trace.x[k] - trace.x[k - 1])
    return float(time - trace.scenario.pedal_from_s), float(x - trace.x[0])


def merit(trace) -> Merit:
    """Figures of merit of a trace.

    Grip share is the driving force of the driven wheels over the force their grip allows, both
    summed from the moment the throttle pedal goes down, NaN if it never does; where they hold the
    car back, see `brakes`, the braking force of all four wheels over what their grip allows, from
    the moment the brakes go on until the car stands. Slip figures are of the driven wheel that
    slips most, above 1 km/h of wheel speed."""
    driven = np.array(trace.driven)
    under_power = trace.time >= trace.scenario.pedal_from_s
    radius = _radius(trace)
    turning = trace.wheel_speed[:, driven] * radius * IN_KMH > 1.0
    slip = np.where(turning, np.abs(trace.slip[:, driven]), 0.0).max(axis=1)[under_power]
    return Merit(
        grip_share=(
            _braking_share(trace)
            if brakes(trace)
            else _share(_push(trace), trace.grip_limit[under_power][:, driven].sum())
        ),
        final_speed_kmh=float(trace.speed[-1] * IN_KMH),
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


def brakes(trace):
    """True if the driven wheels hold the car back more than they push it: a stop, not a launch."""
    return bool(_push(trace) < 0.0)


def _push(trace):
    """Driving force of the driven wheels from the moment the throttle pedal goes down, summed over
    the rows [N].
    """
    return trace.drive_force[trace.time >= trace.scenario.pedal_from_s][
        :, np.array(trace.driven)
    ].sum()


def _braking_share(trace):
    standing = np.flatnonzero(
        (np.abs(trace.speed) < 0.2) & (trace.time > trace.scenario.brake_from_s)
    )
    end = standing[0] + 1 if len(standing) else len(trace)
    rows = slice(min(int(np.searchsorted(trace.time, trace.scenario.brake_from_s)), end - 1), end)
    return _share(-trace.drive_force[rows].sum(), trace.grip_limit[rows].sum())


def _share(force, limit):
    return float(force / limit) if limit > 0.0 else float("nan")


def _radius(trace):
    from tractionlab.run.assembly import vehicle_values

    return vehicle_values(trace.scenario)["tyre_radius_m"]
